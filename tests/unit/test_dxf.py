"""The DXF's layers and entities, version by version."""

import io
import math
from dataclasses import replace

import ezdxf
import pytest
from ezdxf import recover

from platewright.dxf import LAYERS, VERSIONS, DxfPiece, coupon_bytes, dxf_bytes, trial_bytes
from platewright.files.outputs import DXF_SIGNATURE
from platewright.geometry.build import rectangle
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Arc, Line
from platewright.plate.bend import Brake, ScoreFold
from platewright.plate.bracket import Bend, Bracket, Hole, Mark, Panel
from platewright.plate.piece import pieces_of
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.coupon import coupon
from platewright.shop.cutting import Cutting, torch_plan
from platewright.shop.guide import GuideSetup, tracing_guide
from platewright.shop.notes import dxf_notes, torch_notes
from platewright.shop.trial_bend import TrialStrip

SCORE = ScoreFold(groove=3.0, ligament=1.2)


def panel(name, width, depth, **more):
    edges = (("base", 0), ("right", 1), ("far", 2), ("left", 3))
    return Panel(name=name, contour=rectangle(Bounds(0, 0, width, depth)), edges=edges, **more)


def bend(edge, flap, direction, way):
    return Bend(edge=edge, panel=flap, angle=1.5, direction=direction, way=way)


def piece():
    bends = (
        bend("far", panel("up flap", 120, 40), "up", SCORE),
        bend("left", panel("down flap", 80, 30), "down", SCORE),
        bend("right", panel("bent flap", 80, 30), "down", Brake(4.0, 0.4)),
    )
    holes = (
        Hole(what="hole", centre=Point(60, 40), diameter=20),
        Hole(what="small", centre=Point(20, 40), diameter=4),
        Hole(what="pilot", centre=Point(100, 40), diameter=12, cut=False),
    )
    marks = (
        Mark(Circle(Point(60, 40), 60), "phantom"),
        Mark(Line(Point(0, 40), Point(120, 40)), "centre"),
        Mark(Arc(Point(10, 10), Point(20, 20), 1.0), "scribe"),
    )
    root = panel("plate", 120, 80, bends=bends, holes=holes, marks=marks)
    bracket = Bracket(stock=Stock(5.0, MATERIALS["A36"]), root=root)
    return pieces_of("part", "as drawn", bracket)[0]


def drawn(version="R2010", unit="mm", torch_only=False, guide=False, **cutting):
    made = piece()
    plan = torch_plan(made.blank, 5.0, Cutting(**({"kerf": 1.5} | cutting)))
    found = tracing_guide(made.blank, GuideSetup(nozzle=10.0), 1.5, None) if guide else None
    notes = torch_notes(made, plan, unit) if torch_only else dxf_notes(made, plan, unit, found)
    item = DxfPiece(piece=made, torch=plan, guide=found, notes=notes)
    return dxf_bytes([item], unit, version, torch_only=torch_only)


def document(data):
    # text is UTF-8 from R2007 on, Windows-1252 before
    coding = "utf-8" if b"AC1024" in data[:200] else "cp1252"
    return ezdxf.read(io.StringIO(data.decode(coding)))


def test_the_notes_of_a_piece_stay_under_it():
    made = piece()
    item = DxfPiece(piece=made, torch=torch_plan(made.blank, 5.0, Cutting()), notes=("word " * 60,))
    lines = [e for e in document(dxf_bytes([item], "mm")).modelspace() if e.dxftype() == "TEXT"]
    assert sum(len(e.dxf.text.split()) for e in lines) == 60
    assert max(len(e.dxf.text) * e.dxf.height for e in lines) <= made.blank.bounds.width


def entities(data):
    """(type, layer) of everything drawn."""
    return [(e.dxftype(), e.dxf.layer) for e in document(data).modelspace()]


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_same_input_gives_the_same_bytes(version, unit):
    assert drawn(version, unit) == drawn(version, unit)


def test_each_meaning_has_a_layer_of_its_own():
    names = [layer.name for layer in LAYERS]
    assert len(set(names)) == len(names)
    assert len({layer.meaning for layer in LAYERS}) == len(LAYERS)
    assert len({layer.colour for layer in LAYERS}) == len(LAYERS)


@pytest.mark.parametrize("version", VERSIONS)
def test_every_layer_is_declared(version):
    made = document(drawn(version))
    for layer in LAYERS:
        assert made.layers.get(layer.name).dxf.color == layer.colour


def test_what_is_on_the_full_drawing():
    found = entities(drawn())
    assert found.count(("LWPOLYLINE", "NET-PROFILE")) == 1
    assert found.count(("CIRCLE", "NET-HOLES")) == 2
    assert found.count(("LINE", "BEND-LINES")) == 3
    assert found.count(("LINE", "SCORE-TOP")) == 1
    assert found.count(("LINE", "SCORE-UNDERSIDE")) == 1
    assert found.count(("POINT", "PUNCH-POINTS")) == 3
    assert found.count(("CIRCLE", "TORCH-PATH")) == 1
    assert found.count(("LWPOLYLINE", "TORCH-PATH")) == 1
    assert found.count(("POINT", "PIERCE-POINTS")) == 2
    assert [layer for _, layer in found].count("REFERENCE") == 3
    assert "TORCH-LEADS" not in {layer for _, layer in found}


def test_scores_lie_on_their_bend_lines():
    space = document(drawn()).modelspace()
    bends = {(line.dxf.start, line.dxf.end) for line in space.query('LINE[layer=="BEND-LINES"]')}
    for layer in ("SCORE-TOP", "SCORE-UNDERSIDE"):
        for line in space.query(f'LINE[layer=="{layer}"]'):
            assert (line.dxf.start, line.dxf.end) in bends


