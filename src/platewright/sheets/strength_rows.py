"""The check sheet's part for a load: a screen of strength with everything it takes for granted."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.drawing.flow import Strip, bullets, gap, heading, kept, paragraph
from platewright.drawing.table import Cell, Column, Table, Words, table_strips
from platewright.findings.words import force_words
from platewright.quantities import MPA_PER_KSI
from platewright.sheets.figures import moment_words, other_unit
from platewright.sheets.section import SectionInput
from platewright.shop.strength import Screen
from platewright.shop.wall import Strength
from platewright.units import MM_PER_INCH, Unit, format_length

_INCH = float(MM_PER_INCH)

_TWISTS = (
    "The section at the wall is not alike left and right: the load also bends it sideways and "
    "twists it, which these figures leave out."
)


def strength_section(matter: SectionInput) -> tuple[Strip, ...]:
    """The bracket as a cantilever from its wall; none without a load."""
    strength = matter.judgement.strength
    if strength is None:
        return ()
    caution = paragraph(strength.plate.caution, matter.width, weight="bold")
    columns = (
        Column(heading="stress", width=76),
        Column(heading="comes to", width=26, along="right"),
        Column(heading="strength / margin", width=34, along="right"),
        Column(heading="held against", width=26, along="right"),
        Column(heading="share", width=18, along="right"),
    )
    rows = (
        *_screen_rows("at the wall", strength.plate, matter.unit),
        *_screen_rows("weld", strength.weld, matter.unit),
    )
    return (
        *heading("Strength under the load: a screen, no approval", matter.width),
        *kept(caution),
        *bullets(_told(strength, matter.unit), matter.width),
        gap(1.0),
        *table_strips(Table(columns=columns, rows=rows).fitted(matter.width)),
        gap(1.5),
        *bullets(_taken_for_granted(strength, matter.unit), matter.width),
    )


def _told(strength: Strength, unit: Unit) -> Iterator[str]:
    other, wall = other_unit(unit), strength.at_wall
    load = f"{force_words(strength.load, unit)} ({force_words(strength.load, other)})"
    yield (
        f"Load {load}{_from(strength)}. It acts square to the plate, "
        f"{format_length(strength.arm, unit)} from the wall: moment "
        f"{moment_words(strength.plate.moment, unit)}."
    )
    where = "above" if wall.neutral > 0 else "below"
    yield (
        f"Section at the wall, plate and gussets: area {_power(wall.area, 2, unit)}, second moment "
        f"{_power(wall.inertia, 4, unit)}; neutral axis "
        f"{format_length(abs(wall.neutral), unit)} {where} the plate's top face."
    )
    yield (
        f"Weld to the wall: {strength.weld_words}, legs {format_length(strength.leg, unit)}, "
        f"together {_run(strength.group.length, unit)} long."
    )


def _from(strength: Strength) -> str:
    return f": {strength.origin}" if strength.origin else ""


def _run(length: float, unit: Unit) -> str:
    """How much weld there is, no finer than a welder measures: "11.3 in", "288 mm"."""
    return f"{length / _INCH:.1f} in" if unit == "in" else f"{length:.0f} mm"


def _screen_rows(where: str, screen: Screen, unit: Unit) -> Iterator[tuple[Cell, ...]]:
    for words, stress in screen.stresses:
        yield (
            f"{where}: {words}",
            Words(_stress(stress, unit), "bold"),
            f"{_stress(screen.strength_mpa, unit)} / {screen.margin:.2f}",
            _stress(screen.limit_mpa, unit),
            f"{100 * stress / screen.limit_mpa:.0f} %",
        )


def _taken_for_granted(strength: Strength, unit: Unit) -> Iterator[str]:
    if strength.twists:
        yield _TWISTS
    for what, screen in (("section", strength.plate), ("weld", strength.weld)):
        yield (
            f"The {what} is held against {_stress(screen.limit_mpa, unit)}: "
            f"{screen.strength_words}, {_stress(screen.strength_mpa, unit)}, over a safety margin "
            f"of {screen.margin:g} ({screen.source}). "
            f"Taken for granted: {'; '.join(screen.assumptions)}."
        )


def _stress(mpa: float, unit: Unit) -> str:
    return f"{mpa / MPA_PER_KSI:.1f} ksi" if unit == "in" else f"{mpa:.0f} MPa"


def _power(value: float, power: int, unit: Unit) -> str:
    """An area or second moment: in², in⁴, cm², cm⁴."""
    raised = {2: "²", 4: "^4"}[power]
    if unit == "in":
        return f"{value / _INCH**power:.2f} in{raised}"
    return f"{value / 10**power:.2f} cm{raised}"
