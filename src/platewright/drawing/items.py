"""Drawing lists: what is on a sheet, as frozen values in millimetres.

A sheet is a list of items on a page whose origin is its lower left corner, y up. Writers turn the
list into a file; tests read the list. Nothing here knows a file format.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

from platewright.drawing.lettering import DESCENT, Weight, text_width
from platewright.drawing.printer import Printer
from platewright.drawing.style import HATCHING, LineStyle
from platewright.errors import GeometryError
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.plane import IDENTITY, Bounds, Motion, Point, Vector
from platewright.geometry.segment import Arc, Line
from platewright.values import dataclass

Shape = Line | Arc | Circle | Contour
"""One thing a line can follow."""

Along = Literal["left", "middle", "right"]
"""Where a text's `at` lies along the line of text."""

Across = Literal["baseline", "middle", "top"]
"""Where a text's `at` lies across it: on the baseline, half way up a capital, at its top."""

_ALONG: dict[Along, float] = {"left": 0.0, "middle": 0.5, "right": 1.0}
_ACROSS: dict[Across, float] = {"baseline": 0.0, "middle": 0.5, "top": 1.0}
_OTHER: dict[Along, Along] = {"left": "right", "middle": "middle", "right": "left"}
_UPRIGHT = 1e-9


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line along a shape, or along several; segments that share ends are drawn as one path."""

    path: Shape | tuple[Shape, ...]
    style: LineStyle

    @property
    def shapes(self) -> tuple[Shape, ...]:
        """The path as a tuple, one shape or several."""
        return self.path if isinstance(self.path, tuple) else (self.path,)


@dataclass(frozen=True, slots=True)
class Fill:
    """A region (even-odd where outlines nest) filled with grey from 0 (black) to 1 (white)."""

    outlines: tuple[Outline, ...]
    grey: float = 0.0


@dataclass(frozen=True, slots=True)
class Hatch:
    """A region (even-odd) hatched with parallel lines: angle in radians, spacing in mm.

    Raises GeometryError unless the spacing is positive.
    """

    outlines: tuple[Outline, ...]
    angle: float = math.pi / 4
    spacing: float = 2.5
    style: LineStyle = HATCHING

    def __post_init__(self) -> None:
        if not self.spacing > 0:
            raise GeometryError(f"hatch lines need a positive spacing, not {self.spacing!r}")


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text. `size` is the height of capitals, mm; `angle` the way the text runs.

    `backed` puts a white box behind it, so that lines under it do not spoil it.
    """

    at: Point
    text: str
    size: float = 2.5
    anchor: tuple[Along, Across] = ("left", "baseline")
    angle: float = 0.0
    weight: Weight = "regular"
    backed: bool = False

    @property
    def width(self) -> float:
        """Length of the line of text, mm."""
        return text_width(self.text, self.size, self.weight)

    @property
    def start(self) -> Point:
        """The left end of the baseline."""
        along, across = self.anchor
        back = self.width * _ALONG[along] if along != "left" else 0.0
        down = self.size * _ACROSS[across]
        if self.angle == 0:
            return Point(self.at.x - back, self.at.y - down)
        return self.at + Vector(-back, -down).turned(self.angle)

    def box(self, margin: float = 0.0) -> tuple[Point, Point, Point, Point]:
        """The four corners round the text, descenders included, `margin` mm out, anticlockwise."""
        left, right = -margin, self.width + margin
        low, high = -DESCENT * self.size - margin, self.size + margin
        at, c, s = self.start, math.cos(self.angle), math.sin(self.angle)
        return (
            Point(at.x + (c * left - s * low), at.y + (s * left + c * low)),
            Point(at.x + (c * right - s * low), at.y + (s * right + c * low)),
            Point(at.x + (c * right - s * high), at.y + (s * right + c * high)),
            Point(at.x + (c * left - s * high), at.y + (s * left + c * high)),
        )


@dataclass(frozen=True, slots=True)
class Group:
    """Items moved together: `motion` takes their coordinates to those of the list it stands in."""

    motion: Motion
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Clip:
    """Items seen through an upright window, then moved.

    `window` is in the items' own coordinates; `motion` takes those to the coordinates of the list
    the clip stands in.
    """

    window: Bounds
    items: tuple[Item, ...]
    motion: Motion = IDENTITY


Mark = Stroke | Fill | Hatch | Text
"""An item that leaves ink."""

