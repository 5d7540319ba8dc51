"""Measured on the print against what the tape said: holes on two pages, laid together by marks.

The figures are a seat's own measurements (bolt spacing, distance to the wall); what a print must
show is those lengths, by the definition of full scale (1 in = 25.4 mm, 1 pt = 1/72 in, ISO 32000-1
8.3.2.3). The picture is made by a renderer that has nothing to do with the writer.
"""

from itertools import pairwise

import pytest

from edges.ink import around, rendered
from laws.example_pieces import SEAT, seat_piece
from platewright.drawing.items import Clip, Stroke, bounds, marks
from platewright.drawing.style import ALIGN
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Motion, Point, Vector
from platewright.sheets.template import top_pages

TRUE = 0.15
CROSS = 3.0  # how far a hole's cross reaches beyond its circle, mm
SPACINGS = (70.0, 4.5 * 25.4)


class Print:
    """One rendered page and what part of the pattern it shows."""

    def __init__(self, page):
        (self.share,) = (item for item in page.items if isinstance(item, Clip))
        self.ink = rendered(page)

    def shows(self, at, reach):
        """Whether a place of the pattern is on this page with `reach` mm round it."""
        box = around(at, reach, reach)
        return self.share.window.union(box) == self.share.window

    def found(self, at, x, y):
        """The middle of the ink near a place of the pattern, where it lies on the print."""
        return self.ink.centre(around(self.share.motion.point(at), x, y))

    def mark_places(self):
        """Where the pattern has alignment marks that show here."""
        diamonds = [
            bounds([mark]).centre
            for mark in marks(self.share.items)
            if isinstance(mark, Stroke)
            and mark.style == ALIGN
            and isinstance(mark.shapes[0], Contour)
        ]
        return {at for at in diamonds if self.shows(at, 3.9)}

    def hole(self, hole):
        """The middle of a hole on the print, from the four ends of its cross."""
        r = hole.diameter / 2 + CROSS / 2
        east, west = (self.found(hole.centre + Vector(x, 0), 0.5, 1.0) for x in (r, -r))
        north, south = (self.found(hole.centre + Vector(0, y), 1.0, 0.5) for y in (r, -r))
        return Point((north.x + south.x) / 2, (east.y + west.y) / 2)


def laid_on(first, second):
    """The motion that lays the second print's two shared marks on the first's."""
    shared = sorted(first.mark_places() & second.mark_places(), key=lambda p: (p.x, p.y))
    assert len(shared) == 2
    (a1, a2), (b1, b2) = ([page.found(at, 3.8, 3.8) for at in shared] for page in (first, second))
    assert b1.distance(b2) == pytest.approx(a1.distance(a2), abs=TRUE)
    turn = (a2 - a1).angle - (b2 - b1).angle
    turned = Motion.rotation(turn, b1)
    return Motion.translation(a1 - b1) @ turned


def bolt_holes(piece):
    return [hole for hole in piece.blank.holes if hole.role == "bolt"]


@pytest.mark.parametrize("spacing", SPACINGS)
@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_bolts_on_two_pages_stand_as_far_apart_as_they_were_measured(spacing, paper):
    bolts = SEAT.bolts.__class__(
        count=2, spacing=spacing, size=SEAT.bolts.size, fit="normal", turn=0.0
    )
    piece = seat_piece(bolts=bolts, port=None)
    prints = [Print(page) for page in top_pages(piece, "mm", paper)]
    right, left = bolt_holes(piece)
    apart = [
        (a, b)
        for a, b in pairwise(prints)
        if a.shows(left.centre, 9) and b.shows(right.centre, 9) and not a.shows(right.centre, -6)
    ]
    assert apart, "the bolts should lie on either side of a seam"
    first, second = apart[0]
    there = laid_on(first, second).point(second.hole(right))
    assert first.hole(left).distance(there) == pytest.approx(spacing, abs=TRUE)


@pytest.mark.parametrize("paper", ["letter", "A4", "single"])
def test_a_hole_stands_as_far_from_the_wall_edge_as_it_was_measured(paper):
    piece = seat_piece(port=None)
    for page in top_pages(piece, "mm", paper):
        printed = Print(page)
        for hole in bolt_holes(piece):
            foot = Point(hole.centre.x + 8.0, -100.0)
            if printed.shows(hole.centre, 9) and printed.shows(foot, 4):
                # the hatching lies below the wall edge, so look at the line alone
                edge = printed.found(foot + Vector(0, 0.1), 0.3, 0.34)
                assert printed.hole(hole).y - edge.y == pytest.approx(100.0, abs=TRUE)
