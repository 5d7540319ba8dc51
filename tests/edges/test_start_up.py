"""The command starts light: asking for help loads no heavy library."""

import os
import subprocess
import sys
from pathlib import Path

import click
import pytest

from platewright.cli.root import root

PATTERNS = Path(__file__).parents[2] / "patterns"
HEAVY = ("ezdxf", "reportlab", "shapely", "numpy", "PIL")

PROBE = """
import sys
from platewright.__main__ import main
sys.argv = ["platewright", *{args!r}]
try:
    main()
except SystemExit as stop:
    assert stop.code in (0, None), stop.code
loaded = [name for name in {heavy!r} if name in sys.modules]
print("LOADED", loaded)
"""


def run(*args: str) -> str:
    probe = PROBE.format(args=args, heavy=HEAVY)
    return subprocess.run(
        [sys.executable, "-c", probe], capture_output=True, text=True, check=True
    ).stdout


@pytest.mark.parametrize("args", [("--help",), ("--version",)])
def test_the_overview_loads_no_heavy_library(args):
    assert "LOADED []" in run(*args)


@pytest.mark.parametrize("command", list(root.list_commands(click.Context(root))))
def test_every_commands_help_loads_no_heavy_library(command):
    assert "LOADED []" in run(command, "--help")


@pytest.mark.parametrize("pattern", ["spring-seat", "tank-strap", "battery-tray", "pipe-hat"])
def test_check_loads_no_heavy_library_where_panels_keep_apart(pattern):
    assert "LOADED []" in run("check", str(PATTERNS / f"{pattern}.toml"))


def test_the_overview_names_every_command_with_a_sentence():
    printed = run("--help")
    with click.Context(root) as context:
        for name in root.list_commands(context):
            command = root.get_command(context, name)
            assert command is not None
            assert command.help
            assert f"\n  {name} " in printed


def test_nothing_is_read_from_or_left_in_the_users_home(tmp_path):
    home = tmp_path / "home"
    settings = home / ".config" / "ezdxf" / "ezdxf.ini"
    settings.parent.mkdir(parents=True)
    settings.write_text("[not settings", encoding="utf-8")
    outside = {name: text for name, text in os.environ.items() if not name.startswith("XDG_")}
    done = subprocess.run(
        [sys.executable, "-m", "platewright", "coupon", "--thickness", "5 mm", "--out", "made"],
        capture_output=True,
        text=True,
        check=True,
        cwd=tmp_path,
        env={**outside, "HOME": str(home)},
    )
    assert done.stderr == ""
    assert [path for path in home.rglob("*") if path.is_file()] == [settings]


def test_the_program_runs_as_a_module():
    done = subprocess.run(
        [sys.executable, "-m", "platewright", "--version"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert "0.1.0" in done.stdout


def test_names_told_by_help_are_those_of_the_rooms():
    from platewright import dxf
    from platewright.cli import choosing
    from platewright.sheets.paper import PAPER_NAMES

    assert choosing.DXF_VERSIONS == dxf.VERSIONS
    assert {name.lower() for name in choosing.PAPER_NAMES} == set(PAPER_NAMES)
