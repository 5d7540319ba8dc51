import math
import xml.etree.ElementTree as ET

import pytest

from platewright.drawing.items import Clip, Fill, Group, Hatch, Page, Stroke, Text
from platewright.drawing.style import CUT, HATCHING, HIDDEN
from platewright.drawing.svg import SIGNATURE, svg_text
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Arc, Line

SPACE = "{http://www.w3.org/2000/svg}"
SQUARE = Contour.polygon((Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)))


def drawn(*items, title="sheet"):
    return ET.fromstring(svg_text(Page(200, 100, items, title)))


def paths(root):
    return root.findall(f".//{SPACE}path")


def test_one_unit_is_one_millimetre():
    root = drawn()
    assert root.get("width") == "200mm"
    assert root.get("viewBox") == "0 0 200 100"
    assert root.findtext(f"{SPACE}title") == "sheet"
    assert root.findtext(f"{SPACE}desc") == SIGNATURE


def test_a_line_has_its_style_as_class_and_attributes_and_y_turned_over():
    (path,) = paths(drawn(Stroke(Line(Point(1.5, 20), Point(30, 20.25)), HIDDEN)))
    assert path.get("d") == "M1.5,80 L30,79.75"
    assert path.get("class") == "hidden"
    assert path.get("stroke-width") == "0.25"
    assert path.get("stroke-dasharray") == "3 1.2"
    assert path.get("fill") == "none"


def test_arcs_stay_arcs_and_turn_the_right_way():
    arc = Arc.about(Point(50, 50), 10, 0, math.pi / 2)
    (path,) = paths(drawn(Stroke(arc, CUT)))
    assert path.get("d") == "M60,50 A10 10 0 0 0 50,40"
    (path,) = paths(drawn(Stroke(arc.reversed(), CUT)))
    assert path.get("d") == "M50,40 A10 10 0 0 1 60,50"


def test_a_circle_is_closed_and_never_in_doubt_about_its_large_arc():
    (path,) = paths(drawn(Stroke(Circle(Point(50, 50), 20), CUT)))
    assert path.get("d").count("A10 10 0 0 0") == 4
    assert path.get("d").endswith("Z")


def test_fills_and_hatches():
    fill, hatch = paths(drawn(Fill((SQUARE,), 0.5), Hatch((SQUARE,), 0.0, 5)))
    assert fill.get("fill") == "#808080"
    assert fill.get("fill-rule") == "evenodd"
    assert hatch.get("class") == HATCHING.name
    assert hatch.get("d") == "M0,100 L10,100 M0,95 L10,95"


def test_text_is_escaped_sized_by_its_capitals_and_turned():
    text = Text(Point(10, 10), "A < B & ⌀", 3.59, angle=math.pi / 2, weight="bold", backed=True)
    root = drawn(text)
    (element,) = root.findall(f".//{SPACE}text")
    assert element.text == "A < B & Ø"
    assert element.get("font-size") == "5"
    assert element.get("font-weight") == "bold"
    assert element.get("transform") == "rotate(-90 10 90)"
    assert float(element.get("textLength")) == pytest.approx(text.width, abs=1e-4)
    assert len(root.findall(f".//{SPACE}polygon")) == 1


def test_clips_are_windows_where_their_motion_puts_them():
    line = Stroke(Line(Point(0, 0), Point(10, 0)), CUT)
    clip = Clip(Bounds(0, 0, 5, 5), (line,), Motion.translation(Vector(20, 30)))
    root = drawn(clip, Group(Motion(), (clip,)))
    names = [window.get("id") for window in root.findall(f".//{SPACE}clipPath")]
    assert names == ["window-1", "window-2"]
    window = root.find(f".//{SPACE}clipPath/{SPACE}polygon")
    assert window.get("points") == "20,70 25,70 25,65 20,65"
    assert root.find(f".//{SPACE}g").get("clip-path") == "url(#window-1)"
    assert paths(root)[0].get("d") == "M20,70 L30,70"


def test_nothing_is_written_for_empty_items():
    root = drawn(Stroke((), CUT), Text(Point(0, 0), " "), title="a & b")
    assert paths(root) == []
    assert root.findall(f".//{SPACE}text") == []
    assert root.findtext(f"{SPACE}title") == "a & b"
