"""The drawing of a change: old blank in phantom, new blank solid, what comes off hatched."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from platewright.compare.changes import alike, edge_of
from platewright.compare.outcome import Comparison, Located, openings_of
from platewright.compare.words import outcome_words, sections
from platewright.drawing.dimensions import arrow, bubble, bubble_radius
from platewright.drawing.flow import Strip, bullets, figure, gap, heading, paragraph, steps
from platewright.drawing.free_space import Box, FreeSpace, LabelSpot, SpotRow, ring_spots
from platewright.drawing.items import Fill, Hatch, Item, Page, Stroke, bounds
from platewright.drawing.scaling import scaled, scaled_line, scaled_point
from platewright.drawing.style import BEND, HIDDEN, LEADER, OUTLINE, PHANTOM
from platewright.drawing.table import Column, Table, Words, table_strips
from platewright.files.changes import Change
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.regions import Patch
from platewright.geometry.segment import Line
from platewright.plate.blank import Blank
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.imposition import plain_pages
from platewright.sheets.paper import paper_named
from platewright.units import Unit
from platewright.values import dataclass

SHEET = "Changes"
"""What every page is called."""

CAUTION = (
    "Judged from the two files alone. Measure the part that is cut before you trim it, and check "
    "the new check sheet's fit-critical sizes."
)

LARGEST = 1.0
"""Greatest scale of the picture: never larger than life."""

_HEIGHT = 128.0  # of the picture, mm
_RIM = 12.0  # kept round it for numbers, mm
_ADDED_GREY = 0.75
_NUMBER = 2.0  # height of a number, mm
_RINGS = (6.0, 8.5, 11.0, 14.0, 18.0)
_DIRECTIONS = 16
_THIN = replace(OUTLINE, width=0.35)
_COLUMNS = (
    Column(heading="Measurement", width=62),
    Column(heading="In the file", width=52),
    Column(heading="Old", width=38),
    Column(heading="New", width=38),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """Two parts compared: names, fingerprints, the measurements that changed, the blanks."""

    old_name: str
    new_name: str
    old_fingerprint: str
    new_fingerprint: str
    unit: Unit
    changes: tuple[Change, ...]
    found: Comparison


def compare_pages(compared: Compared, paper: str) -> tuple[Page, ...]:
    """The pages of one part's changes, on named paper."""
    sheet = paper_named(paper)
    width = plain_field_of(sheet).width
    strips = [
        *_outcomes(compared, width),
        *figure(compare_drawing(compared.found, (width, _HEIGHT)), width, _CAPTION),
        *_sections(compared, width),
        *_measurements(compared.changes, width),
    ]
    names = {compared.old_name, compared.new_name}
    title = " -> ".join(dict.fromkeys((compared.old_name, compared.new_name)))
    part = title if len(names) > 1 else f"{title}: old and new"
    sign = f"{compared.old_fingerprint} -> {compared.new_fingerprint}"
    return plain_pages(strips, sheet, part=part, sheet=SHEET, caution=CAUTION, fingerprint=sign)


_CAPTION = (
    "Blanks before bending, top face up, not to scale. Solid: new. Long dash, double dot: old. "
    "Hatched: comes off. Grey: metal that the old blank lacks. Dashed: where an old bend was."
)


def _outcomes(compared: Compared, width: float) -> Iterator[Strip]:
    for line in outcome_words(compared.found, compared.unit):
        yield from paragraph(line, width, weight="bold")
    if compared.found.unchanged:
        yield from paragraph("The two blanks are alike.", width)


def _sections(compared: Compared, width: float) -> Iterator[Strip]:
    for subject, lines in sections(compared.found, compared.unit):
        star = " (* fit-critical)" if subject == "checks" else ""
        yield from heading(f"{subject.capitalize()}{star}", width, 3.0)
        # the picture carries the numbers of the metal
        yield from steps(lines, width) if subject == "metal" else bullets(lines, width)


