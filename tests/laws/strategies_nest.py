"""Parts, sheets and rules for nests, and a judge of nests that shares no code with the nesting."""

from __future__ import annotations

import math
from collections import Counter
from itertools import combinations
from typing import get_args

import shapely
from hypothesis import strategies as st

from platewright.geometry.build import obround, rectangle, rounded_polygon
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Point
from platewright.nest.layout import (
    Grain,
    Laid,
    Nest,
    NestedSheet,
    NestPart,
    NestRules,
    Sheet,
    rectangle_sheet,
)
from platewright.plate.bracket import Bracket, Cutout, Hole, Panel
from platewright.plate.piece import Piece, pieces_of
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.cutting import Cutting, torch_plan

STOCK = Stock(5.0, MATERIALS["A36"])
#: Gaps may fall short by this much, mm: chords of the judge, and an exact fit that is a fit.
CLOSE = 5e-3


def plain_piece(
    name: str,
    outline: Contour,
    *,
    holes: tuple[Hole, ...] = (),
    cutouts: tuple[Cutout, ...] = (),
) -> Piece:
    """A flat part."""
    panel = Panel(name="plate", contour=outline, holes=holes, cutouts=cutouts)
    (piece,) = pieces_of(name, "as drawn", Bracket(stock=STOCK, root=panel))
    return piece


def part_of(piece: Piece, count: int = 1, cutting: Cutting | None = None) -> NestPart:
    """A part with the torch plan of its piece; cut without a kerf unless told otherwise."""
    how = cutting or Cutting(kerf=0.0)
    plan = torch_plan(piece.blank, piece.bracket.stock.thickness, how)
    return NestPart(piece=piece, torch=plan, count=count)


def box(width: float, height: float) -> Contour:
    """An upright rectangle at the origin."""
    return rectangle(Bounds(0.0, 0.0, width, height))


def ell(width: float, height: float, leg: float, radius: float = 0.0) -> Contour:
    """An L with legs of one width, its inner corner rounded."""
    corners = [(0, 0), (width, 0), (width, leg), (leg, leg), (leg, height), (0, height)]
    points = [Point(float(x), float(y)) for x, y in corners]
    return rounded_polygon(points, [0.0, 0.0, 0.0, radius, 0.0, 0.0])


def frame(width: float, height: float, rim: float) -> tuple[Contour, tuple[Cutout, ...]]:
    """A rectangle with a window."""
    window = rectangle(Bounds(rim, rim, width - rim, height - rim))
    return box(width, height), (Cutout("window", window),)


sizes = st.floats(20, 180)
shares = st.floats(0.2, 0.45)


@st.composite
def pieces(draw: st.DrawFn, name: str) -> Piece:
    """A box, an L, a frame, an obround or a triangle, with a hole in some."""
    width, height, share = draw(sizes), draw(sizes), draw(shares)
    least = min(width, height)
    match draw(st.sampled_from(("box", "ell", "frame", "obround", "triangle"))):
        case "box":
            hole = Hole(what="hole", centre=Point(width / 2, height / 2), diameter=least * share)
            return plain_piece(name, box(width, height), holes=(hole,))
        case "ell":
            return plain_piece(name, ell(width, height, least * share, least * 0.2))
        case "frame":
            outline, window = frame(width, height, least * share / 2)
            return plain_piece(name, outline, cutouts=window)
        case "obround":
            return plain_piece(name, obround(Point(0.0, 0.0), Point(width, 0.0), height / 2))
        case _:
            corners = (Point(0.0, 0.0), Point(width, 0.0), Point(width * share, height))
            return plain_piece(name, Contour.polygon(corners))


cuttings = st.builds(
    Cutting,
    kerf=st.sampled_from((0.0, 0.5, 1.5, 3.0)) | st.floats(0.5, 2.0),
    lead=st.sampled_from(("none", "straight", "arc")),
    lead_length=st.floats(2.0, 8.0),
)


@st.composite
def parts(draw: st.DrawFn) -> list[NestPart]:
    """Up to three parts, each up to four times."""
    cutting = draw(cuttings)
    count = draw(st.integers(1, 3))
    return [
        part_of(draw(pieces(f"part-{i}")), draw(st.integers(1, 4)), cutting) for i in range(count)
    ]


@st.composite
def sheets(draw: st.DrawFn) -> list[Sheet]:
    """New sheets of one size, and perhaps an odd remnant with a hole burnt in it."""
    found = [rectangle_sheet("new", draw(st.floats(280, 600)), draw(st.floats(280, 600)))]
    if draw(st.booleans()):
        found.append(remnant(draw(st.floats(120, 400)), draw(st.floats(0.3, 0.9))))
    return found


def remnant(size: float, share: float) -> Sheet:
    """An L-shaped remnant with a square hole in its corner."""
    outline = ell(size, size * 1.2, size * share)
    cut = size * share / 4
    hole = rectangle(Bounds(cut, cut, 2 * cut, 2 * cut))
    return Sheet(name="remnant", outline=outline, voids=(hole,), count=1, remnant=True)


