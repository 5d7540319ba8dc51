"""The key drawing of a check sheet: the blank in small with a letter at everything measured."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platewright.drawing.dimensions import centre_lines, dimension
from platewright.drawing.free_space import FreeSpace
from platewright.drawing.items import Hatch, Item, Stroke, bounds
from platewright.drawing.placing import Block, Callout, place_callouts, place_letters
from platewright.drawing.scaling import scaled, scaled_line, scaled_point
from platewright.drawing.spots import along
from platewright.drawing.style import BEND, CENTRE, OUTLINE
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Point
from platewright.plate.dimension import OnBlank
from platewright.plate.piece import Piece
from platewright.sheets.figures import dimension_words
from platewright.units import Unit

LARGEST = 1.0
"""Greatest scale of a key drawing: never larger than life."""

_RIM = 14.0  # kept round the blank for letters, mm
_DIMENSIONS = 9.0  # more room at the right and below for the overall sizes, mm


def key_drawing(
    piece: Piece, letters: Sequence[tuple[str, OnBlank]], unit: Unit, size: tuple[float, float]
) -> tuple[Item, ...]:
    """The blank, seen on the top face, drawn to fit a box of `size` mm, with its letters.

    The blank stands about the origin at whatever scale fits.
    """
    factor = _factor(piece.blank.bounds, size)
    ink = tuple(_ink(piece, factor))
    sizes = tuple(_overall(piece.blank.bounds, unit, factor))
    outline = scaled(piece.blank.outline, factor)
    assert isinstance(outline, Contour)
    free = _free_space((*ink, *sizes), outline, size)
    places = [(letter, scaled_point(place.at, factor)) for letter, place in letters]
    marks = place_letters(free, places)
    callouts = [_bend_callout(piece, i, factor) for i in range(len(piece.blank.bends))]
    words = place_callouts(marks.free, callouts)
    return (*ink, *sizes, *marks.items, *words.items)


def _factor(box: Bounds, size: tuple[float, float]) -> float:
    width, height = size[0] - 2 * _RIM - _DIMENSIONS, size[1] - 2 * _RIM - _DIMENSIONS
    return min(width / box.width, height / box.height, LARGEST)


def _ink(piece: Piece, factor: float) -> Iterator[Item]:
    blank = piece.blank
    for mark in blank.marks:
        if mark.meaning == "centre":
            yield Stroke(scaled(mark.shape, factor), CENTRE)
    yield from _wall(piece, factor)
    yield from (Stroke(scaled_line(bend.line, factor), BEND) for bend in blank.bends)
    for hole in blank.holes:
        circle = Circle(scaled_point(hole.centre, factor), hole.diameter * factor)
        yield from centre_lines(circle, 1.5)
        if hole.cut:
            yield Stroke(circle, OUTLINE)
    yield from (Stroke(scaled(cutout.contour, factor), OUTLINE) for cutout in blank.cutouts)
    yield Stroke(scaled(blank.outline, factor), OUTLINE)


def _wall(piece: Piece, factor: float) -> Iterator[Item]:
    wall = piece.straight_wall
    if wall is None:
        return
    edge = scaled_line(wall, factor)
    out = edge.direction.right * 2.0
    band = Contour.polygon((edge.start, edge.start + out, edge.end + out, edge.end))
    yield Hatch((band,), edge.direction.angle + 0.8, 1.6)


def _overall(box: Bounds, unit: Unit, factor: float) -> Iterator[Item]:
    """The overall sizes, below and at the right."""
    left, right, low, high = (each * factor for each in (box.xmin, box.xmax, box.ymin, box.ymax))
    offset = -_DIMENSIONS
    width, height = (dimension_words(size, unit) for size in (box.width, box.height))
    yield from dimension(Point(left, low), Point(right, low), width, offset=offset)
    yield from dimension(Point(right, low), Point(right, high), height, offset=offset)


def _free_space(items: Sequence[Item], outline: Contour, size: tuple[float, float]) -> FreeSpace:
    centre, x, y = bounds(items).centre, size[0] / 2, size[1] / 2
    room = Bounds(centre.x - x, centre.y - y, centre.x + x, centre.y + y)
    return FreeSpace.beside(items, (room,), outline=outline)


def _bend_callout(piece: Piece, index: int, factor: float) -> Callout:
    bend = piece.blank.bends[index]
    line = scaled_line(bend.line, factor)
    block = Block(lines=(f"bend {bend.number}",), size=2.2, bold=1)
    return Callout(block=block, spots=along(line), at=line.point_at(0.5), needed=False)
