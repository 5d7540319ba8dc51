"""Every dimension of generated brackets, held to the DXF beside it folded by other code.

What `--json` tells of a tape's two ends on the blank must fold to what it tells of them on the
part; a place that is on no blank, as the outside of a bend, must lie where the bend's faces put
it; a value is how far apart its ends are; over all is what the folded part spans; and what the file
asks for is what comes.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import Phase, given, reject
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_bracket import lengths, seat_brackets, trees
from laws.strategies_kinds import KINDS, stocks, ways
from platewright.dxf import DxfPiece, dxf_bytes
from platewright.errors import BuildError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line, Segment
from platewright.geometry.shapes import self_crossing
from platewright.kinds.features import Off, RoundHole
from platewright.kinds.making import NO_EXTRAS, Extras, make_bracket
from platewright.kinds.scribe import Scribe
from platewright.plate.bend import BendWay, Brake, Crease, ScoreFold
from platewright.plate.blank import BlankBend, blank_of
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.piece import HANDS, Piece, pieces_of
from platewright.plate.stock import MATERIALS, Stock
from platewright.report.dimensions_json import measured_json
from platewright.shop.cutting import Cutting, torch_plan
from platewright.shop.hardware import parse_bolt_size
from reference.foldback import Array, Bend, Folded, braked, creased, off_plane, read_dxf, scored

MICRON = 2e-6

cards = st.builds(Stock, lengths(0.2, 2), st.just(MATERIALS["card"]))


@dataclass(frozen=True)
class File:
    """What a file says: a kind's measurements and what is put on it; None for any tree."""

    measurements: Any = None
    extras: Extras = NO_EXTRAS

    def number(self, key: str) -> Any:
        """The number at a dotted key such as "left.reach" or "hole[1].measured_from[2]"."""
        steps = re.findall(r"\w+", key)
        value = self.extras if hasattr(self.extras, steps[0]) else self.measurements
        for step in steps:
            value = value[int(step) - 1] if step.isdigit() else getattr(value, step)
        return value


@st.composite
def files(draw: st.DrawFn, name: str) -> tuple[File, Bracket]:
    """A bracket of a kind in plate or card, bare, or with a hole and a scribed edge somewhere."""
    kind, strategy = KINDS[name]
    measurements, stock = draw(strategy), draw(st.one_of(stocks, cards))
    card = stock.material.family == "card"
    way = Crease() if card else draw(ways(stock.thickness))
    bare = File(measurements)
    try:
        bracket = make_bracket(kind, measurements, stock, way)
    except BuildError:
        reject()
    more = File(measurements, draw(extras(bracket)))
    try:
        return more, make_bracket(kind, measurements, stock, way, more.extras)
    except BuildError:
        return bare, bracket


@st.composite
def extras(draw: st.DrawFn, bracket: Bracket) -> Extras:
    """A hole from two edges of a panel, and one of the panel's edges scribed, if it has such."""
    panel = draw(st.sampled_from(list(bracket.root.walk())))
    lines = {name: each for name, i in panel.edges if isinstance(each := segment(panel, i), Line)}
    pairs = [
        pair
        for pair in combinations(sorted(lines), 2)
        if abs(lines[pair[0]].direction.cross(lines[pair[1]].direction)) > 0.3
    ]
    if not pairs:
        return NO_EXTRAS
    offs = tuple(
        Off(edge=edge, distance=draw(lengths(0.3, 0.7)) * across(panel, lines[edge]))
        for edge in draw(st.sampled_from(pairs))
    )
    hole = RoundHole(panel=panel.name, measured_from=offs, size=parse_bolt_size("hole 3 mm", "mm"))
    edge, zero_at = draw(st.permutations(draw(st.sampled_from(pairs))))
    long, joined = lines[edge].length, draw(st.sampled_from(["straight", "smooth"]))
    stations = sorted({round(share * long, 1) for share in draw(shares)})
    readings = tuple((station, draw(lengths(-2, 2))) for station in stations)
    scribe = Scribe(panel=panel.name, edge=edge, zero_at=zero_at, joined=joined, readings=readings)
    return Extras(hole=(hole,), scribe=(scribe,) if draw(st.booleans()) else ())


shares = st.lists(lengths(0.1, 0.9), min_size=2, max_size=4)


def segment(panel: Panel, index: int) -> Segment:
    return panel.contour.segments[index]


