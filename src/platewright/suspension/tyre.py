"""Tyre sizes: from the designation on the side wall to the diameter and the loaded radius.

Designations in the style of ISO 4000-1 (225/70R15, ST205/75R15, LT235/85R16) and the older inch
style that names the diameter itself (31x10.50R15).
"""

from __future__ import annotations

import re

from platewright.errors import UnitError
from platewright.units import INCH
from platewright.values import dataclass

LEAST_SQUASH = 0.03
"""Loaded radius is at least this share less than free radius (common practice, no source)."""

GREATEST_SQUASH = 0.04
"""Loaded radius is at most this share less than free radius (common practice, no source)."""

# what may follow the rim: commercial or light-truck mark, load range, load and speed index
_TAIL = r"(?:LT|ST|[B-N])?(?:/(?:[B-N]|\d{1,2}))?(?:\s+[0-9A-Z/().+\s]*)?"
_METRIC = re.compile(
    r"(?P<use>P|LT|ST|T)?\s*(?P<width>\d{3})\s*/\s*(?P<aspect>\d{2,3})\s*"
    rf"(?:[A-Z]?R|B|D|-)\s*(?P<rim>\d{{1,2}}(?:\.5)?){_TAIL}"
)
_INCH = re.compile(
    r"(?:LT|ST)?\s*(?P<diameter>\d{2}(?:\.\d+)?)\s*X\s*(?P<width>\d{1,2}(?:\.\d+)?)\s*"
    rf"(?:R|B|D|-)\s*(?P<rim>\d{{1,2}}(?:\.5)?){_TAIL}"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tyre:
    """A tyre's free (unloaded, inflated) diameter, section width and rim diameter, all mm."""

    designation: str
    diameter: float
    width: float
    rim: float

    @property
    def radius(self) -> float:
        """Free radius, mm."""
        return self.diameter / 2


def tyre(designation: str) -> Tyre:
    """The tyre that a size designation names.

    Metric: diameter = rim + 2 x width x aspect / 100 (ISO 4000-1). Inch: the first figure is the
    diameter. Raises UnitError for a text in neither style.
    """
    name = designation.strip()
    text = name.upper().replace("×", "X").replace("–", "-")
    if found := _METRIC.fullmatch(text):
        width, rim = float(found["width"]), float(found["rim"]) * INCH
        diameter = rim + 2 * width * float(found["aspect"]) / 100
    elif found := _INCH.fullmatch(text):
        keys = ("diameter", "width", "rim")
        diameter, width, rim = (float(found[key]) * INCH for key in keys)
    else:
        raise UnitError(
            f"{designation!r} is not a tyre size: write it like 225/70R15, ST205/75R15 or "
            "31x10.50R15, or measure the loaded radius instead"
        )
    if not 0 < rim < diameter or width <= 0:
        raise UnitError(f"{name!r} is not a tyre size: the rim is larger than the tyre")
    return Tyre(designation=name, diameter=diameter, width=width, rim=rim)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedRadius:
    """Axle centre above the ground with the load on, mm, and the span within which it may lie."""

    radius: float
    least: float
    greatest: float

    @property
    def measured(self) -> bool:
        """Whether it was measured, so that there is nothing to doubt."""
        return self.least == self.greatest


def measured_radius(radius: float) -> LoadedRadius:
    """A loaded radius that was measured on the vehicle, mm."""
    return LoadedRadius(radius=radius, least=radius, greatest=radius)


def estimated_radius(of: Tyre) -> LoadedRadius:
    """3 to 4 % less than the free radius, the middle taken.

    Common practice, no published source.
    """
    middle = (LEAST_SQUASH + GREATEST_SQUASH) / 2
    return LoadedRadius(
        radius=of.radius * (1 - middle),
        least=of.radius * (1 - GREATEST_SQUASH),
        greatest=of.radius * (1 - LEAST_SQUASH),
    )
