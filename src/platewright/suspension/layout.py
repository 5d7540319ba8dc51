"""What decides a travel: spring, seat, mount, tyre, ground, linkage and limits, in plain values."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.geometry.plane import ORIGIN
from platewright.suspension.laid_out import Ground, Stand
from platewright.suspension.linkage import Linkage
from platewright.suspension.seat import Mount, Seat
from platewright.suspension.spring import Heights, HeightTable
from platewright.suspension.tyre import LoadedRadius, Tyre
from platewright.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What is allowed: tilt, radians; drift, mm; gauge pressure, MPa. None: nothing was said."""

    tilt: float | None = None
    drift: float | None = None
    pressure_mpa: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Everything that decides a travel.

    Lift is how far the frame is above laid out, at the axle, mm: 0 with the frame on the ground.
    `ride` and `centred` are lifts: the ride height, and where the mounts should be parallel and
    centred; `full` is a lift that something else (damper, strap) ends. `ground` is the ground with
    the frame resting on it; its rake is held through the travel. `mount` is the upper mount as it
    stands, None to put it where it should be. `wheel_load_n` is the sprung load at one wheel, N,
    `area` the spring's effective area by height, mm². `diameter` is the spring's fullest, `tube`
    the axle tube's, mm. `unit` is for messages.
    """

    heights: Heights
    diameter: float
    room: float
    seat: Seat
    linkage: Linkage
    ground: Ground
    radius: LoadedRadius
    ride: float
    centred: float
    behind: bool = True
    full: float | None = None
    mount: Mount | None = None
    wheel_load_n: float | None = None
    area: HeightTable | None = None
    tyre: Tyre | None = None
    stands: tuple[Stand, Stand] | None = None
    tube: float | None = None
    limits: Limits = Limits()
    unit: Unit = "mm"

    @property
    def axle_height(self) -> float:
        """The axle centre's height laid out, from the frame datum's origin along the vertical."""
        return self.radius.radius - self.ground.height(ORIGIN)
