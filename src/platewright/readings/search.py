"""The search for the fewest causes that explain errors of readings.

Weighted least squares: each reading in units of its spread, each cause a vector of what it changes,
with free sizes or as a whole. Causes come in one by one, and out again or for one another, while
Schwarz's information criterion falls by more than `WORTH`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from platewright.values import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

WORTH = 6.0
"""How far the criterion must fall for a cause to be told, and how near to it another cannot be told
from it: differences from 6 up are strong evidence (Kass and Raftery 1995, from memory)."""

#: More causes than this are not looked for at once.
_MOST = 6
#: How many of the likeliest causes a search begins from.
_BEGINNINGS = 3
#: How many of the likeliest take the place of another, and are then fitted exactly.
_TRIED, _RIVALS = 4, 12
#: How near to another's a cause's gain must come by its columns alone, to be fitted in its place.
_NEAR = 20.0
#: A slip of the tape leaves no more than this of a reading's error, in spreads.
_SLIPPED = 3.0
#: A size is told that is so many standard errors or more.
_SURE = 3.0
#: What is left of a vector that the others make up, as a share of its square.
_NOTHING = 1e-4
#: A cause that changes nothing by more than this of a spread, for a mm or a tenth of a radian.
_UNSEEN = 1e-6
#: How often sizes are fitted anew where readings bend with them, and when that is enough.
_ROUNDS, _STILL = 8, 0.05


class Candidate(NamedTuple):
    """A cause as the search sees it: a column for each of its sizes; or the whole of it in one.

    Its sizes are of that sign, if any, and mostly about the `usual` one; it is one of so many
    `slips`. Of one reading there is one cause, that leaves nothing of its error.
    """

    columns: Array
    whole: bool
    sign: int
    usual: float
    slips: int
    of_reading: str


@dataclass(frozen=True, slots=True)
class Fit:
    """Some causes with their sizes: `score` is the criterion, `left` the errors that they leave.

    `sizes` and `variances` are of the causes in their order, a whole one's size being 1.
    """

    chosen: tuple[int, ...]
    sizes: tuple[Array, ...]
    variances: tuple[Array, ...]
    left: Array
    score: float


Exact = Callable[[Sequence[int], Sequence["Array"], bool], "tuple[Array, Array | None] | None"]
"""What causes of some sizes change exactly, in spreads; None where their columns tell it as well.

