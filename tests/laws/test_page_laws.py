"""A draft is answered in the command's words whatever it says; an edit changes its value alone."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from laws.effort import examples
from laws.mutations import BRACKETS, TEXTS, mutated
from platewright.errors import FileError
from platewright.files.job import worked_out
from platewright.files.reader import load_all
from platewright.files.source import read_toml
from platewright.page.edits import with_edits
from platewright.page.state import draft_state, fields_in, typed_in


@contextmanager
def folder_of(name: str, text: str) -> Iterator[None]:
    """A folder with a file in it, to stand in."""
    before = os.getcwd()
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / name).write_bytes(text.encode())
        for setup in set(TEXTS) - {*BRACKETS, name}:
            (Path(folder) / setup).write_bytes(TEXTS[setup].encode())
        os.chdir(folder)
        try:
            yield
        finally:
            os.chdir(before)


@given(st.sampled_from(sorted(TEXTS)), st.integers(0, 10**9))
@examples(60)
def test_a_spoilt_draft_is_good_or_has_messages_as_the_command_has(name: str, seed: int) -> None:
    text = mutated(TEXTS[name], Random(seed)).removeprefix("\ufeff")
    with folder_of(name, text):
        state = draft_state(name, text, (), TEXTS[name], TEXTS[name], 1)
        assert state["good"] is not bool(state["messages"])
        if state["sort"] != "bracket":
            return
        try:
            worked_out(load_all([Path(name)]))
            told: list[tuple[str, str]] = []
        except FileError as error:
            told = [(each.key, each.message) for each in error.mistakes]
        shown = [(each["key"], each["message"]) for each in state["messages"]]
        assert shown == [(key.removeprefix("part[1]."), words) for key, words in told]


@given(st.sampled_from(BRACKETS), st.integers(0, 10**9), st.data())
@examples(60)
def test_an_edit_changes_its_value_alone_or_is_refused(
    name: str, seed: int, data: st.DataObject
) -> None:
    text = mutated(TEXTS[name], Random(seed)).removeprefix("\ufeff")
    try:
        raw = read_toml(text, name)
    except FileError:
        return
    before = typed_in(raw, 1)["typed"]
    if not before:
        return
    key = data.draw(st.sampled_from(sorted(before)))
    value = data.draw(st.text(max_size=20) | st.none() | st.booleans() | st.floats())
    changed, refused = with_edits(text, [{"key": key, "value": value}], fields_in(raw, 1))
    if refused:
        assert changed == text
        return
    after = typed_in(read_toml(changed, name), 1)["typed"]
    assert {k: repr(v) for k, v in after.items() if k != key} == {
        k: repr(v) for k, v in before.items() if k != key
    }
