"""Laws of comparing: nothing changed is nothing told; what comes off can come off."""

from __future__ import annotations

from dataclasses import replace

import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_bracket import brackets, lengths
from platewright.errors import PlatewrightError
from platewright.geometry.shapes import self_crossing
from platewright.plate.blank import Blank, blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.compare import compare
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
