"""The DXF read back by somebody else's reader: GDAL's, through pyogrio.

GDAL turns arcs into chords of a stated angle (OGR_ARC_STEPSIZE); at 0.05 degrees they fall short of
the arc by 1e-7 of its length.
"""

import io
import math
from dataclasses import replace
from itertools import groupby
from pathlib import Path

import ezdxf
import numpy as np
import pyogrio
import pytest
import shapely

from platewright.dxf import LAYERS, VERSIONS, DxfPiece, coupon_bytes, dxf_bytes
from platewright.files.reader import load_job
from platewright.geometry.build import rectangle
from platewright.geometry.plane import Bounds
from platewright.plate.blank import Blank
from platewright.plate.bracket import Cutout, Hole
from platewright.plate.detail import Detail
from platewright.plate.piece import pieces_of
from platewright.shop.coupon import coupon
from platewright.shop.cutting import Cutting, torch_plan
from platewright.shop.guide import GuideSetup, tracing_guide

INCH = 25.4
SCALE = {"in": INCH, "mm": 1.0}
PATTERN_FOLDER = Path(__file__).parents[2] / "patterns"
PATTERNS = ("spring-seat", "pump-foot", "damper-clevis", "corner-gusset")


@pytest.fixture(autouse=True)
def fine_arcs():
    before = pyogrio.get_gdal_config_option("OGR_ARC_STEPSIZE")
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": "0.05"})
    yield
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": before})


def read_back(data, folder):
    """Shapes by layer, in the file's order and unit."""
    path = folder / "read.dxf"
    path.write_bytes(data)
    meta, _, shapes, fields = pyogrio.raw.read(path)
    layers = fields[list(meta["fields"]).index("Layer")]
    found = sorted(zip(layers, map(shapely.from_wkb, shapes), strict=True), key=lambda x: x[0])
    return {name: [s for _, s in items] for name, items in groupby(found, key=lambda x: x[0])}


def areas(shapes, unit):
    return sorted(shapely.Polygon(shape).area * SCALE[unit] ** 2 for shape in shapes)


def lengths(shapes, unit):
    return sorted(shape.length * SCALE[unit] for shape in shapes)


def piece_of(name, detail):
    job = load_job(PATTERN_FOLDER / f"{name}.toml")
    part = job.parts[0]
    piece = pieces_of(part.name, part.hand, part.bracket, detail)[0]
    return piece, part.unit


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("name", PATTERNS)
def test_net_shape_and_torch_path_have_their_areas_and_lengths(name, unit, version, tmp_path):
    piece, _ = piece_of(name, Detail(nicks=True, relief="round"))
    blank = piece.blank
    plan = torch_plan(blank, piece.bracket.stock.thickness, Cutting(kerf=1.7))
    read = read_back(dxf_bytes([DxfPiece(piece=piece, torch=plan)], unit, version), tmp_path)
    (profile,) = read["NET-PROFILE"]
    assert profile.is_ring
    assert areas([profile], unit) == pytest.approx([blank.outline.area], rel=1e-6)
    assert lengths([profile], unit) == pytest.approx([blank.outline.perimeter], rel=1e-6)
    net = [hole.circle.area for hole in blank.cut_holes]
    net += [cutout.contour.area for cutout in blank.cutouts]
    assert areas(read.get("NET-HOLES", []), unit) == pytest.approx(sorted(net), rel=1e-6)
    paths = sorted(cut.path.area for cut in plan.cuts)
    assert areas(read["TORCH-PATH"], unit) == pytest.approx(paths, rel=1e-6)
    assert math.fsum(lengths(read["TORCH-PATH"], unit)) == pytest.approx(plan.length, rel=1e-6)


@pytest.mark.parametrize("version", VERSIONS)
def test_the_torch_file_holds_the_same_path(version, tmp_path):
    piece, unit = piece_of("spring-seat", Detail())
    cutting = Cutting(kerf=1.5, lead="arc", lead_length=5.0, overburn=2.0)
    plan = torch_plan(piece.blank, piece.bracket.stock.thickness, cutting)
    data = dxf_bytes([DxfPiece(piece=piece, torch=plan)], unit, version, torch_only=True)
    read = read_back(data, tmp_path)
    assert set(read) == {"TORCH-PATH", "TORCH-LEADS", "PIERCE-POINTS"}
    assert areas(read["TORCH-PATH"], unit) == pytest.approx(
        sorted(cut.path.area for cut in plan.cuts), rel=1e-6
    )
    whole = lengths(read["TORCH-PATH"], unit) + lengths(read["TORCH-LEADS"], unit)
    assert math.fsum(whole) == pytest.approx(plan.burn_length, rel=1e-6)


def block(cutouts=()):
    """A blank of 200 x 160 with a rectangular window of 100 x 60, or a plain one of 100 x 60."""
    box = Bounds(0, 0, 200, 160) if cutouts else Bounds(0, 0, 100, 60)
    return Blank(
        outline=rectangle(box), holes=(), cutouts=tuple(cutouts), bends=(), marks=(), panels=()
    )


