"""What a request tells: who comes, and with what."""

from __future__ import annotations

import json
from typing import Any, cast

from flask import abort, request

from platewright.page.door import Door

DOOR = "platewright.door"
"""Where a request carries the door that it came in by."""


def door_of_request() -> Door:
    """The door that the request at hand came in by."""
    return cast("Door", request.environ[DOOR])


def body() -> dict[str, Any]:
    """The JSON object that it carries, empty where it carries none; 400 for half a letter."""
    told = request.get_json(silent=True) if request.is_json else None
    try:
        json.dumps(told, ensure_ascii=False).encode()
    except UnicodeEncodeError:  # JSON can tell half a letter, which no file can hold
        abort(400)
    return told if isinstance(told, dict) else {}


def numbered(value: object, least: int = 1) -> int:
    """The number of a part or a piece, the least where none is said."""
    try:
        return min(max(int(cast("Any", value)), least), 500)
    except (TypeError, ValueError, OverflowError):
        return least


def part_asked() -> int:
    """The number of the part that its address asks for."""
    return numbered(request.args.get("part"))
