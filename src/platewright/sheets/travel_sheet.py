"""The travel sheet: figures to carry to the vehicle, side view, curves, table, cautions."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from platewright.drawing.flow import Strip, bullets, figure, gap, heading, paragraph
from platewright.drawing.items import Item, Page
from platewright.drawing.plot import Plot, plot_items
from platewright.drawing.table import Cell, Column, Table, Words, table_strips
from platewright.drawing.table import Reading as Box
from platewright.geometry.plane import Bounds
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.imposition import plain_pages
from platewright.sheets.paper import paper_named
from platewright.sheets.spacer import spacer_pages
from platewright.sheets.travel_view import LETTERS, lowest_words, side_view
from platewright.suspension.figures import Figure, FigureGroup, as_it_stands, carried
from platewright.suspension.remarks import CAUTIONS, Weight, remarks
from platewright.suspension.report import LEGEND, cells, headings, shown_readings
from platewright.suspension.travel import Reading, Travel
from platewright.units import Unit

SHEET = "Suspension travel"
"""What the sheet is called."""

_VIEW_HEIGHT = 118.0
_PLOT_HEIGHT = 52.0
_TO_SET = 2  # so many groups of figures are set on the vehicle; the others come of it
_HEADS: dict[Weight, str] = {"change": "Must be changed", "mind": "Mind", "know": "Worth knowing"}
_DEFINED = (
    "Laid out: the frame down on the ground. Lift: how far the frame is above that, at the axle. "
    "Mark and datum line: the ones you measured from. Middles are of the faces that touch the "
    "spring. Letters are those of the side view."
)


@dataclass(frozen=True, slots=True)
class _Other:
    """The other system of units, and what heads its column."""

    unit: Unit
    heading: str


_OTHER: dict[Unit, _Other] = {"in": _Other("mm", "Metric"), "mm": _Other("in", "Inch")}


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetWords:
    """What stands on the sheet besides the travel: the setup's name, a note, the paper's name.

    No paper goes by the unit: letter for inches, A4 for mm.
    """

    name: str = "suspension"
    note: str = ""
    paper: str | None = None

    def paper_for(self, unit: Unit) -> str:
        """The paper's name."""
        return self.paper or ("letter" if unit == "in" else "A4")


def travel_pages(of: Travel, words: SheetWords | None = None) -> tuple[Page, ...]:
    """The finished pages: the sheet, then the pattern of the spacer at full scale.

    Raises OutputError for unknown paper.
    """
    words = words or SheetWords()
    paper = paper_named(words.paper_for(of.layout.unit))
    width = plain_field_of(paper).width
    sheet = plain_pages(tuple(_strips(of, words, width)), paper, part=words.name, sheet=SHEET)
    return (*sheet, *spacer_pages(of, words.name, words.paper_for(of.layout.unit)))


def _strips(of: Travel, words: SheetWords, width: float) -> Iterator[Strip]:
    if words.note:
        yield from paragraph(words.note, width)
    yield from paragraph(_DEFINED, width)
    groups = carried(of)
    for group in groups[:_TO_SET]:
        yield from heading(group.title, width, 2.8)
        yield from set_figures(group.figures, of.layout.unit, width)
    yield from _cautions(width)
    yield from remark_strips(of, width)
    for group in groups[_TO_SET:]:
        yield from _told_figures(group, of.layout.unit, width)
    yield from view_strips(of, width, _VIEW_HEIGHT)
    yield from _table(of, width)
    yield from _plots(of, width)


# --- figures ----------------------------------------------------------------------------------


def set_figures(
    figures: Sequence[Figure], unit: Unit, width: float, letters: Mapping[str, str] = LETTERS
) -> tuple[Strip, ...]:
    """Figures to set on the vehicle, with a box for what was found there.

    `letters` are those of the side view, by the figures' keys.
    """
    columns = (
        Column(heading="", width=7, along="middle"),
        Column(heading="What", width=97),
        Column(heading="Set to", width=32, along="right"),
        Column(heading=_OTHER[unit].heading, width=27, along="right"),
        Column(heading="Found", width=30),
    )
    rows = tuple(
        (Words(letters.get(one.key, ""), "bold"), *_cells(one, unit), Box()) for one in figures
    )
    return table_strips(Table(columns=columns, rows=rows).fitted(width))


def _told_figures(group: FigureGroup, unit: Unit, width: float) -> Iterator[Strip]:
    """Figures that come of it."""
    columns = (
        Column(heading="What", width=107),
        Column(heading="Comes to", width=32, along="right"),
        Column(heading=_OTHER[unit].heading, width=24, along="right"),
    )
    rows = tuple(_cells(one, unit) for one in group.figures)
    yield from heading(group.title, width, 2.8)
    yield from table_strips(Table(columns=columns, rows=rows, least_height=5.0).fitted(width))


