"""Laws of comparing: nothing changed is nothing told; what comes off can come off."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from itertools import combinations

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_bracket import brackets, lengths
from laws.strategies_kinds import KINDS, built, kind_brackets, made
from platewright.compare.outcome import compare
from platewright.errors import PlatewrightError
from platewright.geometry.segment import Line
from platewright.geometry.shapes import self_crossing
from platewright.plate.blank import Blank, blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.dimension import Spot
from platewright.plate.edit import trim_edge

few = examples(30)
sound = brackets.filter(lambda bracket: self_crossing(blank_of(bracket).outline) is None)


def trimmed(bracket: Bracket, edge: str, by: float) -> Bracket:
    """The bracket with an edge of its root moved, where that can be."""
    try:
        return trim_edge(bracket, bracket.root.name, edge, by)
    except PlatewrightError:
        assume(False)
        raise


def metal(blank: Blank) -> shapely.Geometry:
    """The outline less all holes, which may run into each other or out of the edge."""
    voids = [shapely.Polygon([(p.x, p.y) for p in h.circle.flatten(0.01)]) for h in blank.cut_holes]
    outer = shapely.Polygon([(p.x, p.y) for p in blank.outline.flatten(0.01)])
    return outer.difference(shapely.union_all(voids))


def free_edges(bracket: Bracket) -> list[str]:
    taken = {bend.edge for bend in bracket.root.bends}
    return [name for name, _ in bracket.root.edges if name not in taken]


with_free_edge = sound.filter(free_edges)


@few
@given(sound)
def test_a_bracket_is_like_itself(bracket):
    found = compare(bracket, bracket)
    assert found.unchanged
    assert {found.outcome(stage) for stage in found.stages} == {"as it is"}


@few
@given(with_free_edge, st.data(), lengths(0.5, 5.0))
def test_what_is_trimmed_off_an_edge_can_be_trimmed(bracket, data, by):
    edge = data.draw(st.sampled_from(free_edges(bracket)))
    found = compare(bracket, trimmed(bracket, edge, by))
    assert not found.added
    assert found.outcome("cut") in ("trim", "as it is")


@few
@given(with_free_edge, st.data(), lengths(0.5, 5.0))
def test_metal_is_told_both_ways(bracket, data, by):
    edge = data.draw(st.sampled_from(free_edges(bracket)))
    other = trimmed(bracket, edge, by)
    there, back = compare(bracket, other), compare(other, bracket)
    came_off = sum(each.patch.area for each in there.removed)
    lost = metal(there.old).area - metal(there.new).area
    # slivers thinner than a shop can cut are passed over
    assert abs(came_off - lost) <= 0.05 * there.old.outline.perimeter
    assert bool(back.added) == bool(there.removed)


@few
@given(sound)
def test_thicker_plate_is_cut_again(bracket):
    thicker = replace(bracket.stock, thickness=bracket.stock.thickness + 1.0)
    found = compare(bracket, replace(bracket, stock=thicker))
    assert {found.outcome(stage) for stage in found.stages} == {"cut again"}


# --- figures, measured by a way of the tests' own ---------------------------------------------


def seen(blank: Blank) -> list[tuple[float, float]]:
    """The places of a blank that a tape finds: corners, middles of sides, ends of bend lines,
    middles of holes and cut-outs."""
    outline = blank.outline.segments
    places = [segment.start for segment in outline]
    places += [segment.point_at(0.5) for segment in outline]
    places += [p for bend in blank.bends for p in (bend.line.start, bend.line.end)]
    places += [hole.centre for hole in blank.holes]
    places += [cutout.contour.bounds.centre for cutout in blank.cutouts]
    return [(p.x, p.y) for p in places]


@few
@given(kind_brackets())
def test_a_figure_on_the_blank_can_be_measured_there(bracket):
    spots = {
        f"{d.start.words} ({d.start.panel}) to {d.end.words} ({d.end.panel}), flat"
        if d.start.panel != d.end.panel
        else f"{d.start.words} to {d.end.words}"
        for d in bracket.dimensions
        if d.when != "folded" and isinstance(d.end, Spot)
    }
    found = compare(bracket, replace(bracket, dimensions=()))
    places = seen(found.old)
    apart = [math.dist(a, b) for a, b in combinations(places, 2)]
    for change in found.dimensions:
        if change.words in spots:
            assert change.old is not None
            assert min(abs(change.old - each) for each in apart) < 1e-6
            assert change.new is None


@few
@given(with_free_edge, st.data(), lengths(0.5, 5.0))
def test_the_corners_of_a_trimmed_edge_move_as_its_lines_cross(bracket, data, by):
    edge = data.draw(st.sampled_from(free_edges(bracket)))
    found = compare(bracket, trimmed(bracket, edge, by))
    panel = bracket.root
    line, count = panel.edge(edge), len(panel.contour.segments)
    index = panel.edge_index(edge)
    beside = [panel.contour.segments[(index + step) % count] for step in (-1, 1)]
    assume(all(isinstance(each, Line) for each in (line, *beside)))
    for change in found.edges:
        # the blank may be laid otherwise than it was drawn: only lengths are held to
        if change.edge == edge and change.panel == panel.name and change.old and change.new:
            assume(abs(change.start_out + by) < 1e-6)
            for moved, other in zip((change.start_by, change.end_by), beside, strict=True):
                lean = abs(line.direction.cross(other.direction))
                assert moved.length == pytest.approx(by / lean, abs=1e-6)


@st.composite
def pairs(draw: st.DrawFn) -> tuple[Bracket, Bracket]:
    """A bracket, and what it becomes when one of its lengths is measured again."""
    kind, _ = KINDS[draw(st.sampled_from(sorted(KINDS)))]
    measurements, stock, way, first = draw(made(kind.name))
    names = [each.name for each in fields(measurements)
             if isinstance(getattr(measurements, each.name), float)]  # fmt: skip
    assume(names)
    name = draw(st.sampled_from(names))
    again = getattr(measurements, name) + draw(st.one_of(lengths(-6, -0.2), lengths(0.2, 6)))
    return first, built(kind, replace(measurements, **{name: again}), stock, way)


@few
@given(pairs())
def test_a_part_that_serves_or_is_trimmed_has_all_the_metal(pair):
    """Judged by shapely on the two outlines."""
    found = compare(*pair)
    lacking = metal(found.new).difference(metal(found.old).buffer(0.06))
    assert lacking.is_empty == (not found.added) or lacking.area < 0.05
    if found.outcome("cut") in ("trim", "as it is"):
        assert lacking.area < 0.05


@few
@given(pairs())
def test_metal_that_differs_is_told_of_an_edge_an_opening_or_a_bend(pair):
    found = compare(*pair)
    if found.added or found.removed:
        assert found.edges or found.openings or found.bends


@few
@given(kind_brackets().filter(free_edges), st.data(), lengths(0.5, 5.0))
def test_what_a_trim_takes_is_told_by_the_trimmed_edge(bracket, data, by):
    edge = data.draw(st.sampled_from(free_edges(bracket)))
    other = trimmed(bracket, edge, by)
    assume(other.root.edge(edge).length > 3 * by)
    found = compare(bracket, other)
    assert found.removed
    assert found.removed[0].where == f"{bracket.root.name}: {edge}"
