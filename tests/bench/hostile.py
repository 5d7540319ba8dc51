"""Spoilt files, any number: `python tests/bench/hostile.py [COUNT] [SEED] [bracket|shop|readings]`.

Each is a file with a few things wrong in it: a pattern that `check`, `make` and `nest` are called
on, a shop file that is read and added to, or a readings file. Prints how often each ended how, and
every file that brought a traceback, a half file, or two commands that do not agree, which it keeps
beside the words. Ends with 1 when there was any. The same seed gives the same files.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections import Counter
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parents[1]))

from laws.mutations import (
    BRACKETS,
    SHOP,
    TEXTS,
    Outcome,
    mutated,
    readings_file,
    tried,
    tried_readings,
    tried_shop,
)

OPTIONS = (
    (),
    ("--svg", "--torch"),
    ("--pattern", "card", "--dxf-version", "R12"),
    ("--pattern", "plate", "--paper", "single", "--json"),
)
"""What `make` is called with."""

KEPT = Path(tempfile.gettempdir(), "hostile")


def main(count: int, seed: int, sort: str) -> int:
    """Try so many files; the number of those that went wrong."""
    random, ends, wrong = Random(seed), Counter[tuple[tuple[str, int], ...]](), 0
    texts, trying = {
        "bracket": ({name: TEXTS[name] for name in BRACKETS}, tried),
        "shop": ({"shop.toml": SHOP}, tried_shop),
        "readings": ({"readings.toml": readings_file()}, tried_readings),
    }[sort]
    for number in range(1, count + 1):
        name = random.choice(list(texts))
        text = mutated(texts[name], random)
        folder = Path(tempfile.mkdtemp())
        outcome = trying(text, folder, *(random.choice(OPTIONS) if sort == "bracket" else ()))
        shutil.rmtree(folder)
        ends[outcome.ends] += 1
        if outcome.wrong:
            wrong += 1
            keep(f"{seed}-{number}-{name}", text, outcome)
    print(f"{count} {sort} files, seed {seed}")
    for ended, times in sorted(ends.items()):
        print(f"  {', '.join(f'{name} ended with {code}' for name, code in ended)}: {times}")
    print(f"  wrong: {wrong}" + (f", kept in {KEPT}" if wrong else ""))
    return wrong


def keep(name: str, text: str, outcome: Outcome) -> None:
    """Print what went wrong and keep the file that did it."""
    KEPT.mkdir(exist_ok=True)
    (KEPT / name).write_bytes(text.encode("utf-8", "surrogatepass"))
    for words in outcome.wrong:
        print(f"{name}: {words}", flush=True)


if __name__ == "__main__":
    words = sys.argv[1:] + ["100", "1", "bracket"][len(sys.argv) - 1 :]
    sys.exit(1 if main(int(words[0]), int(words[1]), words[2]) else 0)
