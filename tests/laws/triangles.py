"""A skin's facets cut into triangles by an independent library, for outside checks."""

from __future__ import annotations

import math

import numpy as np
from manifold3d import triangulate

from platewright.plate.skin import Solid


def triangle_corners(skin: Solid) -> list[tuple[int, int, int]]:
    """Indices of the corners of every triangle, anticlockwise seen from outside."""
    found = []
    for facet in skin.facets:
        base, normal = skin.points[facet.loop[0]], skin.normal(facet)
        side = (skin.points[facet.loop[1]] - base).unit()
        up = normal.cross(side)
        flat = [
            np.array([_in_plane(skin.points[i] - base, side, up) for i in loop])
            for loop in facet.loops
        ]
        index = [i for loop in facet.loops for i in loop]
        found += [tuple(index[k] for k in triangle) for triangle in triangulate(flat)]
    return found


def _in_plane(v: object, side: object, up: object) -> list[float]:
    return [v.dot(side), v.dot(up)]


def volume(skin: Solid) -> float:
    """Volume inside a skin, mm³: the tetrahedra under its loops (exact)."""
    base = skin.points[0]
    return math.fsum(
        (skin.points[i] - base).cross(skin.points[j] - base).dot(skin.points[k] - base) / 6
        for facet in skin.facets
        for loop in facet.loops
        for i, j, k in zip(loop[:1] * (len(loop) - 2), loop[1:-1], loop[2:], strict=True)
    )
