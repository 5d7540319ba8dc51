"""What readings mean: the fewest causes that explain them, and what becomes of the part."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from platewright.errors import GeometryError
from platewright.measuring.dimensions import Measured, dimensions_of
from platewright.plate.piece import Piece
from platewright.readings.cause import Cause, MadeOf, Remedy, SizeUnit, nominal_of
from platewright.readings.causes import causes_of
from platewright.readings.fate import Fate, Undone, fate_of
from platewright.readings.made import Departure, Departures, Made, Slopes, slopes_of
from platewright.readings.reading import Fineness, Reading, State, Verdict, verdicts
from platewright.readings.search import Candidate, Fit, Search
from platewright.units import Unit, format_length
from platewright.values import dataclass

if TYPE_CHECKING:
    from platewright.readings.search import Array

#: A reading tells of a cause that changes it by this many spreads.
_TELLS = 2.0
#: One that is left this many spreads off is explained by nothing.
_LEFT = 3.5
#: Departures larger than this change readings not quite in line with their size: mm, and others.
_BOW, _BOWS = 6.0, {"scale x": 0.03, "scale y": 0.03, "turn": 0.02, "angle": 0.04}
#: How far a size is changed either way for its column.
_STEPS = {"mm": 0.05, "rad": 0.001, "": 0.0002}
#: A cause that changes no reading by more than this is none for them, mm or radians for its unit.
_NO_CHANGE = 1e-3
#: A length of fewer divisions than this says nothing of causes.
_SHORT = 3.0
#: A size of two that readings see so much less than the other is none for them.
_HARDLY = 0.15
#: What calipers tell of an edge of a hole, mm.
_BY_CALIPERS = 0.3
#: Two causes must differ by this many spreads in a reading that is to settle between them.
_SETTLES = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A cause that the readings tell of.

    `name` is its short name ("kerf", "bend 2 displaced"), `words` the whole of it with its size.
    `size` and `error`, its standard error, are in `unit`: "mm", "rad", or "" for a share or for a
    cause that has no size (then 0.0 both). Of a hole that stands off the size is how far, whichever
    way: `sizes` has across and up. `evidence` are the letters of the readings that tell of it, the
    strongest first.
    """

    name: str
    words: str
    size: float
    error: float
    unit: SizeUnit
    evidence: tuple[str, ...]
    remedies: tuple[Remedy, ...] = ()
    sizes: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """A cause that the readings cannot tell from a found one, named in `found`.

    `settles` is the one dimension not read yet that would tell them best, None where none can;
    `state` is when to take it. `by_hole` are words for a hole's width that tells them where no
    dimension does, "" for none.
    """

    found: str
    name: str
    words: str
    settles: Measured | None = None
    state: State = "flat"
    by_hole: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnosis:
    """What readings mean. `left_over` are the letters of those that no cause explains."""

    verdicts: tuple[Verdict, ...]
    causes: tuple[Found, ...]
    alternatives: tuple[Alternative, ...]
    fate: Fate
    left_over: tuple[str, ...] = ()


def _undone(causes: Sequence[Cause], readings: Sequence[Reading]) -> Undone:
    """What all the causes of a part are of, where that can still be put right."""
    if all("folded" in cause.name for cause in causes):
        return "folds"
    kinds = {departure.what for cause in causes for each in cause.departs for departure in each}
    before = all(each.state == "flat" for each in readings)
    return "lines" if before and kinds <= {"shift", "turn"} else ""


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
    if not readings:
        raise ValueError("no readings")
    fineness = Fineness(division=division)
    told = verdicts(readings, fineness)
    slopes = slopes_of(piece)
    case = _case(
        slopes, readings, fineness, causes_of(slopes.places, readings, kerf, made_of, unit), unit
    )
    search = Search(
        case.errors, case.candidates, len({cause.name for cause in case.causes}), case.exact
    )
    fit = search.best()
    found = [case.found(fit, at) for at in range(len(fit.chosen))]
    chosen, left = [case.causes[i] for i in fit.chosen], case.left(fit, told)
    return Diagnosis(
        verdicts=told,
        causes=tuple(found),
        alternatives=tuple(
            each for at in range(len(fit.chosen)) for each in case.alternatives(search, fit, at)
        ),
        fate=fate_of(
            slopes,
            told,
            case.predicted(fit),
            explained=[case.changed(fit, each.measured, each.state, _of_part) for each in readings],
            misread=[
                off or case.misread(fit, reading)
                for off, reading in zip(left, readings, strict=True)
            ],
            remedies=[remedy for each in found for remedy in each.remedies],
            undone=_undone([cause for cause in chosen if not cause.of_tape], readings),
            fineness=fineness,
            unit=unit,
        ),
        left_over=tuple(
            reading.letter for reading, left in zip(readings, left, strict=True) if left
        ),
    )


