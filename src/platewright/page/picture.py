"""What the page draws of a piece, as JSON values in mm."""

from __future__ import annotations

from typing import Any

from platewright.plate.piece import Piece


def picture(piece: Piece) -> dict[str, Any]:
    """The piece as the page draws it."""
    box = piece.blank.bounds
    return {"bounds_mm": [box.xmin, box.ymin, box.xmax, box.ymax]}
