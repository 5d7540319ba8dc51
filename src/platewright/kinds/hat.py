"""The hat: a top on two sides that stand on two feet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platewright import measure
from platewright.kinds.folds import fold, fold_angle, measured_to
from platewright.kinds.holes import HoleRow
from platewright.kinds.kind import Kind
from platewright.kinds.shown import Shown
from platewright.kinds.shown_parts import bend_told, panels_of, strip_told
from platewright.kinds.strip import Leg, Strip, strip_bracket
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket
from platewright.plate.stock import Stock


@dataclass(frozen=True, slots=True, kw_only=True)
class Hat:
    """Measurements of a hat."""

    measured_to: str = measured_to()
    top: float = measure.length(
        "top",
        "Across the top, from bend to bend. Measured to the inside it is the room for a rail.",
        minimum="1/4 in",
        maximum="72 in",
        fit_critical=True,
        example="3 in",
    )
    side: float = measure.length(
        "side",
        "Along each side, from the top's bend to the foot's. Measured to the outside, with square "
        "folds, it is the height from the feet's lower face to the top.",
        minimum="1/4 in",
        maximum="48 in",
        fit_critical=True,
        example="2 in",
    )
    left_foot: float = measure.length(
        "left foot",
        "From the bend to the edge of the foot on the left.",
        minimum="1/4 in",
        maximum="48 in",
        example="1 1/2 in",
    )
    right_foot: float = measure.length(
        "right foot",
        "From the bend to the edge of the foot on the right.",
        minimum="1/4 in",
        maximum="48 in",
        example="1 1/2 in",
    )
    width: float = measure.length(
        "length of the hat",
        "Along its bends, from end to end.",
        minimum="1/4 in",
        maximum="120 in",
        example="4 in",
    )
    angle: float = fold_angle()
    top_holes: HoleRow | None = measure.table(
        "top holes", "A row of holes along the top.", HoleRow, optional=True
    )
    foot_holes: HoleRow | None = measure.table(
        "foot holes", "A row of holes along each foot.", HoleRow, optional=True
    )


def build(hat: Hat, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of a hat's measurements: sides folded down, feet folded out again.

    Raises BuildError with the keys that disagree.
    """
    down, up = fold(hat.angle, "down"), fold(hat.angle, "up")
    strip = Strip(
        legs=tuple(_legs(hat)),
        folds=(up, down, down, up),
        width=hat.width,
        to=hat.measured_to,
        root=2,
    )
    return strip_bracket(strip, stock, way)


def _legs(hat: Hat) -> list[Leg]:
    left, right = (
        Leg(
            name=f"{hand} foot",
            length=length,
            key=f"{hand}_foot",
            row=hat.foot_holes,
            row_key="foot_holes",
        )
        for hand, length in (("left", hat.left_foot), ("right", hat.right_foot))
    )
    sides = [Leg(name=f"{hand} side", length=hat.side, key="side") for hand in ("left", "right")]
    top = Leg(name="top", length=hat.top, key="top", row=hat.top_holes, row_key="top_holes")
    return [left, sides[0], top, sides[1], right]


def shown(hat: Hat, bracket: Bracket) -> Iterator[Shown]:
    """Where the measurements show on the flat hat."""
    lengths = {
        "left foot": "left_foot",
        "right foot": "right_foot",
        "top": "top",
        "right side": "side",
    }
    rows = {"top": ("top_holes", hat.top_holes), "right foot": ("foot_holes", hat.foot_holes)}
    yield from strip_told(bracket, lengths, rows)
    yield from bend_told("angle", "", panels_of(bracket)["right side"])


KIND = Kind(
    name="hat",
    summary="A top on two sides with feet folded out, to straddle a rail or carry over a pipe.",
    measurements=Hat,
    build=build,
    shown=shown,
)
