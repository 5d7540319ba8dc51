"""What goes wrong with readings and not with the part: a tape, a unit, a digit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platewright.measuring.dimensions import Measured
from platewright.readings.cause import Cause, Said, next_time, nominal_of, tape_words
from platewright.readings.places import DimensionPlaces
from platewright.readings.reading import Reading, State
from platewright.units import INCH, Unit, format_angle, format_length

#: A reading that is off by no common slip is taken for one of so many.
_ANY_SLIP = 100
#: An amount this near to another unit's is that, mm.
_SAME_SLIP = 1e-6
_UNITS = (("inches", "mm", 1 / INCH), ("mm", "inches", INCH))


def slips_of(places: DimensionPlaces, readings: Sequence[Reading], unit: Unit) -> Iterator[Cause]:
    """What spoils every reading, then what spoils one of them."""
    yield from _of_all(places, unit)
    for reading in readings:
        # a digit, a side of the bevel or a unit misread; or a reading that fits no other
        true = reading.nominal
        if reading.is_angle:
            amounts = [math.radians(10), -math.radians(10), math.pi - 2 * true]
        else:
            digits = (INCH, INCH / 8, INCH / 4, INCH / 2, 12 * INCH) if unit == "in" else (10, 100)
            amounts = [sign * by for by in digits for sign in (1, -1)]
            amounts += [true * (factor - 1) for _, _, factor in _UNITS]
        for by in amounts:
            yield _off(reading, by, len(amounts), unit)
        yield _off(reading, None, _ANY_SLIP, unit)


def _of_all(places: DimensionPlaces, unit: Unit) -> Iterator[Cause]:
    """The hook bent, the first inch burnt and not taken off, inches taken for mm."""

    def hook(size: Sequence[float]) -> Said:
        much = f"{tape_words(size[0], unit)} {'more' if size[0] > 0 else 'less'}"
        words = f"the tape's hook: what was hooked over an edge reads {much} than it is"
        return Said(words, next_time("Read them again with another tape"))

    def hooked_over(measured: Measured, state: State) -> float:
        return float(places.hooked(measured, state))

    yield Cause(name="tape's hook", said=hook, usual=3.0, of_tape=True, shows=hooked_over)
    burnt = (25.4,) if unit == "in" else (10.0, 100.0)
    for by in burnt:
        mark = format_length(by, unit)

        def read_from(_: Sequence[float], mark: str = mark) -> Said:
            off = next_time(f"Take {mark} off each, or read them again")
            return Said(f"read from the {mark} mark, and that was not taken off", off)

        for name, hooked in (("", True), (", not hooked", False)):

            def more(
                measured: Measured, state: State, by: float = by, hooked: bool = hooked
            ) -> float:
                if measured.dimension.quantity == "angle":
                    return 0.0
                return 0.0 if not hooked and places.hooked(measured, state) else by

            yield Cause(name=f"burnt {mark}{name}", said=read_from, unit="",
                        shows=more, whole=True, of_tape=True)  # fmt: skip
    for wrong, right, factor in _UNITS:
        words = f"{wrong} were written where {right} were meant"

        def units(_: Sequence[float], words: str = words) -> Said:
            return Said(words, next_time("Write the unit beside every reading"))

        def times(measured: Measured, state: State, factor: float = factor) -> float:
            if measured.dimension.quantity == "angle":
                return 0.0
            return nominal_of(measured, state) * (factor - 1)

        name = f"{wrong} for {right}"
        yield Cause(name=name, said=units, unit="", shows=times, whole=True, of_tape=True)


def _off(reading: Reading, by: float | None, slips: int, unit: Unit) -> Cause:
    """A reading off by an amount, or by any."""

    def said(size: Sequence[float]) -> Said:
        off = size[0] if by is None else by
        much = format_angle(abs(off)) if reading.is_angle else tape_words(off, unit)
        words = f"reading {reading.letter} is misread by {much}: it fits no other as it is"
        if by is None:
            words = f"reading {reading.letter} fits no other: it is {much} off"
        elif not reading.is_angle and abs(off) > reading.nominal / 2:
            for wrong, right, factor in _UNITS:
                if abs(off - reading.nominal * (factor - 1)) < _SAME_SLIP:
                    words = f"reading {reading.letter} is in {wrong}, not {right}"
        return Said(words, next_time(f"Read {reading.letter} again"))

    return Cause(
        name=f"{reading.letter} misread",
        said=said,
        unit="" if by is not None else "rad" if reading.is_angle else "mm",
        shows=lambda *_: 1.0 if by is None else by,
        whole=by is not None,
        usual=math.inf,
        slips=slips,
        of_tape=True,
        of_reading=reading.letter,
    )
