"""Folds, strips and the kinds made of one strip."""

import math

import pytest

from platewright.errors import BuildError, FlattenError
from platewright.kinds import channel, hat, stepped, strap, zee
from platewright.kinds.channel import Channel
from platewright.kinds.folds import Fold, fold
from platewright.kinds.hat import Hat
from platewright.kinds.holes import BoltRow, HoleRow
from platewright.kinds.stepped import Step, Stepped
from platewright.kinds.strap import Strap
from platewright.kinds.strip import FoldedStrip, Leg
from platewright.kinds.zee import Zee
from platewright.plate.bend import Brake, Crease, setback
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.flatten import flatten
from platewright.plate.folded import folded
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.hardware import parse_bolt_size

PLATE = Stock(3.0, MATERIALS["A36"])
WAY = Brake(radius=4.0, k=0.42)
M8 = parse_bolt_size("M8", "mm")
SQUARE = math.pi / 2


def trough(**changed) -> Channel:
    measured = {
        "measured_to": "outside",
        "web": 100.0,
        "left_flange": 40.0,
        "right_flange": 60.0,
        "width": 150.0,
    }
    return Channel(**measured | changed)


def check_words(bracket: Bracket) -> list[str]:
    return [f"{check.start.words} / {check.end.words}" for check in bracket.dimensions]


# --- setbacks ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("to", "length"), [("outside", 7.0), ("centre", 5.5), ("inside", 4.0), ("flat", 0.0)]
)
def test_setbacks_of_a_right_angle(to, length):
    assert setback(WAY, SQUARE, 3.0, to) == pytest.approx(length)


def test_setbacks_beyond_a_right_angle_are_to_the_farthest_place():
    assert setback(WAY, math.radians(120), 3.0, "outside") == pytest.approx(7.0)
    assert setback(WAY, math.radians(60), 3.0, "outside") == pytest.approx(
        7 * math.tan(math.radians(30))
    )


def test_a_leg_that_its_bends_use_up_is_refused():
    with pytest.raises(BuildError, match=r"14\.0 mm") as caught:
        channel.KIND.build(trough(web=14.0), PLATE, WAY)
    assert caught.value.keys == ("web",)


def test_the_outside_of_a_fold_is_the_face_it_folds_away_from():
    bends = {
        way: channel.KIND.build(trough(direction=way), PLATE, WAY).root.bends[0]
        for way in ("up", "down")
    }
    assert bends["up"].outside == "underside"
    assert bends["down"].outside == "top"


# --- strips -----------------------------------------------------------------------------------


def legs(*lengths: float) -> tuple[Leg, ...]:
    return tuple(Leg(name=f"leg {i}", length=x, key=f"k{i}") for i, x in enumerate(lengths, 1))


def laid(strip: FoldedStrip, stock: Stock, way) -> Bracket:
    return Bracket(stock=stock, root=flatten(strip.drawn(way), stock))


def test_a_strip_of_creases_is_as_long_as_its_legs():
    folds = (Fold(1.0, "up"), Fold(0.5, "down"))
    strip = FoldedStrip(legs=legs(10, 20, 30), folds=folds, width=5, root=1)
    assert blank_of(laid(strip, Stock(1e-9, PLATE.material), Crease())).bounds.width == (
        pytest.approx(60)
    )


@pytest.mark.parametrize("root", [0, 1, 2])
def test_the_blank_of_a_strip_is_the_same_whichever_leg_is_held(root):
    folds = (fold(1.0, "up", "inside"), fold(0.5, "down", "inside"))
    strip = FoldedStrip(legs=legs(30, 40, 50), folds=folds, width=20, root=root)
    bracket = laid(strip, PLATE, WAY)
    assert bracket.root.name == f"leg {root + 1}"
    width = sum((30, 40, 50)) - sum(
        2 * setback(WAY, f.angle, 3.0, "inside") - WAY.allowance(f.angle, 3.0) for f in folds
    )
    assert blank_of(bracket).bounds.width == pytest.approx(width)


