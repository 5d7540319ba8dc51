"""What the page draws of a piece: the flat blank, its letters, the bracket folding."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest

from platewright.files.reader import load_job, read_job
from platewright.geometry.space import Point3
from platewright.kinds.kind import KindsOnDemand
from platewright.measure import lettered
from platewright.page.picture import picture
from platewright.plate.piece import Piece
from platewright.plate.place import place

PATTERNS = Path(__file__).parents[3] / "patterns"
SEAT = load_job(PATTERNS / "spring-seat.toml").parts[0]


def _ends(path: str) -> list[tuple[float, float]]:
    """The ends of a path's straights and arcs (SVG 1.1, 8.3: M, L, A, Z with absolute figures)."""
    pairs = re.findall(r"(-?[\d.]+),(-?[\d.]+)(?= |$)", path)
    return [(float(x), float(y)) for x, y in pairs]


def _area(path: str) -> float:
    ends = _ends(path)
    rounds = zip(ends, [*ends[1:], ends[0]], strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in rounds) / 2


def _part(text: str, name: str = "part.toml"):
    return read_job(text, name, KindsOnDemand()).parts[0]


def test_it_is_json_and_lies_in_its_box():
    told = picture(SEAT.pieces[0])
    assert json.loads(json.dumps(told)) == told
    left, top, width, height = told["box"]
    for face in ("top", "underside"):
        ends = _ends(told[face]["outline"])
        assert min(x for x, _ in ends) == pytest.approx(left, abs=1e-4)
        assert max(x for x, _ in ends) == pytest.approx(left + width, abs=1e-4)
        assert all(top - 1e-4 <= y <= top + height + 1e-4 for _, y in ends)


def test_arcs_stay_arcs_and_the_underside_is_the_mirror_image():
    told = picture(SEAT.pieces[0])
    top, under = told["top"], told["underside"]
    assert " A63.5 63.5 " in top["outline"]  # the front follows the plate circle, 5 in across
    assert " A63.5 63.5 " in under["outline"]
    # y down, an anticlockwise outline is clockwise to the formula: both faces run the same way
    assert _area(top["outline"]) == pytest.approx(_area(under["outline"]), abs=1e-3)
    middle = told["box"][0] + told["box"][2] / 2
    for one, other in zip(top["holes"], under["holes"], strict=True):
        assert one["at"][0] + other["at"][0] == pytest.approx(2 * middle, abs=1e-3)
        assert one["at"][1] == other["at"][1]


def test_a_score_lies_on_one_face():
    told = picture(SEAT.pieces[0])
    scored = {
        face: {bend["number"] for bend in told[face]["bends"] if bend["scored"]}
        for face in ("top", "underside")
    }
    # fold down: score the top; fold up: score the underside (the outside of the bend opens)
    assert scored == {"top": {1}, "underside": {2}}


@pytest.mark.parametrize("file", ["spring-seat", "deck-zee", "tank-strap", "sensor-steps"])
def test_letters_stand_where_the_files_keys_do(file: str):
    part = load_job(PATTERNS / f"{file}.toml").parts[0]
    seen = part.kind.in_place(part.measurements, part.bracket)
    told = picture(part.pieces[0], seen)
    letters = lettered(part.kind.measurements)
    keys = {*told["stands"], *((told["in_place"] or {}).get("stands", {}))}
    own = {key for key in keys if re.sub(r"\[\d+\]", "[]", key) in letters}
    dimensions = [each.key for each in part.bracket.dimensions if each.key]
    assert own
    assert own >= {key for key in dimensions if key in told["stands"]} & own
    assert set(told["fold"]["places"]) <= set(dimensions)


def test_the_distance_between_two_places_is_what_was_typed():
    told = picture(SEAT.pieces[0])
    (ax, ay), (bx, by) = told["stands"]["wall_gap"]["line"]
    assert math.hypot(bx - ax, by - ay) == pytest.approx(25.4, abs=1e-3)  # wall_gap = "1" in
    ends = told["fold"]["places"]["wall_gap"]
    assert [told["fold"]["panels"][end["panel"]]["name"] for end in ends] == ["plate", "plate"]


def _trough(fold: int) -> Piece:
    """A trough of thin plate: a web of 100 mm, a flange of 80 mm on either side."""
    flange = f"""
[[panel]]
name = "NAME"
points = [[0, 0], [60, 0], [60, 80], [0, 80]]
edges = "base, far side, far edge, near side"
[panel.bent_from]
panel = "web"
edge = "NAME side"
base = "base"
angle = {fold}
direction = "up"
"""
    text = f"""
kind = "panels"
units = "mm"
drawn_to = "flat"
[stock]
thickness = 0.5
material = "S235"
[bend]
way = "brake"
radius = 0.5
k = 0.4
[[panel]]
name = "web"
points = [[0, 0], [100, 0], [100, 60], [0, 60]]
edges = "front edge, right side, back edge, left side"
{flange.replace("NAME", "left")}{flange.replace("NAME", "right")}
"""
    return _part(text).pieces[0]


def test_where_flanges_meet_the_angle_and_the_place_are_told():
    """Tips of two flanges L on a web W meet over its middle: L cos(180° - a) = W / 2."""
    piece = _trough(135)
    (touch,) = picture(piece)["fold"]["touches"]
    meets = math.pi - math.acos(50 / 80)  # plane trigonometry
    assert math.radians(touch["angle_deg"]) == pytest.approx(meets, abs=math.radians(2.0))
    assert touch["finished"]
    assert "meets" in touch["words"]
    amount = touch["amount"]
    holder = place(piece.bracket, amount)[touch["panel"]]
    at = holder.world_from_panel.point3(Point3(*touch["at"]))
    edge = [
        p.world_from_panel.point(corner)
        for p in place(piece.bracket, amount)
        if p.parent == 0
        for corner in p.panel.contour.corners
    ]
    high = max(corner.z for corner in edge)
    assert at.z == pytest.approx(high, abs=3.0)  # at the tips, which meet first
    assert picture(_trough(90))["fold"]["touches"] == []


def test_a_gusset_that_rubs_on_the_body_is_marked_where_it_does():
    text = (PATTERNS / "spring-seat.toml").read_text()
    part = _part(text.replace('direction = "up"', 'direction = "up"\nfrom_centre = "2 3/4"'))
    (touch,) = picture(part.pieces[0])["fold"]["touches"]
    assert touch["words"] == "right gusset rubs on the body"
    assert touch["finished"]
    panel = part.bracket.panel("right gusset")
    x, _, z = touch["at"]
    # on the face that is inside of the fold up: the top
    assert z == pytest.approx(0.0, abs=1e-3)
    assert panel.contour.bounds.xmin - 1e-3 <= x <= panel.contour.bounds.xmax + 1e-3
