"""The DXF: net shape, bends, scores, torch path and notes, each on a layer of its own.

Coordinates are in the file's unit, $INSUNITS says which (R12 knows no such variable; the notes and
the first comment say it there). Contours are closed polylines with true bulges, tan(sweep / 4).
"""

from __future__ import annotations

import io
import logging
import math
import re
import textwrap
from collections.abc import Iterable, Sequence
from itertools import islice
from typing import TYPE_CHECKING

from platewright.drawing.pdf import signs
from platewright.files.outputs import DXF_SIGNATURE, MOST_SIGNS
from platewright.geometry.build import rectangle
from platewright.geometry.contour import Circle, Outline
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Arc, Line, Segment
from platewright.home import away_from_home
from platewright.plate.blank import Blank
from platewright.plate.piece import Piece
from platewright.shop.cutting import Cut, TorchPlan
from platewright.shop.guide import Guide
from platewright.shop.leads import Lead
from platewright.units import Unit
from platewright.values import dataclass

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts import Modelspace

    from platewright.shop.coupon import Coupon
    from platewright.shop.trial_bend import TrialStrip

#: The DXF versions that can be written.
VERSIONS = ("R2010", "R2000", "R12")

_MM_PER = {"in": 25.4, "mm": 1.0}
_INSUNITS = {"in": 1, "mm": 4}


#: Where a line to scribe is punched, from either end, as a share of its length.
_MARKED = 0.1

#: What a reader takes for a sign of its own.
_PERCENTS = re.compile("%{2,}")

