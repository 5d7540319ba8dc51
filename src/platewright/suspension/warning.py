"""What is wrong, risky or worth knowing about a travel: one small rule each.

Sources stand beside the rules; most are common practice with no published source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Literal

from platewright.quantities import PRESSURE
from platewright.suspension.travel import Travel
from platewright.units import Rounding, Unit, format_angle, format_figure, spoken
from platewright.values import dataclass

WarningWeight = Literal["change", "mind", "know"]
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
class TravelWarning:
    """One thing to say, and how much it weighs."""

    weight: WarningWeight
    words: str


def warnings(of: Travel) -> tuple[TravelWarning, ...]:
    """Everything there is to say about a travel, what must be changed first."""
    order: dict[WarningWeight, int] = {"change": 0, "mind": 1, "know": 2}
    found = [TravelWarning(weight, words) for rule in _RULES for weight, words in rule(of)]
    return tuple(sorted(found, key=lambda warning: order[warning.weight]))


def where(lift: float, unit: Unit) -> str:
    """A place of the travel in words: "laid out", "4 in above laid out"."""
    return "laid out" if abs(lift) < _EXACT_ENOUGH else f"{spoken(lift, unit)} above laid out"


def edge_words(slope: float) -> str:
    """Which way something slopes, anticlockwise positive."""
    return "rear edge up" if slope >= 0 else "rear edge down"


def along_words(x: float) -> str:
    """Which way along the frame a place lies from the mark, x rearward."""
    return "rearward" if x >= 0 else "forward"


def pressure_words(mpa: float, unit: Unit, rounding: Rounding = "nearest") -> str:
    """A gauge pressure: "90 psi" or "6.2 bar"."""
    shown, places = ("psi", 0) if unit == "in" else ("bar", 1)
    return f"{format_figure(mpa / float(PRESSURE.units[shown]), places, rounding)} {shown}"


# --- rules ------------------------------------------------------------------------------------

_Found = Iterator[tuple[WarningWeight, str]]


def _bottoms_out(of: Travel) -> _Found:
    """A gap under the least height (common practice)."""
    stroke, unit = of.stroke, of.layout.unit
    if stroke.bottoms_out:
        yield (
            "change",
            f"The spring bottoms out: laid out, the mounts would be {spoken(stroke.gap, unit)} "
            f"apart, less than the least height. The frame stops {spoken(of.lowest.lift, unit)} "
            f"short of the ground. Move the upper mount {spoken(-stroke.closer, unit, 'up')} away "
            "from the spring.",
        )


def _over_limits(of: Travel) -> _Found:
    """Limits that the user stated."""
    limits, unit = of.layout.limits, of.layout.unit
    tilt, drift = abs(of.tilt.value), abs(of.drift.value)
    if limits.tilt is not None and tilt > limits.tilt:
        yield (
            "change",
            f"Too much tilt: {format_angle(tilt, 1, 'up')}, allowed "
            f"{format_angle(limits.tilt, 1, 'down')}, {where(of.tilt.lift, unit)}.",
        )
    if limits.drift is not None and drift > limits.drift:
        yield (
            "change",
            f"Too much drift: {spoken(drift, unit, 'up')}, allowed "
            f"{spoken(limits.drift, unit, 'down')}, {where(of.drift.lift, unit)}.",
        )


def _pressure(of: Travel) -> _Found:
    """Pressure over the data sheet's."""
    unit, most = of.layout.unit, of.layout.limits.pressure_mpa
    known = [
        (r.load.pressure_mpa, r.lift)
        for r in of.positions
        if r.load is not None and r.load.pressure_mpa is not None
    ]
    high, lift = max(known, default=(0.0, 0.0), key=lambda pair: pair[0])
    if most is not None and high > most:
        yield (
            "change",
            f"The load needs {pressure_words(high, unit, 'up')} {where(lift, unit)}; the data "
            f"sheet allows {pressure_words(most, unit, 'down')}.",
        )


