"""The report's dimensions against the DXF beside it, folded by code of its own.

A place that the report gives on the blank is folded with `reference.foldback`, from the DXF's lines
and the report's bends alone, and must come out where the report has it on the part; the tape's two
ends must lie as far apart as the report says. Exact up to the six decimals of a DXF.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from platewright.cli.root import root
from platewright.dxf import DxfPiece, dxf_bytes
from platewright.files.job import worked_out
from platewright.files.reader import load_job
from reference.foldback import Bend, Folded, read_dxf

PATTERNS = sorted(
    path
    for path in (Path(__file__).parents[2] / "patterns").glob("*.toml")
    if not path.name.startswith("travel-")
)
NEAR = 1e-4  # mm


def made(path):
    """What `check` and `make` report of a pattern, with the blanks of its DXF."""
    told = CliRunner().invoke(root, ["check", str(path), "--json"])
    assert told.exit_code in (0, 1), told.output
    (part,) = worked_out([load_job(path)])
    pairs = zip(part.pieces, part.plans, strict=True)
    dxf = dxf_bytes([DxfPiece(piece=piece, torch=plan) for piece, plan in pairs], part.unit)
    return json.loads(told.stdout)["parts"], read_dxf(dxf)


def bend_at(part):
    """The bend that a line of the DXF is, by where it lies."""
    bends = [(np.array([each["start_mm"], each["end_mm"]]), each) for each in part["bends"]]

    def found(line):
        middle = line.mean(axis=0)
        _, bend = min(bends, key=lambda each: math.dist(each[0].mean(axis=0), middle))
        turn = math.radians(bend["angle_deg"])
        up = bend["direction"] == "up"
        return Bend(turn, up, bend["inside_radius_mm"], bend["allowance_mm"])

    return found


@pytest.mark.parametrize("path", PATTERNS, ids=lambda path: path.stem)
def test_the_blank_folds_to_every_dimension(path):
    parts, flats = made(path)
    for part, flat in zip(parts, flats, strict=True):
        root = part["root_on_blank"]
        origin, axis = np.array(root["origin_mm"]), np.array(root["x_axis"])
        turn = np.array([[axis[0], axis[1]], [-axis[1], axis[0]]])
        held = on_the_root(part, turn, origin)
        model = Folded(flat, part["thickness_mm"], bend_at(part), held)
        for each in part["dimensions"]:
            assert_told_right(each, model, turn, origin)


def on_the_root(part, turn, origin):
    """A place of the blank on the root panel: one that lies the same on the part."""
    for each in part["dimensions"]:
        for end in (each["start"], each["end"]):
            if end["blank_mm"] and end["part_mm"] and end["face"] == "top":
                here = turn @ (np.array(end["blank_mm"]) - origin)
                if math.dist((*here, 0.0), end["part_mm"]) < 1e-9:
                    return np.array(end["blank_mm"])
    return origin


def assert_told_right(each, model, turn, origin):
    start, end = each["start"], each["end"]
    values = {
        where: each.get(f"value_on_{where}_mm", each.get(f"value_on_{where}_deg"))
        for where in ("blank", "part")
    }
    # square across a bend, the tape's foot on the flat is another place than on the part
    two_feet = None not in values.values() and start["panel"] != end["panel"]
    for place in (start,) if two_feet else (start, end):
        if place["blank_mm"] and place["part_mm"]:
            there = model.point(np.array(place["blank_mm"]), place["face"])
            there[:2] = turn @ (there[:2] - origin)
            assert there == pytest.approx(place["part_mm"], abs=NEAR), each
    for where, value in values.items():
        if value is not None and f"value_on_{where}_mm" in each:
            apart = math.dist(start[f"{where}_mm"], end[f"{where}_mm"])
            assert apart == pytest.approx(value, abs=NEAR), each


def test_rows_of_the_sheet_have_their_letters():
    parts, _ = made(next(p for p in PATTERNS if p.stem == "damper-clevis"))
    for each in parts:
        letters = [d["letter"] for d in each["dimensions"] if d["critical"]]
        assert any(letter.startswith("A to B") for letter in letters)
        heights = [d for d in each["dimensions"] if d["words"].startswith("height over all")]
        # worked by hand: the ears' arcs rise to 3 in, 2 5/16 is where they begin
        assert [h["value_on_part_mm"] / 25.4 for h in heights] == pytest.approx([3.0, 3.0])
        assert all(len(h["letter"]) == 1 and h["letter"].islower() for h in heights)
