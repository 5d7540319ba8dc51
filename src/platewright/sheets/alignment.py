"""Alignment: how the pages of a tiled pattern find each other again.

Where two pages share a lap, two marks stand at the very same points of the pattern on both, and
each page says which border is trimmed and where it is laid.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_uppercase

from platewright.drawing.free_space import Box, FreeSpace, Spot
from platewright.drawing.items import Fill, Item, Stroke, Text, bounds
from platewright.drawing.style import ALIGN, OVERLAP
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Line
from platewright.geometry.shape_tree import ShapeTree
from platewright.sheets.tiling import Tile, Tiling

_REACH = 3.5  # half a diamond's diagonal, mm
_CLEAR = 1.5  # between a mark and other ink, where there is a choice, mm
_LABEL = 2.5
_SMALL = 1.8
_OFF_LINE = 1.6  # from a border to words along it, mm

# fractions of a seam to try, the favourite first; the ends belong to the crossing laps
_LOWER = (0.22, 0.26, 0.18, 0.30, 0.34, 0.14, 0.38, 0.42)
_UPPER = tuple(1 - fraction for fraction in _LOWER)
_WORDS = tuple(0.5 + side * step / 40 for step in range(19) for side in (-1, 1))


@dataclass(frozen=True, slots=True)
class Seam:
    """Two neighbouring tiles and the band of the pattern that both carry.

    `upright` when the pages lie side by side, so that the band stands up.
    """

    first: Tile
    second: Tile
    band: Bounds
    upright: bool

    def along(self, fraction: float) -> Point:
        """The point on the band's middle line at a fraction of it, from below or from the left."""
        box, middle = self.band, self.band.centre
        if self.upright:
            return Point(middle.x, box.ymin + fraction * box.height)
        return Point(box.xmin + fraction * box.width, middle.y)


def seams(tiling: Tiling) -> tuple[Seam, ...]:
    """Every pair of neighbouring tiles, in reading order of the first, right before below."""
    found: list[Seam] = []
    for tile in tiling.tiles:
        w = tile.window
        if right := tiling.at(tile.row, tile.column + 1):
            band = Bounds(w.xmax - tiling.lap, w.ymin, w.xmax, w.ymax)
            found.append(Seam(tile, right, band, upright=True))
        if below := tiling.at(tile.row + 1, tile.column):
            band = Bounds(w.xmin, w.ymin, w.xmax, w.ymin + tiling.lap)
            found.append(Seam(tile, below, band, upright=False))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class AlignMark:
    """A mark that two pages have in common: where it lies on the pattern, and its label."""

    at: Point
    label: str
    upright: bool


def align_marks(ink: ShapeTree, tiling: Tiling) -> tuple[AlignMark, ...]:
    """Two marks for every pair of neighbouring pages, clear of the ink where they can be.

    Seams are lettered, their two marks numbered 1 and 2.
    """
    free = FreeSpace(ink)
    return tuple(
        _clearest_mark(free, seam, f"{seam_letters(index)}{number}", fractions)
        for index, seam in enumerate(seams(tiling))
        for number, fractions in enumerate((_LOWER, _UPPER), start=1)
    )


def _clearest_mark(
    free: FreeSpace, seam: Seam, label: str, fractions: Sequence[float]
) -> AlignMark:
    choice = [AlignMark(seam.along(fraction), label, seam.upright) for fraction in fractions]
    boxes = [bounds(align_mark(mark)).grown(_CLEAR) for mark in choice]
    spots = {Spot(box.centre): mark for box, mark in zip(boxes, choice, strict=True)}
    found = free.best((boxes[0].width, boxes[0].height), spots, over_line=1)
    return spots[found[1]] if found else choice[0]


def seam_letters(index: int) -> str:
    """A, B, ... Z, AA, AB, ... for 0, 1, ..."""
    letters = ""
    index += 1
    while index:
        index, letter = divmod(index - 1, 26)
        letters = ascii_uppercase[letter] + letters
    return letters


def align_mark(mark: AlignMark) -> tuple[Item, ...]:
    """A crossed diamond with two quarters filled and its label beside it, within the lap.

    A diamond, so that nobody takes it for a hole.
    """
    p, r = mark.at, _REACH
    east, north = p + Vector(r, 0.0), p + Vector(0.0, r)
    west, south = p + Vector(-r, 0.0), p + Vector(0.0, -r)
    quarters = (Contour.polygon((p, east, north)), Contour.polygon((p, west, south)))
    return (
        Stroke(Contour.polygon((east, north, west, south)), ALIGN),
        Stroke((Line(west, east), Line(south, north)), ALIGN),
        *(Fill((quarter,)) for quarter in quarters),
        _mark_label(mark),
    )


def _mark_label(mark: AlignMark) -> Text:
    if mark.upright:
        above = mark.at + Vector(0.0, _REACH + 0.8)
        return Text(above, mark.label, _LABEL, ("middle", "baseline"), weight="bold")
    beside = mark.at + Vector(_REACH + 0.8, 0.0)
    return Text(beside, mark.label, _LABEL, ("left", "middle"), weight="bold")


def lap_notes(ink: ShapeTree, tiling: Tiling, tile: Tile) -> tuple[Item, ...]:
    """What one page says of its laps: where a later page's edge lies, which borders to trim.

    The later page (right, below) lies on top, trimmed along its border. `ink` is that of the
    pattern and of the marks. Words stand whole on the page.
    """
    free = FreeSpace(ink, windows=(tile.window,))
    notes: list[Item] = []
    for seam in seams(tiling):
        if tile == seam.first:
            notes.append(Stroke(_seam_line(seam), OVERLAP))
        if tile in (seam.first, seam.second):
            notes.append(_seam_note(seam, tile, free))
    return tuple(notes)


def _seam_note(seam: Seam, tile: Tile, free: FreeSpace) -> Text:
    line, words = _seam_line(seam), _seam_words(seam, tile)
    notes = [_note(line.point_at(share), words, upright=seam.upright) for share in _WORDS]
    boxes = [Box.round_text(note, _OFF_LINE / 2) for note in notes]
    spots = {Spot(box.centre, box.angle): note for box, note in zip(boxes, notes, strict=True)}
    size = (2 * boxes[0].half_along, 2 * boxes[0].half_across)
    found = free.best(size, spots, over_line=1)
    return spots[found[1]] if found else notes[0]


def _seam_line(seam: Seam) -> Line:
    """Where the later page's border lies."""
    box = seam.band
    top = Point(box.xmin, box.ymax)
    return Line(top, Point(box.xmin, box.ymin) if seam.upright else Point(box.xmax, box.ymax))


def _seam_words(seam: Seam, tile: Tile) -> str:
    if tile == seam.first:
        return f"edge of page {seam.second.number} lies on this line"
    return f"trim here, lay on page {seam.first.number}"


def _note(at: Point, words: str, *, upright: bool) -> Text:
    if upright:
        return Text(
            at + Vector(_OFF_LINE, 0.0), words, _SMALL, ("middle", "baseline"), -math.pi / 2
        )
    return Text(at + Vector(0.0, -_OFF_LINE), words, _SMALL, ("middle", "top"))
