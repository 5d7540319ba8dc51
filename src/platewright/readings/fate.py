"""What becomes of a part that was measured, and what to change for the next one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import partial
from typing import Literal

from platewright.readings.cause import Remedy, tape_words
from platewright.readings.causes import edge_names
from platewright.readings.made import Departure, Slopes
from platewright.readings.reading import Fineness, Verdict, judged
from platewright.units import Unit
from platewright.values import dataclass

Outcome = Literal["serves", "fits", "trim", "mark anew", "bend anew", "measure again", "make again"]
Undone = Literal["", "lines", "folds"]
"""What can still be put right: lines scribed on a blank that is not bent, or folds."""

#: A trimmed edge must bring a reading down by this share of what is taken off.
_TELLS = 0.3
#: No more edges than this are trimmed.
_MOST = 4
#: Less than this is no cut, mm.
_LEAST = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Fate:
    """What becomes of the part, in words, and what to change for the next one.

    `outcome` "fits": nothing that is out decides the fit; "measure again": a misread tape explains
    all that is out; "bend anew": folds that are off do; "mark anew": bends' lines, before bending.
    `trims` says by what and where. `sets` are ready for `--set`: "KEY=VALUE".
    """

    outcome: Outcome
    words: str
    trims: tuple[str, ...] = ()
    sets: tuple[str, ...] = ()


def fate_of(
    slopes: Slopes,
    verdicts: Sequence[Verdict],
    unread: Iterable[Verdict],
    *,
    explained: Sequence[float],
    misread: Sequence[float],
    remedies: Sequence[Remedy],
    undone: Undone,
    fineness: Fineness,
    unit: Unit,
) -> Fate:
    """What becomes of a part.

    `unread` is what was not read, as the causes found make it. Of each reading's error `explained`
    is what the causes of the part make up, `misread` what those of the tape do, or all that no
    cause explains. `undone` is what all the causes of the part are of.
    """
    keys = (f"{e.key}={e.value}" for e in remedies if e.where == "bracket file")
    fate = partial(Fate, sets=tuple(dict.fromkeys(keys)))
    true = [
        _again(each, each.error - more, fineness)
        for each, more in zip(verdicts, misread, strict=True)
    ]
    out = [each for each in true if each.judged == "out"]
    if not any(each.judged == "out" for each in verdicts):
        border = [v for v in verdicts if v.judged == "cannot be read so finely"]
        more = f"; {len(border)} at its edge, finer than the tape reads" if border else ""
        return fate(outcome="serves", words=f"It serves as it is: no reading is out{more}.")
    if not out:
        again = [
            each.reading.letter
            for each, more in zip(verdicts, misread, strict=True)
            if each.judged == "out" and more
        ]
        which = " and ".join(part for part in (", ".join(again[:-1]), again[-1]) if part)
        words = f"Measure {which} again before you cut or bend anything: by the others the part is "
        return fate(outcome="measure again", words=f"{words}right there.")
    unread = list(unread)
    trims = _trimmed(slopes, [*true, *unread], fineness)
    if trims:
        names = edge_names(slopes.places)
        told = [f"take {tape_words(by, unit)} off the {names[n]}" for n, by in trims.items()]
        words = f"It can be trimmed: {', '.join(told)}."
        return fate(outcome="trim", words=words, trims=tuple(told))
    if undone and all(
        _again(each, each.error - part, fineness).judged != "out"
        for each, part in zip(true, explained, strict=True)
    ):
        if undone == "folds":
            words = "The blank is right and the folds are not: fold them to their angle, and "
            return fate(outcome="bend anew", words=f"{words}measure again.")
        words = "The blank is right but for the line of a bend: scribe it anew if it is not scored "
        return fate(outcome="mark anew", words=f"{words}or bent yet, else make the part again.")
    critical = [each for each in (*true, *unread) if each.reading.measured.critical]
    if any(each in critical for each in true) and all(each.judged != "out" for each in critical):
        words = f"It fits: what decides that is right. {_many(len(out)).capitalize()} out that do "
        return fate(outcome="fits", words=f"{words}not: use it if that does no harm.")
    words = f"It does not serve: {_many(len(out))} out, and no edge to trim makes it right."
    return fate(outcome="make again", words=words)


def _again(verdict: Verdict, error: float, fineness: Fineness) -> Verdict:
    division = fineness.angle_division if verdict.reading.is_angle else fineness.division
    return replace(verdict, error=error, judged=judged(error, verdict.low, verdict.high, division))


def _trimmed(slopes: Slopes, verdicts: Sequence[Verdict], fineness: Fineness) -> dict[int, float]:
    """How much to take off which edges so that no reading is out; none where that cannot be."""
    named, taken, now = edge_names(slopes.places), dict[int, float](), list(verdicts)
    less = [slopes.of(each.reading.measured, each.reading.state) for each in verdicts]

    def after(edge: int, by: float) -> list[Verdict]:
        return [
            _again(each, each.error + by * slope.get(Departure("edge", edge), 0.0), fineness)
            for each, slope in zip(now, less, strict=True)
        ]

    for _ in range(_MOST):
        long = [n for n, each in enumerate(now) if each.judged == "out"]
        if not long:
            return taken
        tried: list[tuple[tuple[int, float], int, float, list[Verdict]]] = []
        for n in long:
            for edge in named:
                slope = less[n].get(Departure("edge", edge), 0.0)
                by = -now[n].error / slope if slope < -_TELLS else 0.0
                if by > _LEAST:
                    then = after(edge, by)
                    still = sum(v.judged == "out" for v in then)
                    tried.append(((still, sum(v.error**2 for v in then)), edge, by, then))
        best = min(tried, key=lambda each: each[0], default=None)
        if best is None or best[0][0] >= len(long):
            return {}
        _, edge, by, now = best
        taken[edge] = taken.get(edge, 0.0) + by
    return {} if any(each.judged == "out" for each in now) else taken


def _many(count: int) -> str:
    return "one reading is" if count == 1 else f"{count} readings are"