And, where that is asked for, the columns of all free sizes there.
"""


class Search:
    """Errors in spreads, the candidates, and what is known of those.

    `kinds` is of how many kinds of cause the likeliest one is taken.
    """

    def __init__(
        self, errors: Array, candidates: Sequence[Candidate], kinds: int, exact: Exact
    ) -> None:
        self.errors, self.candidates, self.exact = errors, candidates, exact
        # the extended criterion: the more kinds there are, the likelier one fits by chance
        self.entry = 2 * math.log(max(kinds, 1))
        self._fits: dict[tuple[int, ...], Fit] = {}
        self._free = [i for i, each in enumerate(candidates) if not each.whole]
        self._whole = [i for i, each in enumerate(candidates) if each.whole]
        count = len(errors)
        empty = np.zeros((count, 0))
        self._first = np.column_stack([empty, *(candidates[i].columns[:, 0] for i in self._free)])
        self._second = np.column_stack(
            [empty, *(_other(candidates[i].columns) for i in self._free)]
        )
        self._wholes = np.column_stack([empty, *(candidates[i].columns[:, 0] for i in self._whole)])

    # --- fitting --------------------------------------------------------------------------------

    def fit(self, chosen: Sequence[int]) -> Fit:
        """The best sizes of some causes, bent readings and all."""
        key = tuple(sorted(chosen))
        found = self._fits.get(key)
        if found is None:
            found = self._fits[key] = self._fit(key)
        return found

    def _fit(self, chosen: tuple[int, ...]) -> Fit:
        each = [self.candidates[i] for i in chosen]
        fixed = sum((c.columns[:, 0] for c in each if c.whole), np.zeros(len(self.errors)))
        free = np.column_stack(
            [np.zeros((len(self.errors), 0)), *(c.columns for c in each if not c.whole)]
        )
        sizes, left, free = self._sized(chosen, each, fixed, free)
        inverse = np.linalg.pinv(free, rcond=1e-6)
        rank = int(np.linalg.matrix_rank(free, tol=1e-6)) if free.size else 0
        wholes = sum(c.whole for c in each)
        score = float(left @ left) + (rank + wholes) * math.log(max(len(self.errors), 2))
        score += len(chosen) * self.entry
        # more scatter than a tape's makes the sizes less sure (Birge 1932, from memory)
        spare = max(1, len(self.errors) - rank)
        covariance = inverse @ inverse.T * max(1.0, float(left @ left) / spare)
        zero = np.zeros((1, 1))
        variances = tuple(covariance[own, own] if own else zero for own in _spans(each))
        for candidate, size, variance in zip(each, sizes, variances, strict=True):
            score += _doubt(candidate, size, variance, left)
        misread = [candidate.of_reading for candidate in each if candidate.of_reading]
        if len(set(misread)) < len(misread):
            score = math.inf
        return Fit(chosen, sizes, variances, left, score)

    def _sized(
        self, chosen: tuple[int, ...], each: Sequence[Candidate], fixed: Array, free: Array
    ) -> tuple[tuple[Array, ...], Array, Array]:
        """Sizes, the errors that they leave, and the columns there: Gauss and Newton's steps.

        The columns of little departures serve as long as that goes anywhere.
        """
        little = free
        found = np.linalg.pinv(free, rcond=1e-6) @ (self.errors - fixed)
        best, left, least, own = found, self.errors - fixed - free @ found, math.inf, False
        for _ in range(_ROUNDS):
            change = self.exact(chosen, _split(found, each), False)
            if change is None and least == math.inf:
                break
            there = fixed + little @ found if change is None else change[0]
            square = float(np.square(self.errors - there).sum())
            if square < least - _STILL:
                best, left, least, own = found, self.errors - there, square, False
            elif own:
                break
            else:
                # it led away: the columns there, and not those of little departures
                change = self.exact(chosen, _split(best, each), True)
                if change is None or change[1] is None:
                    break
                free, own = change[1], True
            found = best + np.linalg.pinv(free, rcond=1e-6) @ left
        return tuple(_split(best, each)), left, free

    def likeliest(self, fit: Fit, count: int, beside: int | None = None) -> list[int]:
        """The candidates that would lower the criterion most beside a fit, the best first.

        By the columns alone, readings bent with their sizes left out. Only those that lower it; or
        those that do about as much as the one `beside` them, which is left out.
        """
        each = [self.candidates[i] for i in fit.chosen]
        free = np.column_stack(
            [np.zeros((len(self.errors), 0)), *(c.columns for c in each if not c.whole)]
        )
        base = _basis(free)
        left = fit.left - base @ (base.T @ fit.left)
        gains = np.full(len(self.candidates), -math.inf)
        log = math.log(max(len(self.errors), 2))
        if self._free:
            first, first_square = _squared_off(self._first, base)
            along = first.T @ left
            gain = np.where(first_square > 0, along**2 / np.maximum(first_square, 1e-30), 0.0)
            signs = np.array([self.candidates[i].sign for i in self._free])
            gain[(signs * along) < 0] = 0.0
            second, second_square = _squared_off(self._second, base)
            unit = first / np.sqrt(np.maximum(first_square, 1e-30))
            shared = np.einsum("ij,ij->j", unit, second)
            second = second - unit * shared
            rest = np.einsum("ij,ij->j", second, second)
            two = rest > np.maximum(_NOTHING * second_square, _UNSEEN**2)
            more = np.where(two, (second.T @ left) ** 2 / np.maximum(rest, 1e-30), 0.0)
            gains[self._free] = gain + more - log * ((first_square > 0) + two.astype(float))
        if self._whole:
            off = self._wholes - base @ (base.T @ self._wholes)
            gains[self._whole] = 2 * (off.T @ left) - np.einsum("ij,ij->j", off, off) - log
        gains[list(fit.chosen)] = -math.inf
        least = self.entry if beside is None else float(gains[beside]) - _NEAR
        if beside is not None:
            gains[beside] = -math.inf
        best = np.argsort(-np.round(gains, 6), kind="stable")[:count]
        return [int(i) for i in best if gains[i] > least]

    # --- searching ------------------------------------------------------------------------------

    def best(self) -> Fit:
        """The fewest causes that explain the errors."""
        nothing = self.fit(())
        found = nothing
        for begin in self.likeliest(nothing, _BEGINNINGS):
            one = self.fit((begin,))
            if one.score < nothing.score - WORTH:
                grown = self._grown(one)
                if grown.score < found.score - 1e-6:
                    found = grown
        return found

    def _grown(self, fit: Fit) -> Fit:
        while len(fit.chosen) < _MOST:
            more = [self.fit((*fit.chosen, i)) for i in self.likeliest(fit, _TRIED)]
            best = min(more, key=lambda each: round(each.score, 6), default=fit)
            if best.score >= fit.score - WORTH:
                return self._polished(fit)
            fit = self._polished(best)
        return fit

    def _polished(self, fit: Fit) -> Fit:
        """Causes that are not worth their place left out, and others put in theirs."""
        changed = True
        while changed:
            changed = False
            for i in fit.chosen:
                without = self.fit([j for j in fit.chosen if j != i])
                if without.score < fit.score + WORTH:
                    fit, changed = without, True
                    break
                others = self.likeliest(without, _TRIED, beside=i)
                swapped = [self.fit((*without.chosen, j)) for j in others]
                best = min(swapped, key=lambda each: round(each.score, 6), default=fit)
                if best.score < fit.score - 1e-6:
                    fit, changed = best, True
                    break
        return fit

    def rivals(self, fit: Fit, cause: int) -> list[tuple[int, Fit]]:
        """The causes that do about as well in the place of one of a fit, the best first."""
        without = self.fit([i for i in fit.chosen if i != cause])
        found = [
            (i, self.fit((*without.chosen, i)))
            for i in self.likeliest(without, _RIVALS, beside=cause)
        ]
        near = [each for each in found if each[1].score < fit.score + WORTH]
        return sorted(near, key=lambda each: round(each[1].score, 6))


def _doubt(candidate: Candidate, size: Array, variance: Array, left: Array) -> float:
    """How unlikely a size is, beyond what it explains: nothing there can be of it at infinity."""
    if candidate.whole:
        slip = candidate.of_reading and int(np.abs(candidate.columns[:, 0]).argmax())
        spoilt = slip != "" and abs(left[slip]) > _SLIPPED
        return math.inf if spoilt else 2 * math.log(candidate.slips)
    square = float(size @ size)
    wrong_way = candidate.sign and float(size[0]) * candidate.sign < 0
    if wrong_way or square**2 < _SURE**2 * float(size @ variance @ size):
        return math.inf
    return square / candidate.usual**2 + 2 * math.log(candidate.slips)


def _other(columns: Array) -> Array:
    return columns[:, 1] if columns.shape[1] > 1 else np.zeros(len(columns))


def _basis(free: Array) -> Array:
    """Orthonormal columns that span those given, without those that others make up."""
    if not free.size:
        return free
    left, values, _ = np.linalg.svd(free, full_matrices=False)
    return np.asarray(left[:, values > 1e-6 * max(float(values[0]), _UNSEEN)])


def _squared_off(columns: Array, base: Array) -> tuple[Array, Array]:
    """Columns less what a basis makes of them, and their squares; 0 for those with nothing left."""
    off = columns - base @ (base.T @ columns)
    square = np.einsum("ij,ij->j", off, off)
    whole = np.einsum("ij,ij->j", columns, columns)
    square[(square < _NOTHING * whole) | (whole < _UNSEEN**2)] = 0.0
    off[:, square == 0] = 0.0
    return off, square


def _spans(each: Sequence[Candidate]) -> Iterator[slice | None]:
    """Where each cause's sizes stand among all free ones; None of a whole one."""
    at = 0
    for candidate in each:
        count = 0 if candidate.whole else candidate.columns.shape[1]
        yield slice(at, at + count) if count else None
        at += count


def _split(found: Array, each: Sequence[Candidate]) -> list[Array]:
    return [found[own] if own else np.ones(1) for own in _spans(each)]
