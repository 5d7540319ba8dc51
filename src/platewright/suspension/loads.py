"""From the load on a wheel to the force in the spring, its pressure, and the push on the bracket.

Virtual work: the wheel's load times the wheel's motion is the spring's force times the spring's
motion, so spring force = wheel load / motion ratio, friction and bushes left out. Forces in N,
areas in mm², pressures in MPa (N/mm²), gauge.
"""

from __future__ import annotations

from dataclasses import dataclass

from platewright.errors import BuildError
from platewright.geometry.plane import Vector
from platewright.suspension.seat import Mount, SeatPlace
from platewright.suspension.spring import HeightTable


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringLoad:
    """What the spring bears at one height.

    `push_n` is the force on the upper mount's bracket along the frame's own axes (x rearward, y
    up); `pressure_mpa` is None without a table or outside it.
    """

    force_n: float
    push_n: Vector
    pressure_mpa: float | None


def spring_force(wheel_load_n: float, motion_ratio: float) -> float:
    """Force in the spring, N, for a load at the wheel and the motion ratio spring to wheel.

    Raises BuildError unless the spring lengthens as the frame lifts.
    """
    if not motion_ratio > 0:
        raise BuildError("the spring does not lengthen as the frame lifts: it cannot carry it")
    return wheel_load_n / motion_ratio


def spring_load(
    wheel_load_n: float,
    motion_ratio: float,
    seat: SeatPlace,
    mount: Mount,
    area: HeightTable | None,
) -> SpringLoad:
    """The spring's force, its push on the upper mount, and its pressure where the table reaches."""
    force = spring_force(wheel_load_n, motion_ratio)
    line = mount.at - seat.at
    known = area is not None and area.covers(line.length)
    return SpringLoad(
        force_n=force,
        push_n=line.unit() * force,
        pressure_mpa=force / area.at(line.length) if area is not None and known else None,
    )
