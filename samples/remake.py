"""Make every sample anew: `python samples/remake.py` from the project's root.

The samples are what the ready-to-edit files in `patterns/` produce, brackets and suspensions, and
the pictures that the README shows. A test fails when they are stale.
"""

from __future__ import annotations

import sys
from pathlib import Path

from platewright.files.outputs import write_all
from platewright.files.reader import load_job
from platewright.product import MakeOptions, make_parts
from platewright.sheets.svg import svg_text
from platewright.sheets.template import template_pages
from platewright.travels import named_sheets, travels

ROOT = Path(__file__).resolve().parents[1]
SAMPLES = ROOT / "samples"

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
    pieces = tuple(piece.piece for piece in shown.pieces)
    page = template_pages(pieces, shown.part.unit, "single").pages[0]
    found[f"{SHOWN}-template.svg"] = svg_text(page).encode()
    sheets = named_sheets(travels(patterns(setups=True)), SAMPLES)
    return found | {path.name: data for path, data in sheets.items()}


def main() -> None:
    """Write the samples and take away those that no pattern makes any more."""
    found = samples()
    for old in SAMPLES.iterdir():
        if old.suffix in {".pdf", ".dxf", ".svg"} and old.name not in found:
            old.unlink()
    write_all({SAMPLES / name: data for name, data in found.items()})
    print(f"{len(found)} samples in {SAMPLES}", file=sys.stderr)


if __name__ == "__main__":
    main()
