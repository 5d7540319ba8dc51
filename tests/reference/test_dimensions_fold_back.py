"""Every dimension of generated brackets, held to the DXF beside it folded by other code.

What `--json` tells of a tape's two ends on the blank must fold to what it tells of them on the
part; a place that is on no blank, as the outside of a bend, must lie where the bend's faces put
it; a value is how far apart its ends are; over all is what the folded part spans; and what the file
asks for is what comes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import Phase, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_bracket import seat_brackets, trees
from laws.strategies_kinds import KINDS, made
from platewright.cli.dimensions_json import measured_json
from platewright.dxf import DxfPiece, dxf_bytes
from platewright.geometry.plane import Point
from platewright.geometry.shapes import self_crossing
from platewright.plate.bend import BendWay, Brake, ScoreFold
from platewright.plate.blank import BlankBend, blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.piece import HANDS, Piece, pieces_of
from platewright.shop.cutting import Cutting, torch_plan
from reference.foldback import Array, Bend, Folded, braked, creased, off_plane, read_dxf, scored

MICRON = 2e-6

sound = st.one_of(trees(depth=2), seat_brackets().map(lambda pair: pair[1])).filter(
    lambda bracket: self_crossing(blank_of(bracket).outline) is None
)
BRACKETS: dict[str, st.SearchStrategy[Bracket]] = {
    "any tree": sound,
    **{name: made(name).map(lambda all_of_it: all_of_it[3]) for name in sorted(KINDS)},
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
            yield from off_the_blank(place, back.on_blank(there), number, back, each)
    for where, value in values.items():
        if value is not None and f"value_on_{where}_mm" in each:
            apart = math.dist(start[f"{where}_mm"], end[f"{where}_mm"])
            if abs(apart - value) > MICRON:
                yield f"its ends are {apart} apart on the {where}"
    if over_all and values["part"] is not None:
        yield from not_over_all(each, back)
    asked = each.get("asked_mm", each.get("asked_deg"))
    if asked is not None and values["part"] is not None and abs(asked - values["part"]) > 1e-6:
        yield f"asked {asked}"


def on_bend_line(at: Array, model: Folded) -> bool:
    """Whether a place of the blank is on the line of a bend that uses some length."""
    return any(
        joint.bend.allowance > MICRON
        and shapely.LineString(joint.line).distance(shapely.Point(at)) < MICRON
        for joint in model.joints
    )


def off_the_blank(
    place: dict[str, Any], there: Array, number: int, back: Back, each: dict[str, Any]
) -> Iterator[str]:
    """A place that no blank shows lies on its panel's face, run on to a bend's other face."""
    model = back.model
    beside = [joint for joint in model.joints if number in (joint.parent, joint.child)]
    on = model.point(beside[0].tangent(number), place["face"], number)
    if abs(off_plane(there, on, model.normal(number))) > MICRON:
        yield f"{place} is not on its panel's face"
    if "of the bend" not in each["words"]:
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
    bracket = data.draw(BRACKETS[name])
    pieces = pieces_of("part", data.draw(st.sampled_from(HANDS)), bracket)
    for told, back in folded_back(pieces):
        wrong = {
            f"{each['key']} {each['words']} {each.get('value_on_part_mm')}": found
            for each in told["dimensions"]
            if (found := list(faults(each, back)))
        }
        assert not wrong
