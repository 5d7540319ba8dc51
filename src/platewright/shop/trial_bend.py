"""The trial bend: a strip with two scribed marks, and what its legs tell once it is bent.

The marks are a known length of flat metal apart. Bent, both legs are read from the outside of the
bend to their marks. What the legs are longer together than the flat is what the bend gives, twice
its setback less its allowance, and of that follows how the metal bends: the neutral-line factor of
a brake bend, or the ligament that a score counts as. Angles are how far the metal turns, radians.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cached_property
from statistics import median, stdev

from platewright.errors import UnitError
from platewright.geometry.build import rectangle
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line
from platewright.plate.bend import Brake, ScoreFold, setback
from platewright.shop.leads import Lead, LeadShape, contour_lead
from platewright.units import Unit, both_units
from platewright.values import dataclass

TrialWay = Brake | ScoreFold

LEAST_ANGLE, GREATEST_ANGLE = math.radians(5), math.radians(150)
WIDEST_RADIUS = 12 * 25.4

_STEP: Mapping[Unit, float] = {"mm": 10.0, "in": 12.7}
_ROOM: Mapping[Unit, float] = {"mm": 35.0, "in": 38.1}  # of a leg beyond its setback
_END: Mapping[Unit, float] = {"mm": 10.0, "in": 12.7}  # of the strip beyond its marks
_WIDTH: Mapping[Unit, float] = {"mm": 50.0, "in": 50.8}

#: Narrower than this, in thicknesses, a strip curls at its edges and bends otherwise than plate
#: does (common practice, no published source).
_LEAST_WIDTH = 8.0

FINENESS: Mapping[Unit, float] = {"mm": 0.5, "in": 25.4 / 32}
"""What legs are read to unless it is said, mm: half a millimetre, a thirty-second of an inch."""

ANGLE_FINENESS = math.radians(0.5)
"""What a protractor is read to."""

_APART = 3.5
"""A modified z-score beyond this stands apart (Iglewicz and Hoaglin 1993, from memory)."""

_NORMAL = 0.6745  # the middle half of a normal spread reaches this share of its deviation
_ANGLES_VARY = math.radians(1.0)  # what hands and a brake's stop repeat to (common practice)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialStrip:
    """What is cut and scribed, and how it is bent; its bend line is x = 0, the outside face up."""

    thickness: float
    way: TrialWay
    angle: float
    unit: Unit = "in"

    @property
    def leg(self) -> float:
        """From the bend line to either mark, mm: a round figure of the unit."""
        reach = setback(self.way, self.angle, self.thickness, "outside") + _ROOM[self.unit]
        return self._round(reach)

    @property
    def flat(self) -> float:
        """Flat metal from mark to mark, mm."""
        return 2 * self.leg

    @property
    def outline(self) -> Contour:
        """The strip, clockwise as it is cut; long enough for the die or for hands."""
        held = self.way.least_flat(self.angle, self.thickness)
        held += self.way.allowance(self.angle, self.thickness) / 2
        half = self._round(max(self.leg + _END[self.unit], held))
        return rectangle(Bounds(-half, 0.0, half, self.width)).reversed()

    @property
    def width(self) -> float:
        """Along the bend, mm."""
        return self._round(max(_WIDTH[self.unit], _LEAST_WIDTH * self.thickness))

    @property
    def lead(self) -> tuple[Lead | None, Contour]:
        """Where the torch pierces, and the outline from there."""
        shape = LeadShape(arc=False, length=6.0)
        lead, run = contour_lead(self.outline, shape, Point(0.0, -self.width))
        return lead, Contour(run)

    @property
    def bend_line(self) -> Line:
        """Across the middle."""
        return Line(Point(0.0, 0.0), Point(0.0, self.width))

    @property
    def marks(self) -> tuple[Line, Line]:
        """The two lines to scribe."""
        one, other = (Line(Point(x, 0.0), Point(x, self.width)) for x in (-self.leg, self.leg))
        return one, other

    def _round(self, least: float) -> float:
        step = _STEP[self.unit]
        return math.ceil(least / step - 1e-9) * step


def trial_strip(
    bend: str,
    thickness: float,
    shape: float,
    ligament: float | None = None,
    angle: float = math.pi / 2,
    unit: Unit = "in",
) -> TrialStrip:
    """The strip for a "brake" bend of a radius, or a "score" of a groove's width, mm.

    The strip is laid out for a middling k, or for a quarter of the plate as ligament where none is
    told. Raises UnitError for what cannot be bent.
    """
    if not LEAST_ANGLE - 1e-9 <= angle <= GREATEST_ANGLE + 1e-9:
        raise UnitError("a trial bend turns 5° to 150° from flat")
    if bend == "brake":
        if not 0 < shape <= WIDEST_RADIUS:
            raise UnitError("an inside radius for a trial bend is more than 0 and 12 in at most")
        return TrialStrip(thickness=thickness, way=Brake(shape, 0.44), angle=angle, unit=unit)
    if not 0.2 <= shape <= 12.7:
        raise UnitError("a groove is 0.2 mm to 1/2 in wide")
    left = thickness / 4 if ligament is None else ligament
    if not 0 < left < thickness:
        raise UnitError("a ligament is more than 0 and less than the thickness")
    return TrialStrip(thickness=thickness, way=ScoreFold(shape, left), angle=angle, unit=unit)


# --- from readings to how the metal bends -----------------------------------------------------


@dataclass(frozen=True, slots=True)
class LegReading:
    """Both legs from the outside of the bend to their marks, mm, and how far it turned."""

    one: float
    other: float
    angle: float


@dataclass(frozen=True, slots=True)
class Apart:
    """A reading that does not belong: the strip's number from 1, what is odd, and how much so."""

    strip: int
    what: str
    score: float


