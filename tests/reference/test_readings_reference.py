"""Parts made wrong from their DXF, measured by other code, and what the readings are said to mean.

The true sizes are what was done to the part here.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from laws.wrong_parts import Bench, Wrong, cut_in, holes_moved, line_moved, printed
from platewright.dxf import DxfPiece, dxf_bytes
from platewright.files.reader import load_all
from platewright.readings.diagnosis import Diagnosis, Found, diagnose
from platewright.shop.cutting import Cutting, torch_plan
from reference.foldback import read_dxf

PATTERNS = Path(__file__).resolve().parents[2] / "patterns"
INCH = 25.4
KERF = 1.524


def bench_of(pattern: str) -> Bench:
    """A pattern's first piece, its blank as the DXF has it."""
    piece = load_all([PATTERNS / f"{pattern}.toml"], [])[0].parts[0].pieces[0]
    plan = torch_plan(piece.blank, piece.bracket.stock.thickness, Cutting(kerf=0.0))
    (flat,) = read_dxf(dxf_bytes([DxfPiece(piece=piece, torch=plan)], "mm"))
    return Bench(piece, flat)


def said(bench: Bench, part: Wrong, seed: int = 1) -> Diagnosis:
    """What is said of a part read to 1/32 in."""
    readings = bench.readings(part, bench.rows, INCH / 32, 0.2, random.Random(seed))
    return diagnose(bench.piece, readings, division=INCH / 32, kerf=KERF, unit="in")


def only(told: Diagnosis) -> Found:
    """The one cause."""
    (found,) = told.causes
    return found


@pytest.mark.parametrize("pattern", ["spring-seat", "cross-channel", "battery-tray", "rail-angle"])
def test_a_true_part_serves(pattern: str) -> None:
    told = said(bench_of(pattern), bench_of(pattern).true)
    assert told.causes == ()
    assert told.fate.outcome == "serves"
    assert {verdict.judged for verdict in told.verdicts} <= {"good", "cannot be read so finely"}


@pytest.mark.parametrize("pattern", ["spring-seat", "cross-channel", "battery-tray"])
def test_a_print_at_97_percent(pattern: str) -> None:
    bench = bench_of(pattern)
    found = only(said(bench, printed(bench.true, -0.03, -0.03, "")))
    assert found.name == "print scale"
    assert found.size == pytest.approx(-0.03, abs=max(2 * found.error, 1e-3))
    assert "100 %" in found.remedies[0].words


@pytest.mark.parametrize("pattern", ["spring-seat", "cross-channel", "winch-angle"])
def test_a_fold_line_that_was_shifted(pattern: str) -> None:
    bench = bench_of(pattern)
    found = only(said(bench, line_moved(bench.true, 1, 4.0, 0.0, "")))
    assert found.name == "bend 1 displaced"
    assert found.size == pytest.approx(4.0, abs=0.4)


def test_a_bend_line_scribed_wrong_is_scribed_anew_before_bending() -> None:
    bench = bench_of("cross-channel")
    part = line_moved(bench.true, 1, 4.0, 0.0, "")
    readings = bench.readings(part, bench.rows, INCH / 32, 0.2, random.Random(1))
    flat = [each for each in readings if each.state == "flat"]
    before = diagnose(bench.piece, flat, division=INCH / 32, kerf=KERF)
    assert [found.name for found in before.causes] == ["bend 1 displaced"]
    assert before.fate.outcome == "mark anew"
    # once it is bent no line is scribed anew
    assert said(bench, part).fate.outcome != "mark anew"


def test_a_hole_that_was_shifted_in_the_dxf() -> None:
    bench = bench_of("cross-channel")
    told = said(bench, holes_moved(bench.true, {0: np.array([3.0, -4.0])}, "", 5.0))
    found = only(told)
    assert found.name == f"{bench.piece.blank.holes[0].what} off"
    assert found.sizes == pytest.approx((3.0, -4.0), abs=0.6)
    assert told.fate.outcome == "make again"


@pytest.mark.parametrize(
    ("missing", "words"), [(-KERF / 2, "allowed for twice"), (KERF / 2, "not allowed for")]
)
def test_a_kerf_that_was_allowed_for_twice_or_not(missing: float, words: str) -> None:
    bench = bench_of("battery-tray")
    sides = dict.fromkeys(range(len(bench.flat.corners)), missing)
    told = said(bench, cut_in(bench.true, sides, "", missing))
    assert only(told).name == "kerf"
    assert words in only(told).words
    assert told.fate.sets == ()


def test_a_kerf_of_another_width_is_a_number_for_the_file() -> None:
    bench, missing = bench_of("battery-tray"), 2.2
    sides = dict.fromkeys(range(len(bench.flat.corners)), missing)
    told = said(bench, cut_in(bench.true, sides, "", missing))
    assert only(told).name == "kerf"
    (number,) = told.fate.sets
    key, _, value = number.partition("=")
    # half the kerf is missing more at every edge
    assert key == "cutting.kerf"
    assert float(value.removesuffix(" in")) * INCH == pytest.approx(KERF + 2 * missing, abs=0.4)


def test_a_fold_that_is_not_closed() -> None:
    bench = bench_of("spring-seat")
    one = replace(bench.bends[0], angle=bench.bends[0].angle - math.radians(4))
    told = said(bench, replace(bench.true, bends=[one, bench.bends[1]]))
    found = only(told)
    assert found.name == "bend 1 folded"
    assert math.degrees(found.size) == pytest.approx(-4, abs=0.5)
    assert told.fate.outcome == "bend anew"


def test_two_things_at_once() -> None:
    bench = bench_of("battery-tray")
    part = line_moved(printed(bench.true, -0.03, -0.03, ""), 2, 4.0, 0.0, "")
    assert {found.name for found in said(bench, part).causes} == {"print scale", "bend 2 displaced"}


def side_of(bench: Bench, panel: str, edge: str) -> int:
    """Which side of the outline a panel's edge is."""
    placed = next(each for each in bench.piece.blank.panels if each.panel.name == panel)
    line = placed.panel.straight_edge(edge).moved(placed.blank_from_panel)
    kind, side = bench.line_at(np.array([(p.x, p.y) for p in (line.start, line.end)]))
    assert kind == "edge"
    return int(side)


def test_an_edge_left_long_is_trimmed() -> None:
    bench = bench_of("spring-seat")
    side = side_of(bench, "left gusset", "far edge")
    told = said(bench, cut_in(bench.true, {side: -6.0}, "", -6.0))
    assert only(told).name == "far edge of the left gusset off"
    assert only(told).size == pytest.approx(-6.0, abs=0.6)
    assert told.fate.outcome == "trim"
    (trim,) = told.fate.trims
    assert trim.endswith("off the far edge of the left gusset")


def test_an_edge_cut_short_that_decides_nothing_fits() -> None:
    bench = bench_of("spring-seat")
    side = side_of(bench, "left gusset", "far edge")
    told = said(bench, cut_in(bench.true, {side: 6.0}, "", 6.0))
    assert told.fate.outcome == "fits"
    side = side_of(bench, "plate", "wall edge")
    assert said(bench, cut_in(bench.true, {side: 6.0}, "", 6.0)).fate.outcome == "make again"
