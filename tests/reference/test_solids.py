"""Folded brackets against an independent solid-geometry library (manifold3d).

The library gets each panel as an extrusion and each bend as a turned ring sector, made here from
the placed panels alone, and says what volumes are and what lies in what.
"""

import math
from collections import defaultdict
from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given
from manifold3d import CrossSection, Manifold, Mesh

from laws.effort import examples
from laws.strategies_bracket import (
    brackets,
    brake_trees,
    holes_apart,
    rectangle,
    seat_brackets,
    trees,
)
from laws.triangles import triangle_corners
from platewright.findings.collision import TOUCH, Contact, Sweep
from platewright.kinds.seat_measurements import Seat
from platewright.plate.bend import Brake
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Bracket
from platewright.plate.folded import Folded, folded
from platewright.plate.skin import Solid, skin_of
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.wall import strength_of

SAGITTA = 0.02
few = examples(20)


# --- solids of the other library --------------------------------------------------------------


def meetings(bracket: Bracket) -> tuple[Contact, ...]:
    return Sweep(bracket).meetings


def matrix(place: object) -> np.ndarray:
    axes = [place.x_axis, place.y_axis, place.z_axis, place.origin]
    return np.array([[v.x, v.y, v.z] for v in axes]).T


def plates(model: Folded, *, holes: bool = True) -> dict[str, Manifold]:
    found = {}
    for placed in model.panels:
        rings = [[(p.x, p.y) for p in placed.panel.contour.flatten(SAGITTA)]]
        if holes:
            rings += [
                [(p.x, p.y) for p in hole.circle.flatten(SAGITTA)][::-1]
                for hole in placed.panel.holes
                if hole.cut
            ]
        flat = CrossSection(rings).extrude(model.thickness)
        lowered = flat.translate((0.0, 0.0, -model.thickness))
        found[placed.panel.name] = lowered.transform(matrix(placed.world_from_panel))
    return found


def rings(model: Folded) -> dict[str, Manifold]:
    """Bends as revolved sections: a rectangle at the radius, turned about the axis."""
    found = {}
    for bend in model.bends:
        inner, outer = bend.inside_radius, bend.inside_radius + bend.bent_thickness
        section = CrossSection(
            [[(inner, 0.0), (outer, 0.0), (outer, bend.length), (inner, bend.length)]]
        )
        degrees = math.degrees(bend.angle)
        steps = max(8, math.ceil(math.tau / (2 * math.acos(1 - SAGITTA / max(outer, SAGITTA)))))
        turned = section.revolve(
            circular_segments=4 * math.ceil(steps / 4), revolve_degrees=degrees
        )
        place = ring_place(bend)
        found[f"bend {bend.number}"] = turned.transform(place)
    return found


def ring_place(bend: object) -> np.ndarray:
    """The revolved piece starts on +x and turns towards +y about z: lay z along the bend, +x from
    the axis to the parent's end of the ring, +y to where the child is bent.
    """
    start, end = bend.axis
    first = bend.point(0.0, 0.0, bend.bent_thickness)
    out = np.array([first.x - start.x, first.y - start.y, first.z - start.z])
    out /= np.linalg.norm(out)
    y = bend.world_from_bend.y_axis
    towards = np.array([y.x, y.y, y.z])
    along = np.cross(out, towards)
    origin = np.array([start.x, start.y, start.z])
    x = bend.world_from_bend.x_axis
    if np.dot(along, [x.x, x.y, x.z]) < 0:
        origin = np.array([end.x, end.y, end.z])
    return np.column_stack([out, towards, along, origin])


def manifold_of(skin: Solid) -> Manifold:
    """The product's own skin in the other library, each facet cut into triangles there."""
    points = np.array([[p.x, p.y, p.z] for p in skin.points], dtype=np.float32)
    corners = np.array(triangle_corners(skin), dtype=np.uint32)
    return Manifold(Mesh(vert_properties=points, tri_verts=corners))


def union(parts: list[Manifold]) -> Manifold:
    whole = parts[0]
    for part in parts[1:]:
        whole = whole + part
    return whole


# --- volumes ----------------------------------------------------------------------------------


def slack(bracket: Bracket, model: Folded) -> float:
    """Volume that chords and single-precision corners may take away, mm³."""
    rims = sum(
        panel.contour.perimeter + sum(hole.circle.perimeter for hole in panel.holes)
        for panel in bracket.root.walk()
    )
    bends = sum(2 * b.angle * (b.inside_radius + b.thickness) * b.length for b in model.bends)
    faces = sum(2 * panel.contour.area for panel in bracket.root.walk())
    return SAGITTA * (rims * model.thickness + bends) + 1e-3 * (faces + bends) + 1e-3


