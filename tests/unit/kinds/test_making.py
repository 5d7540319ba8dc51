"""What a file adds to a kind, and every kind and pattern as a whole."""

import re
import tomllib
from pathlib import Path

import pytest

from platewright.errors import BuildError, FileError
from platewright.files.reader import load_job, read_job
from platewright.files.sections import Common
from platewright.files.starter import starter
from platewright.geometry.shapes import self_crossing
from platewright.kinds import panels
from platewright.kinds.kind import catalogue
from platewright.kinds.making import Corner, Extras, Trim, make_bracket
from platewright.kinds.panels_measurements import BentFrom, FreePanel, Panels
from platewright.measure import fields_of, lettered
from platewright.plate.bend import Crease
from platewright.plate.blank import blank_of
from platewright.plate.stock import MATERIALS, Stock

PATTERNS = Path(__file__).parents[3] / "patterns"
FILES = sorted(p for p in PATTERNS.glob("*.toml") if "kind" in tomllib.loads(p.read_text("utf-8")))

EXTRAS = {name for name, _ in fields_of(Extras)}

ZEE = """
kind = "zee"
units = "mm"
measured_to = "outside"
web = 60
left_flange = 40
right_flange = 50
width = 80
[stock]
thickness = 3
material = "A36"
[bend]
way = "brake"
radius = 4
k = 0.42
"""


def made(extra: str):
    job = read_job(ZEE + extra, "zee.toml", catalogue())
    return job.parts[0].bracket


def refused(extra: str) -> list[str]:
    with pytest.raises(FileError) as caught:
        made(extra)
    return [mistake.key for mistake in caught.value.mistakes]


# --- trims and corners ------------------------------------------------------------------------


def test_a_trim_takes_an_eighth_off_an_edge():
    trimmed = made('[[trim]]\npanel = "right flange"\nedge = "end"\nby = "1/8 in"\n')
    assert blank_of(made("")).bounds.width - blank_of(trimmed).bounds.width == pytest.approx(3.175)


def test_trims_of_one_edge_add_up():
    twice = made('[[trim]]\nedge = "front side"\nby = 1\n' * 2)
    assert twice.root.contour.bounds.height == pytest.approx(78)


def test_a_corner_is_rounded_or_cut():
    whole = blank_of(made("")).area
    corner = '[[corner]]\npanel = "left flange"\nedge = "end"\nnext_to = "front side"\n'
    assert whole - blank_of(made(corner + "chamfer = 10\n")).area == pytest.approx(50)
    assert whole - blank_of(made(corner + "radius = 10\n")).area == pytest.approx(21.46, abs=0.01)


@pytest.mark.parametrize(
    ("extra", "key"),
    [
        ('[[trim]]\nedge = "right end"\nby = 1\n', "trim[1]"),
        ('[[trim]]\npanel = "lid"\nedge = "end"\nby = 1\n', "trim[1].panel"),
        ('[[corner]]\nedge = "front side"\nnext_to = "back side"\nradius = 1\n', "corner[1]"),
        ('[[corner]]\nedge = "front side"\nnext_to = "back side"\n', "corner[1].radius"),
        ('[[scribe]]\nedge = "lid"\nzero_at = "x"\nreadings = [[1, 1]]\n', "scribe[1].edge"),
    ],
)
def test_mistakes_are_told_with_their_keys(extra, key):
    assert refused(extra) == [key]


def test_features_keep_their_place_when_an_edge_is_trimmed():
    hole = (
        '[[hole]]\nsize = "M5"\nmeasured_from = [{ edge = "front side", distance = 30 }, '
        '{ edge = "left end", midway_to = "right end" }]\n'
    )
    trim = '[[trim]]\nedge = "front side"\nby = 5\n'
    assert made(hole + trim).root.holes == made(hole).root.holes


def test_an_added_key_is_known_in_every_kind():
    for kind in catalogue().values():
        own = {name for name, _ in fields_of(kind.measurements)}
        shared = {name for name, _ in fields_of(Common)} | {name for name, _ in fields_of(Extras)}
        assert not own & shared, kind.name


def test_trims_and_corners_are_declared():
    assert Trim(edge="end", by=1.0).panel is None
    assert not list(Corner(edge="a", next_to="b", radius=1.0).problems())
    assert next(iter(Corner(edge="a", next_to="b").problems()))[0] == "radius"


# --- one flat piece ---------------------------------------------------------------------------


def test_a_blank_that_overlaps_itself_is_refused():
    base = FreePanel(
        name="base",
        points=((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0)),
        edges=("s", "e", "n", "w"),
    )
    flaps = [
        FreePanel(
            name=f"flap {edge}",
            bent_from=BentFrom(panel="base", edge=edge),
            points=((0.0, 0.0), (40.0, 0.0), (140.0, 60.0), (-100.0, 60.0)),
            edges=("base",),
        )
        for edge in ("s", "e")
    ]
    measured = Panels(drawn_to="flat", panel=(base, *flaps))
    with pytest.raises(BuildError, match="overlap itself"):
        make_bracket(panels.KIND, measured, Stock(2.0, MATERIALS["A36"]), Crease())


# --- every kind and every pattern -------------------------------------------------------------


def test_the_kinds_there_are():
    assert set(catalogue()) == {
        "angle", "channel", "clevis", "gusset", "hat", "panels", "seat", "stepped", "strap",
        "tab", "tray", "zee",
    }  # fmt: skip


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("name", sorted(catalogue()))
def test_the_starter_file_of_every_kind_makes_a_bracket(name, unit):
    kind = catalogue()[name]
    job = read_job(starter(kind, unit), "starter.toml", catalogue())
    blank = blank_of(job.parts[0].bracket)
    assert self_crossing(blank.outline) is None


def test_every_kind_has_a_pattern():
    kinds = {tomllib.loads(path.read_text("utf-8"))["kind"] for path in FILES}
    assert kinds == set(catalogue())
    assert len(FILES) >= 10


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_pattern_makes_its_bracket(path):
    for part in load_job(path).parts:
        bracket = part.bracket
        outline = blank_of(bracket).outline
        assert self_crossing(outline) is None
        assert outline.area > 0
        assert bracket.dimensions


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_what_is_shown_on_a_form_has_a_letter_and_a_place(path):
    for part in load_job(path).parts:
        bracket = part.bracket
        letters = lettered(part.kind.measurements)
        names = {panel.name for panel in bracket.root.walk()}
        keys = {re.sub(r"\[\d+\]", "[]", each.key) for each in bracket.dimensions if each.key}
        keys |= {re.sub(r"\[\d+\]", "[]", each.key) for each in bracket.tags}
        own = {key for key in keys if key.partition(".")[0].partition("[")[0] not in EXTRAS}
        assert own <= set(letters)
        assert own
        for each in bracket.dimensions:
            assert {each.start.panel, each.end.panel} <= set(names)
