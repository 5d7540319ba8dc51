"""Laws of findings, over generated brackets."""

import math
from dataclasses import fields, is_dataclass, replace
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws.apart import part_gap
from laws.effort import examples
from laws.strategies_bracket import (
    degrees,
    lengths,
    rectangle,
    seat_brackets,
    stocks,
    trees,
    turned_over,
    ways,
)
from laws.strategies_kinds import kind_brackets
from platewright.findings.case import Context
from platewright.findings.collision import TOUCH, Contact, Sweep
from platewright.findings.finding import SEVERITIES, Finding
from platewright.findings.limits import Limits, Load
from platewright.findings.rules import findings, judge, same_for_both_hands
from platewright.geometry.plane import Point, Vector
from platewright.kinds.seat_measurements import Seat
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Bracket, Hole, Panel
from platewright.plate.folded import folded
from platewright.plate.piece import pieces_of
from platewright.plate.prism import Prism, SolidPart, parts_of
from platewright.shop.cutting import Cutting

modest = examples(50)
small = st.one_of(trees(depth=2), seat_brackets().map(lambda pair: pair[1]))
few = examples(25)
contexts = st.builds(
    Context,
    sheet=st.none() | st.tuples(lengths(100, 600), lengths(100, 600)),
    kerf=lengths(0, 3),
    hole_factor=st.sampled_from([1.0, 1.5, 2.0]),
    grain=st.none() | degrees(0, 180),
    drift=st.none() | lengths(0, 40),
)
mirrored_limits = st.builds(
    Limits,
    sheet=st.none() | st.tuples(lengths(100, 600), lengths(100, 600)),
    grain=st.sampled_from([None, 0.0, math.pi / 2]),
    push=lengths(100, 500),
    lever=lengths(100, 500),
)


def meetings(bracket: Bracket) -> tuple[Contact, ...]:
    return Sweep(bracket).meetings


def found(bracket: Bracket, context: Context | None = None) -> tuple[Finding, ...]:
    return findings(bracket, blank_of(bracket), context)


@given(small, contexts)
@few
def test_every_bracket_gets_whole_findings_worst_first(bracket: Bracket, context: Context) -> None:
    told = found(bracket, context)
    severities = [SEVERITIES.index(finding.severity) for finding in told]
    assert severities == sorted(severities)
    for finding in told:
        assert finding.place
        assert finding.change
        assert finding.source
        if finding.measured is not None and finding.limit is not None:
            if finding.bound == "asked":
                assert finding.measured != finding.limit
                continue
            short = finding.measured.value < finding.limit.value
            assert short == (finding.bound == "at least")


@given(st.one_of(small, kind_brackets()), st.data())
@few
def test_the_other_hand_is_judged_as_the_mirror_image(
    bracket: Bracket, data: st.DataObject
) -> None:
    """In words and figures, as it comes out when it is worked out anew."""
    limits = data.draw(mirrored_limits)
    load = Load(force=data.draw(lengths(100, 9000))) if bracket.wall else None
    pieces = pieces_of("part", "pair", bracket)
    left, right = (judge(piece, limits, Cutting(), load) for piece in pieces)
    assert same_for_both_hands(limits)
    assert_alike(left.mirrored(), right)


def assert_alike(one: object, other: object) -> None:
    """Values of the same words and counts, and of figures to 1e-6."""
    if isinstance(one, float) and isinstance(other, float):
        assert one == pytest.approx(other, rel=1e-6, abs=1e-6)
    elif isinstance(one, tuple) and isinstance(other, tuple):
        assert len(one) == len(other)
        for mine, theirs in zip(one, other, strict=True):
            assert_alike(mine, theirs)
    elif is_dataclass(one):
        assert type(one) is type(other)
        for each in fields(one):
            assert_alike(getattr(one, each.name), getattr(other, each.name))
    else:
        assert one == other


def test_rolling_askew_is_no_mirror_image() -> None:
    assert not same_for_both_hands(Limits(push=250.0, lever=300.0, grain=math.radians(30)))


@given(trees(depth=2))
@few
def test_turned_over_the_same_panels_meet(bracket: Bracket) -> None:
    mine = {(m.first, m.second, m.finished) for m in meetings(bracket)}
    theirs = {(m.first, m.second, m.finished) for m in meetings(turned_over(bracket))}
    assert mine == theirs


@st.composite
def holes_beside_bends(draw: st.DrawFn) -> tuple[Bracket, Vector]:
    """A plate with a leg along all of its right end, and the way from its hole to the bend."""
    stock = draw(stocks)
    leg = Bend(
        edge="right end",
        panel=rectangle("leg", 100.0, 60.0),
        angle=draw(degrees(10, 135)),
        direction=draw(st.sampled_from(["up", "down"])),
        way=draw(ways(stock.thickness)),
    )
    hole = Hole(
        what="hole", centre=Point(draw(lengths(30, 199)), draw(lengths(20, 80))),
        diameter=draw(lengths(3, 30)),
    )  # fmt: skip
    root = rectangle("plate", 200.0, 100.0, bends=(leg,), holes=(hole,))
    return Bracket(stock=stock, root=root), Vector(1.0, 0.0)


def hole_shifted(bracket: Bracket, by: Vector) -> Bracket:
    (hole,) = bracket.root.holes
    moved = replace(hole, centre=hole.centre + by)
    return replace(bracket, root=replace(bracket.root, holes=(moved,)))


