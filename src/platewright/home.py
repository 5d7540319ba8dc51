"""Libraries apart from the user's home and from the clock."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator
from pathlib import Path

#: A home with nothing in it but ezdxf's list of fonts, empty: no text is set in those fonts here,
#: and to list every font of the machine takes seconds and would be written down.
_EMPTY_HOME = str(Path(__file__).parent / "empty_home")

#: Where libraries look for their settings, for what they keep, and for a time to write down.
_LOOKED_AT = {
    "XDG_CONFIG_HOME": _EMPTY_HOME,
    "XDG_CACHE_HOME": _EMPTY_HOME,
    "EZDXF_CONFIG_FILE": "",
    "SOURCE_DATE_EPOCH": "",
}


@contextlib.contextmanager
def away_from_home() -> Iterator[None]:
    """A while in which libraries find no settings of the user and no time to write down."""
    before = {name: os.environ.get(name) for name in _LOOKED_AT}
    os.environ.update(_LOOKED_AT)
    try:
        yield
    finally:
        for name, value in before.items():
            os.environ.pop(name)
            if value is not None:
                os.environ[name] = value
