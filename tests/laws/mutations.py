"""Bracket files spoilt as hands and disks spoil them, and what the commands make of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random

from click.testing import CliRunner

from platewright.cli.root import root

PATTERNS = Path(__file__).parents[2] / "patterns"
TEXTS = {path.name: path.read_text("utf-8") for path in sorted(PATTERNS.glob("*.toml"))}
BRACKETS = [name for name, text in TEXTS.items() if "\n[travel]" not in text]
SETUPS = [name for name in TEXTS if name not in BRACKETS]

_NUMBER = re.compile(r"\d+(?:[./ ]\d+)*")
_VALUES = (
    "0", "-1", "nan", "inf", "1e300", "1e-300", "true", '""', "[]", "{}", "[[1, 2]]", '"none"',
    '"3 3/16"', '"80 mm"', '"1/0"', '"M8"', '"pair"', '"card"', '"crease"', '"score"', '"brake"',
    "2026-01-01", '"%%c \\\\U+0041 ^J"', '"' + "9" * 400 + '"', "1_0", "0x1F", '"../../etc/passwd"',
)  # fmt: skip
_SCRAPS = (
    '"',
    "'",
    "[",
    "]",
    "[[",
    "#",
    "=",
    "\n",
    "\t",
    "\0",
    "\u2028",
    "“",
    ".",
    "..",
    "\\",
    "½",
)


def mutated(text: str, random: Random) -> str:
    """The text with one to three things in it wrong, or harmlessly changed.

    Most are changes that leave the file readable, so that brackets come of it.
    """
    ways = _GENTLE if random.random() < 0.75 else _ROUGH
    for _ in range(random.randint(1, 3)):
        text = random.choice(ways)(text, random)
    return text


def _line_gone(text: str, random: Random) -> str:
    lines = text.split("\n")
    del lines[random.randrange(len(lines))]
    return "\n".join(lines) or "\n"


def _line_moved(text: str, random: Random) -> str:
    lines = text.split("\n")
    lines.insert(random.randrange(len(lines)), random.choice(lines))
    return "\n".join(lines)


def _lines_of_another(text: str, random: Random) -> str:
    lines, others = text.split("\n"), TEXTS[random.choice(list(TEXTS))].split("\n")
    start, place = random.randrange(len(others)), random.randrange(len(lines))
    lines[place:place] = others[start : start + random.randint(1, 8)]
    return "\n".join(lines)


def _value_changed(text: str, random: Random) -> str:
    places = list(re.finditer(r"=[ \t]*([^\n#]+)", text))
    if not places:
        return text
    start, end = random.choice(places).span(1)
    return text[:start] + random.choice(_VALUES) + text[end:]


def _number_changed(text: str, random: Random) -> str:
    places = list(_NUMBER.finditer(text))
    if not places:
        return text
    start, end = random.choice(places).span()
    try:
        near = f"{float(text[start:end]) * random.choice((0.5, 0.8, 0.9, 1.1, 1.25, 2)):.4g}"
    except ValueError:
        near = "3 1/2"
    number = random.choice((*[near] * 20, "0", "1", "7", "45", "90", "179", "1000"))
    return text[:start] + number + text[end:]


def _word_changed(text: str, random: Random) -> str:
    """A word of one choice put for another, or a line that opens more of the work."""
    places = [found for words in _CHOICES for word in words for found in re.finditer(word, text)]
    if places and random.random() < 0.7:
        start, end = random.choice(places).span()
        words = next(each for each in _CHOICES if text[start:end] in each)
        return text[:start] + random.choice(words) + text[end:]
    return (
        f"{random.choice(_OPENED)}\n{text}"
        if random.random() < 0.5
        else (text + random.choice(_TABLES))
    )


def _scrap_put_in(text: str, random: Random) -> str:
    place = random.randrange(len(text) + 1)
    return text[:place] + random.choice(_SCRAPS) + text[place + random.randint(0, 3) :]


def _cut_off(text: str, random: Random) -> str:
    return text[: random.randrange(len(text) + 1)] or "\n"


_CHOICES = (
    ('"up"', '"down"'),
    ('"outside"', '"inside"', '"centre"'),
    ('"A36"', '"S235"', '"304"', '"5052-H32"', '"card"', '"mild steel"'),
    ('"in"', '"mm"'),
    ('"score"', '"crease"'),
    ('"straight"', '"arc"', '"none"'),
)
_OPENED = ('hand = "pair"', 'hand = "mirrored"', "quantity = 12", 'note = "%%c \\\\U+0041 ^J"')
_TABLES = (
    "\n[detail]\nnicks = true\n",
    '\n[detail]\nrelief = "round"\n',
    '\n[load]\nforce = "500 lb"\n',
    '\n[cutting]\nkerf = "2 mm"\nlead = "arc"\n[cutting.guide]\nstand_off = "9 mm"\n',
    '\n[card]\nthickness = "1 mm"\n',
    '\n[limits]\nsheet = "24 x 48 in"\n',
)
_GENTLE = (_number_changed, _number_changed, _word_changed)
_ROUGH = (_line_gone, _line_moved, _lines_of_another, _value_changed, _scrap_put_in, _cut_off)


@dataclass(frozen=True)
class Outcome:
    """What `check` and `make` did with a file; `wrong` are words for what they should not do."""

    check: int
    make: int
    wrong: tuple[str, ...]


def tried(text: str, folder: Path) -> Outcome:
    """Check and make the text as a file in an empty folder."""
    for name in SETUPS:
        (folder / name).write_text(TEXTS[name], encoding="utf-8")
    file, out = folder / "part.toml", folder / "out"
    file.write_bytes(text.encode("utf-8", "surrogatepass"))
    check = CliRunner().invoke(root, ["check", str(file)])
    make = CliRunner().invoke(root, ["make", str(file), "--out", str(out)])
    left = sorted(path.name for path in out.rglob("*")) if out.exists() else []
    impossible = "impossible" in check.output
    return Outcome(check.exit_code, make.exit_code, tuple(_wrong(check, make, left, impossible)))


def _wrong(check, make, left: list[str], impossible: bool) -> Iterator[str]:
    for name, done, allowed in (("check", check, (0, 1, 2)), ("make", make, (0, 2))):
        if done.exit_code not in allowed or "Traceback" in done.output:
            yield f"{name} ended with {done.exit_code}: {done.output[-300:]} {done.exception!r}"
        if done.exit_code == 2 and not done.stderr.strip():
            yield f"{name} refused without a word"
    if any(name.startswith(".") for name in left):
        yield f"half files are left: {left}"
    if make.exit_code != 0 and left:
        yield f"a refused make has written {left}"
    if make.exit_code == 0 and not {".dxf", ".pdf", ".svg"} <= {Path(name).suffix for name in left}:
        yield f"make has written {left} alone"
    if (check.exit_code == 2 or impossible) != (make.exit_code == 2):
        yield f"check ended with {check.exit_code}, make with {make.exit_code}: {make.stderr[:300]}"