def _measurements(changes: Sequence[Change], width: float) -> tuple[Strip, ...]:
    if not changes:
        return ()
    rows = tuple(
        (
            Words(change.label + (" *" if change.fit_critical else "")),
            Words(change.key, size=1.8),
            change.old,
            Words(change.new, "bold"),
        )
        for change in changes
    )
    table = Table(columns=_COLUMNS, rows=rows).fitted(width)
    return (*heading("In the files (* fit-critical)", width, 3.0), *table_strips(table), gap(2.0))


# --- the picture ------------------------------------------------------------------------------


def compare_drawing(found: Comparison, size: tuple[float, float]) -> tuple[Item, ...]:
    """Both blanks on each other, scaled to fit a box of `size` mm."""
    box = found.old.bounds.union(found.new.bounds)
    factor = min((size[0] - 2 * _RIM) / box.width, (size[1] - 2 * _RIM) / box.height, LARGEST)
    metal = tuple(_metal(found, factor))
    ink = (*_lines(found, factor), *_moves(found, factor))
    numbers = _numbers((*found.added, *found.removed), ink, factor)
    return (*metal, *ink, *numbers)


def _metal(found: Comparison, factor: float) -> Iterator[Item]:
    for each in found.added:
        yield Fill(_loops(each.patch, factor), _ADDED_GREY)
    for each in found.removed:
        yield Hatch(_loops(each.patch, factor), math.pi / 4, 1.8)


def _loops(patch: Patch, factor: float) -> tuple[Contour, ...]:
    rings = (patch.outer, *patch.holes)
    return tuple(Contour.polygon(scaled_point(p, factor) for p in ring) for ring in rings)


def _lines(found: Comparison, factor: float) -> Iterator[Item]:
    yield from (Stroke(scaled(shape, factor), PHANTOM) for shape in _changed_shapes(found))
    for change in found.bends:
        if change.old is not None:
            yield Stroke(scaled_line(change.old.line, factor), HIDDEN)
    yield from (Stroke(scaled_line(bend.line, factor), BEND) for bend in found.new.bends)
    yield from (Stroke(scaled(shape, factor), _THIN) for shape in _cut_shapes(found.new))


def _cut_shapes(blank: Blank) -> tuple[Contour | Circle, ...]:
    return (blank.outline, *(edge_of(opening) for opening in openings_of(blank)))


def _changed_shapes(found: Comparison) -> Iterator[Contour | Circle]:
    """The old outline, and those old holes that are not where a new one is."""
    yield found.old.outline
    kept = _cut_shapes(found.new)[1:]
    for shape in _cut_shapes(found.old)[1:]:
        if not any(alike(shape, other) for other in kept):
            yield shape


def _moves(found: Comparison, factor: float) -> Iterator[Item]:
    """Arrows from the middles of old openings to new ones, where there is room for one."""
    for change in found.openings:
        if change.old is None or change.new is None:
            continue
        middles = (edge_of(opening).bounds.centre for opening in (change.old, change.new))
        start, tip = (scaled_point(middle, factor) for middle in middles)
        if start.distance(tip) > 2 * _NUMBER:
            yield from arrow(start, tip, LEADER)


def _numbers(patches: Sequence[Located], ink: Sequence[Item], factor: float) -> Iterator[Item]:
    """A number for each patch, on it or beside it on a leader, clear of ink."""
    free = FreeSpace.beside(ink, (bounds(ink).grown(_RIM),))
    for number, each in enumerate(patches, 1):
        at = scaled_point(each.patch.middle, factor)
        radius = bubble_radius(str(number), _NUMBER)
        reach = radius + 0.4
        spots = (SpotRow.of([LabelSpot(at)]), ring_spots(at, _RINGS, _DIRECTIONS))
        found = free.best([(2 * reach, 2 * reach)], spots)
        centre = found.spot.centre if found else at
        free = free.less((Box(centre, reach, reach),))
        if centre != at:
            yield Stroke(Line(at, centre), LEADER)
            yield Fill((Circle(at, 0.8),))
        yield from bubble(centre, str(number), _NUMBER)
