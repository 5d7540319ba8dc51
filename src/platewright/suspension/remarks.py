"""What is wrong, risky or worth knowing about a travel: one small rule each.

Sources stand beside the rules; most are common practice with no published source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from platewright.geometry.plane import Vector
from platewright.quantities import FORCE, PRESSURE
from platewright.suspension.travel import Travel
from platewright.units import Rounding, Unit, format_angle, format_figure, spoken

Weight = Literal["change", "mind", "know"]
"""Must be changed, should be minded, worth knowing."""

BODY_ROOM = 25.4
"""Room to leave round the fully inflated body, mm: about 1 in (common practice, from memory)."""

LEAST_ROOM = 6.35
"""Less room than this above the least height is little, mm: 1/4 in (common practice)."""

_EXACT_ENOUGH = 0.5  # a mount within this of its place is in its place, mm
_SQUARE_ENOUGH = 0.0044  # a quarter of a degree, radians

CAUTIONS = (
    "Air springs hold great force. Let the pressure out before any hand, tool or weld goes near "
    "one, and never go over the data sheet's pressure.",
    "Fingers between frame, axle and ground are crushed when a spring or hose lets go: keep out "
    "while the frame moves.",
    "Never work under a vehicle held up by springs or a jack alone: put it on rated stands.",
    "These figures are geometry from your measurements, without bushes, friction or flex: an aid, "
    "not an approval. Local codes and licensed practice decide.",
)
"""Said on every travel sheet."""


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing to say, and how much it weighs."""

    weight: Weight
    words: str


def remarks(of: Travel) -> tuple[Remark, ...]:
    """Everything there is to say about a travel, what must be changed first."""
    order: dict[Weight, int] = {"change": 0, "mind": 1, "know": 2}
    found = [remark for rule in _RULES for remark in rule(of)]
    return tuple(sorted(found, key=lambda remark: order[remark.weight]))


def where(lift: float, unit: Unit) -> str:
    """A place of the travel in words: "laid out", "4 in above laid out"."""
    return "laid out" if abs(lift) < _EXACT_ENOUGH else f"{spoken(lift, unit)} above laid out"


def pressure_words(mpa: float, unit: Unit, rounding: Rounding = "nearest") -> str:
    """A gauge pressure: "90 psi" or "6.2 bar"."""
    shown, places = ("psi", 0) if unit == "in" else ("bar", 1)
    return f"{format_figure(mpa / float(PRESSURE.units[shown]), places, rounding)} {shown}"


def force_words(newtons: float, unit: Unit) -> str:
    """A force: "2070 lb" or "6.25 kN"."""
    shown, places = ("lb", 0) if unit == "in" else ("kN", 2)
    return f"{format_figure(newtons / float(FORCE.units[shown]), places)} {shown}"


# --- rules ------------------------------------------------------------------------------------


def _bottoms_out(of: Travel) -> Iterator[Remark]:
    """A gap under the least height (common practice)."""
    stroke, unit = of.stroke, of.layout.unit
    if stroke.bottoms_out:
        yield Remark(
            "change",
            f"The spring bottoms out: laid out, the mounts would be {spoken(stroke.gap, unit)} "
            f"apart, less than the least height. The frame stops "
            f"{spoken(of.lowest.lift, unit)} short of the ground. Move the upper mount "
            f"{spoken(-stroke.closer, unit, 'up')} away from the spring.",
        )


def _stroke_lost(of: Travel) -> Iterator[Remark]:
    """Mounts further apart than the least height and its room (common practice)."""
    stroke, unit = of.stroke, of.layout.unit
    if stroke.closer > _EXACT_ENOUGH:
        yield Remark(
            "mind",
            f"{spoken(stroke.lost, unit)} of the stroke is lost laid out. Moving the upper mount "
            f"{spoken(stroke.closer, unit)} towards the spring wins most of it back as lift.",
        )


def _little_room(of: Travel) -> Iterator[Remark]:
    """Hardly anything above the least height (common practice)."""
    spare = of.stroke.gap - of.layout.heights.least
    if 0 <= spare < LEAST_ROOM - 1e-9:
        unit = of.layout.unit
        yield Remark(
            "mind",
            f"Only {spoken(spare, unit)} of room is left above the least height. Leave "
            f"{spoken(2 * LEAST_ROOM, unit, 'up')}: a seat welded a little high would stop the "
            "frame short.",
        )


def _mount_off(of: Travel) -> Iterator[Remark]:
    """The upper mount as it stands against where it should be."""
    off, turn = of.wanted.at - of.mount.at, of.wanted.angle - of.mount.angle
    if off.length <= _EXACT_ENOUGH and abs(turn) <= _SQUARE_ENOUGH:
        return
    unit = of.layout.unit
    yield Remark(
        "mind",
        f"To be parallel and centred {spoken(of.layout.centred, unit)} above laid out, with the "
        f"room asked for, the upper mount should move {_ways(off, unit)} and turn "
        f"{format_angle(abs(turn))} {'rear edge up' if turn > 0 else 'rear edge down'}.",
    )


