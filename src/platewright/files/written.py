"""Lines of a commented file: remarks, and values as TOML has them."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable

from platewright.measurement import Scalar

WIDTH = 96
"""Remarks keep to this many letters a line."""


def remark(words: str, indent: str = "") -> list[str]:
    """Words behind a #, as many lines as they need."""
    return [f"# {indent}{line}" for line in textwrap.wrap(words, WIDTH - len(indent) - 2)]


def toml(value: Scalar) -> str:
    """A single value."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if not isinstance(value, str):
        return str(value)
    escaped = value.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + re.sub(r"[\x00-\x1f\x7f]", lambda c: f"\\u{ord(c[0]):04x}", escaped) + '"'


def list_of(words: Iterable[str]) -> str:
    """A list of values that are written already."""
    return f"[{', '.join(words)}]"