#: Outlines on one lattice, in units of it: equal edges and 45 degrees, in which no-fit regions
#: share edges and corners; a last one that goes into the others' bays.
LATTICE = (
    ((0, 0), (2, 0), (2, 3), (12, 3), (12, 0), (14, 0), (14, 5), (0, 5)),
    ((0, 6), (6, 0), (12, 6), (6, 12)),
    ((0, 2), (6, 2), (6, 0), (7, 0), (11, 4), (11, 6), (8, 6), (8, 3), (2, 3), (2, 6), (0, 6)),
    (
        *((0, 2), (2, 2), (2, 0), (4, 0), (4, 2), (6, 2)),
        *((6, 4), (4, 4), (4, 6), (2, 6), (2, 4), (0, 4)),
    ),
    ((0, 0), (3, 0), (3, 1), (1, 1), (1, 3), (0, 3)),
    ((0, 0), (2, 0), (2, 2), (0, 2)),
)


def lattice_part(
    index: int, count: int, unit: float = 20.0, cutting: Cutting | None = None
) -> NestPart:
    """One of the lattice's outlines, `unit` mm to a step."""
    outline = Contour.polygon(Point(unit * x, unit * y) for x, y in LATTICE[index])
    return part_of(plain_piece(f"part-{index}", outline), count, cutting)


@st.composite
def lattice_parts(draw: st.DrawFn) -> list[NestPart]:
    """Up to four of the lattice's outlines, some of them many times."""
    cutting, unit = draw(cuttings), draw(st.sampled_from((10.0, 12.7, 20.0)))
    which = draw(st.lists(st.integers(0, len(LATTICE) - 1), min_size=1, max_size=4, unique=True))
    return [lattice_part(i, draw(st.integers(1, 8)), unit, cutting) for i in which]


lattice_sheets = st.builds(
    lambda width, height: [rectangle_sheet("new", width, height)],
    st.sampled_from((400.0, 660.0, 1000.0)),
    st.sampled_from((320.0, 400.0, 660.0)),
)

rules = st.builds(
    NestRules,
    gap=st.sampled_from((0.0, 1.0, 6.35, 10.0, 20.0, 25.0)) | st.floats(0.0, 25.0),
    margin=st.floats(0.0, 12.0),
    grain=st.sampled_from(get_args(Grain)),
    turn_step=st.sampled_from((math.pi / 2, math.pi / 4)),
    seed=st.integers(0, 5),
    tries=st.integers(1, 8),
)


# --- the judge --------------------------------------------------------------------------------


def fine(outline: Contour, holes: list[Contour] | None = None) -> shapely.Polygon:
    """A polygon within a thousandth of a mm of an outline."""
    rings = [[(p.x, p.y) for p in each.flatten(1e-3)] for each in (outline, *(holes or []))]
    return shapely.Polygon(rings[0], rings[1:])


def metal(piece: Piece) -> shapely.Polygon:
    """The metal of a blank."""
    blank = piece.blank
    voids = [hole.circle.contour() for hole in blank.cut_holes]
    return fine(blank.outline, voids + [cut.contour for cut in blank.cutouts])


def cut_lines(laid: Laid) -> shapely.Geometry:
    """The middle of all that the torch burns for a part."""
    runs = [cut.run for cut in laid.torch.cuts]
    runs += [cut.lead.segments for cut in laid.torch.cuts if cut.lead]
    return shapely.union_all(
        [shapely.LineString([(p.x, p.y) for s in run for p in s.flatten(1e-3)]) for run in runs]
    )


def judge(found: Nest, wanted: list[NestPart], rules: NestRules) -> None:
    """Everything that a nest promises, judged on fine polygons."""
    counts = Counter(laid.piece.name for nested in found.sheets for laid in nested.laid)
    assert counts == {part.piece.name: part.count for part in wanted}
    originals = {part.piece.name: part.piece for part in wanted}
    for nested in found.sheets:
        judge_sheet(nested, rules)
        for laid in nested.laid:
            judge_unchanged(laid.piece, originals[laid.piece.name])


def judge_sheet(nested: NestedSheet, rules: NestRules) -> None:
    sheet = fine(nested.sheet.outline, list(nested.sheet.voids))
    metals = [metal(laid.piece) for laid in nested.laid]
    for each in metals:
        assert sheet.covers(each.buffer(-CLOSE))
    for a, b in combinations([each.buffer(-CLOSE) for each in metals], 2):
        assert not a.intersects(b)
    # what is left standing between one torch's cut and the next, and along the edge
    cuts = [(cut_lines(laid), laid.torch.kerf / 2) for laid in nested.laid]
    for line, half in cuts:
        assert sheet.buffer(CLOSE).covers(line)
        assert sheet.boundary.distance(line) - half >= rules.margin - CLOSE
    for (a, half), (b, other) in combinations(cuts, 2):
        assert a.distance(b) - half - other >= rules.gap - CLOSE
    assert math.isclose(nested.used, sum(each.area for each in metals), rel_tol=1e-3)
    assert math.isclose(nested.used + nested.left, sheet.area, rel_tol=1e-3)
    if nested.rest is not None:
        clear = shapely.box(nested.rest.xmin, nested.rest.ymin, nested.rest.xmax, nested.rest.ymax)
        assert sheet.buffer(CLOSE).covers(clear)
        assert all(clear.distance(line) - half >= rules.gap - CLOSE for line, half in cuts)


def judge_unchanged(laid: Piece, original: Piece) -> None:
    """Turned and shifted only: the same lengths in the same order, the same side up."""
    ours, theirs = laid.blank.outline, original.blank.outline
    assert math.isclose(ours.area, theirs.area, rel_tol=1e-9)
    for i, (a, b) in enumerate(zip(ours.corners, theirs.corners, strict=True)):
        for c, d in zip(ours.corners[:i], theirs.corners[:i], strict=True):
            assert math.isclose(a.distance(c), b.distance(d), rel_tol=1e-9, abs_tol=1e-9)