def test_a_middle_neutral_line_keeps_the_blank_volume() -> None:
    """With k = 1/2 (NAVEDTRA 14119 p. 13-43) blank area times thickness is the folded volume."""
    way = Brake(6.0, 0.5)
    legs = tuple(
        Bend(edge=edge, panel=rectangle(edge, 90.0, 40.0), angle=angle, direction=way_up, way=way)
        for edge, angle, way_up in (("far edge", 1.2, "up"), ("base", math.pi / 2, "down"))
    )
    bracket = Bracket(
        stock=Stock(4.0, MATERIALS["A36"]), root=rectangle("web", 90.0, 60.0, bends=legs)
    )
    model = folded(bracket)
    whole = union([*plates(model).values(), *rings(model).values()])
    assert whole.volume() == pytest.approx(blank_of(bracket).area * 4.0, rel=1e-3)
    assert whole.volume() < blank_of(bracket).area * 4.0


@given(brake_trees())
@few
def test_brake_bends_fill_the_blank_volume_by_their_k(bracket: Bracket) -> None:
    """Folded volume less blank volume is angle (1/2 - k) T² per length of bend."""
    model = folded(bracket)
    parts = [*plates(model).values(), *rings(model).values()]
    grown = sum(b.angle * (0.5 - b.bend.way.k) * model.thickness**2 * b.length for b in model.bends)
    assert sum(part.volume() for part in parts) == pytest.approx(
        blank_of(bracket).area * model.thickness + grown, abs=slack(bracket, model)
    )


@given(brackets)
@few
def test_the_skin_holds_the_same_volume(bracket: Bracket) -> None:
    model = folded(bracket)
    assume(not any(0 < bend.inside_radius < 0.05 for bend in model.bends))
    assume(all(holes_apart(panel) for panel in bracket.root.walk()))
    skin = manifold_of(skin_of(model, SAGITTA))
    parts = [*plates(model).values(), *rings(model).values()]
    assert skin.volume() == pytest.approx(
        sum(part.volume() for part in parts), abs=2 * slack(bracket, model)
    )


# --- what lies in what ------------------------------------------------------------------------


def shared_volumes(model: Folded) -> dict[frozenset[str], float]:
    """Volume that every two parts share, mm³."""
    return shared({**plates(model, holes=False), **rings(model)})


def shared(parts: dict[str, Manifold]) -> dict[frozenset[str], float]:
    return {
        frozenset((one, other)): (parts[one] ^ parts[other]).volume()
        for one, other in combinations(parts, 2)
    }


def with_bends(model: Folded) -> dict[str, Manifold]:
    """Each panel with the bend that holds it."""
    bare, turned = plates(model, holes=False), rings(model)
    for bend in model.bends:
        name = model.panels[bend.child].panel.name
        bare[name] = bare[name] + turned[f"bend {bend.number}"]
    return bare


def joined(model: Folded) -> set[frozenset[str]]:
    """Parts that share a face by design: single precision may let them share a sliver."""
    pairs = set()
    for bend in model.bends:
        names = [model.panels[bend.parent].panel.name, model.panels[bend.child].panel.name]
        pairs |= {frozenset((f"bend {bend.number}", name)) for name in names}
    return pairs


@given(trees())
@few
def test_we_and_the_library_agree_on_which_panels_lie_in_each_other(bracket: Bracket) -> None:
    found = meetings(bracket)
    deep = {frozenset((m.first, m.second)) for m in found if m.finished and m.depth > 4 * TOUCH}
    named = {frozenset((m.first, m.second)) for m in found}
    flat = shared(plates(folded(bracket, 0.0), holes=False))
    placed = folded(bracket).panels
    neighbours = {
        frozenset((each.panel.name, placed[each.parent].panel.name))
        for each in placed
        if each.parent is not None
    }
    longest = max(
        panel.contour.bounds.width + panel.contour.bounds.height for panel in bracket.root.walk()
    )
    for pair, volume in shared(with_bends(folded(bracket))).items():
        if pair in deep:
            assert volume > 0
        elif pair not in named and pair not in neighbours and flat[pair] == 0:
            # a touch of at most TOUCH over the longest face either could have
            assert volume <= TOUCH * longest * longest


