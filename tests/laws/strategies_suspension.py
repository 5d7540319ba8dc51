"""Generated springs, linkages and layouts of a size that a trailer has."""

from __future__ import annotations

import math

from hypothesis import strategies as st

from laws.effort import examples
from platewright.geometry.plane import Point, Vector
from platewright.suspension.four_bar import FourBar
from platewright.suspension.layout import Ground, Layout
from platewright.suspension.linkage import FourLink, Linkage, TrailingArm
from platewright.suspension.mounts import SpringSeat
from platewright.suspension.spring import Heights, HeightTable
from platewright.suspension.tyre import measured_radius

MODEST = examples(50)
"""Enough examples for a law whose every example follows a linkage."""

FEW = examples(25)
"""Enough for a law whose every example works out a whole travel."""


def between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


@st.composite
def arms(draw: st.DrawFn) -> TrailingArm:
    pivot = Point(draw(between(-200, 200)), draw(between(-50, 150)))
    return TrailingArm(pivot=pivot, length=draw(between(450, 900)))


@st.composite
def four_links(draw: st.DrawFn) -> FourLink:
    """Links that close: drawn from where the eyes stand with the axle as it was measured."""
    lower_eye = Vector(draw(between(-60, 60)), draw(between(-150, -60)))
    upper_eye = Vector(draw(between(-80, 80)), draw(between(60, 180)))
    axle = Vector(draw(between(500, 800)), draw(between(50, 200)))
    lower = Point(draw(between(-100, 100)), draw(between(-80, 60)))
    upper = Point(draw(between(-100, 100)), lower.y + draw(between(90, 250)))
    centre = Point(0.0, 0.0) + axle
    return FourLink(
        lower_pivot=lower,
        lower_length=lower.distance(centre + lower_eye),
        upper_pivot=upper,
        upper_length=upper.distance(centre + upper_eye),
        lower_eye=lower_eye,
        upper_eye=upper_eye,
    )


def linkages() -> st.SearchStrategy[Linkage]:
    return st.one_of(arms(), four_links())


@st.composite
def four_bars(draw: st.DrawFn) -> FourBar:
    crank, coupler, rocker, ground = (draw(between(0.5, 10)) for _ in range(4))
    return FourBar(crank=crank, coupler=coupler, rocker=rocker, ground=ground)


@st.composite
def tables(draw: st.DrawFn) -> HeightTable:
    """Effective area falling with height, from 50 to 400 mm."""
    steps = draw(st.lists(between(0.5, 1.0), min_size=1, max_size=5))
    heights = [50 + 350 * step / len(steps) for step in range(len(steps) + 1)]
    areas = [60000.0]
    for step in steps:
        areas.append(areas[-1] * step)
    return HeightTable(tuple(zip(heights, areas, strict=True)))


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    """A layout whose parts are each likely; its travel may still be refused."""
    linkage = draw(linkages())
    parts = [("arm", 350.0)] if isinstance(linkage, TrailingArm) else [
        ("axle", 0.0), ("lower link", 350.0), ("upper link", 300.0)
    ]  # fmt: skip
    part, along = draw(st.sampled_from(parts))
    ride = draw(between(40, 150))
    return Layout(
        heights=Heights(least=draw(between(60, 90)), greatest=draw(between(180, 300))),
        diameter=160.0,
        room=draw(between(0, 25)),
        seat=SpringSeat(
            on=part,
            at=Vector(along + draw(between(-80, 80)), draw(between(40, 90))),
            angle=draw(between(-0.1, 0.1)),
        ),
        linkage=linkage,
        ground=Ground(Point(draw(between(-500, 900)), draw(between(-250, -150))),
                       draw(between(-0.03, 0.03))),
        radius=measured_radius(draw(between(300, 380))),
        ride=ride,
        centred=ride,
        wheel_load_n=draw(between(2000, 15000)),
        area=draw(tables()),
    )  # fmt: skip


@st.composite
def tyres(draw: st.DrawFn) -> tuple[str, float]:
    """A metric designation and its diameter by the formula, mm."""
    width, aspect, rim = (
        draw(st.integers(125, 395)),
        draw(st.integers(25, 95)),
        draw(st.integers(8, 24)),
    )
    before = draw(st.sampled_from(["", "P", "ST", "LT"]))
    after = draw(st.sampled_from(["", "C", "LT", " 100H", "D"]))
    return f"{before}{width}/{aspect}R{rim}{after}", 25.4 * rim + width * aspect / 50


def degrees(low: float, high: float) -> st.SearchStrategy[float]:
    return between(math.radians(low), math.radians(high))
