"""Loading a library apart from the user's home."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

#: Where libraries are told to look for their settings and to keep what they find out.
_HOMES = ("XDG_CONFIG_HOME", "XDG_CACHE_HOME")


@contextlib.contextmanager
def away_from_home(kept: Mapping[str, str]) -> Iterator[None]:
    """A while in which libraries find a passing folder instead of the user's settings and caches.

    `kept` are texts by their paths in that folder. Where none can be made the home stays.
    """
    with contextlib.ExitStack() as stack:
        with contextlib.suppress(OSError):
            home = stack.enter_context(tempfile.TemporaryDirectory())
            for path, text in kept.items():
                place = Path(home, path)
                place.parent.mkdir(parents=True, exist_ok=True)
                place.write_text(text, encoding="utf-8")
            stack.enter_context(_environment(dict.fromkeys(_HOMES, home)))
        yield


@contextlib.contextmanager
def _environment(values: Mapping[str, str]) -> Iterator[None]:
    before = {name: os.environ.get(name) for name in values}
    os.environ.update(values)
    try:
        yield
    finally:
        for name, value in before.items():
            os.environ.pop(name)
            if value is not None:
                os.environ[name] = value
