"""Files spoilt as hands and disks spoil them, and what the commands make of them."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from random import Random

from click.testing import CliRunner, Result

from platewright.cli.root import root
from platewright.files.reader import load_job

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

    Most are changes that leave the file readable, so that brackets come of it: sizes near those
    that stand there, sizes that are allowed and extreme, features on any panel.
    """
    ways = random.choices((_GENTLE, _HARSH, _ROUGH), (3, 3, 2))[0]
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


def _made_extreme(text: str, random: Random) -> str:
    """A size or an angle as small or as large as its key allows, or nearly so."""
    places = list(re.finditer(r"(?m)^\s*(\w+)\s*=\s*(\"?\d[^\n#\[\]]*)", text))
    if not places:
        return text
    place = random.choice(places)
    if any(word in place[1] for word in ("angle", "lean", "fold", "wrap")):
        value = random.choice(("1", "5", "30", "60", "89.9", "90.1", "120", "135", "150", "170"))
    elif any(word in place[1] for word in ("count", "bends", "quantity", "rows", "columns")):
        value = random.choice(("1", "2", "3", "7", "20", "60"))
    else:
        value = random.choice(
            ("0", "0.3", "1", "1.6", "3", "6", "12.7", "30", "80", "300", "900", "3000")
        )
        value = f'"{value} mm"'
    start, end = place.span(2)
    return text[:start] + value + text[end:]


