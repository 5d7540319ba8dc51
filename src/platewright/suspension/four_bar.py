"""The planar four-bar: where its links stand, closed form, and how fast they turn.

Four rigid links in a loop: ground from the crank's fixed pivot to the rocker's, crank, coupler from
crank to rocker, rocker. Angles are measured from the ground link, anticlockwise. The position is
Freudenstein's equation (1955; Norton, Design of Machinery ch. 4),

    K1 cos q4 - K2 cos q2 + K3 = cos(q2 - q4),
    K1 = d/a, K2 = d/c, K3 = (a^2 - b^2 + c^2 + d^2) / 2ac,

solved through the diagonal from the crank's pin to the rocker's pivot, which keeps its digits when
the half-angle form does not.
"""

from __future__ import annotations

import math

from platewright.errors import GeometryError
from platewright.geometry.plane import Point
from platewright.values import dataclass

_TOUCH = 1e-9
"""Lengths that agree within this share of all four together are taken as equal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FourBar:
    """Link lengths, mm (or any one unit). Raises GeometryError unless all are positive."""

    crank: float
    coupler: float
    rocker: float
    ground: float

    def __post_init__(self) -> None:
        if not min(self.crank, self.coupler, self.rocker, self.ground) > 0:
            raise GeometryError("the links of a four-bar must have lengths above zero")

    @property
    def touch(self) -> float:
        """The length below which a difference of lengths is taken as none, mm."""
        return _TOUCH * (self.crank + self.coupler + self.rocker + self.ground)


@dataclass(frozen=True, slots=True, kw_only=True)
class PerLink:
    """One figure for each link that moves, against the ground link.

    An angle: the direction of crank, coupler (crank to rocker) and rocker, radians. Or a rate: how
    fast each turns, of which only the ratios count.
    """

    crank: float
    coupler: float
    rocker: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """One way a linkage can move without being taken apart, run through by one parameter.

    A crank that turns fully is its own parameter. A crank that swings between two limits is
    `middle + half sin(parameter)`: past a limit the crank goes back and the loop closes the other
    way, so the parameter runs smoothly through the limit where the crank's angle cannot. `folds`
    are the parameters, in [0, 2 pi), where all links lie in line and the loop may go on either way.
    """

    branch: int
    middle: float = 0.0
    half: float | None = None
    folds: tuple[float, ...] = ()

    def crank(self, parameter: float) -> float:
        """The crank's angle, radians."""
        if self.half is None:
            return parameter
        return self.middle + self.half * math.sin(parameter)

    def side(self, parameter: float) -> int:
        """+1 when the loop closes to the left of the crank pin to rocker pivot diagonal, or -1."""
        if self.half is None:
            return self.branch
        return 1 if math.cos(parameter) >= 0 else -1


def angles(bar: FourBar, crank: float, side: int) -> PerLink:
    """Where coupler and rocker stand for a crank angle, radians.

    `side` +1 closes the loop to the left of the diagonal from crank pin to rocker pivot (the open
    form when the crank is above the ground link), -1 to its right. Raises GeometryError when the
    loop cannot close at that angle.
    """
    b, c = bar.coupler, bar.rocker
    pin = Point(bar.crank * math.cos(crank), bar.crank * math.sin(crank))
    diagonal = Point(bar.ground, 0.0) - pin
    reach = diagonal.length
    if not abs(b - c) - bar.touch <= reach <= b + c + bar.touch:
        raise GeometryError("the links do not reach each other")
    if reach <= bar.touch:
        raise GeometryError(
            "the crank's pin lies on the rocker's pivot: the rocker may stand anyhow"
        )
    along = (reach + (b - c) * (b + c) / reach) / 2
    # height of the triangle coupler, rocker, diagonal over the diagonal (Heron, factored)
    product = (b + c + reach) * (b + c - reach) * (reach + b - c) * (reach - b + c)
    height = math.sqrt(max(product, 0.0)) / (2 * reach)
    joint = diagonal.unit() * along + diagonal.unit().left * (side * height)
    return PerLink(crank=crank, coupler=joint.angle, rocker=(joint - diagonal).angle)


def turning(bar: FourBar, at: PerLink) -> PerLink:
    """How fast crank, coupler and rocker turn, as relative rates.

    The one null vector of the loop's velocity equation a w2 u2 + b w3 u3 = c w4 u4 (directions
    turned a quarter), written without a division, so that it holds at every dead point; all three
    vanish only where the loop folds flat.
    """
    return PerLink(
        crank=bar.coupler * bar.rocker * math.sin(at.rocker - at.coupler),
        coupler=bar.crank * bar.rocker * math.sin(at.crank - at.rocker),
        rocker=bar.crank * bar.coupler * math.sin(at.crank - at.coupler),
    )


def circuits(bar: FourBar) -> tuple[Circuit, ...]:
    """Every way the four links can be put together and move; none when they cannot close at all.

    The crank's limits are where the diagonal is as long as coupler and rocker in line (outer) or
    folded over each other (inner).
    """
    a, b, c, d = bar.crank, bar.coupler, bar.rocker, bar.ground
    if 2 * max(a, b, c, d) >= a + b + c + d - bar.touch:
        return ()

    def limit(reach: float) -> float:
        """The crank's angle in (0, pi) for a length of the diagonal (law of cosines, halved)."""
        square = (reach + a - d) * (reach - a + d) / (4 * a * d)
        return 2 * math.asin(math.sqrt(min(1.0, max(0.0, square))))

    # coupler and rocker against crank and ground, each pair in line: stretched, or doubled over
    stretch, double = b + c - a - d, abs(b - c) - abs(a - d)
    outer = limit(b + c) if stretch < -bar.touch else None
    inner = limit(abs(b - c)) if double > bar.touch else None
    stretched = (math.pi,) if abs(stretch) <= bar.touch else ()
    doubled = (0.0,) if abs(double) <= bar.touch else ()
    if outer is not None and inner is not None:
        middle, half = (outer + inner) / 2, (outer - inner) / 2
        return tuple(Circuit(branch=1, middle=sign * middle, half=half) for sign in (1, -1))
    if outer is not None:
        return (Circuit(branch=1, half=outer, folds=(0.0, math.pi) if doubled else ()),)
    if inner is not None:
        folds = (0.0, math.pi) if stretched else ()
        return (Circuit(branch=1, middle=math.pi, half=math.pi - inner, folds=folds),)
    return tuple(Circuit(branch=branch, folds=doubled + stretched) for branch in (1, -1))