def drawn(blank, kerf, tmp_path, **more):
    piece, _ = piece_of("pump-foot", Detail())
    plan = torch_plan(blank, 5.0, Cutting(kerf=kerf))
    item = DxfPiece(piece=replace(piece, blank=blank), torch=plan, **more)
    return read_back(dxf_bytes([item], "mm"), tmp_path)


def test_steiner_outward(tmp_path):
    # parallel body of a convex shape: A + P r + pi r^2 and P + 2 pi r (Steiner; exact)
    # 100 x 60, r 1.5: 6487.0686 and 329.4248
    read = drawn(block(), 3.0, tmp_path)
    assert areas(read["TORCH-PATH"], "mm") == pytest.approx([6487.0686], abs=1e-3)
    assert lengths(read["TORCH-PATH"], "mm") == pytest.approx([329.4248], abs=1e-4)


def test_inward_a_rectangle_stays_one(tmp_path):
    # 100 x 60 inward by 1.5: 97 x 57 = 5529 exactly
    window = Cutout("window", rectangle(Bounds(50, 50, 150, 110)))
    read = drawn(block([window]), 3.0, tmp_path)
    assert areas(read["TORCH-PATH"], "mm")[0] == pytest.approx(5529, abs=1e-9)


def test_the_guide_is_read_back_too(tmp_path):
    blank = block()
    guide = tracing_guide(blank, GuideSetup(stand_off=8.0), 3.0, None)
    read = drawn(blank, 3.0, tmp_path, guide=guide)
    # inset by 8 - 1.5 on every side
    assert areas(read["TRACING-GUIDE"], "mm") == pytest.approx([87 * 47], abs=1e-9)
    corner = (1 - math.pi / 4) * 6.5**2
    assert areas(read["GUIDE-MISSED"], "mm") == pytest.approx([corner] * 4, rel=1e-5)


def test_a_hole_comes_back_as_large_as_it_is(tmp_path):
    hole = Hole(what="hole", centre=rectangle(Bounds(0, 0, 80, 60)).bounds.centre, diameter=20.0)
    read = drawn(replace(block(), holes=(hole,)), 2.0, tmp_path)
    (net,) = read["NET-HOLES"]
    assert areas([net], "mm") == pytest.approx([math.pi * 100], rel=1e-6)
    (point,) = read["PUNCH-POINTS"]
    assert (point.x, point.y) == (40.0, 30.0)


def test_the_coupon_is_cut_on_its_lines(tmp_path):
    made = coupon(5.0)
    read = read_back(coupon_bytes(made, (), "mm"), tmp_path)
    sizes = areas([s for s in read["TORCH-PATH"] if s.is_ring], "mm")
    holes = [hole.area for hole in made.holes]
    assert sizes == pytest.approx(sorted([*holes, 2500.0]), rel=1e-6)
    (slot,) = (s for s in read["TORCH-PATH"] if not s.is_ring)
    assert slot.length == pytest.approx(40.0)


# --- by the library that wrote it, as a second opinion on the file itself ---------------------


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_file_is_sound(version, unit):
    piece, _ = piece_of("spring-seat", Detail(nicks=True))
    plan = torch_plan(piece.blank, 4.0, Cutting(lead="straight", overburn=1.0))
    data = dxf_bytes([DxfPiece(piece=piece, torch=plan, notes=("Ø 10",))], unit, version)
    # text is UTF-8 from R2007 on, Windows-1252 before
    coding = "utf-8" if version == "R2010" else "cp1252"
    document = ezdxf.read(io.StringIO(data.decode(coding)))
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    assert document.dxfversion == {"R12": "AC1009", "R2000": "AC1015", "R2010": "AC1024"}[version]
    if version != "R12":
        # $INSUNITS: 1 inch, 4 millimetres (DXF reference)
        assert document.header["$INSUNITS"] == {"in": 1, "mm": 4}[unit]
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert used <= {layer.name for layer in LAYERS}


def test_bulges_are_tangents_of_a_quarter_of_the_sweep():
    # LWPOLYLINE bulge = tan(sweep / 4): 0.414214 at a right angle (DXF reference; exact)
    piece, _ = piece_of("spring-seat", Detail())
    square = replace(piece, blank=block())
    plan = torch_plan(square.blank, 5.0, Cutting(kerf=3.0))
    data = dxf_bytes([DxfPiece(piece=square, torch=plan)], "mm", "R2010")
    document = ezdxf.read(io.StringIO(data.decode()))
    (path,) = document.modelspace().query('LWPOLYLINE[layer=="TORCH-PATH"]')
    assert path.closed
    bulges = np.array([abs(b) for _, _, b in path.get_points("xyb")])
    assert sorted(bulges) == pytest.approx([0, 0, 0, 0, *[0.414214] * 4], abs=1e-6)
