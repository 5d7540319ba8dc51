"""A travel in words for the screen, and as JSON values."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Any

from platewright.geometry.plane import Point
from platewright.suspension.figures import Figure, as_it_stands, carried
from platewright.suspension.remarks import CAUTIONS, pressure_words, remarks
from platewright.suspension.seat import Mount
from platewright.suspension.travel import Peak, Reading, Travel
from platewright.units import Unit, format_mm

EVERY = 5
"""One reading in so many is shown in a table."""

LEGEND = (
    "lift: of the frame above laid out; drift: of the lower mount, rearward; tilt: its rear edge "
    "up; axle: its centre rearward of the mark; turn: of the axle from ride, rear edge up"
)
"""What the columns of the table mean."""

_MARKS = {"change": "CHANGE", "mind": "MIND", "know": "NOTE"}


def shown_readings(of: Travel) -> tuple[Reading, ...]:
    """The readings that a table shows, lowest and highest among them."""
    return of.readings[::EVERY]


def headings(of: Travel) -> tuple[str, ...]:
    """The columns of the table."""
    unit = of.layout.unit
    loaded = ("pressure, " + ("psi" if unit == "in" else "bar"),) if _has_pressure(of) else ()
    lengths = tuple(f"{name}, {unit}" for name in ("lift", "spring", "drift"))
    return (*lengths, "tilt, °", f"axle, {unit}", "turn, °", "ratio", *loaded)


def cells(reading: Reading, of: Travel) -> tuple[str, ...]:
    """One row of the table."""
    unit = of.layout.unit
    pressure = reading.load.pressure_mpa if reading.load else None
    words = "-" if pressure is None else pressure_words(pressure, unit).split()[0]
    return (
        decimal(reading.lift, unit),
        decimal(reading.gap, unit),
        decimal(reading.drift, unit),
        _tenths(reading.tilt),
        decimal(reading.axle.x, unit),
        _tenths(reading.turn),
        f"{reading.ratio:.3f}",
        *((words,) if _has_pressure(of) else ()),
    )


def _tenths(angle: float) -> str:
    """A bare angle, degrees to tenths; never -0."""
    return f"{round(math.degrees(angle), 1) + 0.0:.1f}"


def decimal(mm: float, unit: Unit) -> str:
    """A bare figure: inches to hundredths, or mm to tenths; never -0."""
    return f"{round(mm / 25.4, 2) + 0.0:.2f}" if unit == "in" else format_mm(mm)


def _has_pressure(of: Travel) -> bool:
    return any(r.load is not None and r.load.pressure_mpa is not None for r in of.readings)


# --- for the screen ---------------------------------------------------------------------------


def travel_table(of: Travel) -> str:
    """The travel for a person: figures to carry, a table by lift, remarks, cautions."""
    return "\n".join(_lines(of))


def _lines(of: Travel) -> Iterator[str]:
    unit = of.layout.unit
    for group in carried(of):
        yield group.title
        wide = max(len(figure.what) for figure in group.figures)
        for figure in group.figures:
            yield f"  {figure.what:<{wide}}  {figure.shown(unit)}"
    yield ""
    yield f"By lift{as_it_stands(of)}"
    yield from _grid([headings(of), *(cells(reading, of) for reading in shown_readings(of))])
    yield f"  {LEGEND}"
    yield ""
    yield from (f"{_MARKS[remark.weight]}: {remark.words}" for remark in remarks(of))
    yield from CAUTIONS


def _grid(rows: list[tuple[str, ...]]) -> Iterator[str]:
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        yield "  " + "  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True))


# --- JSON -------------------------------------------------------------------------------------


def travel_json(of: Travel) -> dict[str, Any]:
    """The travel as JSON values: mm, degrees, N, MPa; places rearward (x) and up (y)."""
    return {
        "figures": figures_json(figure for group in carried(of) for figure in group.figures),
        "upper_mount": _mount(of.mount),
        "upper_mount_wanted": _mount(of.wanted),
        "ended_by": of.ending,
        "bottoms_out": of.stroke.bottoms_out,
        "largest_tilt": {"tilt_deg": _degrees(of.tilt.value), "lift_mm": _zero(of.tilt.lift)},
        "largest_drift": _drift(of.drift),
        "ride": _reading(of.ride),
        "readings": [_reading(reading) for reading in of.readings],
        "remarks": [{"weight": r.weight, "words": r.words} for r in remarks(of)],
        "cautions": list(CAUTIONS),
    }


def figures_json(figures: Iterable[Figure]) -> dict[str, float]:
    """Figures by their keys: mm, degrees, N, MPa."""
    return {each.key: _figure(each.value, each.quantity == "angle") for each in figures}


def _figure(value: float, is_angle: bool) -> float:
    return _degrees(value) if is_angle else _zero(value)


def _drift(peak: Peak) -> dict[str, float]:
    return {"drift_mm": _zero(peak.value), "lift_mm": _zero(peak.lift)}


def _reading(reading: Reading) -> dict[str, Any]:
    load = reading.load
    return {
        "lift_mm": _zero(reading.lift),
        "spring_mm": reading.gap,
        "tilt_deg": _degrees(reading.tilt),
        "drift_mm": _zero(reading.drift),
        "ratio": reading.ratio,
        "axle_mm": _place(reading.axle),
        "axle_turn_deg": _degrees(reading.turn),
        "links_deg": {link.part: _degrees(link.angle) for link in reading.posture.links},
        "seat_mm": _place(reading.seat.at),
        "spring_force_n": load.force_n if load else None,
        "push_on_bracket_n": [load.push_n.x, load.push_n.y] if load else None,
        "pressure_mpa": load.pressure_mpa if load else None,
    }


def _mount(mount: Mount) -> dict[str, Any]:
    return {"at_mm": _place(mount.at), "slope_deg": _degrees(mount.angle)}


def _place(p: Point) -> list[float]:
    return [_zero(p.x), _zero(p.y)]


def _degrees(angle: float) -> float:
    return _zero(math.degrees(angle))


def _zero(value: float) -> float:
    """The value to a billionth, so that rounding noise does not show; never -0.0."""
    return round(value, 9) + 0.0
