"""What leaves the page, by the same code as the commands: outputs, compared files, travels, nests.

Each function here is a task for a worker: it stands in the folder, as a command would.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from platewright.comparisons import compare_files, compare_json, compare_text, drawings
from platewright.diagnoses import diagnosed_from, measurings
from platewright.diagnoses import drawings as readings_drawings
from platewright.drawing.items import Group, Page, bounds
from platewright.drawing.svg import svg_text
from platewright.errors import FileError, NestError
from platewright.files.job import Job
from platewright.files.outputs import out_of_date, own_in, write_all
from platewright.files.readings import MADE_OF, STATES, Measuring, filled_in, readings_text
from platewright.files.setup import read_setup, travel_of
from platewright.files.source import read_toml
from platewright.geometry.plane import Motion
from platewright.nests import NestOptions, nest_all, nest_text
from platewright.nests import replaced_by as replaced_by_nest
from platewright.page.edits import with_edits
from platewright.page.reading import inside, read, shop_inside
from platewright.page.work import mistake_json, tell
from platewright.product import (
    MadePart,
    MakeOptions,
    made_from,
    make_parts,
    named_outputs,
    replaced_by,
)
from platewright.report.readings import diagnosed_json, diagnosed_text
from platewright.sheets.travel_sheet import PLOTS_HEIGHT, plots_items
from platewright.sheets.travel_view import side_view
from platewright.suspension.report import table
from platewright.suspension.travel import Travel, at_lift
from platewright.travels import Travelled, named_sheets
from platewright.units import format_length

Json = dict[str, Any]
Edits = Sequence[Mapping[str, Any]]
Options = tuple[tuple[str, Any], ...]
"""Options of a call by their names, sorted."""

_VIEW, _PLOTS = (190.0, 120.0), 190.0  # mm


def outputs(name: str, text: str, options: Options) -> Json:
    """Every output of a draft by its file's name, and how many pages each part takes."""
    made = _made(name, text, options, frozenset())
    return {
        "outputs": {file.name: data for file, data in named_outputs(made, Path()).items()},
        "parts": [
            {
                "name": each.part.name,
                "template": list(each.template_pages),
                "check": each.check_pages,
            }
            for each in made
        ],
    }


def write_outputs(name: str, text: str, options: Options, overwrite: bool) -> Json:
    """Write the outputs of a draft into the folder, as `make` would."""
    standing = frozenset(path.name for path in own_in(Path()))
    made = _made(name, text, options, standing)
    parts = [each.part for each in made]
    signs = {name: sign for part in parts for name, sign in made_from(part).items()}
    return _written(named_outputs(made, Path()), signs, replaced_by(parts), overwrite=overwrite)


def _written(
    found: Mapping[Path, bytes], signs: Mapping[str, str], replaced: Any, *, overwrite: bool
) -> Json:
    write_all(found, overwrite=overwrite)
    old = out_of_date(found, signs, replaced)
    return {"wrote": [str(path) for path in found], "out_of_date": [str(path) for path in old]}


def _made(name: str, text: str, options: Options, standing: frozenset[str]) -> tuple[MadePart, ...]:
    job, key = read(name, text), (name, text, options, standing)
    known = _kept.pop(key, None)
    if known is None or known[0] is not job:
        asked = MakeOptions(**dict(options), standing=standing)
        known = job, make_parts((job,), asked, lambda _: None)
    _kept[key] = known
    if len(_kept) > _MOST_KEPT:
        del _kept[next(iter(_kept))]
    return known[1]


_MOST_KEPT = 4
_kept: dict[object, tuple[Job, tuple[MadePart, ...]]] = {}


def compared(name: str, text: str, other: str, other_text: str) -> Json:
    """What a draft changes against another text, as `compare` tells it, with its drawings."""
    new = read(name, text)
    work = compare_files(read(other, other_text), new)
    return {
        "lines": compare_text(work, ()).split("\n"),
        "compare": compare_json(work, ()),
        "outputs": {path.name: data for path, data in drawings(work, Path(), _paper(new)).items()},
    }


def _paper(job: Job) -> str | None:
    """The paper of the shop's own printer, None where it is not told."""
    return job.parts[0].shop.figures.paper


# --- readings -----------------------------------------------------------------------------------


def readings_of(
    name: str, text: str, which: tuple[int, int, str], typed: str | None, edits: Edits
) -> Json:
    """What is asked for and read of a piece, and what it means.

    `which` is the part's number from 1, the piece's from 0 and "plate" or "card"; `typed` is the
    text of its readings file so far, None where there is none. Raises FileError.
    """
    number, index, made_of = which
    job = read(name, text)
    of = measuring_of(job, number, index, made_of)
    filled, refused = with_edits(typed or readings_text(of), edits, {})
    told: Json = {
        "file": of.file_name,
        "text": filled,
        "rows": [
            {
                "state": each.state,
                "name": each.name,
                "words": each.words,
                "told": each.told,
                "critical": each.critical,
                "angle": each.angle,
            }
            for each in of.asked
        ],
        "refused_edits": [{"key": key, "message": message} for key, message in refused],
        "messages": [],
        "diagnosis": None,
        "lines": [],
        "outputs": {},
    }
    try:
        raw = read_toml(filled, of.file_name)
        told["typed"] = {state: _words_of(raw.get(state)) for state in STATES}
        if filled_in(filled):
            found = diagnosed_from(job, filled, of.file_name)
            told["diagnosis"] = diagnosed_json(found, ())
            told["lines"] = diagnosed_text(found, ()).split("\n")
    except FileError as error:
        told["messages"] = [mistake_json(each) for each in error.mistakes]
        told.setdefault("typed", {})
    return told


