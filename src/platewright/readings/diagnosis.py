"""What readings mean: the fewest causes that explain them, and what becomes of the part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from platewright.measuring.dimensions import Measured
from platewright.plate.piece import Piece
from platewright.readings.reading import Fineness, Reading, State, Verdict, verdicts
from platewright.units import Unit

MadeOf = Literal["plate", "card"]
"""Whether the readings are of the part or of its mock-up in card."""

Where = Literal["bracket file", "shop file", "at the work"]
"""Where a remedy belongs: a key of either file, or what is done next time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """What to do about a cause: in words; where, and which number to write to which key.

    `key` and `value` are "" for what is done at the work; `value` carries its unit and stands in
    a file as it is.
    """

    words: str
    where: Where
    key: str = ""
    value: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A cause that the readings tell of.

    `name` is its short name ("kerf", "bend 2 displaced"), `words` the whole of it with its size.
    `size` and `error`, its standard error, are in `unit`: "mm", "rad", or "" for a share or for a
    cause that has no size (then 0.0 both). `evidence` are the letters of the readings that tell of
    it, the strongest first.
    """

    name: str
    words: str
    size: float
    error: float
    unit: Literal["mm", "rad", ""]
    evidence: tuple[str, ...]
    remedies: tuple[Remedy, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """A cause that the readings cannot tell from a found one.

    `settles` is the one dimension not read yet that would tell them best, None where none can;
    `state` is when to take it.
    """

    found: str
    name: str
    words: str
    settles: Measured | None = None
    state: State = "flat"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fate:
    """What becomes of the part, in words, and what to change for the next one.

    `outcome` "measure again": a misread tape explains all that is out. `trims` says by what and
    where. `sets` are ready for `--set`: "KEY=VALUE".
    """

    outcome: Literal["serves", "trim", "measure again", "make again"]
    words: str
    trims: tuple[str, ...] = ()
    sets: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnosis:
    """What readings mean. `left_over` are the letters of those that no cause explains."""

    verdicts: tuple[Verdict, ...]
    causes: tuple[Found, ...]
    alternatives: tuple[Alternative, ...]
    fate: Fate
    left_over: tuple[str, ...] = ()


def diagnose(
    piece: Piece,
    readings: Sequence[Reading],
    *,
    division: float,
    kerf: float = 0.0,
    made_of: MadeOf = "plate",
    unit: Unit = "mm",
) -> Diagnosis:
    """What the readings of a made piece mean.

    `division` is the tape's smallest, mm; `kerf` what the torch path allowed for, mm; of readings
    of a mock-up `piece` is that in card. Words are in `unit`. Raises ValueError for no reading, or
    for one of a dimension that no tape finds in its state.
    """
    _ = piece, kerf, made_of, unit
    if not readings:
        raise ValueError("no readings")
    told = verdicts(readings, Fineness(division=division))
    out = any(each.judged == "out" for each in told)
    fate = (
        Fate(outcome="make again", words="Some readings are out of their tolerance.")
        if out
        else Fate(outcome="serves", words="It serves as it is: no reading is out.")
    )
    return Diagnosis(verdicts=told, causes=(), alternatives=(), fate=fate)
