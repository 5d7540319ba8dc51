"""Alignment: how the pages of a tiled pattern find each other again.

Where two pages share a lap, two marks stand at the very same points of the pattern on both, and
each page says which border is trimmed and where it is laid.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from string import ascii_uppercase

from platewright.drawing.free_space import Box, StraightInk
from platewright.drawing.items import Across, Along, Fill, Item, Stroke, Text, bounds
from platewright.drawing.style import ALIGN, OVERLAP
from platewright.geometry.contour import Contour
from platewright.geometry.meeting import Rectangles
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Line
from platewright.sheets.tiling import Tile, Tiling
from platewright.values import dataclass

_REACH = 3.5  # half a diamond's diagonal, mm
_CLEAR = 1.5  # between a mark and other ink, where there is a choice, mm
_LABEL = 2.5
_SMALL = 1.8
_BESIDE: tuple[Along, Across] = ("left", "middle")
_ABOVE: tuple[Along, Across] = ("middle", "baseline")
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

    @property
    def middle(self) -> Line:
        """The band's middle line, from below or from the left."""
        box, at = self.band, self.band.centre
        if self.upright:
            return Line(Point(at.x, box.ymin), Point(at.x, box.ymax))
        return Line(Point(box.xmin, at.y), Point(box.xmax, at.y))


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


def align_marks(ink: StraightInk, tiling: Tiling) -> tuple[AlignMark, ...]:
    """Two marks for every pair of neighbouring pages, clear of the ink where they can be.

    Seams are lettered, their two marks numbered 1 and 2.
    """
    marks: list[AlignMark] = []
    asked: list[_Asked] = []
    for index, seam in enumerate(seams(tiling)):
        for number, shares in enumerate((_LOWER, _UPPER), start=1):
            mark = AlignMark(Point(0.0, 0.0), f"{seam_letters(index)}{number}", seam.upright)
            marks.append(mark)
            asked.append((bounds(align_mark(mark)).grown(_CLEAR), seam.middle, shares))
    places = _clearest(ink, asked)
    return tuple(replace(mark, at=at) for mark, at in zip(marks, places, strict=True))


_Asked = tuple[Bounds, Line, tuple[float, ...]]
"""A box about (0, 0), and where on a line it may be set, as shares of that, the best first."""


def _clearest(
    ink: StraightInk, asked: Sequence[_Asked], window: Bounds | None = None
) -> list[Point]:
    """For each box the first of its places where it covers fewest lines.

    With a window, of those where it stands whole in it, if there are any.
    """
    import numpy as np

    # in plain figures: there are hundreds of places
    figures: list[tuple[float, float, float, float]] = []
    for box, line, shares in asked:
        at, begin, end, width, height = box.centre, line.start, line.end, box.width, box.height
        x, y, dx, dy = at.x + begin.x, at.y + begin.y, end.x - begin.x, end.y - begin.y
        figures += [(x + dx * share, y + dy * share, width, height) for share in shares]
    boxes = Rectangles.level(*np.array(figures, dtype=float).reshape(-1, 4).T)
    covered = ink.lines.counts(boxes).astype(float)
    if window is not None:
        xmin, ymin, xmax, ymax = boxes.bounds
        covered[(xmin < window.xmin) | (window.xmax < xmax)] = math.inf
        covered[(ymin < window.ymin) | (window.ymax < ymax)] = math.inf
    found, first = [], 0
    for _, line, shares in asked:
        best = int(covered[first : first + len(shares)].argmin())
        found.append(line.point_at(shares[best]))
        first += len(shares)
    return found


def seam_letters(index: int) -> str:
    """A, B, ... Z, AA, AB, ... for 0, 1, ..."""
    before, letter = divmod(index, 26)
    return (seam_letters(before - 1) if before else "") + ascii_uppercase[letter]


def align_mark(mark: AlignMark) -> tuple[Item, ...]:
    """A crossed diamond with two quarters filled and its label beside it, within the lap.

    A diamond, so that nobody takes it for a hole.
    """
    p, r = mark.at, _REACH
    east, north = p + Vector(r, 0.0), p + Vector(0.0, r)
    west, south = p + Vector(-r, 0.0), p + Vector(0.0, -r)
    at, anchor = east + Vector(0.8, 0.0), _BESIDE
    if mark.upright:
        at, anchor = north + Vector(0.0, 0.8), _ABOVE
    return (
        Stroke(Contour.polygon((east, north, west, south)), ALIGN),
        Stroke((Line(west, east), Line(south, north)), ALIGN),
        Fill((Contour.polygon((p, east, north)), Contour.polygon((p, west, south)))),
        Text(at, mark.label, _LABEL, anchor, weight="bold"),
    )


def lap_notes(ink: StraightInk, tiling: Tiling, tile: Tile) -> tuple[Item, ...]:
    """What one page says of its laps: where a later page's edge lies, which borders to trim.

    The later page (right, below) lies on top, trimmed along its border. `ink` is that of the
    pattern and of the marks. Words stand whole on the page.
    """
    told: list[tuple[Line, str, Seam]] = []
    asked: list[_Asked] = []
    for seam in seams(tiling):
        if tile not in (seam.first, seam.second):
            continue
        box = seam.band
        top = Point(box.xmin, box.ymax)
        border = Line(top, Point(box.xmin, box.ymin) if seam.upright else Point(box.xmax, box.ymax))
        words = f"trim here, lay on page {seam.first.number}"
        if tile == seam.first:
            words = f"edge of page {seam.second.number} lies on this line"
        anywhere = _note(Point(0.0, 0.0), words, upright=seam.upright)
        asked.append((Box.round_text(anywhere, _OFF_LINE / 2).bounds, border, _WORDS))
        told.append((border, words, seam))
    notes: list[Item] = []
    for at, (border, words, seam) in zip(_clearest(ink, asked, tile.window), told, strict=True):
        notes += [Stroke(border, OVERLAP)] if tile == seam.first else []
        notes.append(_note(at, words, upright=seam.upright))
    return tuple(notes)


def _note(at: Point, words: str, *, upright: bool) -> Text:
    if upright:
        beside = at + Vector(_OFF_LINE, 0.0)
        return Text(beside, words, _SMALL, ("middle", "baseline"), -math.pi / 2)
    return Text(at + Vector(0.0, -_OFF_LINE), words, _SMALL, ("middle", "top"))
