"""What the README promises stands in the code."""

import re
from pathlib import Path

from platewright import dxf
from platewright.cli.root import root
from platewright.kinds.catalogue import catalogue

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def first_cells(heading: str) -> list[str]:
    """The code words in the first column of the table below a heading."""
    part = README.split(heading, 1)[1].split("\n#", 1)[0]
    return re.findall(r"^\| `([^`]+)` \|", part, re.MULTILINE)


def test_every_layer_is_told_once():
    assert sorted(first_cells("### Layers of the DXF")) == sorted(x.name for x in dxf.LAYERS)


def test_every_kind_is_told_once():
    assert sorted(first_cells("### Kinds")) == sorted(catalogue())


def test_every_link_leads_somewhere():
    links = re.findall(r"\]\(([^)]+)\)", README)
    assert links
    assert not [link for link in links if not (ROOT / link).exists()]


def test_every_command_named_is_there():
    named = set(re.findall(r"platewright ([a-z]+)", README)) - {"start", "travel"}
    assert named <= set(root.commands) | set(root.list_commands(None))


def test_the_bracket_file_shown_reads(tmp_path):
    from platewright.files.reader import read_job

    shown = re.search(r"```toml\n(kind = \"seat\".*?)```", README, re.DOTALL)
    assert shown
    (part,) = read_job(shown[1], "README.md", catalogue()).parts
    assert part.name == "spring-seat"