def test_the_torch_file_has_nothing_but_the_torch():
    found = entities(drawn(torch_only=True, lead="straight", overburn=2.0))
    layers = {layer for _, layer in found}
    assert layers == {"TORCH-PATH", "TORCH-LEADS", "PIERCE-POINTS", "PUNCH-POINTS", "NOTES"}
    # only what is not cut is punched
    assert [layer for _, layer in found].count("PUNCH-POINTS") == 2


def test_the_torch_file_follows_the_order_of_burning():
    found = entities(drawn(torch_only=True, lead="straight", overburn=2.0))
    order = [layer for _, layer in found if layer not in ("NOTES", "PUNCH-POINTS")]
    once = ["PIERCE-POINTS", "TORCH-LEADS", "TORCH-PATH", "TORCH-LEADS"]
    assert order == once * 2


def test_every_run_of_the_torch_file_is_closed_and_begins_at_its_lead():
    space = document(drawn(torch_only=True, lead="arc")).modelspace()
    runs = space.query('LWPOLYLINE[layer=="TORCH-PATH"]')
    leads = space.query('LWPOLYLINE[layer=="TORCH-LEADS"]')
    assert len(runs) == len(leads) == 2
    for run, lead in zip(runs, leads, strict=True):
        assert run.closed
        assert not lead.closed
        assert lead.get_points("xy")[-1] == run.get_points("xy")[0]


def test_both_files_say_not_to_compensate_twice():
    for data in (drawn(), drawn(torch_only=True)):
        words = [e.dxf.text for e in document(data).modelspace().query("TEXT")]
        assert any("Never compensate twice" in line for line in words)


def test_the_guide_has_its_layers():
    found = entities(drawn(guide=True))
    layers = [layer for _, layer in found]
    assert layers.count("TRACING-GUIDE") == 1
    assert layers.count("GUIDE-MISSED") > 0
    assert "TRACING-GUIDE" not in [layer for _, layer in entities(drawn())]


def test_what_the_kerf_leaves_has_its_layer():
    layers = [layer for _, layer in entities(drawn())]
    # four corners between the plate and its flaps
    assert layers.count("KERF-MISSED") > 0
    assert "KERF-MISSED" not in [layer for _, layer in entities(drawn(kerf=0.0))]


@pytest.mark.parametrize(("unit", "width"), [("mm", 120.0), ("in", 120.0 / 25.4)])
def test_coordinates_are_in_the_file_s_unit(unit, width):
    made = piece()
    lone = replace(made, blank=replace(made.blank, outline=rectangle(Bounds(0, 0, 120, 80))))
    plan = torch_plan(lone.blank, 5.0, Cutting())
    data = dxf_bytes([DxfPiece(piece=lone, torch=plan)], unit)
    (profile,) = document(data).modelspace().query('LWPOLYLINE[layer=="NET-PROFILE"]')
    assert max(x for x, _ in profile.get_points("xy")) == width


def test_r12_has_old_polylines_and_says_its_unit(caplog):
    data = drawn("R12", "in")
    assert caplog.messages == []
    found = {kind for kind, _ in entities(data)}
    assert "POLYLINE" in found
    assert "LWPOLYLINE" not in found
    assert f"{DXF_SIGNATURE}; coordinates in inches".encode() in data[:100]


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize(
    "words",
    ["%%c", "%%%d 50 % %%130", r"\U+0041", r"\M+1ABCD C:\Shop", "^J ^ x", "Ø 3 ± 1°", "Ł 5 μm"],
)
def test_words_that_a_reader_would_take_for_codes_are_read_as_they_stand(version, words):
    # string group codes of the DXF reference, as ezdxf's recover module decodes them
    read, _ = recover.read(io.BytesIO(coupon_bytes(coupon(5.0), (words,), "mm", version)))
    assert [e.plain_text() for e in read.modelspace().query("TEXT")] == [
        words.replace("\\M", "\\ M")
    ]


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_dash_patterns_are_round_figures(unit):
    # a sum of floats differs in its last digit from one Python to the next
    for style in document(drawn(unit=unit)).linetypes:
        for _, figure in style.pattern_tags.tags:
            assert figure == (round(figure, 6) if isinstance(figure, float) else figure)


@pytest.mark.parametrize("version", VERSIONS)
def test_the_coupon_runs_slot_holes_square(version):
    made = coupon(5.0)
    found = entities(coupon_bytes(made, ("words",), "mm", version))
    layers = [layer for _, layer in found]
    assert layers.count("TORCH-PATH") == 2 + len(made.holes)
    assert layers.count("PIERCE-POINTS") == 2 + len(made.holes)
    assert layers.count("TORCH-LEADS") == 1 + len(made.holes)
    assert found[1] == ("LINE", "TORCH-PATH")
    assert layers.count("NOTES") == 1


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize(("way", "scores"), [(Brake(5.0, 0.44), 0), (ScoreFold(2.8, 1.2), 1)])
def test_a_trial_strip_has_its_bend_line_and_the_ends_of_its_marks(version, way, scores):
    strip = TrialStrip(thickness=5.0, way=way, angle=math.pi / 2, unit="mm")
    found = document(trial_bytes(strip, ("words",), "mm", version)).modelspace()
    layers = [entity.dxf.layer for entity in found]
    assert layers.count("TORCH-PATH") == layers.count("BEND-LINES") == 1
    assert layers.count("SCORE-TOP") == scores
    punched = sorted(point.dxf.location.x for point in found.query("POINT[layer=='PUNCH-POINTS']"))
    assert punched == pytest.approx([-strip.leg, -strip.leg, strip.leg, strip.leg])
