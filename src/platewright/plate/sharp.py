"""Sharp corners: where the faces beside a bend would meet if they ran on, a place in the air."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platewright.geometry.space import Point3
from platewright.plate.folded import Folded, FoldedBend

#: A place this near to a sharp corner is on it, mm.
_ON = 0.01
#: Sharp corners nearer to the metal than this are as good as on it, mm.
_IN_THE_AIR = 0.5


def sharp_corner(model: Folded, p: Point3) -> tuple[Point3, Point3] | None:
    """Where the two faces end that would meet in a place: on the parent, and on the child.

    None for a place that is no sharp corner, or one that lies on the metal as good as.
    """
    return next((ends for bend in model.bends for ends in _ends(bend, p)), None)


def _ends(bend: FoldedBend, p: Point3) -> Iterator[tuple[Point3, Point3]]:
    """The ends of the faces of one bend, inside or outside, that run on into a place."""
    if bend.flat or bend.angle > math.pi - 1e-6:
        return
    at = bend.world_from_bend.inverse().point3(p)
    if not -_ON <= at.x <= bend.length + _ON:
        return
    for depth in (0.0, bend.thickness):
        # r tan(angle/2) beyond the tangent line, on the level of the parent's face
        setback = (bend.inside_radius + depth) * math.tan(bend.angle / 2)
        level = -depth if bend.bend.direction == "up" else depth - bend.thickness
        if setback > _IN_THE_AIR and math.hypot(at.y - setback, at.z - level) < _ON:
            yield bend.point(at.x, 0.0, depth), bend.point(at.x, 1.0, depth)
