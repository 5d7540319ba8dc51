"""Coped plates against an independent solid-geometry library (manifold3d).

The plate is extruded from the contour alone, the tube is a cylinder of the other library, turned
and moved there.
"""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from manifold3d import CrossSection, Manifold

from laws.effort import examples
from platewright.errors import BuildError
from platewright.kinds.cope import TOLERANCE, Cope
from platewright.kinds.features import Off
from platewright.kinds.kind import catalogue
from platewright.kinds.making import Extras, make_bracket
from platewright.kinds.panels_measurements import FreePanel, Panels
from platewright.plate.bend import Crease
from platewright.plate.stock import MATERIALS, Stock

SIDES = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))
EDGES = ("bottom", "right", "top", "left")
PLATE = Panels(drawn_to="flat", panel=(FreePanel(name="plate", points=SIDES, edges=EDGES),))
OUT = {"bottom": (0, -1), "right": (1, 0), "top": (0, 1), "left": (-1, 0)}
FINE = 2e-4


def solid(cope: Cope, thickness: float) -> Manifold:
    stock = Stock(thickness=thickness, material=MATERIALS["A36"])
    root = make_bracket(catalogue()["panels"], PLATE, stock, Crease(), Extras(cope=(cope,))).root
    rings = [[(p.x, p.y) for p in root.contour.flatten(FINE)]]
    rings += [[(p.x, p.y) for p in c.contour.flatten(FINE)][::-1] for c in root.cutouts]
    rings += [[(p.x, p.y) for p in h.circle.flatten(FINE)][::-1] for h in root.holes]
    return CrossSection(rings).extrude(thickness).translate((0, 0, -thickness))


def tube(cope: Cope, at: tuple[float, float], radius: float) -> Manifold:
    """A cylinder through a place on the top face, its upper end leaning towards the edge."""
    sides = math.ceil(math.pi / math.acos(1 - FINE / radius))
    upright = Manifold.cylinder(2000, radius, radius, sides, center=True)
    x, y = OUT[cope.leans_towards or "top"]
    turn = cope.lean_turn
    towards = np.array([x * math.cos(turn) - y * math.sin(turn),
                        x * math.sin(turn) + y * math.cos(turn), 0.0])  # fmt: skip
    axis = towards * math.cos(cope.angle) + np.array([0, 0, math.sin(cope.angle)])
    across = np.cross(axis, [0.3, 0.5, -0.8])
    across /= np.linalg.norm(across)
    columns = [across, np.cross(axis, across), axis, [*at, 0.0]]
    return upright.transform(np.column_stack(columns))


def fits(cope: Cope, at: tuple[float, float], thickness: float) -> None:
    """No metal in the tube and its gap, metal right outside of it."""
    try:
        plate = solid(cope, thickness)
    except BuildError:
        assume(False)
    assert cope.diameter is not None
    clear = cope.diameter / 2 + cope.gap
    inside = plate ^ tube(cope, at, clear - 3 * FINE)
    assert inside.volume() == pytest.approx(0, abs=1e-6)
    beyond = plate ^ tube(cope, at, clear + TOLERANCE + 3 * FINE)
    assert beyond.volume() > 1e-6


leans = {
    "diameter": st.floats(20, 120),
    "angle": st.just(math.pi / 2) | st.floats(math.radians(20), math.radians(89)),
    "gap": st.just(0.0) | st.floats(0, 3),
}


@given(
    **leans,
    towards=st.sampled_from(EDGES),
    turn=st.just(0.0) | st.floats(-math.pi, math.pi),
    at=st.floats(80, 220),
    share=st.floats(-0.5, 0.9),
    thickness=st.floats(1.5, 20),
)
@examples(25)
def test_no_metal_of_an_edge_enters_its_tube(
    diameter, angle, gap, towards, turn, at, share, thickness
):
    leaning = angle < math.pi / 2
    cope = Cope(
        edge="top",
        zero_at="left",
        at=at,
        beyond=share * diameter / 2,
        diameter=diameter,
        angle=angle,
        leans_towards=towards if leaning else None,
        lean_turn=turn if leaning else 0.0,
        gap=gap,
    )
    fits(cope, (at, 200.0 + cope.beyond), thickness)


@given(
    **leans,
    towards=st.sampled_from(EDGES),
    turn=st.just(0.0) | st.floats(-math.pi, math.pi),
    thickness=st.floats(1.5, 20),
)
@examples(15)
def test_no_metal_of_a_hole_enters_its_tube(diameter, angle, gap, towards, turn, thickness):
    leaning = angle < math.pi / 2
    cope = Cope(
        measured_from=(Off(edge="bottom", distance=95.0), Off(edge="left", distance=140.0)),
        diameter=diameter,
        angle=angle,
        leans_towards=towards if leaning else None,
        lean_turn=turn if leaning else 0.0,
        gap=gap,
    )
    fits(cope, (140.0, 95.0), thickness)