#: Width of a letter of a note, as a share of its height: what the widest usual fonts take.
_LETTER = 1.0
#: A line of a note has room for this many letters, however narrow the piece.
_SHORTEST_LINE = 24


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer: its name, what it means, and how it shows on a screen."""

    name: str
    meaning: str
    colour: int
    linetype: str = "CONTINUOUS"


PROFILE = Layer("NET-PROFILE", "outer edge of the finished blank, true size", 7)
HOLES = Layer("NET-HOLES", "holes and cut-outs of the finished blank, true size", 4)
BENDS = Layer("BEND-LINES", "middle of every bend", 3)
SCORE_TOP = Layer("SCORE-TOP", "middle of each groove that is ground on the top face", 30)
SCORE_UNDERSIDE = Layer(
    "SCORE-UNDERSIDE", "middle of each groove that is ground on the underside", 200, "DASHED"
)
PUNCH = Layer("PUNCH-POINTS", "centres to punch: every hole, and pilots that are not cut", 6)
TORCH = Layer("TORCH-PATH", "middle of the torch's cut, half a kerf off the net size", 1)
LEADS = Layer("TORCH-LEADS", "lead-ins and overburn of the torch path", 52)
PIERCE = Layer("PIERCE-POINTS", "where the torch pierces", 5)
MISSED = Layer("KERF-MISSED", "metal that the kerf leaves standing in corners and notches", 40)
GUIDE = Layer("TRACING-GUIDE", "edge of the guide for a hand torch: smaller than the part", 94)
GUIDE_MISSED = Layer("GUIDE-MISSED", "places that a torch round the guide makes otherwise", 42)
REFERENCE = Layer("REFERENCE", "circles and lines to look at, never cut", 8, "PHANTOM")
NOTES = Layer("NOTES", "words", 9)

LAYERS = (
    PROFILE, HOLES, BENDS, SCORE_TOP, SCORE_UNDERSIDE, PUNCH, TORCH, LEADS, PIERCE, MISSED, GUIDE,
    GUIDE_MISSED, REFERENCE, NOTES,
)  # fmt: skip

#: Dash patterns by ISO 128 habit, mm: dash, gap, ... ; dots are short dashes.
_LINETYPES = {
    "DASHED": ("dashes", (6.0, -3.0)),
    "PHANTOM": ("long dash, double dot", (12.0, -2.0, 0.5, -2.0, 0.5, -2.0)),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class DxfPiece:
    """A piece with its torch plan, its tracing guide if it has one, and the lines of its note."""

    piece: Piece
    torch: TorchPlan
    guide: Guide | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DxfSheet:
    """The stock that pieces lie on: its outlines, the lines of its note, names and their places."""

    outlines: tuple[Outline, ...]
    notes: tuple[str, ...] = ()
    names: tuple[tuple[str, Point], ...] = ()

    @property
    def bounds(self) -> Bounds:
        """The box round the outlines."""
        return Bounds.around([outline.bounds for outline in self.outlines])


def dxf_bytes(
    pieces: Sequence[DxfPiece],
    unit: Unit,
    version: str = "R2010",
    *,
    torch_only: bool = False,
    sheet: DxfSheet | None = None,
) -> bytes:
    """A whole DXF file. The same input gives the same bytes.

    `torch_only` leaves nothing but torch path, leads, pierce and punch points and the notes.
    `sheet` is drawn to look at, never to be cut.
    """
    pen = _Pen(_new_document(unit, version), unit)
    if sheet is not None:
        if not torch_only:
            for outline in sheet.outlines:
                pen.outline(outline, REFERENCE)
        height = _note_height(sheet.bounds)
        for name, at in sheet.names:
            pen.text(at, name, height)
        _draw_notes(pen, sheet.notes, sheet.bounds)
    for item in pieces:
        blank = item.piece.blank
        if not torch_only:
            _draw_net(pen, blank)
        punched = item.torch.punched if torch_only else blank.holes
        for hole in punched:
            pen.point(hole.centre, PUNCH)
        for cut in item.torch.cuts:
            _draw_cut(pen, cut, as_run=torch_only)
        if not torch_only:
            for missed in item.torch.missed:
                pen.outline(missed.outline, MISSED)
            if item.guide:
                for region in item.guide.pieces:
                    for outline in (region.outer, *region.holes):
                        pen.outline(outline, GUIDE)
                for missed in item.guide.missed:
                    pen.outline(missed.outline, GUIDE_MISSED)
        _draw_notes(pen, item.notes, blank.bounds)
    return _written(pen.document, unit, (item.piece for item in pieces))


def coupon_bytes(coupon: Coupon, notes: Sequence[str], unit: Unit, version: str = "R2010") -> bytes:
    """The coupon as a whole DXF file: the torch runs on the lines as drawn, in their order."""
    pen = _Pen(_new_document(unit, version), unit)
    pen.point(coupon.slot.start, PIERCE)
    pen.line(coupon.slot, TORCH)
    for hole, lead in zip(coupon.holes, coupon.hole_leads, strict=True):
        _draw_run(pen, lead, hole.contour().segments, ())
    _draw_run(pen, coupon.square_lead, coupon.square.segments, ())
    pen.outline(rectangle(coupon.scrap), REFERENCE)
    _draw_notes(pen, notes, coupon.scrap)
    return _written(pen.document, unit)


def trial_bytes(
    strip: TrialStrip, notes: Sequence[str], unit: Unit, version: str = "R2010"
) -> bytes:
    """The strip of a trial bend as a whole DXF file, seen on the face outside the bend."""
    pen = _Pen(_new_document(unit, version), unit)
    lead, run = strip.lead
    _draw_run(pen, lead, run.segments, ())
    pen.line(strip.bend_line, BENDS)
    if strip.way.score is not None:
        pen.line(strip.bend_line, SCORE_TOP)
    for mark in strip.marks:
        pen.line(mark, REFERENCE)
        pen.point(mark.start.towards(mark.end, _MARKED), PUNCH)
        pen.point(mark.end.towards(mark.start, _MARKED), PUNCH)
    _draw_notes(pen, notes, strip.outline.bounds)
    return _written(pen.document, unit)


def _new_document(unit: Unit, version: str) -> Drawing:
    with away_from_home():
        import ezdxf

    # no clock and no random ids in the file
    ezdxf.options.write_fixed_meta_data_for_testing = True
    # the library would tell whoever runs the command that R12 knows no units
    logging.getLogger("ezdxf").setLevel(logging.ERROR)
    document = ezdxf.new(version, setup=False)
    if version != "R12":
        document.header["$INSUNITS"] = _INSUNITS[unit]
        document.header["$MEASUREMENT"] = 0 if unit == "in" else 1
    for name, (words, pattern) in _LINETYPES.items():
        steps = [math.fsum(map(abs, pattern)), *pattern]
        scaled = [round(step / _MM_PER[unit], 6) for step in steps]
        document.linetypes.add(name, scaled, description=words)
    for layer in LAYERS:
        document.layers.add(layer.name, color=layer.colour, linetype=layer.linetype)
    return document


def _written(document: Drawing, unit: Unit, pieces: Iterable[Piece] = ()) -> bytes:
    if document.dxfversion > "AC1009":
        # the library registers these from a set: fix their order
        for name in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(name)
    stream = io.StringIO()
    document.write(stream)
    head = f"999\n{DXF_SIGNATURE}; coordinates in {'inches' if unit == 'in' else 'millimetres'}\n"
    origin = signs({piece.name: piece.fingerprint for piece in pieces})
    head += "".join(f"999\n{sign}\n" for sign in islice(origin, MOST_SIGNS))
    return (head + stream.getvalue()).encode(document.output_encoding, "dxfreplace")


@dataclass(frozen=True, slots=True)
class _Pen:
    """Draws our values into a DXF document, millimetres into the file's unit."""

    document: Drawing
    unit: Unit

    @property
    def space(self) -> Modelspace:
        return self.document.modelspace()

    def xy(self, p: Point) -> tuple[float, float]:
        scale = _MM_PER[self.unit]
        return p.x / scale, p.y / scale

    def length(self, mm: float) -> float:
        return mm / _MM_PER[self.unit]

    def polyline(self, segments: Sequence[Segment], layer: Layer, *, closed: bool) -> None:
        points = [(*self.xy(s.start), s.bulge if isinstance(s, Arc) else 0.0) for s in segments]
        if not closed:
            points.append((*self.xy(segments[-1].end), 0.0))
        look = {"layer": layer.name}
        if self.document.dxfversion > "AC1009":
            self.space.add_lwpolyline(points, format="xyb", close=closed, dxfattribs=look)
        else:
            self.space.add_polyline2d(points, format="xyb", close=closed, dxfattribs=look)

    def outline(self, outline: Outline, layer: Layer) -> None:
        if isinstance(outline, Circle):
            centre, radius = self.xy(outline.centre), self.length(outline.radius)
            self.space.add_circle(centre, radius, dxfattribs={"layer": layer.name})
        else:
            self.polyline(outline.segments, layer, closed=True)

    def shape(self, shape: Segment | Outline, layer: Layer) -> None:
        if isinstance(shape, Line):
            self.line(shape, layer)
        elif isinstance(shape, Arc):
            self.polyline((shape,), layer, closed=False)
        else:
            self.outline(shape, layer)

    def line(self, line: Line, layer: Layer) -> None:
        look = {"layer": layer.name}
        self.space.add_line(self.xy(line.start), self.xy(line.end), dxfattribs=look)

    def point(self, p: Point, layer: Layer) -> None:
        self.space.add_point(self.xy(p), dxfattribs={"layer": layer.name})

    def text(self, at: Point, text: str, height: float) -> None:
        look = {"layer": NOTES.name, "height": self.length(height)}
        self.space.add_text(escaped(text), dxfattribs=look).set_placement(self.xy(at))


