"""Scores, rectangles and welds as a shop may meet them."""

from __future__ import annotations

import math
from typing import Any

from hypothesis import strategies as st

from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.bend import ScoreFold
from platewright.plate.stock import MATERIALS
from platewright.shop.hardware import BOLTS, PORTS
from platewright.shop.scores import Score
from platewright.shop.strength import Rectangle


def lengths(least: float, most: float) -> st.SearchStrategy[float]:
    """Lengths between two bounds, mm."""
    return st.floats(least, most, allow_nan=False)


angles = st.floats(math.radians(1), math.radians(135))
thicknesses = lengths(0.5, 25)
metals = st.sampled_from([each for each in MATERIALS.values() if each.carries_load])
bolts = st.sampled_from(list(BOLTS.values()))
ports = st.sampled_from(list(PORTS.values()))


@st.composite
def scores(draw: st.DrawFn, **fixed: Any) -> Score:
    """A score with a groove no wider than the plate is thick."""
    thickness = draw(lengths(1, 25))
    way = ScoreFold(
        groove=draw(lengths(0.2, 1)) * thickness, ligament=draw(lengths(0.05, 0.9)) * thickness
    )
    told = {"angle": draw(angles), "length": draw(lengths(5, 1000))} | fixed
    return Score(way=way, thickness=thickness, **told)


rectangles = st.builds(
    Rectangle,
    width=lengths(1, 200),
    height=lengths(1, 200),
    z=lengths(-200, 200),
    tilt=st.floats(-math.pi, math.pi),
)
points = st.builds(Point, lengths(-200, 200), lengths(-200, 200))
welds = st.builds(Line, points, points).filter(
    lambda line: line.length > 1 and abs(line.start.y - line.end.y) > 1
)
