from __future__ import annotations

import os
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_files import GOOD, KINDS
from platewright.cli.root import root
from platewright.errors import FileError
from platewright.files import given as given_values
from platewright.files.given import MOST_MISTAKES
from platewright.files.reader import load_job
from platewright.files.source import LARGEST_FILE, read_toml


def refusal(path: Path | str) -> str:
    with pytest.raises(FileError) as caught:
        load_job(path, KINDS)
    (mistake,) = caught.value.mistakes
    assert mistake.file == str(path)
    return str(mistake)


def test_a_missing_file_and_the_one_that_may_be_meant(tmp_path: Path) -> None:
    (tmp_path / "seat.toml").write_text(GOOD)
    assert refusal(tmp_path / "seet.toml").endswith("no such file; did you mean 'seat.toml'?")
    assert refusal(tmp_path / "nowhere" / "seat.toml").endswith("no such file")


def test_the_ending_alone_makes_no_name_near(tmp_path: Path) -> None:
    (tmp_path / "battery-tray.toml").write_text(GOOD)
    assert refusal(tmp_path / "seat.toml").endswith("no such file")
    assert refusal(tmp_path / "batery-tray").endswith("did you mean 'battery-tray.toml'?")


def test_a_link_that_leads_nowhere(tmp_path: Path) -> None:
    (tmp_path / "seat.toml").symlink_to("gone.toml")
    assert refusal(tmp_path / "seat.toml").endswith("a link to a file that is not there")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a = 1\na = 2\n", "line 2, column 6); the same key or [table] stands twice"),
        ("[a]\n[b]\n[a]\n", "line 3, column 3); the same key or [table] stands twice"),
        ("a = {b = 1, b = 2}\n", "stands twice"),
        ('travel = "C:\\shop\\rear.toml"\n', "write / between the folders of a path"),
        (f"a = {'9' * 6000}\n", "a number has far too many digits"),
        ("a = " + "[" * 3000, "nested too deeply"),
        ("b = 1\na" + ".a" * 50_000 + " = 1\n", "line 2 joins more than 12 names by dots"),
        ("[" + '"a.b" . ' * 50_000 + "c]\n", "line 1 joins more than 12 names by dots"),
        ('"\\' * 200_000 + "." * 12, "Unescaped"),  # each quote is read once, not to the end again
        ('"\\\n' * 120_000 + "." * 12, "line 2"),
    ],
)
def test_what_toml_will_not_have_is_told_in_plain_words(
    tmp_path: Path, text: str, words: str
) -> None:
    path = tmp_path / "a.toml"
    path.write_text(text)
    assert words in refusal(path)


@pytest.mark.parametrize("quotes", ['"', "'", '"""', "'''", "#"])
def test_dots_in_words_and_remarks_join_no_names(quotes: str) -> None:
    words = "a" + ".a" * 50
    end = "" if quotes == "#" else quotes
    text = f"{quotes}{words}{end}\n" if quotes == "#" else f"b = {quotes}{words}{end}\n"
    assert read_toml(text, "a.toml") == ({} if quotes == "#" else {"b": words})


def test_endless_mistakes_are_told_to_an_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, looked = tmp_path / "a.toml", []
    monkeypatch.setattr(given_values, "get_close_matches", lambda *_, **__: looked.append(1) or [])
    path.write_text(GOOD + "".join(f"key-{number} = 1\n" for number in range(5000)))
    with pytest.raises(FileError) as caught:
        load_job(path, KINDS)
    assert len(caught.value.mistakes) == MOST_MISTAKES + 1
    assert "the rest is not looked at" in str(caught.value.mistakes[-1])
    assert len(looked) < 10 * MOST_MISTAKES  # nor does anyone look for what the rest may mean


@pytest.mark.parametrize(
    ("name", "told"),
    [("a\nb\x1b[1m\u202e.toml", r"a\u000ab\u001b[1m\u202e.toml"), ("\udcff.toml", r"\udcff.toml")],
)
def test_a_name_that_a_screen_would_obey_is_spelled_out(name: str, told: str) -> None:
    done = CliRunner().invoke(root, ["check", name])
    assert done.exit_code == 2
    assert done.stderr == f"{told}: no such file\n1 mistake; nothing was written\n"


def test_a_folder(tmp_path: Path) -> None:
    assert "this is a folder" in refusal(tmp_path)


def test_bytes_that_are_no_text_and_their_line(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(b"kind = 1\n# caf\xe9\n")
    assert "line 2 is no UTF-8 text" in refusal(path)


@pytest.mark.parametrize("encoding", ["utf-16", "utf-32"])
def test_text_in_another_encoding(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(GOOD.encode(encoding))
    assert "no UTF-8 text" in refusal(path)


def test_a_file_too_large_to_be_a_job(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(b"#" * (LARGEST_FILE + 1))
    assert "larger than 500 kB" in refusal(path)


def test_an_empty_file_lacks_its_keys(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(b"")
    with pytest.raises(FileError) as caught:
        load_job(path, KINDS)
    keys = [mistake.key for mistake in caught.value.mistakes]
    assert keys[:2] == ["kind", "units"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "pipe"
    os.mkfifo(path)
    assert "a device" in refusal(path)


def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text(GOOD)
    path.chmod(0)
    if os.access(path, os.R_OK):
        pytest.skip("this user may read anything")
    assert "you may not read" in refusal(path)


@pytest.mark.parametrize("path", ["a\0b.toml", "x" * 5000])
def test_a_path_that_cannot_be(path: str) -> None:
    assert "cannot be read" in refusal(path)


@pytest.mark.parametrize("command", ["check", "make", "nest", "travel", "compare"])
def test_no_command_looks_at_files_before_the_reader_does(command: str) -> None:
    """Else a file that may not be read would be told alone, in other words than the rest."""
    found = root.get_command(click.Context(root), command)
    assert found is not None
    paths = [each.type for each in found.params if isinstance(each, click.Argument)]
    assert paths
    for path in paths:
        assert isinstance(path, click.Path)
        assert not path.readable
        assert not path.exists


@given(data=st.binary(max_size=300))
@examples(50, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_bytes_are_refused_in_words(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(data)
    with pytest.raises(FileError):
        load_job(path, KINDS)
