"""Where a straight tape can reach on a folded bracket: past its metal, not through it."""

from __future__ import annotations

from collections.abc import Iterable

from platewright.geometry.space import Point3, Vector3
from platewright.plate.folded import Folded
from platewright.plate.prism import Prism, parts_of

#: A tape may graze metal this deep, mm.
GRAZE = 0.5


def metal_of(model: Folded) -> list[Prism]:
    """All metal of a folded bracket as convex prisms."""
    return [prism for part in parts_of(model) for prism in part.prisms]


def is_clear(metal: Iterable[Prism], a: Point3, b: Point3) -> bool:
    """Whether a straight tape passes no metal deeper than a graze."""
    return not any(length_inside(prism, a, b) > GRAZE for prism in metal)


def length_inside(prism: Prism, a: Point3, b: Point3) -> float:
    """Length of a straight from `a` to `b` inside a prism, mm; along a face counts as outside."""
    length = a.distance(b)
    if length == 0:
        return 0.0
    low, high = 0.0, 1.0
    for normal, bottom, top in prism.slabs:
        start, end = _along(normal, a), _along(normal, b)
        if abs(end - start) < 1e-9:
            if not bottom + 1e-6 < start < top - 1e-6:
                return 0.0
            continue
        first, last = sorted(((bottom - start) / (end - start), (top - start) / (end - start)))
        low, high = max(low, first), min(high, last)
    return max(0.0, high - low) * length


def _along(axis: Vector3, p: Point3) -> float:
    return axis.x * p.x + axis.y * p.y + axis.z * p.z