def _beyond_table(of: Travel) -> _Found:
    """Heights that the data sheet's table does not reach: nothing is guessed there."""
    area, unit = of.layout.area, of.layout.unit
    low, ride, high = of.lowest.gap, of.ride.gap, of.highest.gap
    if of.ride.load is None or area is None or all(map(area.covers, (low, ride, high))):
        return
    short = f"all its heights in the travel, {spoken(low, unit)} to {spoken(high, unit)}: beyond it"
    if not area.covers(ride):
        short = f"its height at ride, {spoken(ride, unit)}: there"
    yield (
        "mind",
        f"The spring's table runs from {spoken(area.least, unit, 'up')} to "
        f"{spoken(area.greatest, unit, 'down')} and does not reach {short} no pressure is told or "
        "held against the data sheet's.",
    )


def _mount_off(of: Travel) -> _Found:
    """The upper mount as it stands against where it should be."""
    off, turn, unit = of.wanted.at - of.mount.at, of.wanted.angle - of.mount.angle, of.layout.unit
    if off.length > _EXACT_ENOUGH or abs(turn) > _SQUARE_ENOUGH:
        yield (
            "mind",
            f"To be parallel and centred {spoken(of.layout.centred, unit)} above laid out, with "
            f"the room asked for, the upper mount should move {spoken(abs(off.x), unit)} "
            f"{'rearward' if off.x > 0 else 'forward'}, {spoken(abs(off.y), unit)} "
            f"{'up' if off.y > 0 else 'down'} and turn {format_angle(abs(turn))} "
            f"{'rear edge up' if turn > 0 else 'rear edge down'}.",
        )


def _stroke_lost(of: Travel) -> _Found:
    """Mounts further apart than the least height and its room (common practice)."""
    stroke, unit = of.stroke, of.layout.unit
    if stroke.closer > _EXACT_ENOUGH:
        yield (
            "mind",
            f"{spoken(stroke.lost, unit)} of the stroke is lost laid out. Moving the upper mount "
            f"{spoken(stroke.closer, unit)} towards the spring wins most of it back as lift.",
        )


def _little_room(of: Travel) -> _Found:
    """Hardly anything above the least height (common practice)."""
    spare, unit = of.stroke.gap - of.layout.heights.least, of.layout.unit
    if 0 <= spare < LEAST_ROOM - 1e-9:
        yield (
            "mind",
            f"Only {spoken(spare, unit)} of room is left above the least height. Leave "
            f"{spoken(2 * LEAST_ROOM, unit, 'up')}: a seat welded a little high would stop the "
            "frame short.",
        )


def _tight_edge(of: Travel) -> _Found:
    """Tilt brings one edge of the mounts nearer than the least height."""
    least, edge, unit = of.layout.heights.least, of.tightest_edge, of.layout.unit
    if edge.value < least - _EXACT_ENOUGH:
        place = where(edge.lift, unit)
        yield (
            "mind",
            f"{place[0].upper()}{place[1:]}, tilt brings one edge of the body to "
            f"{spoken(edge.value, unit, 'down')}, under the least height of "
            f"{spoken(least, unit, 'up')}: look there for pinched rubber, or ask for more room.",
        )


def _guessed_radius(of: Travel) -> _Found:
    """A loaded radius estimated from the tyre size (common practice)."""
    radius, unit = of.layout.radius, of.layout.unit
    if not radius.measured:
        yield (
            "know",
            f"The loaded radius was taken as {spoken(radius.radius, unit)} from the tyre's size; "
            f"it may be {spoken(radius.least, unit, 'down')} to "
            f"{spoken(radius.greatest, unit, 'up')}. Measure it with the load on before you weld.",
        )


def _body_room(of: Travel) -> _Found:
    """Room beside the inflated body (common practice, from memory)."""
    unit = of.layout.unit
    reach = of.layout.diameter / 2 + abs(of.drift.value) + BODY_ROOM
    yield (
        "know",
        f"Keep everything {spoken(reach, unit, 'up')} or more from the spring's axis, fore and "
        f"aft: half the fullest body, its drift, and {spoken(BODY_ROOM, unit, 'up')}.",
    )


_RULES: tuple[Callable[[Travel], _Found], ...] = (
    _bottoms_out, _over_limits, _pressure, _beyond_table, _mount_off, _stroke_lost, _little_room,
    _tight_edge, _guessed_radius, _body_room,
)  # fmt: skip
