"""Measurements of every kind, with sizes that mostly make a bracket, and features put on them."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from hypothesis import reject
from hypothesis import strategies as st

from laws.strategies_bracket import degrees, directions, lengths, score_folds
from platewright.errors import BuildError, UnitError
from platewright.geometry.segment import Arc
from platewright.kinds import (
    angle,
    channel,
    clevis,
    gusset,
    hat,
    stepped,
    strap,
    tab,
    tray,
    zee,
)
from platewright.kinds.holes import BoltRow, HoleRow
from platewright.kinds.kind import Kind
from platewright.kinds.making import make_bracket
from platewright.kinds.panels_measurements import BentFrom, FreePanel, Panels, Treated
from platewright.measure import fields_of
from platewright.measurement import Measure
from platewright.plate.bend import BendWay, Brake, Crease
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.hardware import parse_bolt_size

faces = st.sampled_from(["outside", "inside", "centre"])
stocks = st.builds(Stock, lengths(1, 6), st.just(MATERIALS["A36"]))
legs = lengths(45, 200)
folds = degrees(5, 170)
SMALL = parse_bolt_size("M5", "mm")


def ways(thickness: float) -> st.SearchStrategy[BendWay]:
    """Ways whose bends are small beside the legs."""
    brakes = st.builds(
        Brake, lengths(0.2, 2).map(lambda share: share * thickness), lengths(0.3, 0.5)
    )
    return st.one_of(score_folds(thickness), brakes, st.just(Crease()))


rows = st.one_of(
    st.none(),
    st.builds(HoleRow, count=st.just(2), spacing=lengths(12, 20), size=st.just(SMALL)),
    st.builds(HoleRow, count=st.just(1), gauge=st.none(), size=st.just(SMALL)),
)
bolt_rows = st.builds(BoltRow, count=st.just(2), spacing=lengths(12, 20), size=st.just(SMALL))


# --- strips -----------------------------------------------------------------------------------

channels = st.builds(
    channel.Channel,
    measured_to=faces,
    web=legs,
    left_flange=legs,
    right_flange=legs,
    width=legs,
    left_angle=folds,
    right_angle=folds,
    direction=directions,
    web_holes=rows,
    left_holes=rows,
    right_holes=rows,
)
zees = st.builds(
    zee.Zee,
    measured_to=faces,
    web=legs,
    left_flange=legs,
    right_flange=legs,
    width=legs,
    angle=folds,
    direction=directions,
    left_holes=rows,
    right_holes=rows,
)
hats = st.builds(
    hat.Hat,
    measured_to=faces,
    top=legs,
    side=legs,
    left_foot=legs,
    right_foot=legs,
    width=legs,
    angle=folds,
    top_holes=rows,
    foot_holes=rows,
)


@st.composite
def steppeds(draw: st.DrawFn) -> stepped.Stepped:
    """Two to five legs, bent any way."""
    count = draw(st.integers(2, 5))
    bends = [*draw(st.lists(folds, min_size=count - 1, max_size=count - 1)), None]
    return stepped.Stepped(
        measured_to=draw(faces),
        width=draw(legs),
        held=draw(st.integers(1, count)),
        leg=tuple(
            stepped.Step(length=draw(legs), bend=bend, direction=draw(directions), holes=draw(rows))
            for bend in bends
        ),
    )


@st.composite
def straps(draw: st.DrawFn) -> strap.Strap:
    """Straps round tanks much larger than their bends."""
    diameter, wrap = draw(lengths(80, 400)), draw(degrees(60, 180))
    height = diameter * draw(lengths(0.4, 1))
    lean, radius = wrap / 2, diameter / 2
    straight = (height + radius * math.cos(lean)) / math.sin(lean)
    corner = radius * math.sin(lean) + straight * math.cos(lean)
    return strap.Strap(
        diameter=diameter,
        liner=draw(st.sampled_from([0.0, 3.0])),
        centre_height=height,
        wrap=wrap,
        bends=draw(st.integers(1, 12)),
        middle=draw(st.sampled_from(["rolled", "faceted"])),
        span=2 * (corner + draw(lengths(40, 80))),
        beyond=draw(lengths(12, 30)),
        width=draw(lengths(30, 60)),
        bolts=draw(bolt_rows),
    )


# --- the others -------------------------------------------------------------------------------

end_gussets = st.one_of(
    st.none(),
    st.builds(angle.EndGusset, reach=lengths(35, 120), height=lengths(25, 60), nose=lengths(0, 20)),
)
angles = st.builds(
    angle.Angle,
    measured_to=faces,
    shelf=lengths(60, 200),
    upright=lengths(90, 200),
    width=lengths(80, 200),
    angle=degrees(60, 110),
    direction=directions,
    shelf_holes=rows,
    upright_holes=rows,
    left=end_gussets,
    right=end_gussets,
)
trays = st.builds(
    tray.Tray,
    measured_to=faces,
    length=lengths(90, 300),
    width=lengths(90, 300),
    depth=lengths(30, 60),
    front_depth=st.one_of(st.none(), lengths(30, 60)),
    left_depth=st.one_of(st.none(), lengths(30, 60)),
    angle=degrees(30, 120),
    direction=directions,
    corners=st.sampled_from(["closed", "open"]),
    gap=lengths(0.5, 2),
)
tabs = st.builds(
    tab.Tab,
    pin_height=lengths(50, 150),
    pin=lengths(6, 20),
    end_radius=lengths(14, 30),
    width=lengths(35, 120),
    foot=st.one_of(
        st.none(),
        st.builds(tab.Foot, length=legs, angle=degrees(30, 120), direction=directions, holes=rows),
    ),
)
clevises = st.builds(
    clevis.Clevis,
    jaw=lengths(40, 120),
    pin_height=lengths(50, 150),
    pin=lengths(6, 20),
    end_radius=lengths(14, 30),
    width=lengths(35, 120),
    direction=directions,
    base_holes=st.one_of(st.none(), bolt_rows),
)
returns = st.one_of(st.none(), st.builds(gusset.Return, width=legs, holes=rows))
gussets = st.builds(
    gusset.Gusset,
    base=lengths(110, 300),
    upright=lengths(110, 300),
    corner_angle=degrees(50, 130),
    clip=lengths(22, 35),
    nose=lengths(10, 20),
    direction=directions,
    base_flange=returns,
    upright_flange=returns,
    lip=st.one_of(st.none(), lengths(25, 40)),
)

KINDS: dict[str, tuple[Kind, st.SearchStrategy[Any]]] = {
    "angle": (angle.KIND, angles),
    "channel": (channel.KIND, channels),
    "clevis": (clevis.KIND, clevises),
    "gusset": (gusset.KIND, gussets),
    "hat": (hat.KIND, hats),
    "stepped": (stepped.KIND, steppeds()),
    "strap": (strap.KIND, straps()),
    "tab": (tab.KIND, tabs),
    "tray": (tray.KIND, trays),
    "zee": (zee.KIND, zees),
}
"""Every kind with sizes of its own, and a strategy for its measurements."""


def built(kind: Kind, measurements: Any, stock: Stock, way: BendWay) -> Bracket:
    """The bracket, or another draw when these measurements make none."""
    try:
        return make_bracket(kind, measurements, stock, way)
    except BuildError:
        reject()


@st.composite
def made(draw: st.DrawFn, name: str) -> tuple[Any, Stock, BendWay, Bracket]:
    """Measurements of a kind, stock, way of bending and the bracket they make."""
    kind, strategy = KINDS[name]
    stock = draw(stocks)
    way, measurements = draw(ways(stock.thickness)), draw(strategy)
    return measurements, stock, way, built(kind, measurements, stock, way)


@st.composite
def kind_brackets(draw: st.DrawFn) -> Bracket:
    """A bracket of any of these kinds."""
    return draw(made(draw(st.sampled_from(sorted(KINDS)))))[3]


# --- any bracket as free panels ---------------------------------------------------------------


def as_panels(bracket: Bracket) -> Panels:
    """A bracket's panels drawn out, corner by corner."""
    return Panels(
        drawn_to="flat",
        wall=bracket.wall,
        panel=tuple(_free_panels(bracket.root, None, None)),
    )


