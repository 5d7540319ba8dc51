"""A job as read from a file: the parts to make."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from platewright.errors import BuildError, FileError, Mistake
from platewright.files.sections import Common
from platewright.kinds.kind import Kind
from platewright.kinds.making import NO_EXTRAS, Extras, make_bracket
from platewright.plate.bend import BendWay, Crease
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.stock import Stock
from platewright.shop.scores import Suggestion, suggest_ligament
from platewright.units import Unit

if TYPE_CHECKING:
    from platewright.suspension.mounting import Mounting


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a job.

    `measurements` is a value of the kind's declared class, `common` holds the sections that every
    kind shares, `extras` what the file adds to any kind, `unit` is the file's, `at` the part's
    place in its file ("part[2]"; "" when the file is one part), `mounting` its place in the travel
    of the suspension that it says it belongs to.
    """

    name: str
    kind: Kind
    measurements: Any
    stock: Stock
    bend: BendWay
    hand: str
    quantity: int
    unit: Unit
    note: str
    common: Common
    extras: Extras = NO_EXTRAS
    at: str = ""
    mounting: Mounting | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """The parts of one file, in its order; `path` as the user gave it."""

    path: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """A part's bracket, and the ligament under its scores where the file gives none."""

    bracket: Bracket
    ligament: Suggestion | None = None


def built(part: Part, path: str) -> Built:
    """The part built as drawn.

    A ligament that the file does not give is what hands can fold over the longest bend. Raises
    FileError with the keys that disagree when the measurements make no bracket together.
    """
    usual = _bracket(part, path, part.stock, part.bend)
    score = part.bend.score
    if score is None or part.common.bend.ligament is not None:
        return Built(bracket=usual)
    lengths = [bend.line.length for bend in blank_of(usual).bends]
    if not lengths:
        return Built(bracket=usual)
    limits = part.common.limits
    ligament = suggest_ligament(
        part.stock.thickness, max(lengths), part.stock.material, limits.effort
    )
    way = replace(score, ligament=ligament.value)
    return Built(bracket=_bracket(part, path, part.stock, way), ligament=ligament)


def bracket_of(part: Part, path: str) -> Bracket:
    """The part's bracket, as drawn (see `built`). Raises FileError as it does."""
    return built(part, path).bracket


def card_of(part: Part, path: str) -> Bracket:
    """The part's mock-up in card: the same measurements, folded sharp.

    Raises FileError as `bracket_of` does.
    """
    return _bracket(part, path, part.common.card.stock, Crease())


def _bracket(part: Part, path: str, stock: Stock, way: BendWay) -> Bracket:
    try:
        return make_bracket(part.kind, part.measurements, stock, way, part.extras)
    except BuildError as error:
        first = error.keys[0] if error.keys else ""
        key = ".".join(piece for piece in (part.at, first) if piece)
        also = f" (see also {', '.join(error.keys[1:])})" if error.keys[1:] else ""
        raise FileError((Mistake(file=path, key=key, message=error.message + also),)) from error