@lru_cache
def _panels_of(name: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The panels of a pattern as it stands, each with its edges, by the pattern's name."""
    job = load_job(PATTERNS / f"{name}.toml")
    return tuple(
        (panel.name, tuple(edge for edge, _ in panel.edges))
        for panel in job.parts[0].bracket.root.walk()
    )


def _feature_added(text: str, random: Random) -> str:
    """A hole, a slot, a scribed edge or the like on one of the pattern's panels."""
    named = re.search(r'(?m)^name\s*=\s*"([\w-]+)"', text)
    if not named or f"{named[1]}.toml" not in BRACKETS:
        return text
    panel, edges = random.choice(_panels_of(named[1]))
    if len(edges) < 2:
        return text
    edge, other = random.sample(edges, 2)

    def mm(*most: float) -> str:
        return f'"{random.choice(most) * random.choice((0.25, 0.5, 1, 1.3)):.3g} mm"'

    on = f'panel = "{panel}"\n'
    side = f'{on}edge = "{edge}"\nzero_at = "{other}"\n'
    at = "".join(f'  {{ edge = "{e}", distance = {mm(20, 40, 80)} }},\n' for e in (edge, other))
    placed = f"{on}measured_from = [\n{at}]\n"
    stations = sorted(random.sample(range(1, 200), random.choice((2, 5, 40))))
    readings = ", ".join(
        f'["{station} mm", "{25 + random.choice((-9, -2, -0.5, 0, 0, 0.5, 2, 9))} mm"]'
        for station in stations
    )
    joined = random.choice(("smooth", "straight"))
    table = random.choice(
        (
            f'[[hole]]\n{placed}size = "hole {mm(3, 10, 40, 120)[1:]}\n',
            f'[[slot]]\n{placed}size = "M8"\nlength = {mm(12, 30, 90)}\nalong = "{edge}"\n',
            f"[[cutout]]\n{placed}length = {mm(12, 60)}\nwidth = {mm(8, 50)}\n"
            f'corner_radius = {mm(0, 2, 9)}\nalong = "{edge}"\n',
            f'[[pattern]]\n{placed}layout = "circle"\ncount = {random.choice((2, 3, 12, 60))}\n'
            f'diameter = {mm(12, 40, 120)}\nsize = "M5"\n',
            f"[[mark]]\n{placed}points = [[0, 0], [{random.choice((1, 30, 300))}, 0]]\n"
            f'along = "{edge}"\n',
            f'[[scribe]]\n{side}hold_off = "25 mm"\njoined = "{joined}"\nreadings = [{readings}]\n',
            f'[[trim]]\n{on}edge = "{edge}"\nby = {mm(1, 3, 12, 60)}\n',
            f"[[cope]]\n{side}diameter = {mm(10, 40, 120)}\nat = {mm(20, 40, 80)}\n"
            f"beyond = {mm(0, 10, 60)}\nangle = {random.choice((90, 90, 75, 45, 20))}\n"
            f'leans_towards = "{other}"\n',
        )
    )
    return f"{text}\n{table}"


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
_HARSH = (_made_extreme, _feature_added, _number_changed)
_GENTLE = (_number_changed, _number_changed, _word_changed)
_ROUGH = (_line_gone, _line_moved, _lines_of_another, _value_changed, _scrap_put_in, _cut_off)


@dataclass(frozen=True)
class Outcome:
    """How each command ended; `wrong` are words for what none should do."""

    ends: tuple[tuple[str, int], ...]
    wrong: tuple[str, ...]


def tried(text: str, folder: Path, *options: str) -> Outcome:
    """Check, make (with some options) and nest the text as a bracket file in an empty folder."""
    for name in SETUPS:
        (folder / name).write_text(TEXTS[name], encoding="utf-8")
    file, out = folder / "part.toml", folder / "out"
    file.write_bytes(text.encode("utf-8", "surrogatepass"))
    check, make = _run("check", file), _run("make", file, "--out", out, *options)
    sheet = ("--sheet", "6000 x 6000 mm", "--tries", 1)
    nest = _run("nest", file, "--out", folder / "nested", *sheet)
    wrong = []
    left = _names(out)
    if make.exit_code == 1:
        wrong.append("make ended with 1")
    if make.exit_code != 0 and left:
        wrong.append(f"a refused make has written {left}")
    if make.exit_code == 0 and not {".dxf", ".pdf", ".svg"} <= {Path(name).suffix for name in left}:
        wrong.append(f"make has written {left} alone")
    if (check.exit_code == 2 or "impossible" in check.output) != (make.exit_code == 2):
        ends = f"check ended with {check.exit_code}, make with {make.exit_code}"
        wrong.append(f"{ends}: {make.stderr[:300]}")
    if nest.exit_code != make.exit_code and "fits none of the stock" not in nest.stderr:
        ends = f"make ended with {make.exit_code}, nest with {nest.exit_code}"
        wrong.append(f"{ends}: {make.stderr[:300]} {nest.stderr[:300]}")
    if nest.exit_code != 0 and _names(folder / "nested"):
        wrong.append("a refused nest has written")
    return _outcome({"check": check, "make": make, "nest": nest}, wrong, folder)


#: Commands that add to a shop file.
_ADDING = {
    "kerf": ("coupon", "--thickness", "5 mm", "--outside", "48.6 mm"),
    "bend": (
        "coupon", "--bend", "brake", "--thickness", "5 mm", "--radius", "6 mm", "--material",
        "A36", "--legs", "54.6 mm", "54.6 mm", "90",
    ),
}  # fmt: skip


def tried_shop(text: str, folder: Path) -> Outcome:
    """Check a bracket beside the text as its shop file, lay it on the rack, add figures to it."""
    part, shop = folder / "part.toml", folder / "shop.toml"
    part.write_text(TEXTS["rail-angle.toml"], encoding="utf-8")
    (folder / "left.toml").write_text(_LEFT, encoding="utf-8")
    given = text.encode("utf-8", "surrogatepass")
    shop.write_bytes(given)
    done = {
        "check": _run("check", part),
        "nest": _run("nest", part, "--tries", 1, "--out", folder / "out"),
    }
    wrong = [] if shop.read_bytes() == given else ["a command that reads has written"]
    for table, words in _ADDING.items():
        before = shop.read_bytes()
        done[table] = add = _run(*words, "--write", "--measured-on", "now", "--shop", shop)
        after = shop.read_bytes()
        if add.exit_code != 0 and after != before:
            wrong.append(f"a refused {table} has written")
        if not after.startswith(before):
            wrong.append(f"{table} has changed what stood in the file")
        if after != before and _run("check", part).exit_code == 2 != done["check"].exit_code:
            wrong.append(f"the file does not serve with the {table} that was added")
    if done["nest"].exit_code != 0 and _names(folder / "out"):
        wrong.append("a refused nest has written")
    return _outcome(done, wrong, folder)


def readings_file() -> str:
    """The readings file of a pattern, filled in as its sheet asks."""
    with tempfile.TemporaryDirectory() as folder:
        _run("readings", PATTERNS / "winch-angle.toml", "--out", folder)
        text = next(Path(folder).iterdir()).read_text("utf-8")
    return _BLANK.sub(r'\g<1>"\g<3>"\g<2>\g<3>', text)


_BLANK = re.compile(r'^("[^"\n]+" *= )""( +# (?:FIT|   ) +)([\d.]+)', re.MULTILINE)


def tried_readings(text: str, folder: Path) -> Outcome:
    """Tell, draw and add to a shop file what the text means as a readings file."""
    read, shop, out = folder / "read.toml", folder / "shop.toml", folder / "out"
    read.write_bytes(text.encode("utf-8", "surrogatepass"))
    shop.write_text('units = "mm"\n', encoding="utf-8")
    job = PATTERNS / "winch-angle.toml"
    tell = _run("readings", job, read, "--out", out, "--write", "--shop", shop)
    wrong = []
    if tell.exit_code != 0 and (_names(out) or shop.read_text("utf-8") != 'units = "mm"\n'):
        wrong.append("refused readings have written")
    if tell.exit_code == 0 and len(_names(out)) != 1:
        wrong.append(f"readings have drawn {_names(out)}")
    return _outcome({"readings": tell, "check": _run("check", job, "--shop", shop)}, wrong, folder)


def _run(*words: object) -> Result:
    return CliRunner().invoke(root, [str(word) for word in words])


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.rglob("*")) if folder.exists() else []


