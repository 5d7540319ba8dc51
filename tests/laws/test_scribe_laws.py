"""Laws of scribing an edge: no pass adds metal, or takes any, where its readings do not."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import example, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_bracket import lengths
from platewright.compare.outcome import compare
from platewright.geometry.build import rectangle
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Arc, Segment
from platewright.kinds.scribe import Scribe, with_scribed
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.stock import MATERIALS, Stock

some = examples(60)

#: What rounding may leave, mm.
HAIR = 2e-6

Offsets = tuple[tuple[float, float], ...]


def plate(*passes: Offsets, joined: str, tolerance: float = 0.4) -> Bracket:
    """A plate 200 wide whose wall edge, y = 0, is scribed: (station, mm added) a pass."""
    contour = rectangle(Bounds(0.0, 0.0, 200.0, 150.0))
    names = ("wall edge", "right side", "front", "left side")
    root = Panel(name="plate", contour=contour, edges=tuple((n, i) for i, n in enumerate(names)))
    bracket = Bracket(stock=Stock(5.0, MATERIALS["A36"]), root=root, wall="wall edge")
    scribes = [
        Scribe(
            edge="wall edge", zero_at="left side", joined=joined, tolerance=tolerance, readings=told
        )
        for told in passes
    ]
    return with_scribed(bracket, scribes)


def scribed(bracket: Bracket) -> list[Segment]:
    """The pieces of the scribed edge from left to right."""
    found = [s for s in bracket.root.contour.segments if max(s.start.y, s.end.y) < 75]
    assert all(s.start.x <= s.end.x for s in found)
    return found


def added(pieces: list[Segment], station: float) -> list[float]:
    """How far the edge stands out at a station: one figure, two at a step. By halving."""
    found = []
    for piece in (p for p in pieces if p.start.x <= station <= p.end.x):
        low, high = 0.0, 1.0
        for _ in range(50 if piece.start.x < piece.end.x else 0):
            middle = (low + high) / 2
            low, high = (middle, high) if piece.point_at(middle).x < station else (low, middle)
        found += [-piece.point_at(at).y for at in (low, high)]
    return found


def offsets(least: float, most: float) -> st.SearchStrategy[Offsets]:
    """Offsets at rising stations, many of them nothing, some at the very ends of the edge."""
    at = st.one_of(st.just(0.0), st.just(200.0), lengths(0, 200))
    stations = st.lists(at, min_size=1, max_size=8, unique=True).map(sorted)
    offset = st.one_of(st.just(0.0), lengths(least, most))
    return stations.filter(lambda s: all(b - a >= 2 for a, b in pairwise(s))).flatmap(
        lambda s: st.tuples(*(st.tuples(st.just(x), offset) for x in s))
    )


taking = offsets(-12, 0)
any_pass = st.one_of(taking, offsets(0, 12), offsets(-12, 12))
joints = st.sampled_from(["straight", "smooth"])


def held(told: Offsets) -> Offsets:
    """The offsets with the first and the last held to the ends of the edge."""
    return ((-1e-9, told[0][1]), *told, (200.0 + 1e-9, told[-1][1]))


def differences(before: Bracket, after: Bracket, begin: float, finish: float) -> list[float]:
    """By how much more the edge stands out, at stations from one to another."""
    old, new = scribed(before), scribed(after)
    places = {begin + (finish - begin) * i / 12 for i in range(1, 12)}
    places |= {s.start.x for s in (*old, *new) if begin < s.start.x < finish}
    found = []
    for x in places:
        ours, theirs = added(new, x), added(old, x)
        found += [max(ours) - max(theirs), min(ours) - min(theirs)]
    return found


def judged(before: Bracket, after: Bracket, told: Offsets) -> None:
    """Between two readings: no metal added where neither adds, none taken where neither takes."""
    for (start, one), (end, other) in pairwise(held(told)):
        begin, finish = max(start, 1e-6), min(end, 200 - 1e-6)
        if finish - begin < 1e-3:
            continue
        found = differences(before, after, begin, finish)
        if max(one, other) <= 0:
            assert max(found) <= HAIR
        if min(one, other) >= 0:
            assert min(found) >= -HAIR


@some
@given(told=any_pass, joined=joints)
def test_a_pass_adds_and_takes_only_where_it_was_read(told: Offsets, joined: str) -> None:
    judged(plate(joined=joined), plate(told, joined=joined), told)


#: A first fitting, and a second that takes a thirty-second in the middle.
FITTED = ((25.4, 0.0), (50.8, -1.27), (76.2, -3.175), (127.0, -2.38125), (152.4, 0.0))
AGAIN = ((50.8, 0.0), (76.2, -0.79375), (127.0, 0.0))


@some
@example(first=FITTED, second=AGAIN, joined="smooth", tolerance=0.4)
@given(first=any_pass, second=any_pass, joined=joints,
       tolerance=lengths(0.01, 6))  # fmt: skip
def test_a_further_pass_adds_and_takes_only_where_it_was_read(
    first: Offsets, second: Offsets, joined: str, tolerance: float
) -> None:
    before = plate(first, joined=joined, tolerance=tolerance)
    after = plate(first, second, joined=joined, tolerance=tolerance)
    judged(before, after, second)


@some
@given(first=any_pass, second=any_pass, data=st.data())
def test_a_pass_of_steps_adds_and_takes_only_where_it_was_read(
    first: Offsets, second: Offsets, data: st.DataObject
) -> None:
    """Straight only: a second reading at a station is a step there."""
    passes = []
    for told in (first, second):
        steps = [data.draw(st.one_of(st.none(), lengths(-12, 12))) for _ in told]
        pairs = zip(told, steps, strict=True)
        passes.append(
            tuple(p for (x, y), step in pairs for p in ((x, y), *([(x, step)] if step else [])))
        )
    before = plate(passes[0], joined="straight")
    judged(before, plate(*passes, joined="straight"), passes[1])


@some
@given(first=any_pass, second=taking, joined=joints)
def test_a_part_cut_to_the_first_pass_is_trimmed_to_one_that_takes(
    first: Offsets, second: Offsets, joined: str
) -> None:
    before = plate(first, joined=joined)
    after = plate(first, second, joined=joined)
    found = compare(before, after)
    assert not found.added
    assert found.outcome("cut") in ("trim", "as it is")


@some
@given(passes=st.lists(any_pass, min_size=1, max_size=3), tolerance=lengths(0.01, 2))
def test_a_smooth_edge_has_no_corner_and_passes_near_what_was_read(
    passes: list[Offsets], tolerance: float
) -> None:
    bracket = plate(*passes, joined="smooth", tolerance=tolerance)
    pieces = scribed(bracket)
    for before, after in pairwise(pieces):
        assert before.end_direction.dot(after.start_direction) > 0
        if 1e-6 < before.end.x < 200 - 1e-6:
            assert abs(before.end_direction.cross(after.start_direction)) < 1e-4
    assert any(isinstance(s, Arc) for s in pieces) or len(pieces) <= 8
    earlier = plate(*passes[:-1], joined="smooth", tolerance=tolerance)
    for station, offset in passes[-1]:
        if 1e-6 < station < 200 - 1e-6:
            at = Point(station, -(added(scribed(earlier), station)[0] + offset))
            assert min(s.distance(at) for s in pieces) <= tolerance + HAIR
