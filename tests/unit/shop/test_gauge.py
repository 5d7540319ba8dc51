"""Angle gauges: their shape against the folded section that they are held to."""

import math
from dataclasses import replace

import pytest

from laws.example_pieces import BRAKE, gusset, seat_piece
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line
from platewright.shop.gauge import STEEPEST, Gauge, gauges, least_width

R, T = 8.0, 5.0


def made(fold_deg: float, radius: float = R) -> Gauge:
    fold = math.radians(fold_deg)
    side = math.tan(fold / 2)
    blunt = 2 + radius * side
    return Gauge(
        fold=fold,
        bends=(1,),
        reach=50.0,
        width=max(18.0, least_width(fold, blunt)),
        blunt=blunt,
        round=2 + (radius + T) * side,
    )


def edges_along(gauge: Gauge, along: Vector) -> list[Line]:
    """The two edges of an arm: the outer, then the inner."""
    found = [
        s
        for s in gauge.outline.segments
        if isinstance(s, Line) and abs(s.direction.cross(along)) < 1e-9
    ]
    longest = sorted(found, key=lambda line: line.length)[-2:]
    return sorted(longest, key=lambda line: abs((line.start - gauge.corner).cross(along)))


FOLDS = [10.0, 45.0, 60.0, 90.0, 120.0, 135.0]


@pytest.mark.parametrize("fold", FOLDS)
def test_its_arms_meet_at_the_angle_between_the_folded_faces(fold):
    gauge = made(fold)
    assert gauge.opening == pytest.approx(math.radians(180 - fold))
    for along in (Vector(1.0, 0.0), Vector.polar(gauge.opening)):
        outer, inner = edges_along(gauge, along)
        assert abs((outer.start - gauge.corner).cross(along)) < 1e-9
        assert abs((inner.start - gauge.corner).cross(along)) == pytest.approx(gauge.width)


@pytest.mark.parametrize("fold", FOLDS)
def test_inside_the_fold_it_clears_the_radius_and_lies_on_both_faces(fold):
    gauge = made(fold)
    # the inside faces lie along the two outer edges; the bend rounds their corner off
    centre = gauge.corner + Vector.polar(gauge.opening / 2, R / math.sin(gauge.opening / 2))
    arms, setback = (Vector(1.0, 0.0), Vector.polar(gauge.opening)), R * math.tan(gauge.fold / 2)
    places = [s.point_at(i / 10) for s in gauge.outline.segments for i in range(10)]
    for place in places:
        from_corner = place - gauge.corner
        assert arms[0].cross(from_corner) >= -1e-9
        assert from_corner.cross(arms[1]) >= -1e-9
        if all(from_corner.dot(arm) < setback for arm in arms):
            assert place.distance(centre) <= R + 1e-9
    outer, _ = edges_along(gauge, Vector(1.0, 0.0))
    assert outer.length >= 49.9


@pytest.mark.parametrize("fold", FOLDS)
def test_over_the_outside_its_notch_has_flat_beyond_the_bend(fold):
    gauge = made(fold)
    setback = (R + T) * math.tan(gauge.fold / 2)
    for along in (Vector(1.0, 0.0), Vector.polar(gauge.opening)):
        _, inner = edges_along(gauge, along)
        far = max((end - gauge.notch).dot(along) for end in (inner.start, inner.end))
        assert far - setback >= 49.9


@pytest.mark.parametrize("radius", [R, 120.0])
@pytest.mark.parametrize("fold", FOLDS)
def test_its_outline_is_one_piece_travelled_anticlockwise(fold, radius):
    gauge = made(fold, radius)
    (relief,) = (s for s in gauge.outline.segments if isinstance(s, Arc))
    assert relief.centre.distance(gauge.notch) < 1e-9
    assert gauge.outline.area > 0
    out = Vector.polar(gauge.opening / 2)
    assert gauge.outline.contains(gauge.notch + out * -(gauge.relief + 3.0))
    assert not gauge.outline.contains(gauge.notch + out)


def test_a_bracket_has_one_gauge_for_each_fold():
    piece = seat_piece(way=BRAKE)
    (only,) = gauges(piece.bracket, piece.blank)
    assert only.bends == (1, 2)
    assert only.blunt == pytest.approx(2 + 8.0)
    assert only.round == pytest.approx(2 + 13.0)
    assert only.corner == Point(0, 0)


def test_folds_apart_have_gauges_of_their_own():
    leaning = replace(gusset("up", reach=110.0), fold=math.radians(60))
    piece = seat_piece(right=leaning)
    folds = {round(math.degrees(g.fold)): g.bends for g in gauges(piece.bracket, piece.blank)}
    assert folds == {90: (1,), 60: (2,)}
    assert all(g.fold <= STEEPEST for g in gauges(piece.bracket, piece.blank))


def test_a_flat_plate_needs_none():
    piece = seat_piece(left=None, right=None)
    assert gauges(piece.bracket, piece.blank) == ()