def _outcome(done: Mapping[str, Result], wrong: list[str], folder: Path) -> Outcome:
    for name, each in done.items():
        wrong += _refused_in_words(name, each)
    ends = tuple((name, each.exit_code) for name, each in done.items())
    return Outcome(ends, (*wrong, *_half(folder)))


def _refused_in_words(name: str, done: Result) -> Iterator[str]:
    if done.exit_code not in (0, 1, 2) or "Traceback" in done.output:
        yield f"{name} ended with {done.exit_code}: {done.output[-300:]} {done.exception!r}"
    if done.exit_code == 2 and not done.stderr.strip():
        yield f"{name} refused without a word"
    if not all(line.isprintable() for line in done.stderr.split("\n")):
        yield f"{name} prints what no screen shows: {done.stderr[:300]!r}"


def _half(folder: Path) -> Iterator[str]:
    if half := [name for name in _names(folder) if name.startswith(".")]:
        yield f"half files are left: {half}"


SHOP = """\
units = "in"
paper = "letter"
[tape]
division = "1/32"
[hands]
push = "55 lbf"
lever = "12"
[[kerf]]
thickness = "3/16"
process = "plasma"
kerf = "0.06"
holes = "0.055"
measured_on = "coupon of 3 March"
[[groove]]
wheel = "1/16"
groove = "0.08"
measured_on = "trial groove"
[[bend]]
material = "A36"
thickness = "3/16"
way = "brake"
radius = "3/16"
k = 0.41
springback = 1.5
measured_on = "strip of 4 March"
[[printer]]
name = "office"
across = 0.995
up = 1.002
skew = 0.1
measured_on = "page of 3 March"
[[rack]]
material = "A36"
thickness = "3/16"
sheet = "24 x 48"
count = 2
[[remnant]]
size = "10 x 12"
material = "A36"
thickness = "3/16"
[[remnant]]
file = "left.toml"
"""
"""A shop file with some of everything."""

_LEFT = 'units = "mm"\noutline = [[0, 0], [300, 0], [300, 200], [0, 200]]\n'