def across(panel: Panel, edge: Line) -> float:
    """How far a panel reaches from one of its edges, mm."""
    return max((p - edge.start).dot(edge.direction.left) for p in panel.contour.corners)


def is_sound(bracket: Bracket) -> bool:
    return self_crossing(blank_of(bracket).outline) is None


BRACKETS: dict[str, st.SearchStrategy[tuple[File, Bracket]]] = {
    "any tree": trees(depth=2).filter(is_sound).map(lambda bracket: (File(), bracket)),
    "seat": seat_brackets()
    .filter(lambda pair: is_sound(pair[1]))
    .map(lambda pair: (File(pair[0]), pair[1])),
    **{name: files(name) for name in sorted(KINDS)},
}


def rule(way: BendWay, angle: float, up: bool, thickness: float) -> Bend:
    if isinstance(way, ScoreFold):
        return scored(angle, up, way.groove, way.ligament)
    if isinstance(way, Brake):
        return braked(angle, up, way.radius, way.k, thickness)
    return creased(angle, up)


@dataclass(frozen=True)
class Back:
    """A piece from its DXF, folded; places in its root panel's frame, panels by their names."""

    model: Folded
    numbers: dict[str, int]
    turn: Array
    origin: Array

    def in_root(self, place: Array) -> Array:
        return np.array([*(self.turn @ (place[:2] - self.origin)), place[2]])

    def on_blank(self, place: Array) -> Array:
        return np.array([*(self.turn.T @ place[:2] + self.origin), place[2]])


def folded_back(pieces: tuple[Piece, ...]) -> Iterator[tuple[dict[str, Any], Back]]:
    """What is told of each piece, with its blank as the DXF has it, folded."""
    thickness = pieces[0].bracket.stock.thickness
    plans = [torch_plan(piece.blank, thickness, Cutting(kerf=0.0)) for piece in pieces]
    items = [DxfPiece(piece=p, torch=t) for p, t in zip(pieces, plans, strict=True)]
    flats = read_dxf(dxf_bytes(items, "mm"))
    for piece, flat in zip(pieces, flats, strict=True):
        told = measured_json(piece, {})
        inside = {
            each.panel.name: each.blank_from_panel.point(inner(each.panel.contour))
            for each in piece.blank.panels
        }
        places = {name: np.array([p.x, p.y]) for name, p in inside.items()}
        root = told["root_on_blank"]
        model = Folded(
            flat, thickness, bend_at(piece.blank.bends, thickness), places[root["panel"]]
        )
        x, y = root["x_axis"]
        yield (
            told,
            Back(
                model=model,
                numbers={name: model.panel_at(at) for name, at in places.items()},
                turn=np.array([[x, y], [-y, x]]),
                origin=np.array(root["origin_mm"]),
            ),
        )


def bend_at(bends: tuple[BlankBend, ...], thickness: float) -> Callable[[Array], Bend]:
    """The bend on a line of the DXF, told by where the line's middle is."""

    def found(line: Array) -> Bend:
        def apart(bend: BlankBend) -> float:
            at = bend.line.point_at(0.5)
            return math.dist(line.mean(axis=0), (at.x, at.y))

        bend = min(bends, key=apart)
        return rule(bend.way, bend.angle, bend.direction == "up", thickness)

    return found


def inner(contour: Any) -> Any:
    """A point well inside a contour, its arcs taken as their chords."""
    at = shapely.Polygon([(p.x, p.y) for p in contour.corners]).representative_point()
    return Point(at.x, at.y)


# --- what must hold of one dimension ----------------------------------------------------------


def faults(each: dict[str, Any], back: Back) -> Iterator[str]:
    start, end = each["start"], each["end"]
    values = {
        where: each.get(f"value_on_{where}_mm", each.get(f"value_on_{where}_deg"))
        for where in ("blank", "part")
    }
    over_all = each["words"].startswith("over all")
    # square across a bend, the tape's foot on the flat is another place than on the part
    two_feet = None not in values.values() and start["panel"] != end["panel"]
    for place in (start,) if two_feet else (start, end):
        if place["part_mm"] is None or over_all:
            continue
        there = np.array(place["part_mm"])
        number = back.numbers[place["panel"]]
        if place["blank_mm"] is not None:
            at = np.array(place["blank_mm"])
            if on_bend_line(at, back.model):
                # the corner at the tangent line is found there on the part
                continue
            lifted = back.model.point(at, place["face"], number)
            if math.dist(back.in_root(lifted), there) > MICRON:
                yield f"{place} folds to {back.in_root(lifted)}"
        else:
            # what is told of the start stands before what the tape is square to
            words = each["words"].split(", square to ")[0 if place is start else -1]
            yield from off_the_blank(place, back.on_blank(there), number, back, words)
    for where, value in values.items():
        if value is not None and f"value_on_{where}_mm" in each:
            apart = math.dist(start[f"{where}_mm"], end[f"{where}_mm"])
            if abs(apart - value) > MICRON:
                yield f"its ends are {apart} apart on the {where}"
    if over_all and values["part"] is not None:
        yield from not_over_all(each, back)