@given(seat_brackets())
@few
def test_a_seat_without_findings_of_collision_shares_nothing(pair: tuple[Seat, Bracket]) -> None:
    _, bracket = pair
    assume(not meetings(bracket))
    model = folded(bracket)
    apart = {key: v for key, v in shared_volumes(model).items() if key not in joined(model)}
    assert sum(apart.values()) <= 1e-3 * bracket.root.contour.area


def leaning_pair() -> Bracket:
    """Two tall legs that fold over a narrow web until they pass through each other."""
    way = Brake(3.0, 0.42)
    legs = tuple(
        Bend(edge=edge, panel=rectangle(edge, 80.0, 70.0), angle=math.radians(130), direction="up",
             way=way)
        for edge in ("far edge", "base")
    )  # fmt: skip
    return Bracket(
        stock=Stock(3.0, MATERIALS["A36"]), root=rectangle("web", 80.0, 60.0, bends=legs)
    )


def test_the_first_meeting_is_where_the_library_sees_it() -> None:
    bracket = leaning_pair()
    (meeting,) = [m for m in meetings(bracket) if not m.first.startswith("bend")][:1]
    assert meeting.finished
    volumes = defaultdict(float)
    for step in (-0.01, 0.01):
        parts = plates(folded(bracket, meeting.amount + step))
        volumes[step] = (parts[meeting.first] ^ parts[meeting.second]).volume()
    assert volumes[-0.01] == pytest.approx(0.0, abs=1e-6)
    assert volumes[0.01] > 1.0


# --- the section at the wall ------------------------------------------------------------------


def moments(rings: list[np.ndarray]) -> tuple[float, float, float]:
    """Area, height of the centroid and second moment about it of polygons (shoelace sums)."""
    area = first = second = 0.0
    for ring in rings:
        (x0, y0), (x1, y1) = ring.T, np.roll(ring, -1, axis=0).T
        cross = x0 * y1 - x1 * y0
        area += np.sum(cross) / 2
        first += np.sum(cross * (y0 + y1)) / 6
        second += np.sum(cross * (y0**2 + y0 * y1 + y1**2)) / 12
    return area, first / area, second - first**2 / area


def cantilever(left: str, right: str, thickness: float, tall: float = 70.0) -> Bracket:
    way = Brake(2.0 * thickness, 0.42)
    legs = tuple(
        Bend(edge=edge, panel=rectangle(edge, 90.0, tall), angle=math.pi / 2, direction=direction,
             way=way)
        for edge, direction in (("left end", left), ("right end", right))
    )  # fmt: skip
    root = rectangle("plate", 140.0, 90.0, bends=legs)
    return Bracket(stock=Stock(thickness, MATERIALS["A36"]), root=root, wall="base")


@pytest.mark.parametrize("sides", [("down", "down"), ("up", "up"), ("down", "up")])
def test_the_section_at_the_wall_is_what_a_saw_would_show(sides: tuple[str, str]) -> None:
    """The library's slice of the plates just off the wall, moments by polygon sums."""
    bracket = cantilever(*sides, thickness=5.0)
    model = folded(bracket)
    # lay the wall's outward direction (+y) along z, keep x, height becomes -y
    turned = np.array([[1.0, 0, 0, 0], [0, 0, -1.0, 0], [0, 1.0, 0, 0]])
    whole = union(list(plates(model).values())).transform(turned)
    area, neutral, inertia = moments(whole.slice(0.01).to_polygons())
    at_wall = strength_of(bracket, 1000.0).at_wall
    assert at_wall.area == pytest.approx(area, rel=1e-5)
    assert at_wall.neutral == pytest.approx(-neutral, rel=1e-5)
    assert at_wall.inertia == pytest.approx(inertia, rel=1e-5)


def test_welds_round_a_thin_trough_are_the_tabled_u() -> None:
    """Weld as a line, one b over two d (Shigley 9th ed. Table 9-2, from memory):
    y = d² / (b + 2 d) below b, I = 2 d³ / 3 - 2 d² y + (b + 2 d) y². Thin plate, so that the
    middle lines nearly meet.
    """
    bracket = cantilever("down", "down", thickness=0.1)
    group = strength_of(bracket, 1000.0).group
    b, d = 140.0, 70.0
    below = d**2 / (b + 2 * d)
    inertia = 2 * d**3 / 3 - 2 * d**2 * below + (b + 2 * d) * below**2
    assert group.length == pytest.approx(b + 2 * d, rel=1e-6)
    assert group.centroid == pytest.approx(-below, abs=0.3)
    assert group.inertia == pytest.approx(inertia, rel=0.02)
