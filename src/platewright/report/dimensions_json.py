"""What is measured on a piece as JSON values: each dimension with its places and its letters."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from platewright.geometry.plane import Point, close
from platewright.geometry.space import Point3
from platewright.measuring.dimensions import Measured
from platewright.measuring.reach import covers, edges_meet, on_part
from platewright.plate.dimension import OnBlank, Place, Quantity
from platewright.plate.folded import Folded, folded
from platewright.plate.piece import Piece
from platewright.sheets.rows import in_rows

_NUMBERED = re.compile(r"\[\d+\]")
_ON = 1e-6  # mm


def measured_json(piece: Piece, form_letters: Mapping[str, str]) -> dict[str, Any]:
    """The dimensions of a piece, and how the root panel, whose frame `part_mm` has, lies flat.

    `blank_mm` is as in the DXF. `form_letters` are a kind's letters by the keys of the file.
    """
    model, name = folded(piece.bracket), piece.bracket.root.name
    root = piece.blank.panel_motion(name)
    return {
        "root_on_blank": {"panel": name, "origin_mm": [root.e, root.f], "x_axis": [root.a, root.b]},
        "dimensions": [
            {
                "key": each.dimension.key,
                "words": words,
                "letter": letters or form_letters.get(_NUMBERED.sub("[]", each.dimension.key), ""),
                "critical": each.critical,
                **in_unit(
                    {
                        "asked": each.dimension.asked,
                        "value_on_blank": each.on_blank.value if each.on_blank else None,
                        "value_on_part": each.on_part.value if each.on_part else None,
                    },
                    each.dimension.quantity,
                ),
                "start": _end_json(each, piece, model, 0),
                "end": _end_json(each, piece, model, 1),
            }
            for each, words, letters in in_rows(piece)
        ],
    }


def in_unit(figures: Mapping[str, float | None], quantity: Quantity) -> dict[str, float | None]:
    """Lengths by names that end in _mm, angles in degrees by names that end in _deg."""
    if quantity == "length":
        return {f"{name}_mm": value for name, value in figures.items()}
    return {
        f"{name}_deg": None if value is None else round(math.degrees(value), 9)
        for name, value in figures.items()
    }


def _end_json(each: Measured, piece: Piece, model: Folded, index: int) -> dict[str, Any]:
    """One end of the tape: on the blank where it is measured there, else where the part's lies."""
    dimension, flat = each.dimension, each.on_blank
    place = (dimension.start, dimension.end)[index]
    part = None
    ends = (dimension.start, dimension.end)
    if on_part(place, model) and not any(isinstance(end, OnBlank) for end in ends):
        part = model.ends(dimension)[index]
    blank = _unfolded(part, place, piece, model) if part else None
    if flat is not None:
        on_flat = (flat.start, flat.end)[index]
        if each.on_part is None and not (blank and close(blank, on_flat, _ON)):
            # found at the end of a bend's line, it is no place of the part
            part = None
        blank = on_flat
    return {
        "panel": place.panel or None,
        "face": place.face,
        "blank_mm": blank and [blank.x, blank.y],
        "part_mm": part and [part.x, part.y, part.z],
    }


def _unfolded(p: Point3, place: Place, piece: Piece, model: Folded) -> Point | None:
    """Where a place of a panel's face lies on the blank; None off the metal, as beside a bend."""
    placed = model.panel(place.panel)
    at = placed.world_from_panel.inverse().point3(p)
    flat = Point(at.x, at.y)
    stands = covers(placed.panel.contour, flat) or edges_meet(placed.panel, flat)
    if abs(at.z - model.height(place.face)) > _ON or not stands:
        return None
    return piece.blank.panel_motion(place.panel).point(flat)
