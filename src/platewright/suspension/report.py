"""What a travel comes to: the figures to carry to the vehicle, a table by lift, JSON values."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Any, Literal

from platewright.geometry.plane import Point
from platewright.quantities import FORCE
from platewright.suspension.mounts import Mount
from platewright.suspension.travel import Position, Travel
from platewright.suspension.warning import (
    CAUTIONS,
    along_words,
    edge_words,
    pressure_words,
    warnings,
    where,
)
from platewright.units import Unit, format_angle, format_figure, format_mm, spoken, tape
from platewright.values import dataclass

# --- figures ----------------------------------------------------------------------------------

Quantity = Literal["length", "angle", "ratio", "force", "pressure"]


@dataclass(frozen=True, slots=True)
class TravelFigure:
    """One figure: what it is, its value (mm, radians, N, MPa or a bare ratio), its quantity.

    `key` names it in JSON. Values are signed: rearward, up and "rear edge up" are positive. With
    `by_size` it is shown without the sign, because `what` says which way.
    """

    key: str
    what: str
    value: float
    quantity: Quantity = "length"
    by_size: bool = False

    def shown(self, unit: Unit) -> str:
        """The figure in a unit, as a tape, a bevel or a gauge shows it."""
        value = abs(self.value) if self.by_size else self.value
        match self.quantity:
            case "length":
                return tape_words(value, unit)
            case "angle":
                return format_angle(value)
            case "ratio":
                return f"{value:.3f}"
            case "force":
                name, places = ("lb", 0) if unit == "in" else ("kN", 2)
                return f"{format_figure(value / float(FORCE.units[name]), places)} {name}"
            case "pressure":
                return pressure_words(value, unit)


def tape_words(mm: float, unit: Unit) -> str:
    """A length on the tape: 15 9/16" strong, or 395.4 mm."""
    if unit == "mm":
        return f"{format_mm(mm)} mm"
    shown = tape(mm)
    return f'{shown.figure}" {shown.leaning}'.rstrip()


def along(key: str, what: str, x: float, of: str = "the mark") -> TravelFigure:
    """How far a place lies along the frame."""
    return TravelFigure(key, f"{what} {along_words(x)} of {of}", x, by_size=True)


def above(key: str, what: str, y: float, of: str = "the datum line") -> TravelFigure:
    """How far a place lies above something."""
    return TravelFigure(key, f"{what} {'above' if y >= 0 else 'below'} {of}", y, by_size=True)


def slope(key: str, what: str, angle: float) -> TravelFigure:
    """How something slopes against the datum line."""
    words = f"{what} against the datum line, {edge_words(angle)}"
    return TravelFigure(key, words, angle, "angle", by_size=True)


@dataclass(frozen=True, slots=True)
class FigureGroup:
    """Figures that are used together."""

    title: str
    figures: tuple[TravelFigure, ...]


def figure_groups(of: Travel) -> tuple[FigureGroup, ...]:
    """Every figure, those to weld by first."""
    return (
        FigureGroup("Where the upper mount belongs", tuple(_mount_figures(of))),
        FigureGroup("Where the axle is, laid out", tuple(_axle_figures(of))),
        FigureGroup(
            f"What it comes to{as_it_stands(of)}", (*_travel_figures(of), *_load_figures(of))
        ),
    )


def as_it_stands(of: Travel) -> str:
    """Says of figures that they are for the mount that is there, not for where it should be."""
    return "" if of.layout.mount is None else ", the upper mount as it stands"


def _mount_figures(of: Travel) -> Iterator[TravelFigure]:
    wanted, at = of.wanted, of.wanted.at
    where = f"parallel and centred {spoken(of.layout.centred, of.layout.unit)} above laid out"
    yield along("mount_along", "Middle of the mount's face,", at.x, f"the mark ({where})")
    yield above("mount_above", "The same,", at.y)
    yield slope("mount_slope", "Slope of the mount", wanted.angle)
    gap = wanted.gap(of.seat_laid_out)
    yield TravelFigure("spacer", "Middle of seat to middle of mount, laid out: the spacer", gap)
    yield TravelFigure("spring_at_ride", "The same at ride height", wanted.gap(of.ride.seat))


