"""Spoilt bracket files, any number: `python tests/bench/hostile.py [COUNT] [SEED]`.

Each is a pattern with a few things wrong in it; `check` and `make` are called on it. Prints how
often each ended how, and every file that brought a traceback, a half file, or two commands that do
not agree, which it keeps beside the words. Ends with 1 when there was any. The same seed gives the
same files.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections import Counter
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parents[1]))

from laws.mutations import BRACKETS, TEXTS, Outcome, mutated, tried

KEPT = Path(tempfile.gettempdir(), "hostile")


def main(count: int, seed: int) -> int:
    """Try so many files; the number of those that went wrong."""
    random, ends, wrong = Random(seed), Counter[tuple[int, int]](), 0
    for number in range(1, count + 1):
        name = random.choice(BRACKETS)
        text = mutated(TEXTS[name], random)
        folder = Path(tempfile.mkdtemp())
        outcome = tried(text, folder)
        shutil.rmtree(folder)
        ends[outcome.check, outcome.make] += 1
        if outcome.wrong:
            wrong += 1
            keep(f"{seed}-{number}-{name}", text, outcome)
    print(f"{count} files, seed {seed}")
    for (check, make), times in sorted(ends.items()):
        print(f"  check ended with {check:2}, make with {make:2}: {times}")
    print(f"  wrong: {wrong}" + (f", kept in {KEPT}" if wrong else ""))
    return wrong


def keep(name: str, text: str, outcome: Outcome) -> None:
    """Print what went wrong and keep the file that did it."""
    KEPT.mkdir(exist_ok=True)
    (KEPT / name).write_bytes(text.encode("utf-8", "surrogatepass"))
    for words in outcome.wrong:
        print(f"{name}: {words}", flush=True)


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    sys.exit(1 if main(*(numbers + [100, 1][len(numbers) :])) else 0)