Item = Stroke | Fill | Hatch | Text | Group | Clip
"""Anything that can stand in a drawing list."""


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet of paper: width and height in mm, what is on it, its title.

    Its items are as they are to be printed; with a `printer` the PDF is drawn so that this one
    prints them so.
    """

    width: float
    height: float
    items: tuple[Item, ...]
    title: str = ""
    printer: Printer | None = None

    @property
    def bounds(self) -> Bounds:
        """The whole sheet."""
        return Bounds(0.0, 0.0, self.width, self.height)


def moved(item: Item, motion: Motion) -> Item:
    """The item after a motion. Texts stay readable through a mirroring."""
    match item:
        case Group():
            return Group(motion @ item.motion, item.items)
        case Clip():
            return Clip(item.window, item.items, motion @ item.motion)
        case _:
            return moved_mark(item, motion)


def moved_mark(mark: Mark, motion: Motion) -> Mark:
    """The mark after a motion; text keeps its place and its reading through a mirroring."""
    match mark:
        case Stroke():
            path = tuple(shape.moved(motion) for shape in mark.shapes)
            return Stroke(path if isinstance(mark.path, tuple) else path[0], mark.style)
        case Fill():
            return Fill(tuple(outline.moved(motion) for outline in mark.outlines), mark.grey)
        case Hatch():
            outlines = tuple(outline.moved(motion) for outline in mark.outlines)
            angle = motion.vector(Vector.polar(mark.angle)).angle
            return Hatch(outlines, angle, mark.spacing, mark.style)
        case Text():
            at, along = motion.point(mark.at), motion.vector(Vector.polar(mark.angle))
            anchor = mark.anchor
            if motion.mirrors:
                # read it the other way along: the same box, up still up
                along, anchor = -along, (_OTHER[anchor[0]], anchor[1])
                if along.y < 0 and abs(along.x) < _UPRIGHT:
                    # what reads from the right does so again: turned about its capitals' middle
                    by = (1 - 2 * _ACROSS[anchor[1]]) * mark.size
                    at, along = at + along.left * by, -along
                    anchor = (_OTHER[anchor[0]], anchor[1])
            # spelled out: most of what is moved is words
            return Text(at, mark.text, mark.size, anchor, along.angle, mark.weight, mark.backed)


def moved_all(items: Iterable[Item], motion: Motion) -> tuple[Item, ...]:
    """Every item after the same motion."""
    return tuple(moved(item, motion) for item in items)


def shifted(items: Iterable[Item], dx: float, dy: float) -> tuple[Item, ...]:
    """Every item moved `dx` mm to the right and `dy` mm up."""
    return moved_all(items, Motion.translation(Vector(dx, dy)))


def marks(items: Iterable[Item], motion: Motion = IDENTITY) -> Iterator[Mark]:
    """Every mark in drawing order, in the list's coordinates, groups and clips opened.

    Marks behind a clip are given whole, even where the window hides them.
    """
    for item in items:
        if isinstance(item, Group | Clip):
            yield from marks(item.items, motion @ item.motion)
        else:
            yield item if motion is IDENTITY else moved_mark(item, motion)


def words(items: Iterable[Item]) -> tuple[str, ...]:
    """Every text on the list, in drawing order."""
    return tuple(mark.text for mark in marks(items) if isinstance(mark, Text))


def bounds(items: Sequence[Item]) -> Bounds:
    """The smallest upright box round the items; line widths are not counted, text boxes are.

    Raises GeometryError when there is nothing to measure.
    """
    box = bounds_or_none(items)
    if box is None:
        raise GeometryError("an empty drawing has no bounds")
    return box


def bounds_or_none(items: Iterable[Item], motion: Motion = IDENTITY) -> Bounds | None:
    """The box round the items after a motion, or None when there is nothing to measure."""
    boxes = []
    for item in items:
        match item:
            case Group():
                box = bounds_or_none(item.items, motion @ item.motion)
            case Clip():
                inner = bounds_or_none(item.items)
                seen = common(inner, item.window) if inner else None
                box = moved_bounds(seen, motion @ item.motion) if seen else None
            case _:
                box = mark_bounds(item if motion is IDENTITY else moved_mark(item, motion))
        boxes += [box] if box else []
    return Bounds.around(boxes) if boxes else None


def mark_bounds(mark: Mark) -> Bounds | None:
    """The box round a mark; None when it leaves no ink."""
    match mark:
        case Text():
            return Bounds.of(*mark.box()) if mark.text else None
        case Stroke():
            boxes = [shape.bounds for shape in mark.shapes]
        case Fill() | Hatch():
            boxes = [outline.bounds for outline in mark.outlines]
    if len(boxes) == 1:
        return boxes[0]
    return Bounds.around(boxes) if boxes else None


def common(a: Bounds, b: Bounds) -> Bounds | None:
    """The box that two boxes share, or None when they are apart."""
    if not a.meets(b):
        return None
    return Bounds(
        max(a.xmin, b.xmin), max(a.ymin, b.ymin), min(a.xmax, b.xmax), min(a.ymax, b.ymax)
    )


def moved_bounds(box: Bounds, motion: Motion) -> Bounds:
    """The upright box round a box after a motion."""
    return Bounds.of(*(motion.point(corner) for corner in corners(box)))


def rectangle(box: Bounds) -> Contour:
    """The box as a contour, anticlockwise from its lower left. Raises GeometryError when flat."""
    return Contour.polygon(corners(box))


def corners(box: Bounds) -> tuple[Point, Point, Point, Point]:
    """The four corners of a box, anticlockwise from its lower left."""
    return (
        Point(box.xmin, box.ymin),
        Point(box.xmax, box.ymin),
        Point(box.xmax, box.ymax),
        Point(box.xmin, box.ymax),
    )


def polyline(points: Sequence[Point], style: LineStyle) -> Stroke:
    """A stroke along straight lines from point to point."""
    return Stroke(tuple(map(Line, points, points[1:])), style)
