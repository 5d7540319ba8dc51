"""The template's page of angle gauges: cut from card, they check each fold without a protractor."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platewright.drawing.dimensions import readable
from platewright.drawing.flow import Strip, paragraph
from platewright.drawing.insets import PAD, Inset
from platewright.drawing.items import Item, Page, Stroke, Text, moved_all
from platewright.drawing.lettering import LINE_PITCH, fitted
from platewright.drawing.style import CUT
from platewright.findings.words import joined_places
from platewright.geometry.plane import Bounds, Motion, Vector
from platewright.plate.piece import Piece
from platewright.sheets.furniture import TitleBlock
from platewright.sheets.page_count import EDGE_ROOM
from platewright.sheets.paper import PaperChoice, field_of, is_single, paper_named
from platewright.sheets.pattern import Pattern
from platewright.sheets.template import pattern_pages
from platewright.shop.gauge import Gauge, gauges
from platewright.shop.notes import piece_title
from platewright.units import Unit, format_angle

SHEET = "Angle gauges, full scale: for card"
"""What every page of gauges is called."""

_USE = (
    "Glue it on card and cut the gauges out along the middle of their lines. Lay the outer corner "
    "inside the fold, or the notch over the outside: no light between gauge and plate along both "
    "arms. The plate springs back when it is let go: overbend and check with the gauge."
)
_APART = 7.0
_SAME = 1e-6
_WORDS = 2.0
_SIZE = 2.4
_RIM = 1.5  # between words and an arm's ends, mm


def gauge_pages(piece: Piece, unit: Unit, paper: PaperChoice) -> tuple[Page, ...]:  # noqa: ARG001
    """A gauge for every fold of a piece; those of a pair come once, with its left hand.

    Raises OutputError for unknown paper.
    """
    made = gauges(piece.bracket, piece.blank) if piece.hand != "right" else ()
    hands = ("for both hands",) if piece.hand == "left" else ()
    sheets = _sheets(made, paper)
    pages: list[Page] = []
    for number, sheet in enumerate(sheets, start=1):
        which = f" {number} of {len(sheets)}" if len(sheets) > 1 else ""
        block = TitleBlock(
            part=piece_title(piece),
            sheet=SHEET,
            face=f"ANGLE GAUGES{which}",
            notes=hands,
            fingerprint=piece.fingerprint,
        )
        outlines = [gauge.outline.moved(motion) for gauge, motion in sheet]
        words = (item for gauge, motion in sheet for item in moved_all(_words(gauge), motion))
        ink = (*words, *(Stroke(outline, CUT) for outline in outlines))
        pattern = Pattern(face="top", outline=outlines[0], ink=ink, told=tuple)
        pages.extend(pattern_pages(pattern, paper, block, use=_USE))
    return tuple(pages)


def gauge_insets(piece: Piece) -> Iterator[Inset]:
    """The same gauges, to be set where the card pattern leaves room, and how they are used."""
    made = gauges(piece.bracket, piece.blank) if piece.hand != "right" else ()
    hands = " for both hands" if piece.hand == "left" else ""
    for gauge in made:
        yield _inset(gauge, f"Angle gauge{hands}")
    if made:
        yield Inset(title="Angle gauges", strips=lambda width: paragraph(_USE, width, _WORDS))


def _inset(gauge: Gauge, title: str) -> Inset:
    """A gauge upright or on its side, whichever finds room."""
    ink = (*_words(gauge), Stroke(gauge.outline, CUT))
    box = gauge.outline.bounds

    def strips(width: float) -> tuple[Strip, ...]:
        turn = Motion.rotation(0.0 if abs(width - box.width) < _SAME else math.pi / 2)
        lying = gauge.outline.moved(turn).bounds
        hung = Motion.translation(Vector(-lying.xmin, -lying.ymax)) @ turn
        return (Strip(height=lying.height, items=tuple(moved_all(ink, hung))),)

    return Inset(title=title, strips=strips, widths=(box.width + 2 * PAD, box.height + 2 * PAD))


def _sheets(made: Sequence[Gauge], paper: PaperChoice) -> list[list[tuple[Gauge, Motion]]]:
    """The gauges and where they lie: in rows from the top, on as many sheets as they need.

    `single` paper takes any number one under another.
    """
    room = Bounds(0.0, 0.0, 400.0, 1e9)
    if not is_single(paper):
        room = field_of(paper_named(paper)).grown(-EDGE_ROOM)
    sheets: list[list[tuple[Gauge, Motion]]] = []
    x = y = row = 0.0
    for gauge in made:
        box = gauge.outline.bounds
        if x and x + box.width > room.width:
            x, y, row = 0.0, y - row - _APART, 0.0
        if not sheets or (-y + box.height > room.height and y < 0):
            sheets.append([])
            x = y = row = 0.0
        sheets[-1].append((gauge, Motion.translation(Vector(x - box.xmin, y - box.ymax))))
        x, row = x + box.width + _APART, max(row, box.height)
    return sheets


# --- words ------------------------------------------------------------------------------------


def _words(gauge: Gauge) -> Iterator[Item]:
    """What it is on one arm, how it is used on the other."""
    bends = joined_places([f"bend {number}" for number in gauge.bends])
    fold, bevel = format_angle(gauge.fold), format_angle(gauge.opening)
    yield from _arm_words(gauge, (f"GAUGE fold {fold}, bevel {bevel}", bends), 0.0)
    use = ("outer corner: INSIDE the fold", "notch: over its OUTSIDE")
    yield from _arm_words(gauge, use, gauge.opening)


def _arm_words(gauge: Gauge, lines: tuple[str, str], along: float) -> Iterator[Item]:
    """Two lines in the middle of the arm that runs at an angle."""
    start = max(gauge.blunt, gauge.overlap) + gauge.relief
    room = gauge.arm - start - 2 * _RIM
    size = min(_SIZE, gauge.width / 5, *(fitted(line, room, _SIZE, "bold") for line in lines))
    inward = 1.0 if along == 0.0 else -1.0
    out = Vector.polar(along)
    middle = gauge.corner + out * ((start + gauge.arm) / 2) + out.left * (inward * gauge.width / 2)
    angle = readable(along)
    up = Vector.polar(angle).left
    for line, rise in zip(lines, (0.5, -0.5), strict=True):
        at = middle + up * (rise * size * LINE_PITCH)
        yield Text(at, line, size, ("middle", "middle"), angle, "bold" if rise > 0 else "regular")