@dataclass(frozen=True, kw_only=True)
class _Case:
    """Readings of a piece, and the causes that change any of them; `errors` are in spreads."""

    slopes: Slopes
    readings: tuple[Reading, ...]
    fineness: Fineness
    unit: Unit
    spreads: Array
    errors: Array
    causes: tuple[Cause, ...]
    candidates: tuple[Candidate, ...]

    def exact(
        self, chosen: Sequence[int], sizes: Sequence[Array], columns: bool
    ) -> tuple[Array, Array | None] | None:
        """What causes of some sizes change, in spreads, and how that grows with each free size.

        None where they are so little that their columns tell it, or of a size that nothing has.
        """
        departures = self._departures(chosen, sizes)
        if not any(abs(by) > _BOWS.get(each.what, _BOW) for each, by in departures.items()):
            return None
        try:
            change = self._changes(departures)
            for i, size in zip(chosen, sizes, strict=True):
                if not self.causes[i].departs:
                    change = change + self.candidates[i].columns @ size
            return change, self._columns(chosen, sizes) if columns else None
        except (ArithmeticError, GeometryError):
            return None

    def _departures(self, chosen: Sequence[int], sizes: Sequence[Array]) -> dict[Departure, float]:
        found: dict[Departure, float] = {}
        for i, size in zip(chosen, sizes, strict=True):
            for way, much in zip(self.causes[i].departs, size, strict=False):
                for departure, factor in way.items():
                    found[departure] = found.get(departure, 0.0) + factor * float(much)
        return found

    def _changes(self, departures: Departures) -> Array:
        made = Made(self.slopes.places, departures)
        return (
            np.array(
                [
                    made.value(each.measured, each.state) - each.nominal
                    if not departures.keys().isdisjoint(self.slopes.of(each.measured, each.state))
                    else 0.0
                    for each in self.readings
                ]
            )
            / self.spreads
        )

    def _columns(self, chosen: Sequence[int], sizes: Sequence[Array]) -> Array:
        """The columns of all free sizes where they are: central differences."""
        found = [np.zeros((len(self.readings), 0))]
        for n, i in enumerate(chosen):
            cause = self.causes[i]
            if cause.whole:
                continue
            if not cause.departs:
                found.append(self.candidates[i].columns)
                continue
            for which in range(len(cause.departs)):
                step = np.zeros(len(cause.departs))
                step[which] = _STEPS[cause.unit]
                less, more = (
                    self._changes(self._departures(chosen, [*sizes[:n], size, *sizes[n + 1 :]]))
                    for size in (sizes[n] - step, sizes[n] + step)
                )
                found.append((more - less) / (2 * step[which]))
        return np.column_stack(found)

    def changed(
        self, fit: Fit, measured: Measured, state: State, of: Callable[[Cause], bool]
    ) -> float:
        """How much some of the causes of a fit change a dimension, mm or radians."""
        return math.fsum(
            effect * float(size)
            for i, sizes in zip(fit.chosen, fit.sizes, strict=True)
            if of(self.causes[i])
            for effect, size in zip(
                self.causes[i].effects(self.slopes, measured, state), sizes, strict=True
            )
        )

    def misread(self, fit: Fit, reading: Reading) -> float:
        """How much the causes of a fit that are the tape's change a reading, mm or radians."""
        return self.changed(
            fit,
            reading.measured,
            reading.state,
            lambda cause: cause.of_tape and cause.of_reading in ("", reading.letter),
        )

    def predicted(self, fit: Fit) -> Iterator[Verdict]:
        """What is not read, as the causes of a fit make it: of a flat blank what it folds to."""
        read = {each.measured.dimension for each in self.readings}
        for measured in dimensions_of(self.slopes.places.piece):
            state: State = "folded" if measured.on_part else "flat"
            teller = measured.told_on_part if measured.on_part else measured.told_on_blank
            if teller != measured.dimension or measured.dimension in read:
                continue
            reading = Reading(letter="", measured=measured, state=state, value=0.0)
            value = reading.nominal + self.changed(fit, measured, state, _of_part)
            yield from verdicts([replace(reading, value=value)], self.fineness)

    def left(self, fit: Fit, told: Sequence[Verdict]) -> list[float]:
        """What a fit leaves of each error, mm or radians, where it is too much for chance.

        Of what is too short to tell of causes, all of it where it is out.
        """
        return [
            (each.error if each.judged == "out" else 0.0)
            if math.isinf(spread)
            else float(left * spread)
            if abs(left) > _LEFT
            else 0.0
            for left, spread, each in zip(fit.left, self.spreads, told, strict=True)
        ]

    def found(self, fit: Fit, at: int) -> Found:
        """One cause of a fit, told."""
        i, sizes = fit.chosen[at], tuple(map(float, fit.sizes[at]))
        cause = self.causes[i]
        said = cause.said(sizes)
        size = math.hypot(*sizes)
        # of a size of two, the error along it
        way = np.array(sizes) / size if size else np.zeros(len(sizes))
        error = math.sqrt(max(0.0, float(way @ fit.variances[at] @ way)))
        told = np.abs(self.candidates[i].columns @ fit.sizes[at])
        order = sorted(range(len(self.readings)), key=lambda n: -round(float(told[n]), 6))
        both = tuple(share * sizes[0] for share in cause.way) or sizes
        strong = [n for n in order if told[n] > _TELLS] or order[:1]
        return Found(
            name=cause.name,
            words=said.words,
            size=0.0 if cause.whole else sizes[0] if len(both) == 1 else size,
            error=error,
            unit=cause.unit,
            evidence=tuple(self.readings[n].letter for n in strong),
            remedies=said.remedies,
            sizes=() if cause.whole else both,
        )

    # --- what cannot be told apart --------------------------------------------------------------

    def alternatives(self, search: Search, fit: Fit, at: int) -> Iterator[Alternative]:
        """The causes that do as well as one of a fit, and what would settle between them."""
        seen = {self.causes[i].name for i in fit.chosen}
        for i, other in search.rivals(fit, fit.chosen[at]):
            cause = self.causes[i]
            if cause.name in seen:
                continue
            seen.add(cause.name)
            sizes = tuple(map(float, other.sizes[other.chosen.index(i)]))
            settles = self._settles(fit, other)
            yield Alternative(
                found=self.causes[fit.chosen[at]].name,
                name=cause.name,
                words=cause.said(sizes).words,
                settles=settles[0] if settles else None,
                state=settles[1] if settles else "flat",
                by_hole="" if settles else self._by_hole(fit, other),
            )

    def _by_hole(self, one: Fit, other: Fit) -> str:
        """How wide a hole is by two fits, where they differ by what calipers tell."""
        holes = [hole for hole in self.slopes.places.holes if hole.cut]
        missing = [
            self._departures(fit.chosen, fit.sizes).get(Departure("edges"), 0.0)
            for fit in (one, other)
        ]
        if not holes or abs(missing[0] - missing[1]) < _BY_CALIPERS:
            return ""
        hole = holes[0]
        wide = [format_length(max(0.0, hole.diameter + 2 * more), self.unit) for more in missing]
        return f"measure how wide {hole.what} is: {wide[0]}, or {wide[1]} by the other"

    def _settles(self, one: Fit, other: Fit) -> tuple[Measured, State] | None:
        """The dimension not read yet in which two fits differ most, where that is enough."""
        best: tuple[float, Measured, State] | None = None
        for measured, state in self._unread:
            spread = self.fineness.spread(angle=measured.dimension.quantity == "angle")
            there = [
                self.changed(fit, measured, state, lambda cause: not cause.of_reading)
                for fit in (one, other)
            ]
            apart = abs(there[0] - there[1])
            if apart > _SETTLES * spread and (best is None or apart / spread > best[0] + 1e-6):
                best = apart / spread, measured, state
        return best and best[1:]

    @cached_property
    def _unread(self) -> tuple[tuple[Measured, State], ...]:
        """What else a tape finds: on a folded part what lies within one panel, as on the flat."""
        read = {(each.measured.dimension, each.state) for each in self.readings}
        is_folded = any(each.state == "folded" for each in self.readings)
        found: list[tuple[Measured, State]] = []
        for each in dimensions_of(self.slopes.places.piece):
            dimension = each.dimension
            there: State = "folded" if each.on_part and is_folded else "flat"
            if is_folded and not each.on_part and dimension.start.panel != dimension.end.panel:
                continue
            teller = each.told_on_part if there == "folded" else each.told_on_blank
            if _too_short(each, there, self.fineness):
                continue
            if teller == dimension and not read & {(dimension, "flat"), (dimension, "folded")}:
                found.append((each, there))
        return tuple(found)


