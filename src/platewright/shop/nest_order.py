"""The order in which the parts of a sheet are cut.

Part by part, the holes of a part before its outline, so that nothing is cut in metal that has come
loose; after each part the one whose first pierce is nearest. What lies in the hole of another part
is cut before that hole falls out.
"""

from __future__ import annotations

from collections.abc import Sequence

from platewright.geometry.plane import ORIGIN, Point
from platewright.shop.nest_layout import Laid


def in_cutting_order(laid: Sequence[Laid], start: Point = ORIGIN) -> tuple[Laid, ...]:
    """The parts in cutting order, from the sheet's corner at the origin."""
    left = list(laid)
    guests = {id(host): [g for g in laid if _lies_in_hole(g, host)] for host in laid}
    ordered: list[Laid] = []
    while left:
        waiting = {id(each) for each in left}
        free = [e for e in left if not any(id(guest) in waiting for guest in guests[id(e)])]
        chosen = min(free or left, key=lambda each: _reach(each, start))
        left.remove(chosen)
        ordered.append(chosen)
        start = chosen.torch.cuts[-1].finish
    return tuple(ordered)


def _lies_in_hole(guest: Laid, host: Laid) -> bool:
    corner = guest.piece.blank.outline.corners[0]
    return guest is not host and host.torch.cuts[-1].path.contains(corner)


def _reach(laid: Laid, start: Point) -> tuple[float, float, float]:
    """How far the torch goes to begin a part; its place, so that no tie is left to chance."""
    first = laid.torch.cuts[0].pierce
    return round(first.distance(start), 6), first.x, first.y
