"""Page furniture: what stands round the drawing on each sheet.

A full-scale page keeps a strip at the bottom for its title, words and level check bars, and one at
the left for the upright bars; the rest, the field, belongs to the pattern. A plain page (check
sheet, form) has a heading line and a foot line.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from platewright.drawing.items import Group, Item, Stroke, Text, corners, rectangle
from platewright.drawing.lettering import LINE_PITCH, Weight, fitted, shortened, wrap
from platewright.drawing.printer import Printer
from platewright.drawing.style import BAR, BORDER, FRAME, RULE
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Line
from platewright.sheets.paper import (
    BLANK,
    BOTTOM_STRIP,
    LEAST_FIELD,
    LEFT_STRIP,
    MARGIN,
    Paper,
    field_of,
)
from platewright.values import dataclass

PRINT_REMINDER = (
    "Print at 100 %, not fit to page. Measure all four bars with your own tape. "
    "If one is wrong, do not use this sheet."
)
"""The reminder on every full-scale page."""

CAUTION = (
    "Drawn from your own measurements; not an engineering approval. "
    "Check the fit-critical sizes before you cut."
)
"""The short caution on every page."""

_TITLE_HEIGHT = 14.0
_PAD = 1.5
_CORNER = 3.0
_HEAD = 10.0
_FOOT = 8.0
_MAP_ROOM = 26.0
_SIGN = 2.3


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """The words of a full-scale page.

    `part` names the bracket, `sheet` what the sheet is, `face` which face is up, `notes` any
    further short lines (material, bends, date given by the user), `fingerprint` the sign of the
    file that it was made from, `bent_by` what its bends are worked out from.
    """

    part: str
    sheet: str = "Full-scale template"
    face: str = ""
    notes: tuple[str, ...] = ()
    reminder: str = PRINT_REMINDER
    caution: str = CAUTION
    fingerprint: str = ""
    bent_by: str = ""


def paper_for_field(
    name: str, width: float, height: float, printer: Printer | None = None
) -> Paper:
    """A sheet just large enough that its field takes `width` x `height` mm, as drawn too."""
    wide = max(width, LEAST_FIELD[0]) + LEFT_STRIP
    high = max(height, LEAST_FIELD[1]) + BOTTOM_STRIP
    if printer is None:
        return Paper(name, wide + 2 * MARGIN, high + 2 * MARGIN)
    fed = printer if wide <= high else printer.turned
    a, _, c, d = fed.drawn_from_true
    width = max(wide + 2 * MARGIN, a * wide + abs(c) * high + 2 * BLANK)
    height = max(high + 2 * MARGIN, d * high + 2 * BLANK)
    # a page that is nearly square stays upright, or on its side
    width, height = (
        (width, max(width, height)) if fed is printer else (max(width, height + 1), height)
    )
    return Paper(name, width, height, fed)


def full_scale_furniture(
    paper: Paper, block: TitleBlock, place: str = "", small_map: tuple[Item, ...] = ()
) -> tuple[Item, ...]:
    """Everything round the field of a full-scale page; `place` is where the page belongs.

    `small_map` is drawn in a box of 24 x 18 mm whose lower left corner is its (0, 0).
    """
    room, high = paper.printable, field_of(paper).ymin
    left, right, low = room.xmin + _PAD, room.xmax - _PAD, high - _TITLE_HEIGHT + 2.4
    size = fitted(place, (right - left) / 2 - 2, 2.5)
    where = Text(Point(right, low), place, size, ("right", "baseline"))
    sheet = " \N{BULLET} ".join((block.sheet, *block.notes))
    beside = Vector(room.xmin + _PAD + 1 + FOUR_INCH.length + 2, room.ymin + 1)
    return (
        *_same_on_every_page(paper, block),
        where,
        Text(Point(left, low), sheet, fitted(sheet, right - left - where.width - 4, 2.5)),
        *((Group(Motion.translation(beside), small_map),) if small_map else ()),
    )


@lru_cache(maxsize=8)
def _same_on_every_page(paper: Paper, block: TitleBlock) -> tuple[Item, ...]:
    """The border, the strip with the part and the face in large letters, bars and words."""
    field, room = field_of(paper), paper.printable
    strip = Bounds(room.xmin, room.ymin, room.xmax, field.ymin)
    left, right, rule = strip.xmin + _PAD, strip.xmax - _PAD, strip.ymax - _TITLE_HEIGHT
    half, high = (right - left) / 2 - 2, strip.ymax - _PAD - 3.8
    part = shortened(block.part, half, 3.6, "bold")
    face = fitted(block.face, half, 3.6, "bold")
    return (
        Stroke(rectangle(field), BORDER),
        *_corner_marks(field, paper.inked),
        Stroke(rectangle(strip), FRAME),
        Text(Point(left, high), part, 3.6, weight="bold"),
        Text(Point(right, high), block.face, face, ("right", "baseline"), weight="bold"),
        Stroke(Line(Point(strip.xmin, rule), Point(strip.xmax, rule)), RULE),
        *_lower(block, Bounds(strip.xmin, strip.ymin, strip.xmax, rule), paper.printer),
        check_bar(FOUR_INCH, Point(room.xmin + 5.2, field.ymin + 4), Vector(0.0, 1.0)),
        check_bar(HUNDRED_MM, Point(room.xmin + 11.4, field.ymin + 4), Vector(0.0, 1.0)),
    )


def _corner_marks(field: Bounds, inked: Bounds) -> Iterator[Item]:
    """Ticks outside each corner, which show the field's edges when the border is trimmed away."""
    out_x = min(_CORNER, inked.xmax - field.xmax)
    out_y = min(_CORNER, inked.ymax - field.ymax)
    for corner in corners(field):
        right, top = corner.x > field.centre.x, corner.y > field.centre.y
        if top and out_y > 0:
            yield Stroke(Line(corner, corner + Vector(0.0, out_y)), BORDER)
        if (right or top) and out_x > 0:
            along = Vector(out_x if right else -_CORNER, 0.0)
            yield Stroke(Line(corner, corner + along), BORDER)