def not_as_asked(each: dict[str, Any], file: File) -> Iterator[str]:
    """A dimension with a key asks for the file's number, and a part that is not scribed has it."""
    if not each["key"]:
        return
    asked = each.get("asked_mm", each.get("asked_deg"))
    said = file.number(each["key"])
    if said is not None:
        # a tape and a bevel know no sign: a shift or a turn the other way reads the same
        said = abs(math.degrees(said) if "asked_deg" in each else said)
    if said is not None and abs(asked - said) > 1e-6:
        yield f"the file says {said}, and {asked} is asked"
    came = each.get("value_on_part_mm", each.get("value_on_part_deg"))
    # a taper may lead less deep than is asked, and a bend be wider than a nose
    short = {"depth": -1, "nose": 1}.get(each["key"].split(".")[-1], 0)
    if came is None or file.extras.scribe or (came - asked) * short > 0:
        return
    if abs(asked - came) > 1e-6:
        yield f"asked {asked}"


def on_bend_line(at: Array, model: Folded) -> bool:
    """Whether a place of the blank is on the line of a bend that uses some length."""
    return any(
        joint.bend.allowance > MICRON
        and shapely.LineString(joint.line).distance(shapely.Point(at)) < MICRON
        for joint in model.joints
    )


def off_the_blank(
    place: dict[str, Any], there: Array, number: int, back: Back, words: str
) -> Iterator[str]:
    """A place that no blank shows lies on its panel's face, run on to a bend's other face."""
    model = back.model
    beside = [joint for joint in model.joints if number in (joint.parent, joint.child)]
    on = model.point(np.array(model.panels[number].exterior.coords[0]), place["face"], number)
    if abs(off_plane(there, on, model.normal(number))) > MICRON:
        yield f"{place} is not on its panel's face"
    if not re.search("(inside|outside) of the bend", words):
        return
    to = [
        float((there - model.point(joint.tangent(number), place["face"], number))
              @ model.way(number, joint.away(number)))
        - model.beyond(number, joint, face)
        for joint in beside
        for face in ("inside", "outside")
    ]  # fmt: skip
    if min(abs(gap) for gap in to) > MICRON:
        yield f"{place} is {to} off the bend's face"


def not_over_all(each: dict[str, Any], back: Back) -> Iterator[str]:
    """Over all is from the outermost place to the outermost, corners, arcs and rounds counted."""
    start, end = (np.array(each[at]["part_mm"]) for at in ("start", "end"))
    way = end - start
    axis = int(np.argmax(np.abs(way)))
    square = np.eye(3)[axis]
    if square[2]:
        flat_way = square
    else:
        flat_way = np.array([*(back.turn.T @ square[:2]), 0.0])
    low, high = back.model.span(flat_way)
    # an arc's chords stay within 1e-4 mm of it
    if abs((high - low) - abs(way[axis])) > 2e-4 + MICRON:
        yield f"the part spans {high - low}"


@pytest.mark.parametrize("name", BRACKETS)
@examples(40, phases=(Phase.explicit, Phase.reuse, Phase.generate))
@given(data=st.data())
def test_every_dimension_is_where_the_dxf_folds_to(name: str, data) -> None:
    file, bracket = data.draw(BRACKETS[name])
    pieces = pieces_of("part", data.draw(st.sampled_from(HANDS)), bracket)
    for told, back in folded_back(pieces):
        wrong = {
            f"{each['key']} {each['words']} {each.get('value_on_part_mm')}": found
            for each in told["dimensions"]
            if (found := [*faults(each, back), *not_as_asked(each, file)])
        }
        assert not wrong
