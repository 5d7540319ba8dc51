"""The check sheet's schedules: the work on each score, and on each brake bend."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from platewright.drawing.flow import Strip, bullets, gap, heading
from platewright.drawing.table import Cell, Column, Table, Words, table_strips
from platewright.findings.words import force_words, joined_places, numbers_words
from platewright.plate.bend import BUMPING_DIE, DIE_PER_RADIUS, NARROWEST_DIE, WIDEST_DIE
from platewright.quantities import N_PER_LBF
from platewright.sheets.figures import LB_PER_KG, moment_words
from platewright.sheets.section import SectionInput
from platewright.shop.brake import BrakeRow
from platewright.shop.scores import ScoreRow
from platewright.units import MM_PER_INCH, Unit, format_angle, format_length

_N_PER_TON = 2000 * float(N_PER_LBF)
_OZ_PER_G = 16 * LB_PER_KG / 1000

_SCORE_WORDS = (
    "Shuts at: if it were ground on the wrong face, inside the fold, the groove would shut at this "
    "angle and stop the fold.",
    "Opens to: width of the groove on the outside when folded. Weld: area x length to fill it to a "
    "round outside corner; wire 0.9 mm (0.035 in), a twentieth of it lost.",
    "Grind and fold a trial piece of the same plate first. Tack both ends of the fold before you "
    "weld it.",
)
_GRAINS = {"across": "across", "along": "along", "unknown": "not known"}


def score_section(matter: SectionInput) -> tuple[Strip, ...]:
    """What to grind, how it opens, the weld that fills it, the push; like scores in one row."""
    rows, unit = matter.judgement.scores, matter.unit
    if not rows:
        return ()
    columns = (
        Column(heading="bend", width=17),
        Column(heading="score", width=26),
        Column(heading="groove", width=17),
        Column(heading="depth", width=16),
        Column(heading="left", width=16),
        Column(heading="wheel", width=27),
        Column(heading="shuts at", width=13),
        Column(heading="opens to", width=17),
        Column(heading="weld metal", width=32),
        Column(heading=f"push at {_lever(rows[0], unit)}", width=22),
    )
    cells = _joined((row.number, _score_cells(row, unit)) for row in rows)
    table = Table(columns=columns, rows=cells).fitted(matter.width)
    words = (*_ligament_words(matter), *_push_words(rows, unit), *_SCORE_WORDS)
    return (
        *heading("Scores", matter.width),
        *table_strips(table),
        gap(1.5),
        *bullets(words, matter.width),
    )


def _score_cells(row: ScoreRow, unit: Unit) -> tuple[Cell, ...]:
    passes = "1 pass" if row.passes == 1 else f"{row.passes} passes"
    run = f"{_area(row.channel_area, unit)} x {format_length(row.length, unit)}"
    weld = f"{run}: {_metal(row, unit)} of wire"
    return (
        Words(row.face.upper(), "bold"),
        format_length(row.way.groove, unit),
        Words(format_length(row.depth, unit), "bold"),
        format_length(row.way.ligament, unit),
        f"{format_length(row.wheel, unit)} cutoff wheel, {passes}",
        format_angle(row.shut_angle, 0),
        format_length(row.opening, unit),
        weld,
        _push(row, unit),
    )


def _lever(row: ScoreRow, unit: Unit) -> str:
    lever = row.effort.lever
    return f"{lever / float(MM_PER_INCH):.3g} in" if unit == "in" else f"{lever:.0f} mm"


def _push(row: ScoreRow, unit: Unit) -> str:
    """From yield to the hard end: "12 to 21 lbf"."""
    low, high = (
        force_words(force, unit).split(" ")[0] for force in (row.push_yield, row.push_hard)
    )
    return (
        f"{low} to {force_words(row.push_hard, unit)}"
        if low != high
        else force_words(row.push_hard, unit)
    )


def _ligament_words(matter: SectionInput) -> Iterator[str]:
    """The ligament that the shop's limits suggest, and why."""
    rows, unit, used = matter.judgement.scores, matter.unit, matter.judgement.ligament
    if used is not None:
        yield (
            f"The file gives no ligament: {format_length(used.value, unit)} is taken, chosen "
            f"for the longest bend ({used.reason}). Common practice."
        )
        return
    by_words: dict[str, list[int]] = {}
    for row in rows:
        words = f"{format_length(row.suggestion.value, unit)} ({row.suggestion.reason})"
        by_words.setdefault(words, []).append(row.number)
    for words, numbers in by_words.items():
        bends = joined_places([f"bend {number}" for number in numbers])
        yield f"Ligament suggested for {bends}: {words}. Common practice."


def _push_words(rows: Sequence[ScoreRow], unit: Unit) -> Iterator[str]:
    by_words: dict[str, list[int]] = {}
    for row in rows:
        by_words.setdefault(_moment_words(row, unit), []).append(row.number)
    for words, numbers in by_words.items():
        yield f"To fold {joined_places([f'bend {number}' for number in numbers])} takes {words}."
    yield (
        "Push: from the plate's least yield to the hardest to expect, by plastic theory; "
        f"{force_words(rows[0].effort.limit, unit, 'down')} is taken as the most for hands (common "
        "practice)."
    )