def _lower(block: TitleBlock, box: Bounds, printer: Printer | None) -> Iterator[Item]:
    """The level bars at the left, the words at the right."""
    x = box.xmin + _PAD + 1
    low = box.ymin + 2.2
    yield check_bar(HUNDRED_MM, Point(x, low), Vector(1.0, 0.0))
    yield check_bar(FOUR_INCH, Point(x, low + BAR_ROOM + 4.6), Vector(1.0, 0.0))
    words_left = x + FOUR_INCH.length + _MAP_ROOM + 3
    room = Bounds(words_left, box.ymin + 1.2, box.xmax - _PAD, box.ymax - 1.8)
    if block.fingerprint:
        sign = f"fingerprint {block.fingerprint}"
        at = Point(room.xmax, room.ymin + 0.6)
        yield Text(at, sign, _SIGN, ("right", "baseline"), weight="bold")
        room = replace(room, ymin=room.ymin + _SIGN * LINE_PITCH)
    also = [printer.words] if printer else []
    also += [f"Bends: {block.bent_by}."] if block.bent_by else []
    yield from _words((block.reminder, *also, block.caution), room)


def _words(texts: tuple[str, ...], room: Bounds) -> Iterator[Item]:
    """Wrapped texts in a box, the first bold, as large as fits from 2.3 mm down."""
    size = 2.3
    weights: list[Weight] = ["regular"] * len(texts)
    weights[0] = "bold"
    while True:
        blocks = [wrap(text, room.width, size, w) for text, w in zip(texts, weights, strict=True)]
        height = (sum(map(len, blocks)) * LINE_PITCH + 0.4) * size
        if size <= 1.0 or height <= room.height:
            break
        size -= 0.05
    y = room.ymax
    for lines, weight in zip(blocks, weights, strict=True):
        for line in lines:
            yield Text(Point(room.xmin, y - size), line, size, weight=weight)
            y -= size * LINE_PITCH
        y -= size * 0.4


def plain_field_of(paper: Paper) -> Bounds:
    """The part of a plain page between its heading line and its foot line."""
    room = paper.printable
    return Bounds(room.xmin, room.ymin + _FOOT, room.xmax, room.ymax - _HEAD)


def plain_furniture(
    paper: Paper,
    *,
    part: str,
    sheet: str,
    page: int,
    pages: int,
    caution: str = CAUTION,
    fingerprint: str = "",
) -> tuple[Item, ...]:
    """The heading and foot of a plain page: part, what the sheet is, "sheet 2 of 3", caution.

    `fingerprint` is the sign of the file that it was made from, "" for none.
    """
    room = paper.printable
    sign = f"fingerprint {fingerprint} \N{BULLET} " if fingerprint else ""
    place = f"{sign}sheet {page} of {pages}"
    half = room.width / 2 - 2
    head, foot = room.ymax - 6.5, room.ymin + 5.5
    place_width = Text(Point(0, 0), place, 2.0).width
    return (
        Text(Point(room.xmin, head + 2), shortened(part, half, 3.6, "bold"), 3.6, weight="bold"),
        Text(Point(room.xmax, head + 2), sheet, fitted(sheet, half, 2.8), ("right", "baseline")),
        Stroke(Line(Point(room.xmin, head), Point(room.xmax, head)), FRAME),
        Stroke(Line(Point(room.xmin, foot), Point(room.xmax, foot)), RULE),
        Text(
            Point(room.xmin, foot - 3.6),
            caution,
            fitted(caution, room.width - place_width - 4, 2.0),
        ),
        Text(Point(room.xmax, foot - 3.6), place, 2.0, ("right", "baseline")),
    )


# --- check bars: lengths to measure on the print before any steel is cut ----------------------

_END_TICK = 3.0
_TICK = 1.6
_LABEL = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A bar's true length in mm, its label, and how many equal divisions it is ticked into."""

    length: float
    label: str
    divisions: int


FOUR_INCH = Bar(length=101.6, label="4 in", divisions=8)
"""Four inches in half inches."""

HUNDRED_MM = Bar(length=100.0, label="100 mm", divisions=10)
"""A hundred millimetres in centimetres."""

BAR_ROOM = _TICK + 0.8 + _LABEL
"""How far a bar and its label reach to the left of its line, mm."""


def check_bar(bar: Bar, start: Point, direction: Vector) -> Group:
    """A bar from `start` along a unit direction, ticks and label to its left.

    Its true length runs between the middles of its two long ticks.
    """
    return Group(Motion.frame(start, direction), _bar(bar))


@lru_cache(maxsize=2)
def _bar(bar: Bar) -> tuple[Item, ...]:
    items: list[Item] = [Stroke(Line(Point(0.0, 0.0), Point(bar.length, 0.0)), BAR)]
    for index in range(bar.divisions + 1):
        x = bar.length * index / bar.divisions
        height = _END_TICK if index in (0, bar.divisions) else _TICK
        items.append(Stroke(Line(Point(x, 0.0), Point(x, height)), BAR))
    at = Point(bar.length / 2, _TICK + 0.8)
    words = f"{bar.label} between the long ticks"
    items.append(Text(at, words, _LABEL, ("middle", "baseline")))
    return tuple(items)