def _free_panels(panel: Panel, bend: Bend | None, parent: Panel | None) -> Any:
    held = None
    if bend is not None and parent is not None:
        held = BentFrom(
            panel=parent.name,
            edge=bend.edge,
            base=bend.base,
            start=bend.start,
            end=bend.end,
            angle=bend.angle,
            direction=bend.direction,
        )
    yield _free_panel(panel, held)
    for child in panel.bends:
        yield from _free_panels(child.panel, child, panel)


def _free_panel(panel: Panel, held: BentFrom | None) -> FreePanel:
    names = {index: name for name, index in panel.edges}
    segments = panel.contour.segments
    return FreePanel(
        name=panel.name,
        bent_from=held,
        points=tuple((segment.start.x, segment.start.y) for segment in segments),
        edges=tuple(names.get(index, "") for index in range(len(segments))),
        corner=tuple(
            Treated(at=n, rise=s.start.distance(s.end) / 2 * math.tan(s.sweep / 4))
            for n, s in enumerate(segments, 1)
            if isinstance(s, Arc)
        ),
    )


def bare(bracket: Bracket) -> Bracket:
    """The bracket without holes, marks and checks."""
    return replace(bracket, root=_bare(bracket.root), dimensions=())


def _bare(panel: Panel) -> Panel:
    bends = tuple(replace(bend, panel=_bare(bend.panel)) for bend in panel.bends)
    return replace(panel, bends=bends, holes=(), cutouts=(), marks=())


