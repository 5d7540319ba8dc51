"""Make every sample anew: `python samples/remake.py` from the project's root.

With a folder behind it they go there, to be compared. The samples are what the ready-to-edit files
in `patterns/` produce, brackets and suspensions, and the pictures that the README shows. A test
fails when they are stale.
"""

from __future__ import annotations

import re
import sys
import tempfile
from pathlib import Path

from click.testing import CliRunner

from platewright.cli.root import root
from platewright.drawing.svg import svg_text
from platewright.files.outputs import write_all
from platewright.files.reader import load_job
from platewright.product import MakeOptions, make_parts
from platewright.sheets.template import template_pages
from platewright.travels import named_sheets, travels

ROOT = Path(__file__).resolve().parents[1]
SAMPLES = ROOT / "samples"

#: Samples of the other commands, one call each.
COMMANDS = (
    "coupon --thickness 3/16 --units in --out {out}",
    "coupon --bend brake --thickness 3/16 --radius 3/16 --units in --out {out}",
    "coupon --printer office --units in --out {out}",
    "form seat --output {out}/seat-form.pdf",
    "compare {patterns}/spring-seat.toml {patterns}/spring-seat-fitted.toml --out {out}",
    "nest {patterns}/spring-seat.toml {patterns}/corner-gusset.toml {patterns}/rail-angle.toml "
    "--sheet 24x48 --tries 8 --name nest --out {out}",
    "make {patterns}/spring-seat.toml --torch --svg --out {out}",
)

#: What the tape showed on a winch angle whose torch cut on the drawn lines, in mm: the kerf of
#: 1.5 mm was allowed for neither by the DXF line that was taken nor by the table.
READ = (
    "winch-angle",
    {
        "upright hole 1 to upright hole 2": "70",
        "upright hole 1 to left side, square to it": "23.5",
        "upright hole 2 to right side, square to it": "24.5",
        "winch slot, end 1 to right side, square to it": "25",
        "upright hole 1 to bend 1 line, square to it": "70",
        "front of the shelf to edge of the upright": "199",
        "overall, left to right": "209",
        "bend 1 line to front of shelf, square": "89.5",
        "front of shelf, end to end": "117.5",
        "edge of upright, end to end": "118",
    },
)

#: The pattern whose first template page the README shows.
SHOWN = "spring-seat"


def patterns(*, setups: bool) -> list[Path]:
    """The bracket files among the patterns, or the setups of suspensions, by their names."""
    found = sorted((ROOT / "patterns").glob("*.toml"))
    return [path for path in found if ("\n[travel]" in path.read_text("utf-8")) == setups]


def samples() -> dict[str, bytes]:
    """Every sample by its file name."""
    jobs = [load_job(path) for path in patterns(setups=False)]
    made = make_parts(jobs, MakeOptions(), lambda _line: None)
    found = {name: data for part in made for name, data in part.outputs.items()}
    shown = next(part for part in made if part.part.name == SHOWN)
    page = template_pages(shown.part.pieces, shown.part.unit, "single").pages[0]
    found[f"{SHOWN}-template.svg"] = svg_text(page).encode()
    sheets = named_sheets(travels(patterns(setups=True)), SAMPLES)
    found |= {path.name: data for path, data in sheets.items()}
    for command in COMMANDS:
        found |= written_by(command)
    return found | readings()


def readings() -> dict[str, bytes]:
    """A readings file as the command writes it, filled in, and the sheet of what it means."""
    name, values = READ
    blank = written_by(f"readings {{patterns}}/{name}.toml --out {{out}}")
    file, data = next(iter(sorted(blank.items())))
    text = data.decode()
    for words, value in values.items():
        line = re.compile(rf'^("[^"]+"\s*= )""(.*  {re.escape(words)})$', re.MULTILINE)
        text, count = line.subn(rf'\1"{value}"\2', text)
        if count != 1:
            raise SystemExit(f"{name}: {count} rows measure {words}")
    with tempfile.TemporaryDirectory() as folder:
        filled = Path(folder) / file
        filled.write_bytes(text.encode())
        sheet = written_by(f"readings {{patterns}}/{name}.toml {filled} --out {{out}}")
    return {file: text.encode(), **sheet}


def written_by(command: str) -> dict[str, bytes]:
    """What one command writes, by file name."""
    with tempfile.TemporaryDirectory() as folder:
        words = [word.format(patterns=ROOT / "patterns", out=folder) for word in command.split()]
        done = CliRunner().invoke(root, words, catch_exceptions=False)
        if done.exit_code not in (0, 1):
            raise SystemExit(f"platewright {command}: {done.output}")
        return {path.name: path.read_bytes() for path in Path(folder).iterdir()}


def main(folder: Path) -> None:
    """Write the samples and take away those that no pattern makes any more."""
    found = samples()
    for old in folder.glob("*"):
        if old.suffix in {".pdf", ".dxf", ".svg", ".toml"} and old.name not in found:
            old.unlink()
    write_all({folder / name: data for name, data in found.items()})
    print(f"{len(found)} samples in {folder}", file=sys.stderr)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if sys.argv[1:] else SAMPLES)
