"""Example pieces for the sheets' tests: seats whose figures are easy to work out by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from laws.strategies_bracket import rectangle
from platewright.findings.limits import Limits, Load
from platewright.findings.rules import Judgement, judge
from platewright.kinds import seat as kind
from platewright.kinds import seat_measurements as measured
from platewright.plate.bend import BendWay, Brake, ScoreFold
from platewright.plate.bracket import Bend, Bracket
from platewright.plate.piece import Hand, Piece, pieces_of
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.cutting import Cutting
from platewright.shop.hardware import parse_bolt_size, parse_port_size

SCORE = ScoreFold(groove=3.0, ligament=1.0)
BRAKE = Brake(radius=8.0, k=0.42)
PLATE = Stock(thickness=5.0, material=MATERIALS["A36"])
METRIC = Limits(push=250.0, lever=300.0)
"""The usual limits of a file in mm."""


def gusset(
    direction: str = "down", reach: float = 130.0, depth: float = 80.0
) -> measured.SideGusset:
    """A right-angled gusset, blunt at the front."""
    return measured.SideGusset(
        reach=reach,
        from_centre=None,
        taper=0.7,
        fold=1.5707963267948966,
        direction=direction,
        depth=depth,
        nose=15.0,
    )


SEAT = measured.Seat(
    plate_diameter=120.0,
    body_diameter=150.0,
    clearance=12.0,
    wall_gap=25.0,
    centre_distance=None,
    plain_side=None,
    body_face="top",
    drift=None,
    bolts=measured.Bolts(
        count=2, spacing=70.0, size=parse_bolt_size("M10", "mm"), fit="normal", turn=0
    ),
    port=measured.Port(
        offset=32.0, shift=0.0, size=parse_port_size("1/4 NPT", "mm"), side="away from the wall"
    ),
    left=gusset("down"),
    right=gusset("up", reach=110.0),
    front=measured.Front(shape="round", length=None),
)
"""Centre 100 mm from the wall, one gusset down and one up."""


def seat_pieces(
    name: str = "test-seat", hand: Hand = "as drawn", way: BendWay = SCORE, **changes: object
) -> tuple[Piece, ...]:
    """The pieces of `SEAT` with some of its measurements changed."""
    measurements = replace(SEAT, **changes)  # type: ignore[arg-type]
    return pieces_of(name, hand, kind.KIND.build(measurements, PLATE, way))


def seat_piece(way: BendWay = SCORE, **changes: object) -> Piece:
    """One piece of `SEAT`, as drawn."""
    return seat_pieces(way=way, **changes)[0]


def leg(edge: str, depth: float, way: BendWay, **other: Any) -> Bend:
    """A leg of 100 mm on an edge of `shelf`, folded up square unless told otherwise."""
    told = {"angle": math.pi / 2, "direction": "up"} | other
    return Bend(edge=edge, panel=rectangle(f"{edge} leg", 100.0, depth), way=way, **told)


def shelf(*bends: Bend, material: str = "A36", **other: Any) -> Bracket:
    """A plate of 100 by 80 by 5 mm with some legs."""
    root = rectangle("plate", 100.0, 80.0, bends=bends)
    return Bracket(stock=Stock(5.0, MATERIALS[material]), root=root, **other)


def judged(piece: Piece, load: Load | None = None) -> Judgement:
    """What is told about a piece by the shop's usual limits."""
    return judge(piece, METRIC, Cutting(), load)