def _moment_words(row: ScoreRow, unit: Unit) -> str:
    """The moment of the fold, and the ligament at which the push reaches its limit."""
    low, high = (moment_words(moment, unit) for moment in (row.moment_yield, row.moment_hard))
    limit = force_words(row.effort.limit, unit)
    ligament = format_length(row.greatest_ligament, unit, "down")
    return (
        f"{low.split(' ')[0]} to {high}; with {ligament} left it would take all of {limit} at "
        f"{_lever(row, unit)}"
    )


def _metal(row: ScoreRow, unit: Unit) -> str:
    """The weld metal's weight and the wire's length: "45 g, 9.4 m", in ounces and feet first."""
    grams, metres = f"{row.weld_g:.0f} g", f"{row.wire_m:.1f} m"
    if unit == "mm":
        return f"{grams}, {metres}"
    ounces, feet = row.weld_g * _OZ_PER_G, row.wire_m * 1000 / (12 * float(MM_PER_INCH))
    return f"{ounces:.1f} oz ({grams}), {feet:.0f} ft ({metres})"


def _area(mm2: float, unit: Unit) -> str:
    return f"{mm2 / float(MM_PER_INCH) ** 2:.3f} in²" if unit == "in" else f"{mm2:.1f} mm²"


Cells = tuple[Cell, ...]


def _joined(rows: Iterable[tuple[int, Cells]]) -> tuple[Cells, ...]:
    """A row for all bends with the same cells, their numbers first."""
    alike: dict[Cells, list[int]] = {}
    for number, cells in rows:
        alike.setdefault(cells, []).append(number)
    return tuple(
        (Words(numbers_words(numbers), "bold"), *cells) for cells, numbers in alike.items()
    )


# --- brake ------------------------------------------------------------------------------------


def brake_section(matter: SectionInput) -> tuple[Strip, ...]:
    """Radius against the least, grain, die and force, legs; like bends in one row."""
    rows, unit = matter.judgement.brakes, matter.unit
    if not rows:
        return ()
    columns = (
        Column(heading="bend", width=26),
        Column(heading="inside radius", width=21, along="right"),
        Column(heading="least radius", width=21, along="right"),
        Column(heading="grain", width=18),
        Column(heading="die opening", width=21, along="right"),
        Column(heading="force", width=22, along="right"),
        Column(heading="flat of the leg", width=21, along="right"),
        Column(heading="least flat", width=21, along="right"),
    )
    cells = _joined((row.number, _brake_cells(row, unit)) for row in rows)
    table = Table(columns=columns, rows=cells).fitted(matter.width)
    return (
        *heading("Brake", matter.width),
        *table_strips(table),
        gap(1.5),
        *bullets(_brake_words(rows), matter.width),
    )


def _brake_cells(row: BrakeRow, unit: Unit) -> tuple[Cell, ...]:
    force = "no figure"
    if row.force is not None:
        tons = f"{row.force / _N_PER_TON:.1f} tons"
        force = tons if unit == "in" else f"{row.force / 1000:.0f} kN"
    return (
        Words(format_length(row.inside_radius, unit), "bold"),
        format_length(row.least.radius, unit, "up") if row.least else "no figure",
        _GRAINS[row.grain],
        "bump or roll" if row.die is None else format_length(row.die, unit),
        force,
        format_length(row.flat, unit),
        format_length(row.least_flat, unit, "up"),
    )


def _brake_words(rows: Sequence[BrakeRow]) -> Iterator[str]:
    sources = dict.fromkeys(row.least.source for row in rows if row.least)
    yield from (f"Least radius: {source}." for source in sources)
    springback = dict.fromkeys(row.springback for row in rows)
    yield from (f"Springback {words}." for words in springback)
    yield (
        f"Die opening: {DIE_PER_RADIUS:.0f} times the inside radius, the opening that leaves it in "
        f"air bending, and never under {NARROWEST_DIE:.0f} thicknesses. Force: air bending, the "
        "hardest plate to expect. Common practice, no published source."
    )
    if any(row.die is None for row in rows):
        yield (
            f"Bump or roll: no die up to {WIDEST_DIE:.0f} thicknesses wide leaves so large a "
            "radius. Bump it in small steps on a die of "
            f"{BUMPING_DIE:.0f} thicknesses, or roll it, and check it with a gauge."
        )
    if any(row.force is None and row.die is not None for row in rows):
        yield (
            "No force is given for a radius that the narrowest die does not leave: it is bottomed, "
            "at several times the force of air bending, or bent in a folder."
        )
    yield (
        "Flat of the leg: from the end of the bend on, where it is narrowest. With less than the "
        "least it slips off the die's shoulder before the bend is made (geometry of the die)."
    )
