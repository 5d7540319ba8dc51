"""A piece to make: one bracket of one hand, with its blank placed on the drawing."""

from __future__ import annotations

from dataclasses import field, replace
from typing import Literal

from platewright.geometry.plane import IDENTITY, Motion, Vector
from platewright.geometry.segment import Line
from platewright.plate.blank import Blank, blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.detail import PLAIN, Detail
from platewright.values import dataclass

Hand = Literal["as drawn", "mirrored", "pair"]

#: The hands that a part may ask for.
HANDS: tuple[Hand, ...] = ("as drawn", "mirrored", "pair")

#: Room between the two blanks of a pair on one drawing, mm.
PAIR_GAP = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One bracket to make.

    `name` is unique among all pieces of a call; `hand` is "as drawn", "mirrored", "left" or
    "right". `drawing_from_bracket` shifts the bracket's plane frame to the drawing that carries
    all pieces of a part; `blank` is already there. `quantity` is how many of it to make, `note`
    the words that its file wants on the sheets, `fingerprint` the sign of what the file says,
    `bent_by` what its bends are worked out from and where that comes from. `mirror_of` is the left
    one of a pair, of which it is the right, until it is changed.
    """

    name: str
    hand: str
    bracket: Bracket
    blank: Blank
    drawing_from_bracket: Motion = IDENTITY
    quantity: int = 1
    note: str = ""
    fingerprint: str = ""
    bent_by: str = ""
    mirror_of: Piece | None = field(default=None, init=False, repr=False)

    def __hash__(self) -> int:
        """Of what tells pieces apart: of every value in it, it would cost more than it saves."""
        return hash((self.name, self.hand, self.fingerprint, self.drawing_from_bracket))

    @property
    def wall_line(self) -> Line | None:
        """The wall edge on the blank, None for a bracket without a wall."""
        bracket = self.bracket
        if bracket.wall is None:
            return None
        edge = bracket.root.straight_edge(bracket.wall)
        return edge.moved(self.blank.panel_motion(bracket.root.name))

    @property
    def straight_wall(self) -> Line | None:
        """The wall edge while it is straight: None once it follows something."""
        scribed = {name for name, _ in self.bracket.root.datums}
        return None if self.bracket.wall in scribed else self.wall_line


def pieces_of(
    name: str,
    hand: str,
    bracket: Bracket,
    detail: Detail = PLAIN,
    *,
    quantity: int = 1,
    note: str = "",
    fingerprint: str = "",
    bent_by: str = "",
) -> tuple[Piece, ...]:
    """The pieces that a part asks for: one, or for a pair the left and then the mirrored right.

    `hand` is one of `HANDS`; `quantity`, `note`, `fingerprint` and `bent_by` as in `Piece`.
    """
    own = bracket.mirrored() if hand == "mirrored" else bracket
    piece = Piece(
        name=name,
        hand=hand,
        bracket=own,
        blank=blank_of(own, detail),
        quantity=quantity,
        note=note,
        fingerprint=fingerprint,
        bent_by=bent_by,
    )
    if hand != "pair":
        return (piece,)
    other = bracket.mirrored()
    blank, beside = blank_of(other, detail), piece.blank.bounds.xmax + PAIR_GAP
    shift = Motion.translation(Vector(beside - blank.bounds.xmin, 0.0))
    left = replace(piece, name=f"{name}-left", hand="left")
    right = replace(
        piece,
        name=f"{name}-right",
        hand="right",
        bracket=other,
        blank=blank.moved(shift),
        drawing_from_bracket=shift,
    )
    object.__setattr__(right, "mirror_of", left)
    return left, right