def _cells(one: Figure, unit: Unit) -> tuple[Cell, ...]:
    other = "" if one.quantity in ("angle", "ratio") else one.shown(_OTHER[unit].unit)
    return (one.what, Words(one.shown(unit), "bold"), other)


# --- words ------------------------------------------------------------------------------------


def remark_strips(of: Travel, width: float, weights: Iterable[Weight] = _HEADS) -> Iterator[Strip]:
    """What there is to say about a travel, under a heading for each of some weights."""
    found = remarks(of)
    for weight, title in ((weight, _HEADS[weight]) for weight in weights):
        words = [remark.words for remark in found if remark.weight == weight]
        if words:
            yield from heading(title, width, 2.8)
            yield from bullets(words, width)


def _cautions(width: float) -> Iterator[Strip]:
    yield from heading("Before anything moves", width, 2.8)
    yield from bullets(CAUTIONS, width)


# --- pictures ---------------------------------------------------------------------------------


def view_strips(of: Travel, width: float, height: float) -> Iterator[Strip]:
    """The side view with its heading, within a height, mm."""
    view = side_view(of, width, height)
    yield from heading(f"Side view, 1:{view.scale}, front to the left", width, 2.8)
    caption = (
        f"Heavy: ride. Dashed: {lowest_words(of)}. Double dots: full height. Thin: ways of axle "
        "and seat. The ground moves, not the frame."
    )
    picture, *words = figure(view.items, width, caption)[1:]  # the heading is room enough
    yield replace(picture, height=picture.height + 2.0)
    yield from words


def _plots(of: Travel, width: float) -> Iterator[Strip]:
    plots = [make(of) for make in (_gap_plot, _tilt_plot, _drift_plot, _ratio_plot)]
    yield from heading(f"Through the travel{as_it_stands(of)}", width, 2.8)
    half = (width - 4) / 2
    items: list[Item] = []
    for index, plot in enumerate(plots):
        row, column = divmod(index, 2)
        left, top = column * (half + 4), -row * (_PLOT_HEIGHT + 2)
        items += plot_items(plot, Bounds(left, top - _PLOT_HEIGHT, left + half, top))
    yield Strip(height=2 * _PLOT_HEIGHT + 4, items=tuple(items))


def _plot(
    of: Travel,
    title: str,
    figure: Callable[[Reading], float],
    least_span: float,
    *limits: float,
) -> Plot:
    unit = of.layout.unit
    size = _size(unit)
    return Plot(
        title=title,
        across=f"lift above laid out, {unit}",
        curve=tuple((reading.lift / size, figure(reading)) for reading in of.readings),
        least_span=least_span,
        limits=limits,
        places=((of.ride.lift / size, "ride"),),
    )


def _size(unit: Unit) -> float:
    return 25.4 if unit == "in" else 1.0


def _gap_plot(of: Travel) -> Plot:
    size, heights = _size(of.layout.unit), of.layout.heights
    title = f"Spring height (gap between the mounts), {of.layout.unit}"
    limits = (heights.least / size, heights.greatest / size)
    return _plot(of, title, lambda reading: reading.gap / size, 25.4 / size, *limits)


def _tilt_plot(of: Travel) -> Plot:
    limit = of.layout.limits.tilt
    limits = () if limit is None else (math.degrees(limit), -math.degrees(limit))
    title = "Tilt of the seat, rear edge up, degrees"
    return _plot(of, title, lambda reading: math.degrees(reading.tilt), 1.0, *limits)


def _drift_plot(of: Travel) -> Plot:
    size, limit = _size(of.layout.unit), of.layout.limits.drift
    limits = () if limit is None else (limit / size, -limit / size)
    title = f"Drift of the seat, rearward, {of.layout.unit}"
    return _plot(of, title, lambda reading: reading.drift / size, 2.54 / size, *limits)


def _ratio_plot(of: Travel) -> Plot:
    return _plot(of, "Motion ratio, spring to wheel", lambda reading: reading.ratio, 0.02)


def _table(of: Travel, width: float) -> Iterator[Strip]:
    yield from heading(f"By lift{as_it_stands(of)}", width, 2.8)
    columns = tuple(Column(heading=head, width=20, along="right") for head in headings(of))
    rows = tuple(cells(reading, of) for reading in shown_readings(of))
    yield from table_strips(Table(columns=columns, rows=rows, least_height=5.0).fitted(width))
    yield gap(1.5)
    yield from paragraph(f"{LEGEND[0].upper()}{LEGEND[1:]}.", width)
