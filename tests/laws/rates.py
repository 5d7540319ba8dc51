"""How often a diagnosis is right, over generated brackets and parts made wrong."""

from __future__ import annotations

import itertools
import math
import random
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from laws.strategies_bracket import seat_brackets
from laws.strategies_kinds import kind_brackets
from laws.wrong_parts import PLANTS, Bench, Planted, Wrong, plant
from platewright.plate.bracket import Bracket
from platewright.plate.piece import pieces_of
from platewright.readings.diagnosis import Diagnosis, diagnose

INCH = 25.4
TAPES = ((INCH / 32, True), (INCH / 16, True), (1.0, False))
"""A tape's division, mm, and whether it is in inches."""

HAND = 0.25
"""How well the hand lays it, mm: a standard deviation."""


def benches(count: int, number: int) -> list[Bench]:
    """Generated brackets that have enough to read, the same for the same number."""
    found: list[Bench] = []
    for once in itertools.count():
        _gather(found, count, 1000 * once + number)
        if len(found) == count:
            return found
    raise AssertionError


def _gather(found: list[Bench], count: int, number: int) -> None:
    @seed(number)
    @settings(
        max_examples=count,
        phases=(Phase.generate,),
        database=None,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(st.one_of(kind_brackets(), seat_brackets().map(lambda pair: pair[1])))
    def collect(bracket: Bracket) -> None:
        if len(found) < count and (bench := _bench(bracket)):
            found.append(bench)

    collect()


def _bench(bracket: Bracket) -> Bench | None:
    (piece,) = pieces_of("generated", "as drawn", bracket)
    try:
        bench = Bench(piece)
    except AssertionError:
        return None  # a bend that the judge cannot cut apart
    rows = bench.rows
    # where the judge does not measure a true part as drawn, it is no judge
    for (_, each, state), value in zip(rows, bench.values(bench.true, rows), strict=True):
        tape = each.on_blank if state == "flat" else each.on_part
        assert tape is not None
        if abs(value - tape.value) > 1e-3:
            return None
    return bench if len(rows) >= 8 else None


@dataclass
class Rates:
    """What came of it: planted causes by what they were, and what was said of each."""

    true: Counter[str] = field(default_factory=Counter)
    one: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    two: Counter[str] = field(default_factory=Counter)
    missed: list[str] = field(default_factory=list)

    def share(self, counts: Counter[str], *good: str) -> float:
        """The share of the good among all."""
        return sum(counts[each] for each in good) / max(1, counts.total())

    @property
    def all_of_one(self) -> Counter[str]:
        """All single causes together."""
        return sum(self.one.values(), Counter())


GOOD = ("named", "told as alternative")


def measured(count: int, number: int, each: int = 1) -> Rates:
    """The rates over a number of brackets, each with a true part, `each` with one, one with two."""
    chance, rates = random.Random(number), Rates()
    for bench in benches(count, number):
        division, inch = chance.choice(TAPES)
        said = _said(bench, bench.true, division, inch, chance)
        rates.true["some" if said.causes else "none"] += 1
        for planted, what in _singles(bench, division, inch, chance, each):
            said = _said(bench, planted.part, division, inch, chance)
            outcome = _judged(planted, said)
            rates.one[what][outcome] += 1
            if outcome not in GOOD:
                rates.missed.append(_missed(bench, what, planted, said, outcome, division))
        both = _double(bench, division, inch, chance)
        if both:
            said = _said(bench, both[1].part, division, inch, chance)
            told = [_told(planted, said) for planted in both]
            came = "both" if all(told) else "one" if any(told) else "none"
            rates.two[came] += 1
            if came != "both":
                done = " and ".join(" or ".join(sorted(each.names)) for each in both)
                names = [each.name for each in said.causes]
                rates.missed.append(f"{came} of {done}, tape {division:.2f}; told: {names}")
    return rates


def _said(
    bench: Bench, part: Wrong, division: float, inch: bool, chance: random.Random
) -> Diagnosis:
    readings = bench.readings(part, bench.rows, division, HAND, chance)
    return diagnose(bench.piece, readings, division=division, kerf=1.5, unit="in" if inch else "mm")


def _singles(
    bench: Bench, division: float, inch: bool, chance: random.Random, count: int
) -> Iterator[tuple[Planted, str]]:
    kinds = list(PLANTS)
    chance.shuffle(kinds)
    for what in kinds:
        if count and (planted := _shown(bench, what, bench.true, division, inch, chance)):
            count -= 1
            yield planted, what


def _double(
    bench: Bench, division: float, inch: bool, chance: random.Random
) -> tuple[Planted, Planted] | None:
    kinds = [each for each in PLANTS if each != "inches for mm"]
    chance.shuffle(kinds)
    first = None
    for what in kinds:
        planted = _shown(bench, what, first.part if first else bench.true, division, inch, chance)
        if planted and first:
            return first, planted
        first = planted or first
    return None


def _shown(
    bench: Bench, what: str, part: Wrong, division: float, inch: bool, chance: random.Random
) -> Planted | None:
    """Something planted that changes a reading by more than three divisions, an angle by 1 1/2°."""
    planted = plant(bench, what, part, division, inch, chance)
    if planted is None:
        return None
    rows = bench.rows
    before, after = (bench.values(each, rows) for each in (part, planted.part))
    changes = [
        abs(there - here) / (division if row[1].dimension.quantity == "length" else 0.0087)
        for row, here, there in zip(rows, before, after, strict=True)
    ]
    of_tape = planted.part.tape is not part.tape
    return planted if of_tape or max(changes) > 3 else None


def _told(planted: Planted, said: Diagnosis) -> bool:
    names = {each.name for each in (*said.causes, *said.alternatives)}
    return bool(names & planted.names)


def _judged(planted: Planted, said: Diagnosis) -> str:
    found = next((each for each in said.causes if each.name in planted.names), None)
    if found is None:
        return GOOD[1] if _told(planted, said) else "missed" if said.causes else "nothing told"
    if len(said.causes) > 1:
        return "named, and more"
    size = planted.size
    if planted.way is not None:
        # as far as it can be seen: a hole that is read from one edge alone goes one way
        size = math.fsum(a * b for a, b in zip(found.sizes, planted.way, strict=True)) / found.size
    if size is None or abs(found.size - size) <= 2 * found.error:
        return "named"
    return "size off"


def _missed(
    bench: Bench, what: str, planted: Planted, said: Diagnosis, outcome: str, division: float
) -> str:
    found = ", ".join(f"{e.name} {e.size:.4g}±{e.error:.2g}" for e in said.causes)
    size = "" if planted.size is None else f" {planted.size:.4g}"
    return (
        f"{outcome}: {what} {sorted(planted.names)}{size}, tape {division:.2f}; told: {found}"
        f" or {sorted(each.name for each in said.alternatives)[:6]};"
        f" {len(bench.rows)} rows, {len(bench.bends)} bends"
    )