def _ways(by: Vector, unit: Unit) -> str:
    along = f"{spoken(abs(by.x), unit)} {'rearward' if by.x > 0 else 'forward'}"
    return f"{along}, {spoken(abs(by.y), unit)} {'up' if by.y > 0 else 'down'}"


def _over_limits(of: Travel) -> Iterator[Remark]:
    """Limits that the user stated."""
    limits, unit = of.layout.limits, of.layout.unit
    if limits.tilt is not None and abs(of.tilt.value) > limits.tilt:
        found, allowed = abs(of.tilt.value), limits.tilt
        words = f"{format_angle(found, 1, 'up')}, allowed {format_angle(allowed, 1, 'down')}"
        yield Remark("change", f"Too much tilt: {words}, {where(of.tilt.lift, unit)}.")
    if limits.drift is not None and abs(of.drift.value) > limits.drift:
        found, allowed = abs(of.drift.value), limits.drift
        words = f"{spoken(found, unit, 'up')}, allowed {spoken(allowed, unit, 'down')}"
        yield Remark("change", f"Too much drift: {words}, {where(of.drift.lift, unit)}.")


def _beyond_table(of: Travel) -> Iterator[Remark]:
    """Heights that the data sheet's table does not reach: nothing is guessed there."""
    area, unit = of.layout.area, of.layout.unit
    heights = (of.lowest.gap, of.ride.gap, of.highest.gap)
    if of.ride.load is None or area is None or all(map(area.covers, heights)):
        return
    reached = f"{spoken(heights[0], unit)} to {spoken(heights[-1], unit)}"
    short = "all its heights in the travel", f"{reached}: beyond it"
    if not area.covers(of.ride.gap):
        short = "its height at ride", f"{spoken(of.ride.gap, unit)}: there"
    yield Remark(
        "mind",
        f"The spring's table runs from {spoken(area.least, unit, 'up')} to "
        f"{spoken(area.greatest, unit, 'down')} and does not reach {short[0]}, {short[1]} no "
        "pressure is told or held against the data sheet's.",
    )


def _pressure(of: Travel) -> Iterator[Remark]:
    """Pressure over the data sheet's."""
    unit, most = of.layout.unit, of.layout.limits.pressure_mpa
    known = [
        (r.load.pressure_mpa, r) for r in of.readings if r.load and r.load.pressure_mpa is not None
    ]
    if most is None or not known:
        return
    high, reading = max(known, key=lambda pair: pair[0])
    if high > most:
        yield Remark(
            "change",
            f"The load needs {pressure_words(high, unit, 'up')} {where(reading.lift, unit)}; "
            f"the data sheet allows {pressure_words(most, unit, 'down')}.",
        )


def _tight_edge(of: Travel) -> Iterator[Remark]:
    """Tilt brings one edge of the mounts nearer than the least height."""
    least, edge, unit = of.layout.heights.least, of.tightest_edge, of.layout.unit
    if edge.value < least - _EXACT_ENOUGH:
        place = where(edge.lift, unit)
        yield Remark(
            "mind",
            f"{place[0].upper()}{place[1:]}, tilt brings one edge of the body to "
            f"{spoken(edge.value, unit, 'down')}, under the least height of "
            f"{spoken(least, unit, 'up')}: look there for pinched rubber, or ask for more room.",
        )


def _guessed_radius(of: Travel) -> Iterator[Remark]:
    """A loaded radius estimated from the tyre size (common practice)."""
    radius, unit = of.layout.radius, of.layout.unit
    if not radius.measured:
        yield Remark(
            "know",
            f"The loaded radius was taken as {spoken(radius.radius, unit)} from the tyre's size; "
            f"it may be {spoken(radius.least, unit, 'down')} to "
            f"{spoken(radius.greatest, unit, 'up')}. Measure it with the load on before you weld.",
        )


def _body_room(of: Travel) -> Iterator[Remark]:
    """Room beside the inflated body (common practice, from memory)."""
    unit = of.layout.unit
    reach = of.layout.diameter / 2 + abs(of.drift.value) + BODY_ROOM
    yield Remark(
        "know",
        f"Keep everything {spoken(reach, unit, 'up')} or more from the spring's axis, fore and "
        f"aft: half the fullest body, its drift, and {spoken(BODY_ROOM, unit, 'up')}.",
    )


_RULES: tuple[Callable[[Travel], Iterator[Remark]], ...] = (
    _bottoms_out,
    _over_limits,
    _pressure,
    _beyond_table,
    _mount_off,
    _stroke_lost,
    _little_room,
    _tight_edge,
    _guessed_radius,
    _body_room,
)
