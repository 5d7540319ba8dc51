"""The zee: a web with one flange folded each way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platewright import measure
from platewright.kinds.folds import fold, fold_angle, fold_direction, measured_to
from platewright.kinds.holes import HoleRow
from platewright.kinds.kind import Kind
from platewright.kinds.shown import Shown
from platewright.kinds.shown_parts import bend_told, panels_of, strip_told
from platewright.kinds.strip import Leg, Strip, strip_bracket
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket
from platewright.plate.stock import Stock


@dataclass(frozen=True, slots=True, kw_only=True)
class Zee:
    """Measurements of a zee."""

    measured_to: str = measured_to()
    web: float = measure.length(
        "web",
        "From bend to bend. Measured to the outside it is the step over both flanges' far faces.",
        minimum="1/4 in",
        maximum="72 in",
        fit_critical=True,
        example="2 in",
    )
    left_flange: float = measure.length(
        "left flange",
        "From the bend to the edge of the flange on the left.",
        minimum="1/4 in",
        maximum="48 in",
        fit_critical=True,
        example="2 in",
    )
    right_flange: float = measure.length(
        "right flange",
        "From the bend to the edge of the flange on the right.",
        minimum="1/4 in",
        maximum="48 in",
        fit_critical=True,
        example="2 in",
    )
    width: float = measure.length(
        "length of the zee",
        "Along its bends, from end to end.",
        minimum="1/4 in",
        maximum="120 in",
        example="4 in",
    )
    angle: float = fold_angle()
    direction: str = fold_direction()
    left_holes: HoleRow | None = measure.table(
        "left holes", "A row of holes along the left flange.", HoleRow, optional=True
    )
    right_holes: HoleRow | None = measure.table(
        "right holes", "A row of holes along the right flange.", HoleRow, optional=True
    )


def build(zee: Zee, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of a zee's measurements, its right flange folded in the stated direction.

    Raises BuildError with the keys that disagree.
    """
    left = Leg(
        name="left flange",
        length=zee.left_flange,
        key="left_flange",
        row=zee.left_holes,
        row_key="left_holes",
    )
    right = Leg(
        name="right flange",
        length=zee.right_flange,
        key="right_flange",
        row=zee.right_holes,
        row_key="right_holes",
    )
    other = "down" if zee.direction == "up" else "up"
    strip = Strip(
        legs=(left, Leg(name="web", length=zee.web, key="web"), right),
        folds=(fold(zee.angle, other), fold(zee.angle, zee.direction)),
        width=zee.width,
        to=zee.measured_to,
        root=1,
    )
    return strip_bracket(strip, stock, way)


def shown(zee: Zee, bracket: Bracket) -> Iterator[Shown]:
    """Where the measurements show on the flat zee."""
    lengths = {"left flange": "left_flange", "web": "web", "right flange": "right_flange"}
    rows = {
        "left flange": ("left_holes", zee.left_holes),
        "right flange": ("right_holes", zee.right_holes),
    }
    yield from strip_told(bracket, lengths, rows)
    yield from bend_told("angle", "direction", panels_of(bracket)["right flange"])


KIND = Kind(
    name="zee",
    summary="A web with one flange folded up and one down, to step from one face to another.",
    measurements=Zee,
    build=build,
    shown=shown,
)
