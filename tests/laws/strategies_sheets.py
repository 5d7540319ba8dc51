"""Generated drawing items, labels and running matter."""

import math

from hypothesis import strategies as st

from platewright.drawing import style
from platewright.drawing.flow import Strip
from platewright.drawing.items import Fill, Hatch, Stroke, Text, rectangle
from platewright.drawing.placing import Block, Callout
from platewright.drawing.spots import beside
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Arc, Line


def lengths(low, high):
    return st.floats(low, high, allow_nan=False)


def points(reach=500.0):
    return st.builds(Point, lengths(-reach, reach), lengths(-reach, reach))


angles = st.floats(-math.pi, math.pi)


@st.composite
def motions(draw, mirrored=None):
    """A turn, a shift, and a mirroring or not."""
    motion = Motion.translation(Vector(draw(lengths(-300, 300)), draw(lengths(-300, 300))))
    motion = motion @ Motion.rotation(draw(angles))
    flip = draw(st.booleans()) if mirrored is None else mirrored
    return motion @ Motion.mirror_x() if flip else motion


@st.composite
def lines(draw, reach=500.0):
    start = draw(points(reach))
    by = Vector.polar(draw(angles), draw(lengths(0.5, reach)))
    return Line(start, start + by)


@st.composite
def arcs(draw, reach=500.0, radius=1000.0):
    sweep = draw(lengths(0.01, 6.2)) * draw(st.sampled_from((1, -1)))
    return Arc.about(draw(points(reach)), draw(lengths(0.5, radius)), draw(angles), sweep)


def circles(reach=500.0):
    return st.builds(Circle, points(reach), lengths(1.0, reach))


@st.composite
def rectangles(draw, reach=500.0):
    corner = draw(points(reach))
    box = Bounds(
        corner.x,
        corner.y,
        corner.x + draw(lengths(1, reach)),
        corner.y + draw(lengths(1, reach)),
    )
    contour: Contour = rectangle(box)
    return contour.moved(Motion.rotation(draw(angles), corner))


printed_words = st.text(
    st.characters(codec="cp1252", exclude_categories=["Cc", "Cf"]), min_size=1, max_size=30
)
any_text = st.text(max_size=40)
styles = st.sampled_from([s for s in vars(style).values() if isinstance(s, style.LineStyle)])


def texts(reach=500.0):
    return st.builds(
        Text,
        points(reach),
        printed_words,
        lengths(1.5, 8),
        st.tuples(
            st.sampled_from(("left", "middle", "right")),
            st.sampled_from(("baseline", "middle", "top")),
        ),
        angles,
        st.sampled_from(("regular", "bold")),
        st.booleans(),
    )


def strokes(reach=500.0):
    shapes = st.one_of(lines(reach), arcs(reach, reach), circles(reach), rectangles(reach))
    return st.builds(
        Stroke, st.one_of(shapes, st.lists(shapes, min_size=1, max_size=3).map(tuple)), styles
    )


def regions(reach=500.0):
    return st.lists(st.one_of(circles(reach), rectangles(reach)), min_size=1, max_size=2).map(tuple)


def drawn_marks(reach=500.0):
    return st.one_of(
        strokes(reach),
        texts(reach),
        st.builds(Fill, regions(reach), lengths(0, 1)),
        st.builds(Hatch, regions(reach), angles, lengths(2, 20)),
    )


@st.composite
def callouts(draw):
    """Words beside a point, needed."""
    at, words = draw(points(80)), draw(printed_words.filter(str.strip))
    block = Block(lines=(words,), size=draw(lengths(1.8, 4)))
    return Callout(block=block, spots=beside(at, 0.0, 0.0), at=at)


strips = st.builds(
    Strip,
    height=lengths(1, 40),
    keeps=st.booleans(),
    loose=st.booleans(),
)
