"""What the README promises stands in the code."""

import re
import shlex
from pathlib import Path

from click.testing import CliRunner

from platewright import dxf
from platewright.cli.root import root
from platewright.kinds.kind import catalogue

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


def shown_seat():
    shown = re.search(r"```toml\n(kind = \"seat\".*?)```", README, re.DOTALL)
    assert shown
    return shown[1]


def test_the_bracket_file_shown_reads():
    from platewright.files.reader import read_job

    (part,) = read_job(shown_seat(), "README.md", catalogue()).parts
    assert part.name == "spring-seat"


def test_the_remnant_file_shown_reads():
    from platewright.files.remnant import read_remnant

    (shown,) = (
        block for block in re.findall(r"```toml\n(.*?)```", README, re.DOTALL) if "outline" in block
    )
    sheet = read_remnant(shown, "README.md")
    assert (sheet.remnant, len(sheet.voids)) == (True, 1)


def test_the_shop_file_shown_reads_and_serves_a_bracket_of_its_plate():
    from platewright.files.reader import read_job
    from platewright.files.shop_file import read_shop

    blocks = re.findall(r"```toml\n(.*?)```", README, re.DOTALL)
    (shown,) = (block for block in blocks if "measured_on" in block)
    shop = read_shop(shown, "shop.toml")
    text = (ROOT / "patterns" / "rail-angle.toml").read_text(encoding="utf-8")
    own = text.replace("k      = 0.42\n", "").replace('radius = "7/16"\n', "", 1)
    assert own != text
    (part,) = read_job(own, "rail-angle.toml", catalogue(), shop=shop).parts
    sources = {each.key: each.source for each in part.figures}
    assert (sources["bend.k"], sources["bend.radius"], sources["cutting.kerf"]) == ("shop",) * 3
    assert round(part.common.bend.k, 2) == 0.42


def run(line):
    command, *args = shlex.split(line)
    assert command == "platewright"
    return CliRunner().invoke(root, args)


def test_the_mistakes_shown_are_those_that_are_told(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    wrong = shown_seat().replace("spacing =", "spacng =")
    wrong = wrong.replace('reach     = "6"', 'reach = "6"\nfold = 200')
    Path("seat.toml").write_text(wrong, encoding="utf-8")
    (told,) = re.findall(r"```\n(seat\.toml: .*?)```", README, re.DOTALL)
    assert run("platewright check seat.toml").stderr == told


def test_the_commands_for_a_first_bracket_run_one_after_the_other(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    block = README.split("### Beginning a bracket of your own", 1)[1].split("```")[1]
    lines = [line for line in block.splitlines() if line.startswith("platewright ")]
    assert len(lines) == 5
    for line in lines:
        done = run(line.partition("#")[0])
        assert done.exit_code == 0, (line, done.output)
    assert Path("seat-form.pdf").exists()
    assert Path("made/my-seat.dxf").exists()


def test_the_readings_of_the_coupon_agree():
    prose = " ".join(README.split())
    line, _ = re.findall(r"`(platewright coupon [^`]*--outside[^`]*)`", prose)
    done = run(line)
    assert done.exit_code == 0
    assert 'kerf = "0.060 in"' in done.output
    assert "do not agree" not in done.output


def test_the_trial_pieces_are_made_and_read_as_shown(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    block = README.split("### Trial pieces", 1)[1].split("```")[1].replace("\\\n", " ")
    lines = [line for line in block.splitlines() if line.startswith("platewright ")]
    done = [run(line) for line in lines]
    assert [each.exit_code for each in done] == [0] * 6
    kerf, bend, printer = (each.output for each in done[1::2])
    assert "hole_kerf" in kerf
    assert "Strip 4 does not belong" in bend
    assert "[[printer]]" in printer
    assert sorted(path.suffix for path in tmp_path.iterdir()) == [".dxf"] * 2 + [".pdf"] * 3


def test_the_kerf_that_is_written_serves_as_told(tmp_path, monkeypatch):
    from platewright.files.shop_file import load_shop

    monkeypatch.chdir(tmp_path)
    prose = " ".join(README.split())
    (line,) = re.findall(r"`(platewright coupon [^`]*--write[^`]*)`", prose)
    assert run(line).exit_code == 0
    (kerf,) = load_shop("shop.toml").figures.kerf
    assert (kerf.thickness, round(kerf.kerf, 4)) == (4.7625, 1.5748)


def test_the_readings_shown_stand_in_the_sample_and_mean_a_kerf_left_out():
    (shown,) = re.findall(r"```toml\n(part        = .*?)```", README, re.DOTALL)
    sample = ROOT / "samples" / "winch-angle-left-readings.toml"
    squeezed = re.sub(r" +", " ", sample.read_text(encoding="utf-8"))
    for line in shown.splitlines():
        if line.startswith('"'):
            assert re.sub(r" +", " ", line) in squeezed
    told = run(f"platewright readings {ROOT / 'patterns' / 'winch-angle.toml'} {sample}").output
    assert "The kerf of 1.5 mm was not allowed for" in told