def test_a_key_is_named_where_the_bends_use_up_a_leg():
    strip = FoldedStrip(legs=legs(30, 5), folds=(Fold(1.5, "up"),), width=20, root=0)
    drawn = strip.drawn(WAY)
    with pytest.raises(FlattenError) as caught:
        flatten(drawn, PLATE)
    assert drawn.keys_of(caught.value) == ("k2",)


def test_every_leg_is_checked_first_the_critical_ones():
    bracket = channel.KIND.build(trough(), PLATE, WAY)
    assert check_words(bracket)[:5] == [
        "end of the left flange / outside of the bend to the web",
        "outside of the bend to the left flange / outside of the bend to the right flange",
        "outside of the bend to the web / end of the right flange",
        "end of the left flange / end of the right flange",
        "front side / back side",
    ]
    first = bracket.dimensions[:5]
    assert [check.when for check in first] == ["folded"] * 3 + ["either"] * 2
    assert [check.critical for check in first] == [True] * 3 + [False] * 2
    assert [check.key for check in first] == ["left_flange", "web", "right_flange", "", "width"]


@pytest.mark.parametrize("to", ["outside", "inside", "centre"])
def test_checks_of_legs_read_the_measured_lengths(to):
    bracket = channel.KIND.build(trough(measured_to=to), PLATE, WAY)
    model, keys = folded(bracket), ("left_flange", "web", "right_flange")
    read = [model.value(c) for c in bracket.dimensions if c.key in keys]
    assert read == pytest.approx([40, 100, 60])
    # no tape finds the centre: the outside is told beside it
    outside = [model.value(c) for c in bracket.dimensions if c.critical and not c.key]
    assert outside == pytest.approx([41.5, 103, 61.5] if to == "centre" else [])


def test_holes_stand_at_their_gauge():
    row = HoleRow(count=2, spacing=50.0, gauge=25.0, size=M8)
    bracket = channel.KIND.build(trough(left_holes=row, right_holes=row), PLATE, WAY)
    for name, sign in (("left flange", -1), ("right flange", 1)):
        panel = bracket.panel(name)
        holes, base = panel.holes, panel.straight_edge("base").start.x
        assert [h.centre.x - base for h in holes] == pytest.approx([sign * 18] * 2)
        assert [h.centre.y for h in holes] == pytest.approx([-25, 25])
        assert holes[0].what == f"{name} hole 1"
    gauges = [c for c in bracket.dimensions if c.key.endswith(".gauge")]
    assert [folded(bracket).value(c) for c in gauges] == pytest.approx([25] * 4)


def test_holes_without_a_gauge_stand_in_the_middle_of_the_leg():
    row = HoleRow(count=1, size=M8)
    bracket = channel.KIND.build(trough(web_holes=row, right_holes=row), PLATE, WAY)
    assert bracket.panel("web").holes[0].centre.x == pytest.approx(0)
    flange = bracket.panel("right flange")
    from_bend = flange.holes[0].centre.x - flange.straight_edge("base").start.x
    assert from_bend == pytest.approx(30 - 7)


def test_holes_that_leave_their_leg_are_refused():
    for key, row in (
        ("left_holes", HoleRow(count=1, gauge=38.0, size=M8)),
        ("web_holes", HoleRow(count=3, spacing=75.0, size=M8)),
    ):
        with pytest.raises(BuildError, match="does not lie wholly on the") as caught:
            channel.KIND.build(trough(**{key: row}), PLATE, WAY)
        assert caught.value.keys == (key,)


def test_several_holes_need_a_spacing():
    assert next(iter(HoleRow(count=2, size=M8).problems()))[0] == "spacing"
    assert not list(HoleRow(count=1, size=M8).problems())


# --- zee and hat ------------------------------------------------------------------------------


def test_the_flanges_of_a_zee_fold_opposite_ways():
    measured = Zee(measured_to="outside", web=60.0, left_flange=40.0, right_flange=40.0, width=50.0)
    bends = zee.KIND.build(measured, PLATE, WAY).root.bends
    assert {bend.panel.name: bend.direction for bend in bends} == {
        "right flange": "up",
        "left flange": "down",
    }


