"""The screen is a file too: a pipe that nobody reads, a disk that is full, a command misspelt."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from platewright.cli.root import root

PATTERNS = Path(__file__).parents[2] / "patterns"
SEAT = str(PATTERNS / "spring-seat.toml")
SETUP = str(PATTERNS / "travel-trailing-arm.toml")
EVERY = pytest.mark.parametrize(
    "args", [("check", SEAT), ("travel", SETUP, "--json"), ("kinds",), ("--help",)]
)


def run(*args: str, out: int) -> subprocess.CompletedProcess[str]:
    """The program with its screen on an open file, the words on standard error caught."""
    command = [sys.executable, "-W", "error", "-m", "platewright", *args]
    return subprocess.run(command, stdout=out, stderr=subprocess.PIPE, text=True, check=False)


@EVERY
def test_a_pipe_that_nobody_reads_ends_the_program_quietly(args):
    reading, writing = os.pipe()
    os.close(reading)
    done = run(*args, out=writing)
    os.close(writing)
    assert done.stderr == ""
    assert done.returncode == 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no such device here")
@EVERY
def test_a_screen_that_takes_no_more_is_told_in_words(args):
    with open("/dev/full", "wb") as full:
        done = run(*args, out=full.fileno())
    assert done.stderr == "platewright: cannot print: no space left on device\n"
    assert done.returncode == 2


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no such device here")
def test_a_refusal_that_nothing_takes_is_none_the_less_one():
    command = [sys.executable, "-m", "platewright", "check", "none.toml"]
    with open("/dev/full", "wb") as full:
        assert subprocess.run(command, stderr=full, check=False).returncode == 2


@pytest.mark.parametrize(
    ("word", "hint"),
    [("mak", "Did you mean make?"), ("Check", "Did you mean check?"), ("xyz", "'")],
)
def test_a_command_misspelt(word, hint):
    done = CliRunner().invoke(root, [word, SEAT])
    assert f"no command is called '{word}'" in done.stderr
    assert hint in done.stderr
    assert ("Did you mean" in done.stderr) == hint.startswith("Did")
    assert done.exit_code == 2
