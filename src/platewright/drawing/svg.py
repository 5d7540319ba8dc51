"""The SVG writer: one page of a drawing list as SVG text at true scale.

One user unit is one millimetre. Arcs stay arcs. Each line carries its style's name as a class and
the same look as plain attributes, so that a style sheet may change it and none is needed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from html import escape

from platewright.drawing.items import (
    Clip,
    Fill,
    Group,
    Hatch,
    Item,
    Mark,
    Page,
    Shape,
    Stroke,
    Text,
    corners,
    moved_mark,
)
from platewright.drawing.lettering import CAP_HEIGHT, printable
from platewright.drawing.paths import Chain, chains, hatch_lines, outline_chain
from platewright.geometry.plane import IDENTITY, Motion, Point
from platewright.geometry.segment import Arc, Line

SIGNATURE = "Drawn by Platewright"
"""Text that stands in every file written here (its `desc` element)."""

_WIDEST_PIECE = 2.0  # rad: below half a turn, so that the large-arc flag is never in doubt
_BACKING = 0.4


def svg_text(page: Page, made_from: str = "") -> str:
    """The page as SVG text, ending in a line feed. The same page gives the same text.

    `made_from` is the sign of its origin that its description tells, "" for none.
    """
    width, height = _figure(page.width), _figure(page.height)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}">',
        f"<title>{escape(printable(page.title), quote=False)}</title>",
        f"<desc>{SIGNATURE}{f'. {made_from}' if made_from else ''}</desc>",
        *_SvgWriter(page.height).items(page.items, IDENTITY),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def path_data(shapes: Iterable[Shape], height: float) -> str:
    """The `d` of a path along shapes on a page of that height, mm: y turned over, arcs kept."""
    return _SvgWriter(height).path(chains(shapes))


class _SvgWriter:
    """Carries the page's height, which turns y over, and the count of windows so far."""

    def __init__(self, height: float) -> None:
        self._height = height
        self._windows = 0

    def items(self, items: Iterable[Item], motion: Motion) -> Iterator[str]:
        for item in items:
            match item:
                case Group():
                    yield from self.items(item.items, motion @ item.motion)
                case Clip():
                    yield from self._clip(item, motion @ item.motion)
                case _:
                    yield from self._mark(item if motion is IDENTITY else moved_mark(item, motion))

    def _clip(self, clip: Clip, motion: Motion) -> Iterator[str]:
        self._windows += 1
        name = f"window-{self._windows}"
        points = self._points([motion.point(corner) for corner in corners(clip.window)])
        yield f'<clipPath id="{name}"><polygon points="{points}"/></clipPath>'
        yield f'<g clip-path="url(#{name})">'
        yield from self.items(clip.items, motion)
        yield "</g>"

    def _mark(self, mark: Mark) -> Iterator[str]:
        match mark:
            case Stroke():
                yield from self._stroke(mark)
            case Hatch():
                yield from self._stroke(Stroke(hatch_lines(mark), mark.style))
            case Fill():
                path = self.path([outline_chain(outline) for outline in mark.outlines])
                yield f'<path d="{path}" fill="{_grey(mark.grey)}" fill-rule="evenodd"/>'
            case Text():
                yield from self._text(mark)

    def _stroke(self, stroke: Stroke) -> Iterator[str]:
        style = stroke.style
        if not (path := self.path(chains(stroke.shapes))):
            return
        dashes = " ".join(_figure(length) for length in style.dashes)
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        yield (
            f'<path class="{style.name}" d="{path}" fill="none" stroke="{_grey(style.grey)}" '
            f'stroke-width="{_figure(style.width)}" stroke-linejoin="round"{dashed}/>'
        )

    def _text(self, text: Text) -> Iterator[str]:
        if text.backed:
            yield f'<polygon points="{self._points(text.box(_BACKING))}" fill="#ffffff"/>'
        if not (words := printable(text.text)).strip():
            return
        x, y = self._xy(text.start).split(",")
        turn = f' transform="rotate({_figure(-math.degrees(text.angle))} {x} {y})"'
        bold = ' font-weight="bold"' if text.weight == "bold" else ""
        yield (
            f'<text x="{x}" y="{y}"{turn if text.angle else ""} '
            f'font-family="Helvetica, Arial, sans-serif" '
            f'font-size="{_figure(text.size / CAP_HEIGHT)}"{bold} '
            f'textLength="{_figure(text.width)}" lengthAdjust="spacingAndGlyphs" '
            f'xml:space="preserve">{escape(words, quote=False)}</text>'
        )

    def path(self, runs: Iterable[Chain]) -> str:
        """The `d` of pen-down runs."""
        return " ".join(self._run(run) for run in runs)

    def _run(self, run: Chain) -> str:
        steps = [f"M{self._xy(run.segments[0].start)}"]
        for segment in run.segments:
            if isinstance(segment, Line):
                steps.append(f"L{self._xy(segment.end)}")
            else:
                steps.extend(self._arc(segment))
        return " ".join([*steps, "Z"] if run.closed else steps)

    def _arc(self, arc: Arc) -> Iterator[str]:
        count = math.ceil(abs(arc.sweep) / _WIDEST_PIECE)
        radius = _figure(arc.radius)
        # y is turned over: anticlockwise is sweep flag 0
        flag = 0 if arc.sweep > 0 else 1
        for index in range(1, count + 1):
            end = self._xy(arc.point_at(index / count))
            yield f"A{radius} {radius} 0 0 {flag} {end}"

    def _points(self, points: Sequence[Point]) -> str:
        return " ".join(self._xy(point) for point in points)

    def _xy(self, point: Point) -> str:
        return f"{_figure(point.x)},{_figure(self._height - point.y)}"


@lru_cache(maxsize=4096)  # every corner is of several faces, and at one height on both hands
def _figure(value: float) -> str:
    """A number to a hundred-thousandth, without idle zeros or a negative zero."""
    text = f"{value:.5f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _grey(grey: float) -> str:
    level = round(255 * grey)
    return f"#{level:02x}{level:02x}{level:02x}"