def escaped(text: str) -> str:
    """Words as a DXF reader shows them letter for letter.

    A doubled %, a caret and \\U+0041 would be read as codes (DXF reference, string group codes:
    the caret stands as "^ ", one % as %%%, any letter as \\U+ and its number). For the older \\M+
    there is no such way: a space parts it.
    """
    words = text.replace("\\U+", "\\U+005CU+").replace("\\M+", "\\ M+").replace("^", "^ ")
    return _PERCENTS.sub(lambda found: "%%%" * len(found[0]), words)


def _draw_net(pen: _Pen, blank: Blank) -> None:
    pen.outline(blank.outline, PROFILE)
    for hole in blank.cut_holes:
        pen.outline(hole.circle, HOLES)
    for cutout in blank.cutouts:
        pen.outline(cutout.contour, HOLES)
    for bend in blank.bends:
        pen.line(bend.line, BENDS)
        if bend.score_face is not None:
            pen.line(bend.line, SCORE_TOP if bend.score_face == "top" else SCORE_UNDERSIDE)
    for mark in blank.marks:
        pen.shape(mark.shape, REFERENCE)


def _draw_cut(pen: _Pen, cut: Cut, *, as_run: bool) -> None:
    if as_run or cut.lead:
        # the table follows the points in order, so the polyline begins where the torch does
        _draw_run(pen, cut.lead, cut.run, cut.tail)
        return
    pen.point(cut.pierce, PIERCE)
    pen.outline(cut.path, TORCH)
    if cut.tail:
        pen.polyline(cut.tail, LEADS, closed=False)


def _draw_run(
    pen: _Pen, lead: Lead | None, run: Sequence[Segment], tail: Sequence[Segment]
) -> None:
    """Pierce, lead-in, closed run and overburn in the order of burning."""
    pen.point(lead.pierce if lead else run[0].start, PIERCE)
    if lead:
        pen.polyline(lead.segments, LEADS, closed=False)
    pen.polyline(run, TORCH, closed=True)
    if tail:
        pen.polyline(tail, LEADS, closed=False)


def _draw_notes(pen: _Pen, notes: Iterable[str], bounds: Bounds) -> None:
    height = _note_height(bounds)
    letters = max(_SHORTEST_LINE, int(bounds.width / (_LETTER * height)))
    y = bounds.ymin - 4 * height
    for note in notes:
        for line in textwrap.wrap(note, letters, subsequent_indent="  "):
            pen.text(Point(bounds.xmin, y), line, height)
            y -= 1.7 * height


def _note_height(bounds: Bounds) -> float:
    """Height of the letters of a note beside a drawing of that size, mm."""
    return min(6.0, max(2.5, bounds.width / 60))