def test_the_feet_of_a_hat_are_parallel_to_its_top():
    measured = Hat(
        measured_to="outside", top=80.0, side=50.0, left_foot=30.0, right_foot=30.0,
        width=60.0, angle=1.2,
    )  # fmt: skip
    model = folded(hat.KIND.build(measured, PLATE, WAY))
    for name in ("left foot", "right foot"):
        assert model.panel(name).world_from_panel.z_axis.z == pytest.approx(1)
    heights = {model.panel(f"{hand} foot").world_from_panel.origin.z for hand in ("left", "right")}
    assert max(heights) - min(heights) < 1e-9


# --- stepped ----------------------------------------------------------------------------------


def test_bends_between_legs_and_none_after_the_last():
    legs_ = (Step(length=30.0, bend=1.0), Step(length=30.0, bend=1.0))
    assert dict(Stepped(measured_to="inside", width=9.0, leg=legs_).problems()).keys() == {
        "leg[2].bend"
    }
    legs_ = (Step(length=30.0), Step(length=30.0), Step(length=30.0))
    assert dict(Stepped(measured_to="inside", width=9.0, leg=legs_).problems()).keys() == {
        "leg[1].bend",
        "leg[2].bend",
    }


def test_only_a_leg_that_is_there_is_held():
    legs_ = (Step(length=30.0, bend=1.0), Step(length=30.0))
    measured = Stepped(measured_to="inside", width=9.0, held=3, leg=legs_)
    assert list(measured.problems()) == [("held", "there are only 2 legs")]


def test_the_held_leg_lies_still():
    legs_ = tuple(Step(length=40.0, bend=b) for b in (0.6, 0.6, None))
    bracket = stepped.KIND.build(
        Stepped(measured_to="centre", width=30.0, held=2, leg=legs_), PLATE, WAY
    )
    assert bracket.root.name == "leg 2"
    assert {bend.panel.name for bend in bracket.root.bends} == {"leg 1", "leg 3"}


# --- strap ------------------------------------------------------------------------------------


def tank(**changed) -> Strap:
    measured = {
        "diameter": 200.0,
        "centre_height": 104.0,
        "span": 264.0,
        "width": 40.0,
        "bolts": BoltRow(count=1, size=M8),
    }
    return Strap(**measured | changed)


def test_a_strap_has_its_bends_between_two_shanks_and_two_ears():
    bracket = strap.KIND.build(tank(bends=4), PLATE, WAY)
    assert len(list(bracket.root.walk())) == 3 + 2 + 2
    bends = blank_of(bracket).bends
    assert sorted(bend.direction for bend in bends) == ["down"] * 4 + ["up"] * 2


def test_a_faceted_strap_spans_its_bolts_and_lies_flat_on_its_ears():
    bracket = strap.KIND.build(tank(middle="faceted"), PLATE, WAY)
    model = folded(bracket)
    (span,) = [c for c in bracket.dimensions if c.key == "span"]
    assert span.when == "either"
    assert model.value(span) == pytest.approx(264)
    normals = [model.panel(f"{hand} ear").world_from_panel.z_axis for hand in ("left", "right")]
    assert normals[0].dot(normals[1]) == pytest.approx(1)


def test_a_rolled_strap_is_checked_flat():
    dimensions = strap.KIND.build(tank(), PLATE, WAY).dimensions
    (span,) = [c for c in dimensions if c.critical and c.quantity == "length"]
    assert span.when == "flat"


def test_a_lined_strap_is_longer():
    plain, lined = (
        blank_of(strap.KIND.build(tank(liner=x), PLATE, WAY)).bounds.width for x in (0.0, 3.0)
    )
    assert lined - plain == pytest.approx(math.pi * 3 - 6)


@pytest.mark.parametrize(
    ("changed", "keys"),
    [
        ({"span": 205.0}, ("span",)),
        ({"centre_height": 5.0}, ("centre_height", "wrap")),
        ({"diameter": 6.0, "span": 60.0}, ("diameter",)),
        ({"bolts": BoltRow(count=3, spacing=20.0, size=M8)}, ("bolts",)),
    ],
)
def test_straps_that_cannot_be(changed, keys):
    with pytest.raises(BuildError) as caught:
        strap.KIND.build(tank(**changed), PLATE, WAY)
    assert caught.value.keys == keys
