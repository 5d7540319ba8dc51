"""The coupon: a trial cut on the lines themselves, from which the kerf follows.

Nothing on it allows for the kerf. So the square comes out a kerf small, a hole a kerf large, and a
slot that is a single pass is as wide as the kerf.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from platewright.errors import UnitError
from platewright.geometry.build import rectangle
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line
from platewright.shop.leads import Lead, LeadShape, contour_lead, hole_lead
from platewright.units import Unit, both_units
from platewright.values import dataclass

SIDES: Mapping[Unit, float] = {"mm": 50.0, "in": 50.8}
"""Side of the test square as drawn, mm: 50 mm or 2 in."""

_SLOTS: Mapping[Unit, float] = {"mm": 40.0, "in": 38.1}  # length of the slot, a single pass, mm

WIDEST = 12.7
"""A kerf wider than this is a misreading, mm: 1/2 in, as in bracket files."""

#: Holes by the plate's thickness (common practice, no published source: plasma holes get bad
#: below about 1.5 to 2 thicknesses), and one that a caliper can always enter, mm.
_SHARES = (1.0, 1.5, 2.0, 3.0)
_CALIPER_HOLES: Mapping[Unit, float] = {"mm": 12.0, "in": 12.7}
_HOLE_LIMITS: Mapping[Unit, tuple[float, float]] = {"mm": (4.0, 40.0), "in": (3.96875, 38.1)}
_HOLE_STEPS: Mapping[Unit, float] = {"mm": 0.5, "in": 25.4 / 32}

_APART = 15.0
_LEAD = 6.0
#: Readings may differ by this much, mm, or this share of the kerf (common practice).
_AGREE, _AGREE_SHARE = 0.25, 0.2
_SEEN = 0.05  # mm: kerfs nearer than this are one to a caliper


@dataclass(frozen=True, slots=True, kw_only=True)
class Coupon:
    """What is cut, in order: slot, holes, square; and the scrap it takes. Frame: square at 0, 0.

    `holes` and their `hole_leads` go together. `square` is travelled clockwise, as it is cut.
    """

    thickness: float
    slot: Line
    holes: tuple[Circle, ...]
    hole_leads: tuple[Lead | None, ...]
    square: Contour
    square_lead: Lead | None
    scrap: Bounds


def coupon(thickness: float, unit: Unit = "mm") -> Coupon:
    """The coupon for plate of that thickness, mm, its sizes round figures of the unit."""
    side, length = SIDES[unit], _SLOTS[unit]
    slot_x = side + _APART
    left = slot_x + _APART
    holes: list[Circle] = []
    for diameter in hole_diameters(thickness, unit):
        holes.append(Circle(Point(left + diameter / 2, side / 2), diameter))
        left += diameter + _APART
    lead, run = contour_lead(
        rectangle(Bounds(0, 0, side, side)).reversed(),
        LeadShape(arc=False, length=_LEAD),
        Point(side / 2, -side),
    )
    right = max(hole.bounds.xmax for hole in holes)
    tall = max(side, max(hole.diameter for hole in holes))
    middle = side / 2
    return Coupon(
        thickness=thickness,
        slot=Line(Point(slot_x, middle - length / 2), Point(slot_x, middle + length / 2)),
        holes=tuple(holes),
        hole_leads=tuple(hole_lead(h, LeadShape(arc=False, length=_LEAD))[0] for h in holes),
        square=Contour(run),
        square_lead=lead,
        scrap=Bounds(0, middle - tall / 2, right, middle + tall / 2).grown(_APART),
    )


def hole_diameters(thickness: float, unit: Unit = "mm") -> tuple[float, ...]:
    """Diameters of the coupon's holes as drawn, mm, small ones first.

    To half a millimetre, or to a thirty-second of an inch.
    """
    step = _HOLE_STEPS[unit]
    by_thickness = (round(share * thickness / step) * step for share in _SHARES)
    least, largest = _HOLE_LIMITS[unit]
    held = {min(max(diameter, least), largest) for diameter in by_thickness}
    return tuple(sorted({*held, _CALIPER_HOLES[unit]}))


# --- from readings to the kerf ----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class KerfReading:
    """A caliper reading, the kerf that follows from it, and what was measured; mm.

    Raises UnitError for a reading that no kerf explains.
    """

    what: str
    measured: float
    kerf: float
    of_hole: bool = False

    def __post_init__(self) -> None:
        if not 0 < self.kerf <= WIDEST:
            raise UnitError(
                f"{self.what} of {both_units(self.measured)} would mean a kerf of "
                f"{both_units(self.kerf)}; measure again, and mind the unit"
            )


def outside_reading(measured: float, unit: Unit = "mm") -> KerfReading:
    """The square of a unit's coupon, outside: drawn less read."""
    return KerfReading("outside", measured, SIDES[unit] - measured)


def slot_reading(measured: float) -> KerfReading:
    """The slot's width: the kerf itself."""
    return KerfReading("slot", measured, measured)


def hole_reading(drawn: float, measured: float) -> KerfReading:
    """A hole: read less drawn."""
    return KerfReading(f"hole drawn {both_units(drawn)}", measured, measured - drawn, of_hole=True)


@dataclass(frozen=True, slots=True)
class Kerf:
    """The kerf from one or more readings, mm: one for all, or holes and outside apart.

    A torch leans into a small circle otherwise than along a straight. The two are told apart where
    each has two readings or more and their means differ by more than the readings of either do.
    """

    readings: tuple[KerfReading, ...]

    @property
    def mean(self) -> float:
        """The kerf to cut with, mm: of all readings, or of those outside where holes differ."""
        return _mean(self._outside if self.holes is not None else self.readings)

    @property
    def holes(self) -> float | None:
        """The kerf to cut holes with, mm, where it differs; None where one serves for both."""
        outside, holes = self._outside, self._holes
        if min(len(outside), len(holes)) < 2:
            return None
        apart = abs(_mean(outside) - _mean(holes))
        return _mean(holes) if apart > max(_spread(outside), _spread(holes), _SEEN) else None

    @property
    def spread(self) -> float:
        """From the least to the widest kerf that was read, mm; the greater of holes and outside."""
        if self.holes is None:
            return _spread(self.readings)
        return max(_spread(self._outside), _spread(self._holes))

    @property
    def agrees(self) -> bool:
        """Whether the readings tell of one kerf, or one each: within 0.25 mm or a fifth of it."""
        return self.spread <= max(_AGREE, _AGREE_SHARE * self.mean)

    @property
    def _outside(self) -> tuple[KerfReading, ...]:
        return tuple(reading for reading in self.readings if not reading.of_hole)

    @property
    def _holes(self) -> tuple[KerfReading, ...]:
        return tuple(reading for reading in self.readings if reading.of_hole)


def _mean(readings: Sequence[KerfReading]) -> float:
    return math.fsum(reading.kerf for reading in readings) / len(readings)


def _spread(readings: Sequence[KerfReading]) -> float:
    kerfs = [reading.kerf for reading in readings]
    return max(kerfs) - min(kerfs)
