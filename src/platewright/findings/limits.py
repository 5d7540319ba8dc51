"""What a file may say of the shop's limits and of the load; declared, and judged by the rules."""

from __future__ import annotations

import re

from platewright import measure
from platewright.errors import UnitError
from platewright.measurement import Scalar
from platewright.shop.scores import Effort
from platewright.units import Unit, parse_length
from platewright.values import dataclass


def read_sheet(given: Scalar, unit: Unit) -> tuple[float, float]:
    """A sheet's width and height, mm, from "24 x 48", "24 in x 48 in" or "24x48 in".

    Raises UnitError unless there are two lengths above 0.
    """
    sides = str(given).lower().replace("×", "x").split("x")
    if len(sides) != 2:
        raise UnitError(f"not two sizes; {SHEET_ALLOWED}")
    word = _UNIT.search(sides[1].strip())
    if word and not _UNIT.search(sides[0].strip()):
        sides[0] += word[0]  # a unit behind the second serves both
    width, height = (parse_length(side.strip(), unit) for side in sides)
    if min(width, height) <= 0:
        raise UnitError(f"a sheet without size; {SHEET_ALLOWED}")
    if max(width, height) < _LEAST_SHEET:
        meant = f'. If inches were meant, write "{given} in"' if unit == "mm" else ""
        raise UnitError(f"too small for a sheet of plate; {SHEET_ALLOWED}{meant}")
    return width, height


#: No plate to cut brackets from is smaller both ways, mm; sheets run to 144 in, which is less.
_LEAST_SHEET = 150.0
SHEET_ALLOWED = 'allowed: width x height, such as "24 x 48 in" or "600 x 1200 mm"'
_UNIT = re.compile(r" ?[a-z'\"]+$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What the shop has and can do."""

    sheet: tuple[float, float] | None = measure.custom(
        "The plate at hand, width x height; a bracket that does not fit on it is told.",
        read=read_sheet, allowed='width x height, such as "24 x 48 in" or "600 x 1200 mm"',
        optional=True, example="24 x 48 in", example_mm="600 x 1200 mm",
    )  # fmt: skip
    grain: float | None = measure.angle(
        "Direction of rolling on the blank, from the wall edge; known for brake bends.",
        "-180 to 180", optional=True, example=0,
    )  # fmt: skip
    push: float = measure.force(
        "What two hands can push to fold a score.",
        "20 N to 5000 N", label="greatest push", default="55 lbf", default_mm="250 N", of_shop=True,
    )  # fmt: skip
    lever: float = measure.length(
        "How far from the bend the push is.",
        "2 in to 120 in", default="12 in", default_mm="300 mm", of_shop=True,
    )  # fmt: skip
    weld_leg: float | None = measure.length(
        "Leg of the fillet along the wall; left out, the least for the thickness "
        "(AISC 360-16 J2.4).",
        "1/16 in to 2 in", optional=True, example="3/16 in",
    )  # fmt: skip

    @property
    def effort(self) -> Effort:
        """How hard hands may push."""
        return Effort(limit=self.push, lever=self.lever)


BY_FORCE = "as the file states it"
BY_PRESSURE = "pressure times effective area, as the file states them"


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What the bracket carries, for the strength screen; it approves nothing."""

    force: float | None = measure.force(
        "Greatest force at the seat's centre. Give this, or a pressure and an effective area.",
        "1 N to 1000 kN", optional=True, example="1500 lbf",
    )  # fmt: skip
    pressure: float | None = measure.pressure(
        "Greatest gauge pressure in the spring.",
        "1 kPa to 10 MPa", optional=True, example="100 psi",
    )  # fmt: skip
    area: float | None = measure.area(
        "The spring's effective area at that height, from its data sheet.",
        "1 cm2 to 10000 cm2", label="effective area", optional=True, example="20 sq in",
    )  # fmt: skip
    arm: float | None = measure.length(
        "From the wall to the load; left out, to the seat's centre.",
        "1/4 in to 120 in", optional=True, example="4 in",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """Figures that contradict each other or do not suffice."""
        by_pressure = self.pressure is not None and self.area is not None
        if self.force is not None and (self.pressure is not None or self.area is not None):
            yield "force", "give a force, or a pressure with an effective area, not both"
        if self.force is None and not by_pressure:
            yield "force", "give a force, or a pressure and an effective area"

    @property
    def origin(self) -> str:
        """Where the force is from, in words."""
        return BY_FORCE if self.force is not None else BY_PRESSURE

    @property
    def newtons(self) -> float:
        """The force, N: as given, or pressure times effective area."""
        if self.force is not None:
            return self.force
        return (self.pressure or 0.0) * (self.area or 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringLoad(Load):
    """The greatest force of a spring through its travel, where the file states no load.

    `setup` is the name of the setup file that the force is worked out from.
    """

    setup: str

    @property
    def origin(self) -> str:
        """Where the force is from, in words."""
        return f"the greatest force in the spring through its travel, from {self.setup}"
