from __future__ import annotations

import os
from pathlib import Path

import pytest

from platewright.files.home import away_from_home


@pytest.mark.parametrize("before", [None, "/somewhere"])
def test_the_home_is_back_afterwards(monkeypatch: pytest.MonkeyPatch, before: str | None) -> None:
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    if before:
        monkeypatch.setenv("XDG_CACHE_HOME", before)
    with away_from_home({"a/b.txt": "kept"}):
        folder = Path(os.environ["XDG_CACHE_HOME"])
        assert (folder / "a" / "b.txt").read_text() == "kept"
    assert os.environ.get("XDG_CACHE_HOME") == before
    assert not folder.exists()


def test_where_no_folder_can_be_made_the_home_stays(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", "/somewhere")
    monkeypatch.setattr("tempfile.tempdir", "/nowhere/at/all")
    with away_from_home({}):
        assert os.environ["XDG_CACHE_HOME"] == "/somewhere"
