"""What a nest is: stock, rules, the parts to lay, and where each copy lies.

Sheet coordinates have x along the first size that was given, which is the way the grain of a sheet
runs. Parts are turned but never mirrored: a mirrored part would be of the other hand.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from platewright.errors import NestError
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.plate.piece import Piece
from platewright.plate.stock import Stock
from platewright.shop.cutting import TorchPlan
from platewright.values import dataclass

Grain = Literal["any", "drawn", "across"]
"""Turns a part may take: any, as drawn along the grain, or its bends across the grain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Stock to cut from: a polygon of straight edges, anticlockwise, and what is cut out of it.

    `count` is how many there are, None for as many as are needed. A remnant is used before a new
    sheet. `stock` is None where the plate is not told.
    """

    name: str
    outline: Contour
    voids: tuple[Contour, ...] = ()
    count: int | None = None
    remnant: bool = False
    stock: Stock | None = None

    @property
    def area(self) -> float:
        """Area of metal, mm²."""
        return self.outline.area - math.fsum(void.area for void in self.voids)

    @property
    def bounds(self) -> Bounds:
        """The outline's box."""
        return self.outline.bounds


@dataclass(frozen=True, slots=True, kw_only=True)
class NestRules:
    """How parts may be laid: the metal left between them, `gap`, and along the sheet's edge, mm.

    Both are what still stands when the torch has burnt its kerf and its leads. `turn_step`
    (radians) is the step of the turns tried when the grain allows any. `tries` is how many ways of
    laying are tried; the same `seed` tries the same ones.
    """

    gap: float
    margin: float
    grain: Grain = "any"
    turn_step: float = math.pi / 2
    seed: int = 1
    tries: int = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class NestPart:
    """A piece to lay `count` times, with its torch plan."""

    piece: Piece
    torch: TorchPlan
    count: int


@dataclass(frozen=True, slots=True)
class NestSpot:
    """Where one copy of a part lies: the part's index, its turn, where its middle lies then."""

    part: int
    turn: float
    shift: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """One copy of a piece on its sheet: blank and torch plan are in the sheet's coordinates."""

    piece: Piece
    torch: TorchPlan
    copy: int
    turn: float

    @property
    def box(self) -> Bounds:
        """The box round the blank and everything that the torch burns."""
        leads = [cut.lead.segments for cut in self.torch.cuts if cut.lead]
        boxes = [cut.path.bounds for cut in self.torch.cuts]
        boxes += [segment.bounds for lead in leads for segment in lead]
        return Bounds.around(boxes).grown(self.torch.widest / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class NestedSheet:
    """One sheet with the parts laid on it, in the order in which they are cut."""

    number: int
    sheet: Sheet
    laid: tuple[Laid, ...]
    gap: float

    @property
    def used(self) -> float:
        """Area of the parts' metal, mm²."""
        return math.fsum(each.piece.blank.area for each in self.laid)

    @property
    def left(self) -> float:
        """Area left of the sheet, what falls out of holes and the torch's waste included, mm²."""
        return self.sheet.area - self.used

    @property
    def share(self) -> float:
        """Share of the sheet that is used, 0 to 1."""
        return self.used / self.sheet.area

    @property
    def rest(self) -> Bounds | None:
        """The largest clear rectangle in a corner of an upright sheet, else None.

        It keeps a gap from the parts, so that one straight cut frees it, or two.
        """
        return clear_rectangle(self.sheet, [each.box.grown(self.gap) for each in self.laid])


@dataclass(frozen=True, slots=True, kw_only=True)
class Nest:
    """Every sheet of one stock; `least` is how many sheets the bare area would need.

    `stopped` when the search was broken off: the layout is the best that was found until then.
    `turned_down` tells how many better layouts were found that did not stand the proof: it should
    be none, and is told to the user.
    """

    stock: Stock
    sheets: tuple[NestedSheet, ...]
    least: int
    stopped: bool = False
    turned_down: int = 0


def clear_rectangle(sheet: Sheet, boxes: Sequence[Bounds]) -> Bounds | None:
    """The largest upright rectangle in a corner of an upright sheet that no box enters."""
    whole = sheet.bounds
    if sheet.area < whole.width * whole.height * (1 - 1e-9):
        return None
    found = (
        _rectangle_in_corner(whole, boxes, right=right, up=up)
        for right in (True, False)
        for up in (True, False)
    )
    best = max(found, key=lambda each: each.width * each.height)
    return best if best.width > 0 and best.height > 0 else None


def _rectangle_in_corner(
    whole: Bounds, boxes: Sequence[Bounds], *, right: bool, up: bool
) -> Bounds:
    """The largest rectangle in one corner: each box bounds either its width or its height."""
    away = [
        (
            max(0.0, whole.xmax - box.xmax if right else box.xmin - whole.xmin),
            max(0.0, whole.ymax - box.ymax if up else box.ymin - whole.ymin),
        )
        for box in boxes
    ]
    width = height = 0.0
    clear = whole.height
    # the wider it is, the more boxes bound its height
    for across, along in [*sorted(away), (whole.width, 0.0)]:
        if min(across, whole.width) * clear > width * height:
            width, height = min(across, whole.width), clear
        clear = min(clear, along)
    x = whole.xmax - width if right else whole.xmin
    y = whole.ymax - height if up else whole.ymin
    return Bounds(x, y, x + width, y + height)


def rectangle_sheet(
    name: str, width: float, height: float, *, remnant: bool = False, count: int | None = None
) -> Sheet:
    """An upright rectangle with its lower left corner at the origin. Raises NestError when flat."""
    if not (width > 0 and height > 0):
        raise NestError(f"a sheet of {width:g} x {height:g} mm has no metal")
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    outline = Contour.polygon(Point(x, y) for x, y in corners)
    return Sheet(name=name, outline=outline, remnant=remnant, count=count)


# --- turns ------------------------------------------------------------------------------------


def turns_of(part: NestPart, rules: NestRules) -> tuple[float, ...]:
    """The turns that a part may take, radians anticlockwise from its drawing."""
    if rules.grain == "any":
        count = max(1, round(math.tau / rules.turn_step))
        return tuple(i * math.tau / count for i in range(count))
    base = across_grain(part.piece) if rules.grain == "across" else 0.0
    return base, base + math.pi


def across_grain(piece: Piece) -> float:
    """The turn that brings a piece's bend lines square to x, radians; 0 without bends.

    Where bends run several ways, the way with the greatest length of bend is brought square.
    """
    # direction (in a half turn) and length of each bend line
    ways = [(b.line.direction.angle % math.pi, b.line.length) for b in piece.blank.bends]

    def bent(way: tuple[float, float]) -> float:
        """The length of all bends that run one way, to a degree."""
        alike = math.radians(1)
        return math.fsum(w for at, w in ways if abs(math.remainder(at - way[0], math.pi)) < alike)

    return (math.pi / 2 - max(ways, key=bent)[0]) % math.pi if ways else 0.0
