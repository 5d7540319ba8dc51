from __future__ import annotations

import math

import pytest

from platewright.drawing.items import Stroke, bounds, marks, words
from platewright.drawing.plot import Plot, plot_items, tick_step
from platewright.drawing.style import HIDDEN, OUTLINE
from platewright.geometry.plane import Bounds

BOX = Bounds(0.0, 0.0, 90.0, 50.0)


def plot(*ys: float, limits: tuple[float, ...] = ()) -> Plot:
    curve = tuple((float(x), y) for x, y in enumerate(ys))
    return Plot(
        title="Gap",
        across="lift",
        curve=curve,
        least_span=0.01,
        limits=limits,
        places=((1.0, "ride"),),
    )


@pytest.mark.parametrize(
    ("span", "step"), [(10, 2), (9.5, 2), (1, 0.2), (0.06, 0.01), (240, 50), (60, 10), (6, 1)]
)
def test_steps_are_one_two_or_five(span: float, step: float) -> None:
    assert tick_step(span, 6) == pytest.approx(step)


@pytest.mark.parametrize(
    "ys", [(0.0, 5.0, 9.0), (-3.0, -1.0, -0.5), (1.02, 1.03, 1.025), (0.0, 0.0, 0.0), (7, 7, 7)]
)
def test_all_stays_in_the_box(ys: tuple[float, ...]) -> None:
    drawn = bounds(plot_items(plot(*ys), BOX))
    assert BOX.grown(1.5).union(drawn) == BOX.grown(1.5)


def test_the_curve_runs_from_side_to_side() -> None:
    curve = next(m for m in marks(plot_items(plot(0.0, 5.0, 9.0), BOX)) if _is(m, OUTLINE))
    assert isinstance(curve, Stroke)
    first, last = curve.shapes[0].bounds, curve.shapes[-1].bounds
    frame = last.xmax - first.xmin
    assert frame == pytest.approx(77.0)
    assert first.ymin < last.ymax


def test_near_limits_are_drawn_and_far_ones_left_out() -> None:
    near = plot_items(plot(0.0, 5.0, 9.0, limits=(10.0,)), BOX)
    far = plot_items(plot(0.0, 5.0, 9.0, limits=(1000.0,)), BOX)
    assert sum(_is(mark, HIDDEN) for mark in marks(near)) == 1
    assert sum(_is(mark, HIDDEN) for mark in marks(far)) == 0


def test_figures_tell_ticks_apart_and_never_minus_nought() -> None:
    told = words(plot_items(plot(-0.1, 0.0, 0.1), BOX))
    figures = [word for word in told if word.replace(".", "").replace("-", "").isdigit()]
    assert "-0.0" not in figures
    ys = [figure for figure in figures if "." in figure]
    assert len(set(ys)) == len(ys) > 2
    assert "ride" in told
    assert not any(math.isnan(float(figure)) for figure in figures)


def _is(mark: object, style: object) -> bool:
    return isinstance(mark, Stroke) and mark.style is style


def test_noise_is_drawn_flat() -> None:
    items = plot_items(plot(1e-17, -1e-17, 3e-18), BOX)
    curve = next(m for m in marks(items) if _is(m, OUTLINE))
    assert isinstance(curve, Stroke)
    heights = [shape.bounds.ymin for shape in curve.shapes]
    assert max(heights) - min(heights) < 1e-6
    assert "0.004" in words(items)
