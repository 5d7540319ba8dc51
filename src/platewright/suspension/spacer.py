"""The spacer that stands in for the spring while its upper mount is fitted.

With the frame down the spring stands at its least height and the chosen room. The two mounts are
then not quite parallel, so a spacer that fits both has a slanting top: it is cut for the middles
to be the right distance apart and for its top to lie flat under the mount.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.suspension.seat import seat_place, tilt
from platewright.suspension.travel import Travel

SIDE = 32.0
"""Width of each wall of the box, mm."""

_STEEPEST = math.radians(60)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacer:
    """A box that stands on the middle of the seat, `depth` mm from front to rear.

    `height` is the distance between the middles of the mounts; `front` and `rear` are the heights
    of the box's walls, all mm. `slope` is its top's against its foot, radians, rear edge up.
    """

    height: float
    depth: float
    front: float
    rear: float
    slope: float


def spacer(of: Travel, depth: float) -> Spacer | None:
    """The spacer for the upper mount where it should be, with the frame laid out.

    The walls reach up to the mount's plane. None when the mounts lean so far against each other
    that no box can stand between them.
    """
    seat, mount = seat_place(of.layout.seat, of.laid_out), of.wanted
    slope = -tilt(seat, mount)
    if abs(slope) > _STEEPEST:
        return None
    middle = (mount.at - seat.at).turned(-seat.angle)
    on_axis = middle.y - middle.x * math.tan(slope)
    front, rear = (on_axis + side * depth / 2 * math.tan(slope) for side in (-1, 1))
    if min(front, rear) <= 0:
        return None
    return Spacer(height=middle.length, depth=depth, front=front, rear=rear, slope=slope)