def _of_part(cause: Cause) -> bool:
    return not cause.of_tape


def _too_short(measured: Measured, state: State, fineness: Fineness) -> bool:
    """Whether a length is so short that it says nothing: it cannot shrink by what others do."""
    short = nominal_of(measured, state) < _SHORT * fineness.division
    return short and measured.dimension.quantity == "length"


def _case(
    slopes: Slopes,
    readings: Sequence[Reading],
    fineness: Fineness,
    causes: Sequence[Cause],
    unit: Unit,
) -> _Case:
    spreads = np.array(
        [
            math.inf
            if _too_short(each.measured, each.state, fineness)
            else fineness.spread(angle=each.is_angle)
            for each in readings
        ]
    )
    errors = np.array([each.value - each.nominal for each in readings])
    letters = {each.letter: n for n, each in enumerate(readings)}
    kept: list[tuple[Cause, Candidate]] = []
    for cause in causes:
        width = max(1, len(cause.departs))
        columns = np.zeros((len(readings), width))
        rows = [letters[cause.of_reading]] if cause.of_reading else range(len(readings))
        for n in rows:
            columns[n] = cause.effects(slopes, readings[n].measured, readings[n].state)
        if np.abs(columns).max() > _NO_CHANGE:
            kept.append(_candidate(cause, columns / spreads[:, None]))
    return _Case(
        slopes=slopes,
        readings=tuple(readings),
        fineness=fineness,
        unit=unit,
        spreads=spreads,
        errors=errors / spreads,
        causes=tuple(cause for cause, _ in kept),
        candidates=tuple(candidate for _, candidate in kept),
    )


def _candidate(cause: Cause, columns: Array) -> tuple[Cause, Candidate]:
    """A cause for the search; of two sizes the one that readings see, where they see no other."""
    if len(cause.departs) > 1:
        _, values, ways = np.linalg.svd(columns, full_matrices=False)
        if len(values) < 2 or values[1] < _HARDLY * values[0]:
            way = np.where(np.abs(ways[0]) < _HARDLY**2, 0.0, ways[0])
            way = way / np.linalg.norm(way) * np.sign(way[np.abs(way).argmax()])
            cause, columns = cause.along([float(each) for each in way]), columns @ way[:, None]
    candidate = Candidate(
        columns=columns,
        whole=cause.whole,
        sign=cause.sign,
        usual=cause.usual,
        slips=cause.slips,
        of_reading=cause.of_reading,
    )
    return cause, candidate