# --- anything that a file may say -------------------------------------------------------------


@st.composite
def anything(draw: st.DrawFn, declared: type) -> Any:
    """A value of a declared class with every field anywhere within its limits."""
    fields = dict(fields_of(declared))
    values = {
        name: draw(anything_of(told))
        for name, told in fields.items()
        if not told.optional or draw(st.booleans())
    }
    for _ in range(6):
        made = declared(**values)
        problems = list(made.problems()) if hasattr(made, "problems") else []
        if not problems:
            return made
        for key, _words in problems:
            _mended(draw, key.partition(".")[0].partition("[")[0], fields, values)
    return reject()


def _mended(draw: st.DrawFn, name: str, fields: Any, values: dict[str, Any]) -> None:
    """Leave out an optional value that is in the way, or draw another."""
    if values.get(name) is not None and fields[name].optional:
        del values[name]
    else:
        values[name] = draw(anything_of(fields[name]))


def anything_of(told: Measure) -> st.SearchStrategy[Any]:
    """Values that one measurement allows; lengths mostly of a hand's size."""
    inside = told.inside
    low, high = told.minimum, told.maximum
    match told.quantity:
        case "table" if inside:
            return anything(inside)
        case "rows" if inside:
            return st.lists(anything(inside), min_size=int(low or 0), max_size=4).map(tuple)
        case "pairs":
            point = st.tuples(lengths(-100, 100), lengths(-100, 100))
            return st.lists(point, min_size=int(low or 0), max_size=6).map(tuple)
        case "length":
            hand = lengths(max(low or 0.0, 0.0), min(high or 300.0, 300.0))
            return st.one_of(hand, hand, st.sampled_from([low or 0.0, high or 300.0]))
        case "angle" | "factor":
            return st.floats(low or 0.0, high or 1.0)
        case "count":
            return st.integers(int(low or 0), min(int(high or 8), 8))
        case "choice":
            return st.sampled_from(told.choices)
        case "flag":
            return st.booleans()
    words = ("base", "end", "front side", "left end", "edge", "plate", "3/8", "a, b, c, d", "")
    return st.sampled_from(words).map(lambda word: _read(told, word))


def _read(told: Measure, word: str) -> Any:
    try:
        return told.value(word, "in")
    except UnitError:
        return told.value(str(told.example or told.default or "base"), "in")
