"""The spacer at full scale: a card box that stands in for the spring, and a stick of its length.

The box is cut from card, scored on its fold lines and glued into a square tube. It stands on the
middle of the seat with the frame down; the upper mount is fitted down onto its slanting top.
"""

from __future__ import annotations

from collections.abc import Iterator

from platewright.drawing.items import Item, Page, Stroke, Text
from platewright.drawing.lettering import LINE_PITCH, fitted, wrap
from platewright.drawing.style import BEND, CENTRE, CUT
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Line
from platewright.sheets.furniture import TitleBlock
from platewright.sheets.imposition import impose
from platewright.sheets.paper import PaperChoice
from platewright.sheets.tiling import tile_pattern
from platewright.suspension.mounts import SIDE, Spacer, spacer
from platewright.suspension.report import tape_words
from platewright.suspension.travel import Travel
from platewright.units import Unit

_FLAP = 10.0
_FLAP_TAPER = 3.0
_STICK = 22.0
_APART = 6.0
_WORDS = 2.2


def spacer_pages(
    of: Travel, name: str, paper: PaperChoice, fingerprint: str = ""
) -> tuple[Page, ...]:
    """The pattern on paper of that name; none where no box can stand between the mounts.

    Raises OutputError for unknown paper.
    """
    made = spacer(of.seat_laid_out, of.wanted)
    if made is None:
        return ()
    unit = of.layout.unit
    items = (*_box(made, unit), *_stick(made, unit))
    block = TitleBlock(
        part=name,
        sheet="Spacer for the spring, full scale",
        face=f"middle to middle {tape_words(made.height, unit)}",
        caution="It holds nothing up: stands carry the frame. Measure the middle of the finished "
        "spacer with a tape before you trust it.",
        fingerprint=fingerprint,
    )
    return impose(items, tile_pattern(items, paper), block)


def _box(made: Spacer, unit: Unit) -> Iterator[Item]:
    """The walls side by side: front, side, rear, side, and a flap to glue under the front."""
    tops = (made.front, made.front, made.rear, made.rear, made.front)
    corners = [Point(SIDE * index, top) for index, top in enumerate(tops)]
    flap_top, flap_foot = made.front - _FLAP_TAPER, _FLAP_TAPER
    flap = [Point(4 * SIDE + _FLAP, flap_top), Point(4 * SIDE + _FLAP, flap_foot)]
    feet = [Point(4 * SIDE, 0.0), Point(0.0, 0.0)]
    yield Stroke(Contour.polygon([*corners, *flap, *feet]), CUT)
    for corner in corners[1:]:
        yield Stroke(Line(Point(corner.x, 0.0), corner), BEND)
    low = min(made.front, made.rear)
    middle = tape_words((made.front + made.rear) / 2, unit)
    words = (
        "FRONT",
        f"Spacer box. {middle} up its middle. Score the thin lines, fold "
        "away from the print, glue the flap inside.",
        "REAR",
        "Foot on the middle of the seat, frame laid out. Fit the upper mount down on the top. "
        "It holds nothing up.",
    )
    for wall, text in enumerate(words):
        size, width = _WORDS, SIDE - 5
        while size > 1.2 and len(wrap(text, width, size)) * size * LINE_PITCH > low - 6:
            size -= 0.1
        for index, line in enumerate(wrap(text, width, size)):
            at = Point(SIDE * (wall + 0.5), low - 4 - size * (1 + index * LINE_PITCH))
            yield Text(at, line, size, ("middle", "baseline"))
    yield Text(Point(4 * SIDE + _FLAP / 2, low / 2), "glue", 2.0, ("middle", "middle"), 1.5708)


def _stick(made: Spacer, unit: Unit) -> Iterator[Item]:
    """A straight stick as long as the middles are apart."""
    left = 4 * SIDE + _FLAP + _APART
    corners = [Point(0.0, 0.0), Point(_STICK, 0.0), Point(_STICK, made.height)]
    corners.append(Point(0.0, made.height))
    by = Vector(left, 0.0)
    yield Stroke(Contour.polygon([corner + by for corner in corners]), CUT)
    middle = Point(left + _STICK / 2, 0.0)
    yield Stroke(Line(middle, middle + Vector(0.0, made.height)), CENTRE)
    for offset, words in (
        (-5.0, "Or a stick, middle to middle"),
        (5.0, tape_words(made.height, unit)),
    ):
        at = middle + Vector(offset, made.height / 2)
        yield Text(at, words, fitted(words, made.height - 6, 2.2), ("middle", "middle"), 1.5708)
