"""The blank as SVG: groups, order, words."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest

from platewright.files.outputs import is_own
from platewright.files.reader import load_job
from platewright.geometry.plane import Motion, Vector
from platewright.plate.piece import pieces_of
from platewright.sheets.blank_svg import blank_svg

SVG = "{http://www.w3.org/2000/svg}"
PATTERNS = Path(__file__).parents[3] / "patterns"


def piece(name="spring-seat"):
    job = load_job(PATTERNS / f"{name}.toml")
    part = job.parts[0]
    return pieces_of(part.name, part.hand, part.card)[0]


def titles(text):
    groups = ET.fromstring(text).iter(f"{SVG}g")
    return {g.get("id"): [t.text for t in g.iter(f"{SVG}title")] for g in groups}


def test_cut_crease_and_mark_are_groups_of_their_own():
    found = titles(blank_svg(piece(), "card"))
    assert list(found) == ["cut", "crease", "mark"]
    assert found["crease"] == [
        "bend 1: fold DOWN 90°, crease",
        "bend 2: fold UP 90°, crease",
    ]


def test_the_outline_is_cut_last():
    cuts = titles(blank_svg(piece(), "card"))["cut"]
    assert cuts == ["bolt hole 1", "bolt hole 2", "port hole", "outline"]


def test_pilots_are_only_marked():
    made = piece()
    first, *rest = made.blank.holes
    pilot = replace(first, cut=False)
    other = replace(made, blank=replace(made.blank, holes=(pilot, *rest)))
    found = titles(blank_svg(other, "card"))
    assert found["mark"] == ["bolt hole 1"]
    assert "bolt hole 1" not in found["cut"]


def test_where_the_blank_lies_on_the_drawing_does_not_matter():
    made = piece()
    moved = replace(made, blank=made.blank.moved(Motion.translation(Vector(1000, -500))))
    there, here = (ET.fromstring(blank_svg(each, "card")) for each in (moved, made))
    assert there.attrib == here.attrib
    assert _numbers(there) == pytest.approx(_numbers(here), abs=1e-4)


def _numbers(root):
    paths = [path.get("d") for path in root.iter(f"{SVG}path")]
    return [float(n) for d in paths for n in re.findall(r"[-\d.]+", d)]


def test_it_says_which_pattern_it_is_and_whose(tmp_path):
    text = blank_svg(piece(), "card")
    assert "<title>spring-seat: card pattern</title>" in text
    assert "True scale: one unit is 1 mm" in text
    path = tmp_path / "card.svg"
    path.write_text(text)
    assert is_own(path)