@dataclass(frozen=True, kw_only=True)
class TrialFit:
    """What bent strips tell: the neutral-line factor k of a brake, or the ligament of a score, mm.

    `way` is as bent, its k or ligament not used; `angle` what the strips were bent to before they
    were let go; `fineness` what legs were read to, mm.

    The legs together exceed the flat by D = 2 setback - allowance. D falls in a straight line with
    k (allowance = angle (r + k T)), and with the ligament t (inside radius = groove / angle - t/2),
    so every strip gives one value, and all of them the one that leaves the least sum of squared
    differences from the legs. A strip does not belong whose value is more than 3.5 normalised
    median deviations from the middle one: 0.6745 |x - median| / MAD, the MAD no less than what
    tape and protractor leave open.

    Raises UnitError without readings, or for legs that no bend of that flat can have.
    """

    thickness: float
    way: TrialWay
    angle: float
    flat: float
    readings: tuple[LegReading, ...]
    fineness: float

    def __post_init__(self) -> None:
        if not self.readings:
            raise UnitError("no legs were read")
        for number, reading in enumerate(self.readings, 1):
            if not math.radians(1) <= reading.angle <= math.radians(179):
                bent = f"{math.degrees(reading.angle):g}°"
                raise UnitError(
                    f"strip {number}: bent {bent} from flat? Read how far it turned: 90° is a "
                    "square bend"
                )
            most = 2 * setback(self.way, reading.angle, self.thickness, "outside")
            given = reading.one + reading.other - self.flat
            slack = self.thickness + 2 * self.fineness
            if not -slack - self.flat / 4 <= given <= most + slack + self.flat / 4:
                raise UnitError(
                    f"strip {number}: legs of {both_units(reading.one)} and "
                    f"{both_units(reading.other)} cannot come of {both_units(self.flat)} of flat; "
                    "measure from the outside of the bend to the marks, and mind the unit"
                )

    @cached_property
    def values(self) -> tuple[float, ...]:
        """Each strip's own k or ligament."""
        return tuple(y / c for y, c in map(self._terms, self.readings))

    @cached_property
    def apart(self) -> tuple[Apart, ...]:
        """Readings that do not belong, of three or more; the angle is judged by itself as well."""
        if len(self.readings) < 3:
            return ()
        middle = self._bent(median(self.values))
        floors = [self._open(reading, middle) / math.sqrt(3) for reading in self.readings]
        told = []
        for what, values, floor in (
            ("legs", self.values, floors),
            ("angle", self.springbacks, [_ANGLES_VARY] * len(self.readings)),
        ):
            centre = median(values)
            deviation = median(abs(value - centre) for value in values) / _NORMAL
            for number, (value, least) in enumerate(zip(values, floor, strict=True), 1):
                score = abs(value - centre) / max(deviation, least)
                if score > _APART:
                    told.append(Apart(number, what, score))
        return tuple(told)

    @property
    def belonging(self) -> tuple[LegReading, ...]:
        """The readings without those that do not belong."""
        odd = {each.strip for each in self.apart}
        return tuple(r for number, r in enumerate(self.readings, 1) if number not in odd)

    @cached_property
    def found(self) -> float:
        """The k or the ligament of all strips that belong, by least squares."""
        terms = list(map(self._terms, self.belonging))
        return math.fsum(y * c for y, c in terms) / math.fsum(c * c for _, c in terms)

    @cached_property
    def error(self) -> float:
        """How far `found` may be off: what tape and protractor leave open, or twice its deviation.

        Strips that are alike are rounded alike, so what is left open is not divided by their count.
        """
        bent = self._bent(self.found)
        shares = [self._terms(reading)[1] for reading in self.belonging]
        left_open = [
            self._open(reading, bent) * share**2
            for reading, share in zip(self.belonging, shares, strict=True)
        ]
        read = math.fsum(left_open) / math.fsum(share**2 for share in shares)
        values = [y / c for y, c in map(self._terms, self.belonging)]
        varied = 2 * stdev(values) / math.sqrt(len(values)) if len(values) > 1 else 0.0
        return max(read, varied)

    @property
    def spread(self) -> float:
        """From the least to the greatest value of the strips that belong."""
        values = [y / c for y, c in map(self._terms, self.belonging)]
        return max(values) - min(values)

    @property
    def springbacks(self) -> tuple[float, ...]:
        """How far each strip opened again, radians: what it was bent to less what was read."""
        return tuple(self.angle - reading.angle for reading in self.readings)

    @property
    def bent(self) -> TrialWay:
        """The way of bending as found. Its ligament is no less than 0, nor is its k."""
        return self._bent(max(0.0, self.found))

    @property
    def agrees(self) -> bool:
        """Whether all readings tell of one bend."""
        if self.apart:
            return False
        # two cannot say which of them is wrong
        return len(self.readings) != 2 or self.spread <= 2 * self.error_of_reading

    @property
    def error_of_reading(self) -> float:
        """What tape and protractor leave open of one strip's value, the worst of them."""
        bent = self._bent(self.found)
        return max(self._open(reading, bent) for reading in self.readings)

    def _bent(self, value: float) -> TrialWay:
        if self.way.brake is not None:
            return Brake(self.way.brake.radius, value)
        assert self.way.score is not None
        return ScoreFold(self.way.score.groove, value)

    def _terms(self, reading: LegReading) -> tuple[float, float]:
        """The y and c of y = c x, x the k or the ligament."""
        none = deduction(self._bent(0.0), reading.angle, self.thickness)
        # a score's radius ends at nothing: the step stays short of that
        step = 1.0 if self.way.score is None else self.way.score.groove / 10
        some = deduction(self._bent(step), reading.angle, self.thickness)
        return none - (reading.one + reading.other - self.flat), (none - some) / step

    def _open(self, reading: LegReading, way: TrialWay) -> float:
        """What half a division on each leg and half of the protractor's leave open of its value."""
        at = deduction(way, reading.angle, self.thickness)
        turned = max(
            abs(deduction(way, reading.angle + half, self.thickness) - at)
            for half in (-ANGLE_FINENESS / 2, ANGLE_FINENESS / 2)
        )
        return (self.fineness + turned) / self._terms(reading)[1]


def deduction(way: TrialWay, angle: float, thickness: float) -> float:
    """What the two outside legs of a bend exceed its flat by, mm: 2 setback - allowance."""
    return 2 * setback(way, angle, thickness, "outside") - way.allowance(angle, thickness)
