"""`nest` from files to files: what is written is read back by somebody else's library."""

from __future__ import annotations

import json
from itertools import combinations
from typing import get_args

import ezdxf
import pypdfium2
import pytest
import shapely
from click.testing import CliRunner
from ezdxf import path as dxf_path

from platewright.cli import nest as nest_command
from platewright.cli.choosing import PAPER_NAMES
from platewright.cli.root import root
from platewright.geometry.plane import Vector
from platewright.nest.layout import Grain, NestSpot
from platewright.nest.search import best_layouts
from platewright.sheets.paper import PAPERS

JOB = """
units = "in"
[stock]
thickness = "3/16"
material = "A36"
[bend]
way = "brake"
radius = "1/4"
k = 0.42
[cutting]
kerf = "0.06"
lead = "arc"
[[part]]
name = "seat"
kind = "seat"
hand = "pair"
quantity = 2
plate_diameter = "5"
body_diameter = "6 1/2"
wall_gap = "1"
bolts = { count = 2, spacing = "2 3/4" }
left = { reach = "6", depth = "3 1/2" }
[[part]]
name = "lug"
kind = "seat"
quantity = 3
plate_diameter = "2"
body_diameter = "2"
wall_gap = "1/4"
bolts = { count = 1 }
"""
MM = 25.4


def run(*args):
    return CliRunner().invoke(root, ["nest", *(str(arg) for arg in args)])


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "job.toml").write_text(JOB)


def report(*args):
    done = run("job.toml", "--tries", "1", "--json", *args)
    assert done.exit_code == 0, done.output
    return json.loads(done.output)


def points(entity) -> list[tuple[float, float]]:
    return [(p.x, p.y) for p in dxf_path.make_path(entity).flattening(1e-4)]


def polygon(entity) -> shapely.Polygon:
    return shapely.Polygon(points(entity))


def on_layer(folder, name, layer):
    space = ezdxf.readfile(folder / name).modelspace()
    return list(space.query(f'LWPOLYLINE CIRCLE[layer=="{layer}"]'))


def test_the_files_hold_every_part_apart_and_on_the_sheet(tmp_path):
    told = report("--sheet", "24x18", "--out", "out")
    (plate,) = told["plates"]
    profiles = 0
    for nested in plate["sheets"]:
        name = f"nest-{nested['number']}.dxf"
        (stock,) = on_layer(tmp_path / "out", name, "REFERENCE")[:1]
        parts = [polygon(each) for each in on_layer(tmp_path / "out", name, "NET-PROFILE")]
        sheet = polygon(stock)
        assert sheet.bounds == pytest.approx((0, 0, 24, 18))
        # a quarter inch of metal beside what the torch burns of kerf on either side
        assert all(sheet.buffer(-0.31 + 1e-3).covers(part) for part in parts)
        assert all(a.distance(b) >= 0.37 - 1e-3 for a, b in combinations(parts, 2))
        cuts = [polygon(each) for each in on_layer(tmp_path / "out", name, "TORCH-PATH")]
        rings = [cut.exterior for cut in cuts if any(cut.covers(part) for part in parts)]
        leads = on_layer(tmp_path / "out", name, "TORCH-LEADS")
        lines = [shapely.LineString(points(lead)) for lead in leads]
        burnt = [
            shapely.union_all([ring, *(line for line in lines if line.distance(ring) < 1e-3)])
            for ring in rings
        ]
        assert all(a.distance(b) >= 0.25 + 0.06 - 1e-3 for a, b in combinations(burnt, 2))
        holes = [polygon(each) for each in on_layer(tmp_path / "out", name, "NET-HOLES")]
        metal = sum(part.area for part in parts) - sum(hole.area for hole in holes)
        assert metal * MM**2 == pytest.approx(nested["used_mm2"], rel=1e-4)
        assert nested["used_mm2"] + nested["left_mm2"] == pytest.approx(nested["area_mm2"])
        profiles += len(parts)
    assert profiles == 2 * 2 + 3


def test_the_torch_path_comes_in_cutting_order(tmp_path):
    (nested,) = report("--sheet", "24x36", "--out", "out")["plates"][0]["sheets"]
    folder = tmp_path / "out"
    parts = [polygon(each) for each in on_layer(folder, "nest-1.dxf", "NET-PROFILE")]
    paths = [polygon(each) for each in on_layer(folder, "nest-1.dxf", "TORCH-PATH")]
    whose = [next(i for i, part in enumerate(parts) if part.intersects(path)) for path in paths]
    assert whose == sorted(whose)
    for index, part in enumerate(parts):
        own = [path.covers(part) for path, i in zip(paths, whose, strict=True) if i == index]
        assert own == [False] * (len(own) - 1) + [True]
    for part, told in zip(parts, nested["parts"], strict=True):
        assert [x * MM for x in part.bounds] == pytest.approx(told["bounds_mm"], abs=1e-3)


