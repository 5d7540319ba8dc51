"""What decides a travel, in plain values: how the frame stands, spring, linkage, tyre and limits.

Side view, the vehicle's front to the left: x runs rearward, y up, both square to the frame's own
datum line (the underside of the rail, say), so that a point's place is what a square and a tape
read off the frame. The ground, or the shop floor, is a line in that view; rake tilts it.
"""

from __future__ import annotations

import math

from platewright.errors import BuildError
from platewright.geometry.plane import ORIGIN, Point, Vector
from platewright.suspension.linkage import Linkage
from platewright.suspension.mounts import Mount, SpringSeat
from platewright.suspension.spring import Heights, HeightTable
from platewright.suspension.tyre import LoadedRadius
from platewright.units import Unit
from platewright.values import dataclass


@dataclass(frozen=True, slots=True)
class Ground:
    """Level ground in the frame's side view: a point of it, and the frame's rake, radians.

    Rake is positive with the front of the frame high.
    """

    touch: Point
    rake: float = 0.0

    @property
    def up(self) -> Vector:
        """The vertical, as seen from the frame."""
        return self.along.left

    @property
    def along(self) -> Vector:
        """Level and rearward, as seen from the frame."""
        return Vector(math.cos(self.rake), math.sin(self.rake))

    def height(self, p: Point) -> float:
        """How high a point of the frame's view is above the ground, mm."""
        return (p - self.touch).dot(self.up)


def rake(front: float, rear: float, apart: float) -> float:
    """The frame's rake, radians, from the heights of two marks on its datum line above the ground.

    `apart` mm is measured between the marks along the frame. Raises BuildError when the heights
    differ by as much as the marks are apart.
    """
    if not abs(front - rear) < apart:
        raise BuildError(
            "front and rear heights differ by more than their marks are apart",
            "frame.front_height",
            "frame.rear_height",
            "frame.marks_apart",
        )
    return math.asin((front - rear) / apart)


@dataclass(frozen=True, slots=True)
class Stand:
    """A stand under the datum line: where along it (x, mm) and how high above the floor, mm."""

    station: float
    height: float


def on_stands(front: Stand, rear: Stand) -> Ground:
    """The floor when the frame's datum line rests on a front and a rear stand.

    Raises BuildError unless the rear stand is behind the front one.
    """
    apart = rear.station - front.station
    if not apart > abs(front.height - rear.height):
        raise BuildError(
            "the rear stand must be behind the front one", "stands.front", "stands.rear"
        )
    foot = Point(front.station, 0.0)
    angle = rake(front.height, rear.height, apart)
    return Ground(foot + -Ground(foot, angle).up * front.height, angle)


@dataclass(frozen=True, slots=True, kw_only=True)
class TravelLimits:
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
    seat: SpringSeat
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
    stands: tuple[Stand, Stand] | None = None
    tube: float | None = None
    limits: TravelLimits = TravelLimits()
    unit: Unit = "mm"

    @property
    def axle_height(self) -> float:
        """The axle centre's height laid out, from the frame datum's origin along the vertical."""
        return self.radius.radius - self.ground.height(ORIGIN)
