"""The command starts light: asking for help loads no heavy library."""

import os
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from platewright.cli.root import root

PATTERNS = Path(__file__).parents[2] / "patterns"
HEAVY = ("ezdxf", "reportlab", "shapely", "numpy", "PIL")

PROBE = """
import sys
from platewright.__main__ import main
for args in {calls!r}:
    sys.argv = ["platewright", *args]
    try:
        main()
    except SystemExit as stop:
        assert stop.code in (0, None), (args, stop.code)
    loaded = [name for name in {heavy!r} if name in sys.modules]
    assert not loaded, (args, loaded)
"""

COMMANDS = root.list_commands(click.Context(root))
LIGHT = {
    "overview": [("--help",)],
    "version": [("--version",)],
    "help of each command": [(name, "--help") for name in COMMANDS],
    "starting": [("kinds",), ("start", "seat"), ("start", "travel")],
    "check where panels keep apart": [
        ("check", str(PATTERNS / f"{name}.toml"))
        for name in ("spring-seat", "tank-strap", "battery-tray", "pipe-hat")
    ],
}


@pytest.mark.parametrize("calls", LIGHT.values(), ids=LIGHT)
def test_no_heavy_library_is_loaded(calls):
    """One call after the other in one process: none may load any."""
    probe = PROBE.format(calls=calls, heavy=HEAVY)
    done = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def test_the_overview_names_every_command_with_a_sentence():
    printed = CliRunner().invoke(root, ["--help"]).output
    with click.Context(root) as context:
        for name in COMMANDS:
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
