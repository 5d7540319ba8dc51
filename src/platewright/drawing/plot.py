"""Small line plots: one curve over a frame with ticks, limits, and marked places."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from platewright.drawing.items import Item, Stroke, Text, polyline, rectangle
from platewright.drawing.style import FRAME, HIDDEN, NARROW, OUTLINE, TANGENT, LineStyle
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line
from platewright.values import dataclass

GRID = LineStyle("grid", NARROW / 2, (), 0.6)
"""Rules across a plot."""

_LEFT = 11.0  # room for figures at the left, mm
_BOTTOM = 8.5
_TOP = 6.0
_RIGHT = 2.0
_SMALL = 1.9
_TITLE = 2.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """A curve of (x, y) in the units it is read in.

    `limits` are y values not to be passed, `places` x values to be found again, with their words.
    A curve that rises and falls by less than `least_span` is drawn as flat as it is.
    """

    title: str
    across: str
    curve: tuple[tuple[float, float], ...]
    least_span: float
    limits: tuple[float, ...] = ()
    places: tuple[tuple[float, str], ...] = ()


@dataclass(frozen=True, slots=True)
class _Scale:
    """From values to places in a frame."""

    frame: Bounds
    low: Point
    high: Point

    def at(self, x: float, y: float) -> Point:
        across = (x - self.low.x) / (self.high.x - self.low.x)
        up = (y - self.low.y) / (self.high.y - self.low.y)
        frame = self.frame
        return Point(frame.xmin + across * frame.width, frame.ymin + up * frame.height)


def plot_items(plot: Plot, box: Bounds) -> tuple[Item, ...]:
    """The plot drawn in a box, its figures and words included."""
    frame = Bounds(box.xmin + _LEFT, box.ymin + _BOTTOM, box.xmax - _RIGHT, box.ymax - _TOP)
    # ticks that reach beyond the curve, and beyond limits that are not far from it
    values = [y for _, y in plot.curve]
    low, high = min(values), max(values)
    widening = max(0.0, plot.least_span - (high - low)) / 2
    low, high = low - widening, high + widening
    near = [limit for limit in plot.limits if 2 * low - high <= limit <= 2 * high - low]
    low, high = min(low, *near, high), max(high, *near, low)
    step = tick_step(high - low, 5)
    first, last = math.floor(low / step + 1e-6), math.ceil(high / step - 1e-6)
    xs, ys = _x_ticks(plot), [step * i for i in range(first, last + 1)]
    xs_at = [x for x, _ in plot.curve]
    scale = _Scale(frame, Point(min(xs_at), ys[0]), Point(max(xs_at), ys[-1]))
    middle = frame.centre.x
    return (
        Text(Point(frame.xmin, frame.ymax + 1.8), plot.title, _TITLE, weight="bold"),
        Text(Point(middle, box.ymin + 1.0), plot.across, _SMALL, ("middle", "baseline")),
        *_ruled(scale, xs, ys),
        *_marked(plot, scale),
        Stroke(rectangle(frame), FRAME),
        polyline([scale.at(x, y) for x, y in plot.curve], OUTLINE),
    )


def _ruled(scale: _Scale, xs: list[float], ys: list[float]) -> Iterator[Item]:
    """Rules and figures at the ticks."""
    frame = scale.frame
    for x in xs:
        at = scale.at(x, scale.low.y)
        yield Stroke(Line(at, Point(at.x, frame.ymax)), GRID)
        yield Text(Point(at.x, frame.ymin - 1.0), _figure(x, xs), _SMALL, ("middle", "top"))
    for y in ys:
        at = scale.at(scale.low.x, y)
        yield Stroke(Line(at, Point(frame.xmax, at.y)), GRID)
        yield Text(Point(frame.xmin - 1.0, at.y), _figure(y, ys), _SMALL, ("right", "middle"))


def _marked(plot: Plot, scale: _Scale) -> Iterator[Item]:
    """Limits level across, dashed; places upright, with their words along them."""
    frame = scale.frame
    for limit in plot.limits:
        if scale.low.y <= limit <= scale.high.y:
            at = scale.at(scale.low.x, limit)
            yield Stroke(Line(at, Point(frame.xmax, at.y)), HIDDEN)
    for place, words in plot.places:
        foot = scale.at(place, scale.low.y)
        yield Stroke(Line(foot, Point(foot.x, frame.ymax)), TANGENT)
        at = Point(foot.x + 1.2, frame.ymax - 1.2)
        yield Text(at, words, _SMALL, ("left", "top"), backed=True)


def _x_ticks(plot: Plot) -> list[float]:
    xs = [x for x, _ in plot.curve]
    step = tick_step(max(xs) - min(xs), 6)
    first = math.ceil(min(xs) / step - 1e-6)
    last = math.floor(max(xs) / step + 1e-6)
    return [step * i for i in range(first, last + 1)]


def tick_step(span: float, most: int) -> float:
    """The step among 1, 2, 5 times a power of ten that cuts a span into at most so many parts."""
    rough = span / most
    power = 10.0 ** math.floor(math.log10(rough))
    return next(factor * power for factor in (1, 2, 5, 10) if factor * power >= rough * (1 - 1e-9))


def _figure(value: float, ticks: list[float]) -> str:
    """The value with as many places as tell its neighbours apart."""
    step = min((b - a for a, b in pairwise(ticks)), default=1.0)
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    return f"{round(value, places) + 0.0:.{places}f}"