def test_torch_writes_the_path_alone_in_a_file_of_its_own(tmp_path):
    told = report("--sheet", "24x36", "--torch", "--out", "out")
    names = {name.rpartition("/")[2] for name in told["files"]}
    assert names == {"nest-1.dxf", "nest-1-torch.dxf", "nest-1-left.toml", "nest.pdf"}
    alone = ezdxf.readfile(tmp_path / "out" / "nest-1-torch.dxf").modelspace()
    allowed = {"TORCH-PATH", "TORCH-LEADS", "PIERCE-POINTS", "PUNCH-POINTS", "NOTES"}
    assert {entity.dxf.layer for entity in alone} <= allowed
    both = [
        on_layer(tmp_path / "out", name, "TORCH-PATH") for name in sorted(names) if "dxf" in name
    ]
    first, second = ([polygon(each) for each in paths] for paths in both)
    assert len(first) == len(second) > 0
    assert all(a.equals_exact(b, 1e-6) for a, b in zip(first, second, strict=True))


def test_every_sheet_has_its_page(tmp_path):
    told = report("--sheet", "24x14 in", "--out", "out", "--units", "mm")
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == sorted(
        name.rpartition("/")[2] for name in told["files"]
    )
    pdf = pypdfium2.PdfDocument(tmp_path / "out" / "nest.pdf")
    assert len(pdf) == len(told["plates"][0]["sheets"])
    for number, page in enumerate(pdf, 1):
        text = page.get_textpage().get_text_range()
        assert f"Stock {number} of {len(pdf)}" in text
        assert f"nest-{number}.dxf" in text


def test_the_report_for_a_person():
    told = run("job.toml", "--sheet", "24x36", "--tries", "4").output
    assert "3/16 in A36 structural steel: 7 parts on 1 sheet" in told
    assert "3 x lug, 2 x seat-left, 2 x seat-right" in told
    assert "wrote nest-1.dxf" in told


def test_the_same_seed_writes_the_same_bytes(tmp_path):
    for folder in ("one", "two"):
        run("job.toml", "--sheet", "24x36", "--tries", "20", "--seed", "7", "--out", folder)
    for path in (tmp_path / "one").iterdir():
        assert path.read_bytes() == (tmp_path / "two" / path.name).read_bytes()


def test_remnants_go_first_and_plates_apart(tmp_path):
    thin = JOB.replace("3/16", "1/8").replace('"seat"\nkind', '"thin-seat"\nkind')
    (tmp_path / "thin.toml").write_text(thin.replace('"lug"\nkind', '"thin-lug"\nkind'))
    (tmp_path / "left.toml").write_text(
        'units = "in"\nthickness = "1/8"\nmaterial = "A36"\n'
        "outline = [[0, 0], [16, 0], [16, 10], [10, 16], [0, 16]]\n"
    )
    told = report("thin.toml", "--sheet", "24x36", "--remnant", "left.toml")
    thick, thinner = told["plates"]
    assert [each["stock"] for each in thick["sheets"]] == ["24 in x 36 in"]
    assert thinner["sheets"][0]["stock"] == "remnant left"
    numbers = [each["number"] for plate in told["plates"] for each in plate["sheets"]]
    assert numbers == list(range(1, len(numbers) + 1))