def _axle_figures(of: Travel) -> Iterator[TravelFigure]:
    axle, layout, prop = of.laid_out.axle.origin, of.layout, of.prop_height
    yield TravelFigure("axle_above_ground", "Axle centre above the ground", layout.radius.radius)
    yield above("axle_above", "Axle centre", axle.y, "the datum line, square to it")
    yield along("axle_along", "Axle centre", axle.x)
    if prop is not None:
        yield TravelFigure(
            "prop_axle", "On your stands: prop the axle centre above the floor", prop
        )
        if layout.tube is not None:
            what = "On your stands: prop the tube's underside above the floor"
            yield TravelFigure("prop_tube", what, prop - layout.tube / 2)


def _travel_figures(of: Travel) -> Iterator[TravelFigure]:
    unit, heights = of.layout.unit, of.layout.heights
    ends = {"spring": "the spring at its greatest", "stated": "the full lift you stated"}
    yield TravelFigure(
        "wheel_travel", f"Lift at the wheel, ended by {ends[of.ending]}", of.wheel_travel
    )
    yield TravelFigure("stroke", "Stroke that the spring has", heights.stroke)
    what = "Stroke lost: room above the least height, laid out"
    yield TravelFigure("stroke_lost", what, of.stroke.lost)
    yield TravelFigure("stroke_used", "Stroke that is used", of.highest.gap - of.lowest.gap)
    if of.ending == "stated":
        what = "Stroke not used: left in the spring at the full lift"
        yield TravelFigure("stroke_unused", what, heights.greatest - of.highest.gap)
    yield TravelFigure(
        "ratio_at_ride", "Motion ratio at ride, spring to wheel", of.ride.ratio, "ratio"
    )
    tilt, drift = of.tilt, of.drift
    what = f"Largest tilt, {edge_words(tilt.value)}, {where(tilt.lift, unit)}"
    yield TravelFigure("largest_tilt", what, tilt.value, "angle", by_size=True)
    what = f"Largest drift, {along_words(drift.value)}, {where(drift.lift, unit)}"
    yield TravelFigure("largest_drift", what, drift.value, by_size=True)
    for link in of.ride.posture.links:
        angle = link.angle if of.layout.behind else math.pi - link.angle
        angle = math.remainder(angle, math.tau)
        way = "axle end up" if angle >= 0 else "axle end down"
        what = f"Slope of the {link.part} against the datum line at ride, {way}"
        key = f"{link.part.replace(' ', '_')}_slope_at_ride"
        yield TravelFigure(key, what, angle, "angle", by_size=True)
    turns = [position.turn for position in of.positions]
    yield TravelFigure(
        "axle_turn", "The axle turns through the travel", max(turns) - min(turns), "angle"
    )


def _load_figures(of: Travel) -> Iterator[TravelFigure]:
    ride, most = of.ride.load, of.greatest_force
    if ride is None or most is None:
        return
    what = "Force in the spring and on its brackets at ride"
    yield TravelFigure("force_at_ride", what, ride.force_n, "force")
    yield TravelFigure("greatest_force", "The greatest through the travel", most, "force")
    if ride.pressure_mpa is not None:
        yield TravelFigure(
            "pressure_at_ride", "Gauge pressure at ride", ride.pressure_mpa, "pressure"
        )


# --- a table by lift --------------------------------------------------------------------------

EVERY = 5
"""One position in so many is shown in a table."""

LEGEND = (
    "lift: of the frame above laid out; drift: of the lower mount, rearward; tilt: its rear edge "
    "up; axle: its centre rearward of the mark; turn: of the axle from ride, rear edge up"
)
"""What the columns of the table mean."""


