from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from platewright.home import away_from_home


@pytest.mark.parametrize("before", [None, "/somewhere"])
def test_the_home_is_back_afterwards(monkeypatch: pytest.MonkeyPatch, before: str | None) -> None:
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    if before:
        monkeypatch.setenv("XDG_CACHE_HOME", before)
    with away_from_home():
        fonts = Path(os.environ["XDG_CACHE_HOME"], "ezdxf", "font_manager_cache.json")
        assert json.loads(fonts.read_text())["font-faces"] == []
    assert os.environ.get("XDG_CACHE_HOME") == before


def test_no_time_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "yesterday")
    with away_from_home():
        assert not os.environ["SOURCE_DATE_EPOCH"]
    assert os.environ["SOURCE_DATE_EPOCH"] == "yesterday"
