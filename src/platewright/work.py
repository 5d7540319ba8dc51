"""From prepared parts to the work on them: torch plans, tracing guides, mock-ups in card."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from platewright.errors import BuildError, FileError, Mistake
from platewright.files.job import Part, card_of
from platewright.plate.blank import blank_of
from platewright.plate.piece import Piece, pieces_of
from platewright.prepare import Prepared
from platewright.sheets.pattern import straight_wall
from platewright.shop.cutting import TorchPlan, torch_plan
from platewright.shop.guide import Guide, tracing_guide


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A prepared part with a torch plan for each piece.

    `guides` and `mock_ups` go by the piece's name. `cards` are the mock-ups whose pattern is
    wanted, `plate` tells whether the plate's own is.
    """

    ready: Prepared
    plans: tuple[TorchPlan, ...]
    guides: Mapping[str, Guide]
    mock_ups: Mapping[str, Piece]
    cards: Mapping[str, Piece]
    plate: bool

    @property
    def part(self) -> Part:
        """The part as read."""
        return self.ready.part

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """The pieces to make."""
        return self.ready.pieces


def worked(parts: Sequence[Prepared], pattern: str) -> tuple[Work, ...]:
    """The work on every part; `pattern` is "card", "plate" or "both".

    Raises FileError with the mistakes of all parts at once.
    """
    mistakes: list[Mistake] = []
    found: list[Work] = []
    for ready in parts:
        try:
            found.append(_work(ready, pattern))
        except FileError as error:
            mistakes.extend(error.mistakes)
    if mistakes:
        raise FileError(tuple(mistakes))
    return tuple(found)


def _work(ready: Prepared, pattern: str) -> Work:
    mock_ups = {piece.name: piece for piece in mock_ups_of(ready)}
    own_card = ready.part.stock.material.family == "card"
    bent = any(piece.blank.bends for piece in ready.pieces)
    # without bends the two patterns are one, and a part of card has no other
    wants_card = own_card or pattern == "card" or (pattern == "both" and bent)
    return Work(
        ready=ready,
        plans=tuple(_plans(ready)),
        guides={piece.name: guide for piece, guide in _guides(ready)},
        mock_ups=mock_ups,
        cards=mock_ups if wants_card else {},
        plate=pattern != "card" and not own_card,
    )


def mock_ups_of(ready: Prepared) -> tuple[Piece, ...]:
    """The same pieces in card, each with the name and hand of the piece that it stands for."""
    part = ready.part
    if part.stock.material.family == "card":
        return ready.pieces
    return pieces_of(part.name, part.hand, card_of(part, ready.path))


def _plans(ready: Prepared) -> Iterator[TorchPlan]:
    for piece in ready.pieces:
        beside = [other.blank.bounds for other in ready.pieces if other is not piece]
        cutting = ready.part.common.cutting
        yield torch_plan(piece.blank, ready.part.stock.thickness, cutting, beside)


def _guides(ready: Prepared) -> Iterator[tuple[Piece, Guide]]:
    cutting = ready.part.common.cutting
    for piece in ready.pieces if cutting.guide else ():
        assert cutting.guide is not None
        # nicks and reliefs are too small to follow: they are cut when the guide is off
        blank = blank_of(piece.bracket).moved(piece.drawing_from_bracket)
        try:
            yield piece, tracing_guide(blank, cutting.guide, cutting.kerf, straight_wall(piece))
        except BuildError as error:
            key = ".".join(word for word in (ready.part.at, *error.keys[:1]) if word)
            mistake = Mistake(file=ready.path, key=key, message=error.message)
            raise FileError((mistake,)) from error
