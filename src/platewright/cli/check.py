"""`platewright check`: what is wrong or risky about brackets."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from platewright.cli.choosing import (
    files_argument,
    set_option,
    setups_option,
    shop_of,
    shop_options,
)
from platewright.cli.refusals import EXIT_CHANGE, refusing

if TYPE_CHECKING:
    from platewright.files.job import Job, Part


@click.command()
@files_argument
@setups_option
@set_option
@shop_options
@click.option("--json", "as_json", is_flag=True, help="Print the findings as one JSON document.")
@refusing
def check(
    files: tuple[Path, ...],
    setups: tuple[Path, ...],
    tried: tuple[str, ...],
    shop: Path | None,
    no_shop: bool,
    as_json: bool,
) -> None:
    """List what is wrong or risky about the brackets in each FILE, worst first.

    Each finding names its place, what was measured, the limit, where the limit comes from and what
    to change. Exit code 0: nothing, or notes alone; 1: something must be changed; 2: a file that
    cannot be read. A finding is a screen: none found is no approval.
    """
    from functools import partial

    from platewright.files.reader import load_all, load_job

    which = shop_of(shop, no_shop)
    if tried:
        from platewright.report.changed import before_tried, changed_json, changed_lines

        before = before_tried(files, setups, tried, which)
    jobs = load_all(files, setups, tried, which)
    parts = [part for job in jobs for part in job.parts]
    read = partial(load_job, setups=setups, tried=tried, shop=which)
    told, must_change = _told_on_all_cores(jobs, read, as_json)
    if as_json:
        report: dict[str, Any] = {"parts": told}
        if tried:
            report |= {"tried": list(tried), "changed": changed_json(before, parts)}
        click.echo(json.dumps(report, indent=2, ensure_ascii=False))
    else:
        changed = changed_lines(before, parts, tried) if tried else ()
        click.echo("\n".join((*told, *changed)))
    if must_change:
        raise SystemExit(EXIT_CHANGE)


Told = tuple[list[Any], bool]
"""What is said of parts, lines or JSON values, and whether something must be changed."""


def _told_on_all_cores(jobs: Sequence[Job], read: Callable[[Path], Job], as_json: bool) -> Told:
    """What `_told` says of all jobs. Raises FileError with the mistakes of all at once."""
    from functools import partial

    from platewright.cli.cores import CHECKING, shared_out
    from platewright.errors import FileError
    from platewright.files.job import named_alike

    tell = partial(_told, as_json)
    if jobs[1:] and not any(named_alike(part for job in jobs for part in job.parts)):
        # a mistake is looked for again, with those of all the other files
        with suppress(FileError), shared_out(jobs, read, tell, CHECKING) as answers:
            each = [
                tell((job,)) if found is None else found
                for job, found in zip(jobs, answers, strict=True)
            ]
            return [line for lines, _ in each for line in lines], any(must for _, must in each)
    return tell(jobs)


def _told(as_json: bool, jobs: Sequence[Job]) -> Told:
    from platewright.files.job import worked_out
    from platewright.findings.rules import must_change
    from platewright.sheets.page_count import usual_paper

    parts = worked_out(jobs)
    for part in parts:
        usual_paper(part)  # refuses what no template holds, as `make` does
    must = any(must_change(found.findings) for part in parts for found in part.judgements)
    if as_json:
        from platewright.report.part import piece_json

        return [piece_json(part, i) for part in parts for i in range(len(part.pieces))], must
    return [line for part in parts for line in _lines_of(part)], must


def _lines_of(part: Part) -> Iterator[str]:
    from platewright.report.part import figure_lines, findings_by_hand
    from platewright.shop.notes import piece_title

    told = findings_by_hand(part.judgements, part.unit)
    for piece, lines in zip(part.pieces, told, strict=True):
        yield piece_title(piece)
        yield from lines or ("  nothing found",)
    yield from (f"  {line}" for line in figure_lines(part))