def test_grain_is_kept():
    told = report("--sheet", "36x24", "--grain", "across")
    turns = {
        part["turned_deg"] % 180
        for plate in told["plates"]
        for nested in plate["sheets"]
        for part in nested["parts"]
        if part["name"].startswith("seat")
    }
    # the seat's one bend runs along y in its drawing, square to the grain
    assert turns == {0.0}


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("--sheet", "10x5"), "fits none of the stock"),
        ((), "no stock is given"),
        (("--sheet", "24"), "not a size of stock"),
        (("--sheet", "24x36", "--gap", "-1/32"), "--gap -1/32"),
        (("--sheet", "24x36", "--gap", "wide"), "--gap wide"),
        (("--sheet", "24x36", "--margin", "-1"), "--margin -1"),
        (("--sheet", "24x36", "--turn", "7"), "evenly into a full turn"),
        (("--sheet", "24x36", "--name", "a/b"), "--name a/b: no name for files"),
        (("--remnant", "left.tml"), "--remnant left.tml: no file of that name, and not a size"),
        (("--remnant", "14x8"), "the stock is used up"),
        (("--remnant", "gone.toml"), "no such file"),
        (("job.toml", "--sheet", "24x36"), "two parts are called"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(args, words, tmp_path):
    done = run("job.toml", *args, "--tries", "2", "--out", "out")
    assert done.exit_code == 2
    assert words in done.output
    assert not (tmp_path / "out").exists()


def test_a_layout_that_does_not_hold_is_not_written(tmp_path, monkeypatch):
    def one_on_another(parts, *_):
        spots = [NestSpot(i, 0.0, Vector(10.0, 10.0)) for i, _ in enumerate(parts)]
        return [[(0, spots)]], False

    monkeypatch.setattr("platewright.nest.nest.best_layouts", one_on_another)
    done = run("job.toml", "--sheet", "24x48", "--out", "out")
    assert done.exit_code == 2
    assert "does not hold: " in done.output
    assert "lug (copy 1) lies over seat-left (copy 1)" in done.output
    assert "Nothing was written" in done.output
    assert not (tmp_path / "out").exists()


def test_a_layout_that_gave_way_to_one_that_holds_is_told(monkeypatch):
    def one_on_another_first(parts, *others):
        spots = [NestSpot(i, 0.0, Vector(10.0, 10.0)) for i, _ in enumerate(parts)]
        layouts, stopped = best_layouts(parts, *others)
        return [[(0, spots)], *layouts], stopped

    monkeypatch.setattr("platewright.nest.nest.best_layouts", one_on_another_first)
    done = run("job.toml", "--sheet", "24x48", "--tries", "1", "--out", "out")
    assert done.exit_code == 0
    assert "1 closer layout did not stand the proof and gave way to this one" in done.output


def test_what_is_left_is_stock_for_the_next_nest(tmp_path):
    first = report("--sheet", "24x48", "--out", "out")
    (nested,) = first["plates"][0]["sheets"]
    left, low, right, high = nested["strip_mm"]
    kept = tmp_path / "out" / "nest-1-left.toml"
    again = report("--remnant", str(kept), "--sheet", "24x48", "--out", "again")
    (used, *_) = again["plates"][0]["sheets"]
    assert used["stock"] == "remnant nest-1-left"
    # what is told is there for certain: tape divisions below
    lost = (right - left) * (high - low) - used["area_mm2"]
    assert 0 <= lost <= MM / 16 * (right - left + high - low)
    page = pypdfium2.PdfDocument(tmp_path / "out" / "nest.pdf")[0]
    assert "kept as nest-1-left.toml" in page.get_textpage().get_text_range()


def test_breaking_off_keeps_the_best_found(tmp_path, monkeypatch):
    def broken_off(*_):
        raise KeyboardInterrupt

    whole = report("--sheet", "24x48", "--out", "whole")
    monkeypatch.setattr("platewright.nest.search.tightened", broken_off)
    done = run("job.toml", "--sheet", "24x48", "--tries", "6", "--out", "out")
    assert done.exit_code == 0
    assert "stopped before the end" in done.output
    assert (tmp_path / "out" / "nest-1.dxf").exists()
    assert report("--sheet", "24x48", "--out", "out")["stopped"]
    assert not whole["stopped"]


def test_breaking_off_before_there_is_a_layout_writes_nothing(tmp_path, monkeypatch):
    def broken_off(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("platewright.nest.search.laid_out", broken_off)
    assert run("job.toml", "--sheet", "24x48", "--out", "out").exit_code != 0
    assert not (tmp_path / "out").exists()


def test_a_loose_remnant_cannot_serve_two_plates(tmp_path):
    (tmp_path / "thin.toml").write_text(
        JOB.replace("3/16", "1/8").replace('name = "', 'name = "thin-')
    )
    done = run("job.toml", "thin.toml", "--sheet", "24x36", "--remnant", "10x10")
    assert done.exit_code == 2
    assert "more than one plate" in done.output


def test_somebody_elses_file_is_left_alone(tmp_path):
    (tmp_path / "nest.pdf").write_text("mine")
    done = run("job.toml", "--sheet", "24x36", "--tries", "2")
    assert done.exit_code == 2
    assert (tmp_path / "nest.pdf").read_text() == "mine"
    assert not (tmp_path / "nest-1.dxf").exists()
    assert run("job.toml", "--sheet", "24x36", "--tries", "2", "--overwrite").exit_code == 0


def test_names_told_by_help_are_those_of_the_rooms():
    assert get_args(Grain) == nest_command.GRAIN_NAMES
    assert {name.lower() for name in PAPER_NAMES[:-1]} == set(PAPERS)


def test_a_hole_that_the_torch_leaves_is_drilled_by_a_note(tmp_path):
    small = JOB.replace("bolts = { count = 1 }", 'bolts = { count = 1, size = "hole 1/8 in" }')
    (tmp_path / "job.toml").write_text(small)
    report("--sheet", "24x48")
    texts = ezdxf.readfile(tmp_path / "nest-1.dxf").modelspace().query("TEXT")
    notes = " ".join(text.dxf.text for text in texts)
    assert "lug: bolt hole: punch only, not cut; drill it 1/8 in" in notes
