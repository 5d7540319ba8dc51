"""The key drawing of a check sheet: the blank in small with a letter at everything measured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from platewright.drawing.dimensions import centre_lines, dimension
from platewright.drawing.free_space import FreeSpace
from platewright.drawing.items import Item, Stroke, bounds, moved_all
from platewright.drawing.placing import Block, Callout, place_callouts, place_letters
from platewright.drawing.scaling import scaled, scaled_line, scaled_point
from platewright.drawing.spots import along
from platewright.drawing.style import BEND, CENTRE, OUTLINE, LineStyle
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Motion, Point, close
from platewright.plate.bracket import MarkMeaning
from platewright.plate.dimension import OnBlank
from platewright.plate.piece import Piece
from platewright.sheets.figures import dimension_words
from platewright.sheets.pattern import hatched_band
from platewright.sheets.rows import flat_rows
from platewright.units import Unit

LARGEST = 1.0
"""Greatest scale of a key drawing: never larger than life."""

Letters = Sequence[tuple[str, OnBlank]]
"""Places on a blank, each with its letter."""

_SAME = 1e-6  # mm
_RIM = 14.0  # kept round the blank for letters, mm
_CENTRES: Mapping[MarkMeaning, LineStyle] = {"centre": CENTRE}
_FEW = 6  # bends; the names of more are small
_DIMENSIONS = 9.0  # more room at the right and below for the overall sizes, mm


@lru_cache(maxsize=4)
def key_drawing(piece: Piece, unit: Unit, size: tuple[float, float]) -> tuple[Item, ...]:
    """The blank, seen on the top face, drawn to fit a box of `size` mm, with its letters.

    The blank stands about the origin at whatever scale fits. That of a pair's right hand is the
    left one's in a mirror, where its letters are.
    """
    letters, left = flat_rows(piece).places, piece.mirror_of
    if left is not None and _is_image(letters, piece, left):
        return moved_all(key_drawing(left, unit, size), Motion.mirror_x())
    box, rims = piece.blank.bounds, 2 * _RIM + _DIMENSIONS
    factor = min((size[0] - rims) / box.width, (size[1] - rims) / box.height, LARGEST)
    ink = (*small_blank(piece, factor), *_overall(box, unit, factor))
    outline = scaled(piece.blank.outline, factor)
    assert isinstance(outline, Contour)
    centre, x, y = bounds(ink).centre, size[0] / 2, size[1] / 2
    room = Bounds(centre.x - x, centre.y - y, centre.x + x, centre.y + y)
    free = FreeSpace.beside(ink, (room,), outline=outline)
    marks = place_letters(free, [(each, scaled_point(at.at, factor)) for each, at in letters])
    words = place_callouts(marks.free, list(_bend_callouts(piece, factor)))
    return (*ink, *marks.items, *words.items)


def _is_image(letters: Letters, piece: Piece, left: Piece) -> bool:
    """Whether the letters of a right hand are those of the left one, mirrored."""
    image = left.drawing_from_bracket @ Motion.mirror_x() @ piece.drawing_from_bracket.inverse()
    theirs = flat_rows(left).places
    return len(letters) == len(theirs) and all(
        a == b and close(image.point(at.at), there.at, _SAME)
        for (a, at), (b, there) in zip(letters, theirs, strict=True)
    )


def small_blank(
    piece: Piece, factor: float, marks: Mapping[MarkMeaning, LineStyle] = _CENTRES
) -> Iterator[Item]:
    """The lines of a blank drawn small, about the origin; of its marks those of some meanings."""
    blank, wall = piece.blank, piece.straight_wall
    for mark in blank.marks:
        if mark.meaning in marks:
            yield Stroke(scaled(mark.shape, factor), marks[mark.meaning])
    if wall is not None:
        yield hatched_band(scaled_line(wall, factor), 2.2, 1.6)
    yield from (Stroke(scaled_line(bend.line, factor), BEND) for bend in blank.bends)
    for hole in blank.holes:
        circle = Circle(scaled_point(hole.centre, factor), hole.diameter * factor)
        yield from centre_lines(circle, 1.5)
        if hole.cut:
            yield Stroke(circle, OUTLINE)
    yield from (Stroke(scaled(cutout.contour, factor), OUTLINE) for cutout in blank.cutouts)
    yield Stroke(scaled(blank.outline, factor), OUTLINE)


def _overall(box: Bounds, unit: Unit, factor: float) -> Iterator[Item]:
    """The overall sizes, below and at the right."""
    left, right, low, high = (each * factor for each in (box.xmin, box.xmax, box.ymin, box.ymax))
    offset = -_DIMENSIONS
    width, height = (dimension_words(size, unit) for size in (box.width, box.height))
    yield from dimension(Point(left, low), Point(right, low), width, offset=offset)
    yield from dimension(Point(right, low), Point(right, high), height, offset=offset)


def _bend_callouts(piece: Piece, factor: float) -> Iterator[Callout]:
    """The names of the bends; of many, all in one size."""
    few = len(piece.blank.bends) <= _FEW
    for bend in piece.blank.bends:
        line = scaled_line(bend.line, factor)
        block = Block(lines=(f"bend {bend.number}",), size=2.2 if few else 1.8, bold=1)
        # farther off it would be the next line's
        spots, at = along(line, farther=(0.0,)), line.point_at(0.5)
        yield Callout(block=block, spots=spots, at=at, needed=False, shrinks=few)