def table(of: Travel) -> tuple[tuple[str, ...], ...]:
    """The positions with a row of headings, lowest and highest among them."""
    unit = of.layout.unit
    lengths = tuple(f"{name}, {unit}" for name in ("lift", "spring", "drift"))
    heads = (*lengths, "tilt, °", f"axle, {unit}", "turn, °", "ratio")
    pressures = [r.load.pressure_mpa if r.load else None for r in of.positions]
    rows = [
        (
            *(_decimal(mm, unit) for mm in (position.lift, position.gap, position.drift)),
            format_figure(math.degrees(position.tilt), 1),
            _decimal(position.axle.x, unit),
            format_figure(math.degrees(position.turn), 1),
            f"{position.ratio:.3f}",
            "-" if pressure is None else pressure_words(pressure, unit).split()[0],
        )
        for position, pressure in zip(of.positions[::EVERY], pressures[::EVERY], strict=True)
    ]
    if any(pressure is not None for pressure in pressures):
        return ((*heads, f"pressure, {'psi' if unit == 'in' else 'bar'}"), *rows)
    return (heads, *(row[:-1] for row in rows))


def _decimal(mm: float, unit: Unit) -> str:
    """A bare figure: inches to hundredths, or mm to tenths."""
    return format_figure(mm / 25.4, 2) if unit == "in" else format_mm(mm)


def travel_words(of: Travel) -> str:
    """The travel for a person: figures to carry, a table by lift, warnings, cautions."""
    lines: list[str] = []
    for group in figure_groups(of):
        lines.append(group.title)
        wide = max(len(figure.what) for figure in group.figures)
        lines += [f"  {each.what:<{wide}}  {each.shown(of.layout.unit)}" for each in group.figures]
    rows = table(of)
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines += ["", f"By lift{as_it_stands(of)}"]
    for row in rows:
        lines.append("  " + "  ".join(map(str.rjust, row, widths)))
    marks = {"change": "CHANGE", "mind": "MIND", "know": "NOTE"}
    remarks = [f"{marks[warning.weight]}: {warning.words}" for warning in warnings(of)]
    return "\n".join((*lines, f"  {LEGEND}", "", *remarks, *CAUTIONS))


# --- JSON -------------------------------------------------------------------------------------


def travel_json(of: Travel) -> dict[str, Any]:
    """The travel as JSON values: mm, degrees, N, MPa; places rearward (x) and up (y)."""
    return {
        "figures": figures_json(figure for group in figure_groups(of) for figure in group.figures),
        "upper_mount": _mount_json(of.mount),
        "upper_mount_wanted": _mount_json(of.wanted),
        "ended_by": of.ending,
        "bottoms_out": of.stroke.bottoms_out,
        "largest_tilt": {"tilt_deg": _degrees(of.tilt.value), "lift_mm": _zero(of.tilt.lift)},
        "largest_drift": {"drift_mm": _zero(of.drift.value), "lift_mm": _zero(of.drift.lift)},
        "ride": _position_json(of.ride),
        "readings": [_position_json(position) for position in of.positions],
        "remarks": [{"weight": each.weight, "words": each.words} for each in warnings(of)],
        "cautions": list(CAUTIONS),
    }


def figures_json(figures: Iterable[TravelFigure]) -> dict[str, float]:
    """Figures by their keys: mm, degrees, N, MPa."""
    return {
        each.key: (_degrees if each.quantity == "angle" else _zero)(each.value) for each in figures
    }


def _position_json(position: Position) -> dict[str, Any]:
    load = position.load
    return {
        "lift_mm": _zero(position.lift),
        "spring_mm": position.gap,
        "tilt_deg": _degrees(position.tilt),
        "drift_mm": _zero(position.drift),
        "ratio": position.ratio,
        "axle_mm": _place(position.axle),
        "axle_turn_deg": _degrees(position.turn),
        "links_deg": {link.part: _degrees(link.angle) for link in position.posture.links},
        "seat_mm": _place(position.seat.at),
        "spring_force_n": load.force_n if load else None,
        "push_on_bracket_n": [load.push_n.x, load.push_n.y] if load else None,
        "pressure_mpa": load.pressure_mpa if load else None,
    }


def _mount_json(mount: Mount) -> dict[str, Any]:
    return {"at_mm": _place(mount.at), "slope_deg": _degrees(mount.angle)}


def _place(p: Point) -> list[float]:
    return [_zero(p.x), _zero(p.y)]


def _degrees(angle: float) -> float:
    return _zero(math.degrees(angle))


def _zero(value: float) -> float:
    """The value to a billionth, so that rounding noise does not show; never -0.0."""
    return round(value, 9) + 0.0