def to_bend(bracket: Bracket) -> list[Finding]:
    return [f for f in found(bracket) if f.rule == "hole to bend"]


@given(holes_beside_bends(), lengths(0, 40))
@modest
def test_moving_a_hole_towards_a_bend_never_clears_its_finding(
    pair: tuple[Bracket, Vector], step: float
) -> None:
    bracket, towards = pair
    before = to_bend(bracket)
    after = to_bend(hole_shifted(bracket, towards * step))
    assert len(after) >= len(before)
    for one, other in zip(before, after, strict=False):
        assert other.measured.value <= one.measured.value + 1e-9


@given(holes_beside_bends())
@modest
def test_a_larger_hole_never_clears_a_finding_of_room(pair: tuple[Bracket, Vector]) -> None:
    bracket, _ = pair
    (hole,) = bracket.root.holes
    wider = replace(bracket.root, holes=(replace(hole, diameter=hole.diameter * 1.5),))
    rules = {f.rule for f in found(bracket)} - {"hole too small for plasma"}
    assert rules <= {f.rule for f in found(replace(bracket, root=wider))}


@given(seat_brackets(), lengths(0, 30), lengths(0, 30))
@few
def test_asking_more_clearance_never_clears_the_body(
    pair: tuple[Seat, Bracket], more: float, still_more: float
) -> None:
    _, bracket = pair

    def told(extra: float) -> bool:
        body = replace(bracket.body, clearance=bracket.body.clearance + extra)
        return any(f.rule == "body room" for f in found(replace(bracket, body=body)))

    assert told(more + still_more) or not told(more)


@given(seat_brackets())
@modest
def test_a_seat_keeps_the_clearance_it_was_built_for(pair: tuple[Seat, Bracket]) -> None:
    """Gussets on the body's side, whichever way they lean, leave the room that was asked.

    One that the file puts nearer itself is found; one that folds away may stand anywhere.
    """
    seat, bracket = pair
    towards = "up" if seat.body_face == "top" else "down"
    placed = [
        each.from_centre
        for each in (seat.left, seat.right)
        if each is not None and each.from_centre is not None and each.direction == towards
    ]
    room = [finding for finding in found(bracket) if finding.rule == "body room"]
    assert placed or not room
    least = seat.body_diameter / 2 + seat.clearance
    upright = all(g is None or abs(g.fold - math.pi / 2) < 1e-9 for g in (seat.left, seat.right))
    if upright:
        assert bool(room) == any(place < least - 1e-3 for place in placed)


@given(seat_brackets(), lengths(100, 500), lengths(100, 500))
@few
def test_a_larger_sheet_never_adds_a_finding(
    pair: tuple[Seat, Bracket], width: float, height: float
) -> None:
    _, bracket = pair

    def too_large(scale: float) -> bool:
        sheet = (width * scale, height * scale)
        return any(f.rule == "larger than the sheet" for f in found(bracket, Context(sheet=sheet)))

    assert too_large(1.0) or not too_large(1.2)


@given(trees(depth=2))
@few
def test_the_sweep_finds_what_one_look_after_the_other_does(bracket: Bracket) -> None:
    sweep = Sweep(bracket)
    flat = {(each.first, each.second): each.depth for each in sweep.on_the_blank}
    met = {(each.first, each.second): each for each in sweep.meetings}
    joined = {(b.parent, b.child) for b in blank_of(bracket).bends}
    for amount in (0.0, 1 / 48, 7 / 48, 1 / 4, 1 / 2, 31 / 48, 3 / 4, 43 / 48, 1.0):
        for pair, depth in depths(bracket, amount).items():
            if pair in flat:
                assert amount > 0 or flat[pair] == pytest.approx(depth, abs=1e-6)
            elif pair in met and depth > TOUCH:
                assert met[pair].amount <= amount
                assert amount < 1 or met[pair].depth == pytest.approx(depth, abs=1e-6)
            elif pair in met:
                assert amount < 1 or not met[pair].finished
            else:
                assert depth <= TOUCH or pair in joined
    for pair, meeting in met.items():
        assert depths(bracket, meeting.amount)[pair] > TOUCH


def depths(bracket: Bracket, amount: float) -> dict[tuple[str, str], float]:
    """How deep each two panels, with the bends that hold them, lie in each other, mm."""
    metal: dict[str, tuple[Prism, ...]] = {}
    for part in parts_of(folded(bracket, amount)):
        metal[part.panel] = metal.get(part.panel, ()) + part.prisms
    parts = [SolidPart(name, name, prisms) for name, prisms in metal.items()]
    return {
        (one.words, other.words): -part_gap(one, other, -TOUCH)
        for one, other in combinations(parts, 2)
    }


@given(trees(depth=2))
@few
def test_meetings_happen_within_the_fold(bracket: Bracket) -> None:
    angles = {i: b.angle for i, b in enumerate(_bends(bracket.root), 1)}
    for meeting in meetings(bracket):
        assert 0 < meeting.amount <= 1
        assert meeting.angle == pytest.approx(angles[meeting.bend] * meeting.amount)
        assert meeting.depth > 0


def _bends(panel: Panel) -> list[Bend]:
    return [each for bend in panel.bends for each in (bend, *_bends(bend.panel))]
