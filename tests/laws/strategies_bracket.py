"""Generated brackets: trees of rectangular panels, and seats of every option."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

from hypothesis import reject
from hypothesis import strategies as st

from platewright.errors import BuildError
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point
from platewright.kinds import seat as kind
from platewright.kinds import seat_measurements as measured
from platewright.plate.bend import BendWay, Brake, Crease, ScoreFold
from platewright.plate.bracket import Bend, Bracket, Hole, Panel
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.hardware import parse_bolt_size, parse_port_size


def lengths(least: float, most: float) -> st.SearchStrategy[float]:
    """Lengths between two bounds, mm, to a thousandth: no subnormal slivers."""
    return st.integers(round(least * 1000), round(most * 1000)).map(lambda n: n / 1000)


def degrees(least: float, most: float) -> st.SearchStrategy[float]:
    """Angles between two bounds given in degrees, radians."""
    return st.integers(round(least * 100), round(most * 100)).map(lambda n: math.radians(n / 100))


amounts = st.integers(0, 1000).map(lambda n: n / 1000)
materials = st.sampled_from([each for each in MATERIALS.values() if each.carries_load])
stocks = st.builds(Stock, lengths(1, 12), materials)
directions = st.sampled_from(["up", "down"])


@st.composite
def score_folds(draw: st.DrawFn, thickness: float) -> ScoreFold:
    """Grooves at least as wide as their ligament is thick: the inside keeps a radius to 115°."""
    ligament = draw(lengths(0.1, 0.45)) * thickness
    return ScoreFold(groove=ligament * draw(lengths(1.2, 4)), ligament=ligament)


def ways(thickness: float) -> st.SearchStrategy[BendWay]:
    """Every way of making a bend."""
    brakes = st.builds(Brake, lengths(0, 20), lengths(0.25, 0.5))
    return st.one_of(score_folds(thickness), brakes, st.just(Crease()))


# --- trees of rectangles ----------------------------------------------------------------------

FREE = ("right end", "far edge", "left end")
EDGES = (("base", 0), ("right end", 1), ("far edge", 2), ("left end", 3))


def rectangle(
    name: str,
    width: float,
    depth: float,
    *,
    bends: tuple[Bend, ...] = (),
    holes: tuple[Hole, ...] = (),
) -> Panel:
    """A rectangular panel: base along x from the origin, depth along y."""
    corners = [Point(0, 0), Point(width, 0), Point(width, depth), Point(0, depth)]
    return Panel(name=name, contour=Contour.polygon(corners), edges=EDGES, bends=bends, holes=holes)


@st.composite
def bends_on(draw: st.DrawFn, edge: str, length: float, name: str, thickness: float, depth: int,
             way: BendWay | None) -> Bend:  # fmt: skip
    """A rectangle bent from all of an edge, or from a part of it."""
    start = draw(st.sampled_from([0.0, 0.1, 0.25])) * length
    end = draw(st.sampled_from([1.0, 0.9, 0.75])) * length
    whole = start == 0.0 and end == length
    panel = draw(panels(name, end - start, thickness, depth, way))
    return Bend(
        edge=edge,
        panel=panel,
        angle=draw(degrees(1, 135)),
        direction=draw(directions),
        way=way if way is not None else draw(ways(thickness)),
        start=None if whole else start,
        end=None if whole else end,
    )


@st.composite
def panels(draw: st.DrawFn, name: str, width: float, thickness: float, depth: int,
           way: BendWay | None = None, edges: tuple[str, ...] = FREE) -> Panel:  # fmt: skip
    """A rectangle `width` mm wide with panels bent from some of its edges, to a depth."""
    tall = draw(lengths(20, 150))
    lengths_of = {"base": width, "far edge": width, "right end": tall, "left end": tall}
    chosen = [edge for edge in edges if depth > 0 and draw(st.booleans())]
    bends = tuple(
        draw(bends_on(edge, lengths_of[edge], f"{name}.{i}", thickness, depth - 1, way))
        for i, edge in enumerate(chosen, 1)
    )
    hole = Hole(
        what=f"hole of {name}", centre=Point(width / 2, tall / 2), diameter=min(width, tall) / 4
    )
    return rectangle(name, width, tall, bends=bends, holes=(hole,))


@st.composite
def trees(draw: st.DrawFn, way: BendWay | None = None, depth: int = 3) -> Bracket:
    """A bracket of rectangular panels nested to a depth, bent every way."""
    stock = draw(stocks)
    edges = ("base", "right end", "far edge", "left end")
    root = draw(panels("p", draw(lengths(40, 300)), stock.thickness, depth, way, edges))
    return Bracket(stock=stock, root=root)


@st.composite
def brake_trees(draw: st.DrawFn, depth: int = 2) -> Bracket:
    """A tree all of whose bends are of one brake."""
    return draw(trees(Brake(draw(lengths(0, 12)), draw(lengths(0.25, 0.5))), depth))


# --- seats ------------------------------------------------------------------------------------

INCH = 25.4
bolt_sizes = st.sampled_from(["1/4", "3/8", "1/2", "M8", "M12", "hole 0.4 in"]).map(
    lambda text: parse_bolt_size(text, "in")
)
port_sizes = st.sampled_from(["1/4 NPT", "1/2 NPT", "G 1/4", "hole 3/4 in"]).map(
    lambda text: parse_port_size(text, "in")
)


@st.composite
def gussets(draw: st.DrawFn, reach: float) -> measured.SideGusset:
    """A gusset not longer than `reach` mm."""
    return measured.SideGusset(
        reach=draw(lengths(0.4, 1.0)) * reach,
        from_centre=draw(st.none() | lengths(50, 180)),
        taper=draw(degrees(15, 75)),
        fold=draw(degrees(30, 135)),
        direction=draw(directions),
        depth=draw(st.none() | lengths(40, 150)),
        nose=draw(lengths(0, 20)),
    )


@st.composite
def bolts(draw: st.DrawFn) -> measured.Bolts:
    """One to eight bolts."""
    count = draw(st.integers(1, 8))
    return measured.Bolts(
        count=count,
        spacing=None if count == 1 else draw(lengths(40, 90)),
        size=draw(bolt_sizes),
        fit=draw(st.sampled_from(["close", "normal", "loose"])),
        turn=draw(degrees(-180, 180)),
    )


@st.composite
def ports(draw: st.DrawFn) -> measured.Port:
    """A port on either side or undecided."""
    return measured.Port(
        offset=draw(lengths(0, 50)),
        shift=draw(lengths(-30, 30)),
        size=draw(port_sizes),
        side=draw(st.sampled_from(["towards the wall", "away from the wall", "undecided"])),
    )


@st.composite
def seats(draw: st.DrawFn) -> measured.Seat:
    """Measurements of a seat, of every option, that agree with each other one by one."""
    plate = draw(lengths(90, 250))
    body = plate + draw(lengths(0, 80))
    gap = draw(lengths(0, 60))
    by_gap = draw(st.booleans())
    centre = gap + body / 2
    square = draw(st.booleans())
    front = draw(lengths(1.0, 1.6)) * centre + plate / 2 if square else None
    reach = front if front is not None else 2 * centre
    sides = st.none() | gussets(reach)
    return measured.Seat(
        plate_diameter=plate,
        body_diameter=body,
        clearance=draw(lengths(0, 30)),
        wall_gap=gap if by_gap else None,
        centre_distance=None if by_gap else centre,
        plain_side=draw(st.none() | lengths(0.5, 1.0).map(lambda share: share * plate)),
        body_face=draw(st.sampled_from(["top", "underside"])),
        drift=draw(st.none() | lengths(0, 50)),
        bolts=draw(bolts()),
        port=draw(st.none() | ports()),
        left=draw(sides),
        right=draw(sides),
        front=measured.Front(shape="square" if square else "round", length=front),
    )


@st.composite
def seat_brackets(draw: st.DrawFn) -> tuple[measured.Seat, Bracket]:
    """A seat's measurements and its bracket."""
    seat = draw(seats())
    stock = draw(stocks)
    thickness = stock.thickness
    brakes = st.builds(Brake, lengths(0, 12), lengths(0.25, 0.5))
    way = draw(st.one_of(score_folds(thickness), brakes))
    try:
        return seat, kind.KIND.build(seat, stock, way)
    except BuildError:
        reject()


brackets = st.one_of(trees(), seat_brackets().map(lambda pair: pair[1]))
"""Any bracket."""


def turned_over(bracket: Bracket) -> Bracket:
    """The bracket with every bend the other way, up for down."""
    return replace(bracket, root=_other_way(bracket.root))


def _other_way(panel: Panel) -> Panel:
    return replace(
        panel,
        bends=tuple(
            replace(
                bend,
                direction="down" if bend.direction == "up" else "up",
                panel=_other_way(bend.panel),
            )
            for bend in panel.bends
        ),
    )


def holes_apart(panel: Panel) -> bool:
    """Whether a panel's holes lie in it and clear of each other."""
    holes = [hole.circle for hole in panel.holes if hole.cut]
    inside = all(
        panel.contour.contains(c.centre) and panel.contour.distance(c.centre) > c.radius
        for c in holes
    )
    return inside and all(
        a.centre.distance(b.centre) > a.radius + b.radius for a, b in combinations(holes, 2)
    )
