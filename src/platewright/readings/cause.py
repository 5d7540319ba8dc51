"""A cause of wrong readings: what it changes, its words, and what to do about it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Literal, NamedTuple

from platewright.measuring.dimensions import Measured
from platewright.readings.made import Departure, Departures, Slopes
from platewright.readings.reading import State
from platewright.units import Unit, format_length
from platewright.values import dataclass

_THIRTY_SECOND = 25.4 / 32  # mm

MadeOf = Literal["plate", "card"]
"""Whether the readings are of the part or of its mock-up in card."""

Where = Literal["bracket file", "shop file", "at the work"]
"""Where a remedy belongs: a key of either file, or what is done next time."""

SizeUnit = Literal["mm", "rad", ""]


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


def next_time(words: str) -> tuple[Remedy, ...]:
    """What is done at the work, as the only remedy."""
    return (Remedy(words=words, where="at the work"),)


class Said(NamedTuple):
    """A cause of a size in words, and what to do about it."""

    words: str
    remedies: tuple[Remedy, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One thing that can have gone wrong.

    `departs` are the departures that each of its free sizes stands for, each by its factor;
    `shows` is what it changes of a reading itself, for each unit of its size. One that is `whole`
    is there or not: its size is 1. `sign` is that of the sizes that make sense, 0 for either, and
    `usual` how large they mostly are in a shop, as a standard deviation (common practice, no
    published source). `slips` is in how many ways a whole one could have come about.
    `said` tells it in words, given its sizes. `of_tape` is whether the readings are wrong and not
    the part, `of_reading` the letter of the one that is, "" where all are. `way` is the direction
    of its one size where it had two and no more can be seen.
    """

    name: str
    said: Callable[[Sequence[float]], Said]
    unit: SizeUnit = "mm"
    departs: tuple[Departures, ...] = ()
    shows: Callable[[Measured, State], float] | None = None
    whole: bool = False
    sign: int = 0
    usual: float = 8.0
    slips: int = 1
    of_tape: bool = False
    of_reading: str = ""
    way: tuple[float, ...] = ()

    def along(self, way: Sequence[float]) -> Cause:
        """The same with one size in place of two: so far in a direction, a unit vector."""
        departs: dict[Departure, float] = {}
        for share, each in zip(way, self.departs, strict=True):
            for departure, factor in each.items():
                departs[departure] = departs.get(departure, 0.0) + share * factor
        return replace(
            self,
            departs=(departs,),
            way=tuple(way),
            said=lambda size: self.said([share * size[0] for share in way]),
        )

    def effects(self, slopes: Slopes, measured: Measured, state: State) -> tuple[float, ...]:
        """How much a reading changes with each of its sizes, for a little of it or as a whole."""
        if self.shows is not None:
            return (self.shows(measured, state),)
        if self.whole:
            made = slopes.made(self.departs[0]).value(measured, state)
            return (made - nominal_of(measured, state),)
        by = slopes.of(measured, state)
        return tuple(
            math.fsum(factor * by.get(each, 0.0) for each, factor in way.items())
            for way in self.departs
        )


def nominal_of(measured: Measured, state: State) -> float:
    """What a dimension should be, 0 where no tape finds it."""
    tape = measured.on_blank if state == "flat" else measured.on_part
    return tape.value if tape else 0.0


def tape_words(mm: float, unit: Unit) -> str:
    """How much, whichever way, as a tape shows it: to 1/32 in, a lesser one to a thousandth."""
    divisions = round(abs(mm) / _THIRTY_SECOND)
    if unit == "in" and divisions:
        return format_length(divisions * _THIRTY_SECOND, unit)
    return format_length(abs(mm), unit)