def _words_of(table: Any) -> dict[str, str]:
    return {name: str(value) for name, value in table.items()} if isinstance(table, dict) else {}


def measuring_of(job: Job, number: int, index: int, made_of: str) -> Measuring:
    """All that can be measured of one piece. Raises FileError where there is no such piece."""
    pieces = [part.pieces for part in job.parts]
    if number <= len(pieces) and index < len(pieces[number - 1]):
        before = sum(map(len, pieces[: number - 1])) + index
        return measurings(job)[
            len(MADE_OF) * before + MADE_OF.index("card" if made_of == "card" else "plate")
        ]
    raise FileError.of(job.path, "there is no such piece", "part")


def whose_readings(file: str, texts: Sequence[tuple[str, str]]) -> Json:
    """Which bracket file of some a readings file is of, and which piece; empty for none of them."""
    for name, text in texts:
        try:
            job = read(name, text)
            found = [of.file_name for of in measurings(job)]
        except FileError:
            continue
        if file not in found:
            continue
        piece, made = divmod(found.index(file), len(MADE_OF))
        for number, part in enumerate(job.parts, 1):
            if piece < len(part.pieces):
                return {"name": name, "part": number, "piece": piece, "made_of": MADE_OF[made]}
            piece -= len(part.pieces)
    return {}


def readings_sheet(name: str, text: str, file: str, typed: str) -> Json:
    """The sheet of a piece's readings, as `readings --out` writes it. Raises FileError."""
    job = read(name, text)
    sheets = readings_drawings(diagnosed_from(job, typed, file), Path(), _paper(job))
    return {"outputs": {path.name: data for path, data in sheets.items()}}


# --- a setup --------------------------------------------------------------------------------------


def _travelled(name: str, text: str) -> Travelled:
    file = read_setup(text, name)
    return Travelled(file, travel_of(file))


@lru_cache(maxsize=4)
def _travel(name: str, text: str) -> Travel:
    return _travelled(name, text).travel


def setup_at(name: str, text: str, lift: float | None) -> Json:
    """The side view and the curves of a setup at a lift, mm; at ride height where none is said."""
    of = _travel(name, text)
    unit = of.layout.unit
    ride = lift is None or abs(lift - of.ride.lift) < 0.05
    at = of.ride if ride else at_lift(of, lift or 0.0)
    words = "ride" if ride else f"{format_length(at.lift, unit)} up"
    view = side_view(of, *_VIEW, (words, at), lettered=False)  # the form has letters of its own
    places = () if ride else ((at.lift, words),)
    heads, row = table(replace(of, positions=(at,)))
    box = bounds(view.items)
    moved = Group(Motion(e=2.0 - box.xmin, f=2.0 - box.ymin), view.items)
    plots = tuple(plots_items(of, _PLOTS, *places))
    down = Group(Motion(f=PLOTS_HEIGHT), plots)
    return {
        "lift_mm": at.lift,
        "lowest_mm": of.lowest.lift,
        "highest_mm": of.highest.lift,
        "ride_mm": of.ride.lift,
        "words": [list(pair) for pair in zip(heads, row, strict=True)],
        "svg": svg_text(Page(box.width + 4.0, box.height + 4.0, (moved,), f"Side view, {words}")),
        "plots": svg_text(Page(_PLOTS, PLOTS_HEIGHT, (down,), "Through the travel")),
    }


def setup_sheet(name: str, text: str) -> Json:
    """The travel sheet of a setup, as `travel --out` writes it."""
    printed = replace(_travelled(name, text), shop=shop_inside(name))
    sheets = named_sheets((printed,), Path())
    return {"outputs": {path.name: data for path, data in sheets.items()}}


# --- a nest ---------------------------------------------------------------------------------------


class _Watched:
    """Tells how far the search is, and breaks it off when that is asked for."""

    def __init__(self) -> None:
        self._stopped = threading.Event()

    def __call__(self, share: float, best: str) -> None:
        if "stop" in tell({"share": round(share, 4), "best": best}) and not self._stopped.is_set():
            self._stopped.set()
            raise KeyboardInterrupt


def nested(texts: Sequence[tuple[str, str]], options: Options) -> Json:
    """Parts of the texts of some files laid on stock, as `nest` does it."""
    told = NestOptions(**dict(options))
    for remnant in told.remnants:
        named = remnant.lower().endswith(".toml") or os.path.lexists(remnant)
        if named and (os.path.basename(remnant) != remnant or not inside(remnant)):
            raise NestError(f"{remnant}: no such remnant file in this folder")
    jobs = [_job_of(name, text) for name, text in texts]
    for job in jobs[: 1 if not (told.sheets or told.remnants) else 0]:
        for left in job.parts[0].shop.figures.remnant:
            if left.file is not None and not inside(left.file):
                raise NestError(f"{left.file}: no such remnant file in this folder")
    try:
        work = nest_all(jobs, told, _Watched())
    except KeyboardInterrupt:
        raise NestError("the search was ended before anything was laid") from None
    return {
        "lines": nest_text(work, ()).split("\n"),
        "outputs": dict(work.outputs),
        "made_from": dict(work.made_from),
        "name": told.name,
    }


def _job_of(name: str, text: str) -> Job:
    """A file of the nest; one that is at fault is told by its name. Raises NestError."""
    try:
        return read(name, text)
    except FileError as error:
        raise NestError(f"{error.mistakes[0]}; mend that, or leave this file out") from None


def write_nest(
    found: Mapping[str, bytes], signs: Mapping[str, str], name: str, overwrite: bool
) -> Json:
    """Write a nest's outputs into the folder, as `nest` would."""
    by_path = {Path(file): data for file, data in found.items()}
    return _written(by_path, signs, replaced_by_nest(name), overwrite=overwrite)
