from platewright.drawing.items import Clip, Group, Stroke, Text
from platewright.drawing.operators import content
from platewright.drawing.style import CUT, HIDDEN
from platewright.geometry.plane import Bounds, Motion, Point
from platewright.geometry.segment import Line

FACES = {"regular": "/F1", "bold": "/F2"}
LEVEL = Line(Point(0, 0), Point(25.4, 0))


def written(*items):
    return content(items, FACES).splitlines()


def test_a_pen_is_told_once_for_lines_of_one_style():
    other = Stroke(LEVEL, HIDDEN)
    pens = [line for line in written(*[Stroke(LEVEL, CUT)] * 3, other) if line.endswith(" d")]
    assert pens == ["1.4173 w 0 G [] 0 d", "0.7087 w 0 G [8.5039 3.4016] 0 d"]


def test_after_a_clip_the_pen_from_before_it_holds_again():
    clip = Clip(Bounds(0, 0, 9, 9), (Stroke(LEVEL, HIDDEN),))
    lines = written(Stroke(LEVEL, CUT), clip, Stroke(LEVEL, CUT))
    assert lines[-2] == "Q"
    assert lines[-1] == "0.0000 0.0000 m 72.0000 0.0000 l S"


def test_a_mirrored_line_is_where_its_group_puts_it():
    mirrored = Group(Motion.mirror_x(25.4), (Stroke(LEVEL, CUT),))
    assert written(mirrored)[-1] == "144.0000 0.0000 m 72.0000 0.0000 l S"


def test_words_are_spelled_in_plain_characters():
    (words,) = (line for line in written(Text(Point(25.4, 0), r"Ø (3\4)")) if "Tj" in line)
    assert words == r"BT 72.0000 0.0000 Td (\330 \0503\1344\051) Tj ET"
