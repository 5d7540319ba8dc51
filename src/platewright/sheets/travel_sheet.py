"""The travel sheet: figures to carry to the vehicle, side view, curves, table, cautions."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from platewright.drawing.flow import Strip, bullets, figure, gap, heading, kept, paragraph
from platewright.drawing.items import Item, Page
from platewright.drawing.plot import Plot, plot_items
from platewright.drawing.printer import Printer
from platewright.drawing.table import Cell, Column, Table, Words, table_strips
from platewright.drawing.table import ReadingBox as Box
from platewright.geometry.plane import Bounds
from platewright.sheets.figures import other_unit
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.imposition import plain_pages
from platewright.sheets.paper import paper_for, paper_named
from platewright.sheets.spacer import spacer_pages
from platewright.sheets.travel_view import LETTERS, lowest_words, side_view
from platewright.suspension.mounting import Mounting, comes_to, set_up
from platewright.suspension.report import LEGEND, TravelFigure, as_it_stands, figure_groups, table
from platewright.suspension.travel import Position, Travel
from platewright.suspension.warning import CAUTIONS, WarningWeight, warnings
from platewright.units import Unit

SHEET = "Suspension travel"
"""What the sheet is called."""

_VIEW_HEIGHT = 118.0
_PLOT_HEIGHT = 52.0
PLOTS_HEIGHT = 2 * _PLOT_HEIGHT + 4
"""What the curves take of a page, mm."""
_HEADS: dict[WarningWeight, str] = {
    "change": "Must be changed",
    "mind": "Mind",
    "know": "Worth knowing",
}
_SYSTEMS: dict[Unit, str] = {"in": "Inch", "mm": "Metric"}
_DEFINED = (
    "Laid out: the frame down on the ground. Lift: how far the frame is above that, at the axle. "
    "Mark and datum line: the ones you measured from. Middles are of the faces that touch the "
    "spring. Letters are those of the side view."
)


def travel_pages(
    of: Travel,
    *,
    name: str = "suspension",
    note: str = "",
    paper: str | None = None,
    fingerprint: str = "",
    printer: Printer | None = None,
) -> tuple[Page, ...]:
    """The finished pages: the sheet, then the pattern of the spacer at full scale.

    `name`, `note` and `fingerprint` are the setup's. No paper goes by the unit: letter for inches,
    A4 for mm. The pattern is drawn for the `printer`. Raises OutputError for unknown paper.
    """
    named = paper or ("letter" if of.layout.unit == "in" else "A4")
    sheet = paper_named(named)
    strips = tuple(_strips(of, note, plain_field_of(sheet).width))
    return (
        *plain_pages(strips, sheet, part=name, sheet=SHEET, fingerprint=fingerprint),
        *spacer_pages(of, name, paper_for(printer, named), fingerprint),
    )


def _strips(of: Travel, note: str, width: float) -> Iterator[Strip]:
    unit = of.layout.unit
    *to_set, comes = figure_groups(of)
    if note:
        yield from paragraph(note, width)
    yield from paragraph(_DEFINED, width)
    for group in to_set:
        yield from heading(group.title, width, 2.8)
        yield from _figures_to_set(group.figures, unit, width)
    yield from heading("Before anything moves", width, 2.8)
    yield from bullets(CAUTIONS, width)
    yield from _warning_strips(of, width)
    yield from heading(comes.title, width, 2.8)
    columns = (
        Column(heading="What", width=107),
        Column(heading="Comes to", width=32, along="right"),
        Column(heading=_SYSTEMS[other_unit(unit)], width=24, along="right"),
    )
    rows = tuple(_cells(one, unit) for one in comes.figures)
    yield from table_strips(Table(columns=columns, rows=rows, least_height=5.0).fitted(width))
    yield from _view_strips(of, width, _VIEW_HEIGHT)
    yield from _by_lift(of, width)
    # the curves, two by two
    yield from heading(f"Through the travel{as_it_stands(of)}", width, 2.8)
    yield Strip(height=PLOTS_HEIGHT, items=tuple(plots_items(of, width)))


# --- the check sheet's part for a bracket of a suspension --------------------------------------

_UPPER = {"plate_along": "mount_along", "plate_drop": "mount_above", "plate_height": "mount_above"}
"""Figures of an upper bracket that the side view shows as those of the upper mount."""

_SETTING_UP = (
    "Laid out: the frame down on the ground. Mark and datum line: the ones the suspension was "
    "measured from. Fit the bracket with the spacer in the spring's place, tack it, take the "
    "spacer out, measure again, then weld. Letters are those of the side view."
)


def set_up_strips(of: Mounting, thickness: float, unit: Unit, width: float) -> tuple[Strip, ...]:
    """Where a bracket sits and the spring's heights; its plate's thickness and the width, mm."""
    drawn = {"set_up_height": "spacer"} | (_UPPER if of.on.end == "upper" else {})
    letters = LETTERS | {key: LETTERS[as_drawn] for key, as_drawn in drawn.items()}
    told = []
    for one in comes_to(of):
        other = "" if one.quantity == "angle" else f" ({one.shown(other_unit(unit))})"
        told.append(f"{one.what}: {one.shown(unit)}{other}.")
    title = f"On the vehicle: this is the spring's {of.on.end} mount ({of.on.setup})"
    return (
        *heading(title, width),
        *kept(paragraph(_SETTING_UP, width)),
        *_figures_to_set(set_up(of, thickness), unit, width, letters),
        gap(2.0),
        *bullets(told, width),
        *_view_strips(of.travel, width, 80.0),
        *_warning_strips(of.travel, width, ("change", "mind")),
        *bullets(CAUTIONS[:2], width),  # the others end every check sheet
    )


# --- figures and words ------------------------------------------------------------------------


def _figures_to_set(
    figures: Sequence[TravelFigure], unit: Unit, width: float, letters: Mapping[str, str] = LETTERS
) -> tuple[Strip, ...]:
    """Figures to set on the vehicle, with a box for what was found there.

    `letters` are those of the side view, by the figures' keys.
    """
    columns = (
        Column(heading="", width=7, along="middle"),
        Column(heading="What", width=97),
        Column(heading="Set to", width=32, along="right"),
        Column(heading=_SYSTEMS[other_unit(unit)], width=27, along="right"),
        Column(heading="Found", width=30),
    )
    rows = tuple(
        (Words(letters.get(one.key, ""), "bold"), *_cells(one, unit), Box()) for one in figures
    )
    return table_strips(Table(columns=columns, rows=rows).fitted(width))


def _cells(one: TravelFigure, unit: Unit) -> tuple[Cell, ...]:
    other = "" if one.quantity in ("angle", "ratio") else one.shown(other_unit(unit))
    return (one.what, Words(one.shown(unit), "bold"), other)


def _warning_strips(
    of: Travel, width: float, weights: Iterable[WarningWeight] = tuple(_HEADS)
) -> Iterator[Strip]:
    """What there is to say about a travel, under a heading for each of some weights."""
    found = warnings(of)
    for weight in weights:
        words = [warning.words for warning in found if warning.weight == weight]
        if words:
            yield from heading(_HEADS[weight], width, 2.8)
            yield from bullets(words, width)


# --- pictures ---------------------------------------------------------------------------------


def _view_strips(of: Travel, width: float, height: float) -> Iterator[Strip]:
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


def _travel_plots(of: Travel, *places: tuple[float, str]) -> tuple[Plot, ...]:
    """Four curves over the lift."""
    unit, layout = of.layout.unit, of.layout
    size = 25.4 if unit == "in" else 1.0
    ride = (of.ride.lift, "ride")

    def plot(
        title: str, figure: Callable[[Position], float], least_span: float, *limits: float
    ) -> Plot:
        return Plot(
            title=title,
            across=f"lift above laid out, {unit}",
            curve=tuple((position.lift / size, figure(position)) for position in of.positions),
            least_span=least_span,
            limits=limits,
            places=tuple((lift / size, words) for lift, words in (ride, *places)),
        )

    heights = (layout.heights.least / size, layout.heights.greatest / size)
    tilt, drift = layout.limits.tilt, layout.limits.drift
    tilts = () if tilt is None else (math.degrees(tilt), -math.degrees(tilt))
    drifts = () if drift is None else (drift / size, -drift / size)
    return (
        plot(
            f"Spring height (gap between the mounts), {unit}",
            lambda position: position.gap / size,
            25.4 / size,
            *heights,
        ),
        plot(
            "Tilt of the seat, rear edge up, degrees",
            lambda position: math.degrees(position.tilt),
            1.0,
            *tilts,
        ),
        plot(
            f"Drift of the seat, rearward, {unit}",
            lambda position: position.drift / size,
            2.54 / size,
            *drifts,
        ),
        plot("Motion ratio, spring to wheel", lambda position: position.ratio, 0.02),
    )


def plots_items(of: Travel, width: float, *places: tuple[float, str]) -> Iterator[Item]:
    """The curves in a frame `width` wide and `PLOTS_HEIGHT` down from 0, mm.

    Ride is marked in them, and other `places` by their lift, mm, with their words.
    """
    half = (width - 4) / 2
    for index, each in enumerate(_travel_plots(of, *places)):
        row, column = divmod(index, 2)
        left, top = column * (half + 4), -row * (_PLOT_HEIGHT + 2)
        yield from plot_items(each, Bounds(left, top - _PLOT_HEIGHT, left + half, top))


def _by_lift(of: Travel, width: float) -> Iterator[Strip]:
    heads, *rows = table(of)
    columns = tuple(Column(heading=head, width=20, along="right") for head in heads)
    grid = Table(columns=columns, rows=tuple(rows), least_height=5.0).fitted(width)
    yield from heading(f"By lift{as_it_stands(of)}", width, 2.8)
    yield from table_strips(grid)
    yield gap(1.5)
    yield from paragraph(f"{LEGEND[0].upper()}{LEGEND[1:]}.", width)
