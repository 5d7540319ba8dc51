"""How a spring's body leans between its two mounts while the suspension moves.

Seen from one mount, square to its plate: the other mount stands at a height, off the axis by an
offset, and its plate is turned. The body's middle is taken as the smooth line (a cubic) that leaves
both mounts square: at a share s of the height it stands off the axis by
offset (3 s² - 2 s³) + height slope (s³ - s²). Common practice, no published source: a real body
bulges on its squeezed side besides.
"""

from __future__ import annotations

from collections.abc import Iterator

from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Stance:
    """Where the other mount stands at one place of the travel, seen from this one.

    `height` is along this mount's axis and `offset` off it, mm; `slope` is how far the body's
    middle runs sideways there for each mm of height.
    """

    height: float
    offset: float
    slope: float

    def aside(self, share: float) -> float:
        """How far the body's middle stands off the axis at a share of the height, mm."""
        square, cube = self._factors
        return share**2 * (square + share * cube)

    def shift(self, reach: float) -> float:
        """The greatest distance off the axis up to a height, mm."""
        square, cube = self._factors
        turns = (-2 * square / (3 * cube),) if cube else ()
        return max(abs(self.aside(share)) for share in self._shares(reach, turns))

    def lean(self, reach: float) -> float:
        """The greatest distance off the axis for each mm of height, up to a height."""
        square, cube = self._factors
        turns = (-square / (2 * cube),) if cube else ()
        shares = self._shares(reach, turns)
        return max(abs(share * (square + share * cube)) for share in shares) / self.height

    @property
    def _factors(self) -> tuple[float, float]:
        """What stands before the square and the cube of the share."""
        run = self.height * self.slope
        return 3 * self.offset - run, run - 2 * self.offset

    def _shares(self, reach: float, turns: tuple[float, ...]) -> Iterator[float]:
        """The end of the way up to a height, and the turning places on it."""
        end = min(1.0, reach / self.height)
        yield end
        yield from (turn for turn in turns if 0 < turn < end)


@dataclass(frozen=True, slots=True)
class Sideways:
    """A bound on the body's way sideways: lean mm for each mm of height, at most `most` mm."""

    lean: float = 0.0
    most: float = 0.0

    def at(self, height: float) -> float:
        """The bound at a height, mm."""
        return min(self.lean * height, self.most)

    @property
    def knee(self) -> float:
        """The height from which on the bound no longer grows, mm."""
        return self.most / self.lean if self.lean else 0.0


STILL = Sideways()
"""A body that does not move."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lean:
    """A body's stances through a travel, seen from the bracket it is bolted to.

    `along_wall` tells whether it leans along the wall that the bracket stands on, or towards it and
    away. Either way alike: which end is the front depends on the side of the vehicle. `diameter` is
    the body's fullest as the suspension has it, mm, None when it does not say.
    """

    stances: tuple[Stance, ...]
    along_wall: bool = True
    diameter: float | None = None

    @property
    def lowest(self) -> float:
        """The least height of the other mount, mm."""
        return min(stance.height for stance in self.stances)

    def sideways(self, reach: float) -> Sideways:
        """The least bound of its kind that holds through the travel, up to a height above 0."""
        return Sideways(
            max(stance.lean(reach) for stance in self.stances),
            max(stance.shift(reach) for stance in self.stances),
        )

    @property
    def most(self) -> float:
        """The furthest that any part of the body's middle goes off the axis, mm."""
        return max(stance.shift(stance.height) for stance in self.stances)
