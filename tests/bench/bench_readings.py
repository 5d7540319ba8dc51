"""How often a diagnosis is right, over generated brackets made wrong by code of its own.

    python tests/bench/bench_readings.py [parts] [seed]

Prints the share of true parts that raise no cause, of single causes that are named with their size
within two standard errors (or told among those that cannot be told apart), kind by kind, and of
pairs that are both named; and how long a diagnosis takes.
"""

from __future__ import annotations

import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from laws.rates import GOOD, HAND, Rates, benches, measured
from platewright.readings.diagnosis import diagnose

_BATCH = 50


def main() -> None:
    """Print the rates."""
    parts = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    total = Rates()
    for number in range(-(-parts // _BATCH)):
        rates = measured(min(_BATCH, parts), first + number)
        total.true += rates.true
        total.two += rates.two
        total.missed += rates.missed
        for what, counts in rates.one.items():
            total.one[what] += counts
    one = total.all_of_one
    print(f"{'true parts':28} {_share(total, total.true, 'none')}  raise no cause")
    print(f"{'one cause':28} {_share(total, one, *GOOD)}  {dict(one)}")
    for what, counts in sorted(total.one.items()):
        print(f"  {what:26} {_share(total, counts, *GOOD)}  {dict(counts)}")
    print(f"{'two causes':28} {_share(total, total.two, 'both')}  {dict(total.two)}")
    print(f"a diagnosis of 30 readings, warm: {_time(first) * 1e3:.0f} ms (median)")
    for line in total.missed if "-v" in sys.argv else ():
        print(line)


def _share(rates: Rates, counts: object, *good: str) -> str:
    return f"{100 * rates.share(counts, *good):5.1f} %"  # type: ignore[arg-type]


def _time(first: int) -> float:
    times = []
    for bench in benches(20, first):
        chance = random.Random(first)
        readings = bench.readings(bench.true, bench.rows, 1.0, HAND, chance)
        for _ in range(2):
            start = time.perf_counter()
            diagnose(bench.piece, readings, division=1.0)
            last = time.perf_counter() - start
        times.append(last)
    return sorted(times)[len(times) // 2]


if __name__ == "__main__":
    main()
