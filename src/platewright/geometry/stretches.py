"""From raw offset pieces to the stretches that survive: split where they cross, kept if clear."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platewright.geometry.crossings import meetings
from platewright.geometry.grid import Grid, mean_cell
from platewright.geometry.parallel import RawOffset
from platewright.geometry.prepared import PreparedSegment
from platewright.values import dataclass

#: Edge of the squares by which places are looked up, mm.
_SQUARE = 1e-3


class Places:
    """Numbered places; those within `reach` mm of one another share a number."""

    def __init__(self, reach: float) -> None:
        self._reach = reach
        self._squares: dict[tuple[int, int], list[int]] = {}
        self.xy: list[tuple[float, float]] = []

    def number(self, x: float, y: float) -> int:
        """The number of a place, a new one when none is near."""
        for square in self._around(x, y):
            for known in self._squares.get(square, ()):
                u, v = self.xy[known]
                if math.hypot(u - x, v - y) <= self._reach:
                    return known
        self.xy.append((x, y))
        home = math.floor(x / _SQUARE), math.floor(y / _SQUARE)
        self._squares.setdefault(home, []).append(len(self.xy) - 1)
        return len(self.xy) - 1

    def _around(self, x: float, y: float) -> Iterator[tuple[int, int]]:
        reach = self._reach
        for column in {math.floor((x - reach) / _SQUARE), math.floor((x + reach) / _SQUARE)}:
            for row in {math.floor((y - reach) / _SQUARE), math.floor((y + reach) / _SQUARE)}:
                yield column, row


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of a piece between two fractions, from one numbered place to another."""

    piece: int
    begin: float
    finish: float
    tail: int
    head: int


@dataclass(frozen=True, slots=True)
class Stretches:
    """The stretches that survive, over their pieces and places."""

    pieces: Sequence[PreparedSegment]
    places: Sequence[tuple[float, float]]
    stretches: Sequence[Stretch]


def surviving(
    raw: RawOffset, sources: Sequence[PreparedSegment], distance: float, tolerance: float
) -> Stretches:
    """The stretches of raw pieces that no source comes nearer to than `distance` mm.

    Pieces are split wherever they meet, so a stretch is clear as a whole or not at all, and a few
    places on it tell. Stretches short of the distance by less than the tolerance are kept.
    """
    places = Places(4 * tolerance)
    # every piece's ends, and where it meets others that it does not run on from
    pieces = raw.pieces
    cuts: list[_Cuts] = [
        [(0.0, places.number(p.x0, p.y0)), (1.0, places.number(p.x1, p.y1))] for p in pieces
    ]
    for i, j in Grid(pieces, mean_cell(pieces, tolerance), tolerance).pairs():
        if (i, j) not in raw.joined:
            for x, y, first, second in meetings(pieces[i], pieces[j], tolerance):
                place = places.number(x, y)
                cuts[i].append((first, place))
                cuts[j].append((second, place))
    clear = _Clearance(sources, distance - tolerance)
    kept = []
    for stretch in _split(pieces, cuts, 4 * tolerance):
        # two places on it, away from where symmetry makes chance touches
        at, long = pieces[stretch.piece].at, stretch.finish - stretch.begin
        if all(clear.holds(*at(stretch.begin + long * share)) for share in (0.41, 0.67)):
            kept.append(stretch)
    return Stretches(pieces, places.xy, kept)


#: The places at which a piece is cut: fraction and number.
_Cuts = list[tuple[float, int]]


def _split(pieces: Sequence[PreparedSegment], cuts: list[_Cuts], least: float) -> Iterator[Stretch]:
    for index, (piece, fractions) in enumerate(zip(pieces, cuts, strict=True)):
        fractions.sort()
        begin, tail = fractions[0]
        for finish, head in fractions[1:]:
            # a stretch from a place to itself counts only when it goes round a circle
            if head != tail or (finish - begin) * piece.length > 2 * least:
                yield Stretch(index, begin, finish, tail, head)
                begin, tail = finish, head


class _Clearance:
    """Tells whether a place keeps off every source by some distance."""

    def __init__(self, sources: Sequence[PreparedSegment], distance: float) -> None:
        self._sources = sources
        self._distance = distance
        self._grid = Grid(sources, mean_cell(sources, distance))
        self._nearest = sources[0]

    def holds(self, x: float, y: float) -> bool:
        """Whether nothing comes nearer to the place."""
        # what came too near to the place before most often does so again
        if self._nearest.distance(x, y) < self._distance:
            return False
        for i in self._grid.near(x, y, self._distance):
            if self._sources[i].distance(x, y) < self._distance:
                self._nearest = self._sources[i]
                return False
        return True
