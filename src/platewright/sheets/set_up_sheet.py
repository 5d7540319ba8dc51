"""The check sheet's part for a bracket of a suspension: where it sits and the spring's heights."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.drawing.flow import Strip, bullets, gap, heading, kept, paragraph
from platewright.sheets.figures import other_unit
from platewright.sheets.travel_sheet import remark_strips, set_figures, view_strips
from platewright.sheets.travel_view import LETTERS
from platewright.suspension.figures import Figure
from platewright.suspension.mounting import Mounting
from platewright.suspension.remarks import CAUTIONS
from platewright.suspension.set_up import comes_to, set_up
from platewright.units import Unit

_VIEW_HEIGHT = 80.0
_OWN = 2  # of the travel's cautions; the others end every check sheet
_UPPER = {"plate_along": "mount_along", "plate_drop": "mount_above", "plate_height": "mount_above"}
"""Figures of an upper bracket that the side view shows as those of the upper mount."""

_WORDS = (
    "Laid out: the frame down on the ground. Mark and datum line: the ones the suspension was "
    "measured from. Fit the bracket with the spacer in the spring's place, tack it, take the "
    "spacer out, measure again, then weld. Letters are those of the side view."
)


def set_up_strips(of: Mounting, thickness: float, unit: Unit, width: float) -> tuple[Strip, ...]:
    """The section; `thickness` of the bracket's plate and `width` of the column, mm."""
    return tuple(_strips(of, thickness, unit, width))


def _strips(of: Mounting, thickness: float, unit: Unit, width: float) -> Iterator[Strip]:
    title = f"On the vehicle: this is the spring's {of.on.end} mount ({of.on.setup})"
    yield from heading(title, width)
    yield from kept(paragraph(_WORDS, width))
    yield from set_figures(set_up(of, thickness), unit, width, _letters(of))
    yield gap(2.0)
    yield from bullets([_told(one, unit) for one in comes_to(of)], width)
    yield from view_strips(of.travel, width, _VIEW_HEIGHT)
    yield from remark_strips(of.travel, width, ("change", "mind"))
    yield from bullets(CAUTIONS[:_OWN], width)


def _told(one: Figure, unit: Unit) -> str:
    other = "" if one.quantity == "angle" else f" ({one.shown(other_unit(unit))})"
    return f"{one.what}: {one.shown(unit)}{other}."


def _letters(of: Mounting) -> dict[str, str]:
    own = _UPPER if of.on.end == "upper" else {}
    drawn = {"set_up_height": "spacer", **own}
    return LETTERS | {key: LETTERS[as_drawn] for key, as_drawn in drawn.items()}
