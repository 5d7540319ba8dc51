"""`platewright make`: bracket files in, template, DXF and check sheet out."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from platewright.cli.choosing import (
    PATTERNS,
    dxf_version_option,
    files_argument,
    overwrite_option,
    paper_option,
    set_option,
    setups_option,
    shop_of,
    shop_options,
    warn_out_of_date,
)
from platewright.cli.refusals import refusing

if TYPE_CHECKING:
    from platewright.files.job import Job
    from platewright.product import MadePart, MakeOptions


@click.command()
@files_argument
@setups_option
@set_option
@shop_options
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path(),
    metavar="DIR",
    help="Folder for the outputs; made if it is not there.  [default: this folder]",
)
@paper_option(
    "Paper for the template and the check sheet; `single` is one sheet as large as the "
    "pattern, for a plotter.  [default: letter for inch files, A4 for mm files, `single` for a "
    "pattern of more than 400 sheets]",
    single=True,
)
@dxf_version_option
@click.option(
    "--pattern",
    type=click.Choice(PATTERNS, case_sensitive=False),
    default="both",
    show_default=True,
    help="Patterns in the template: card for the mock-up, plate for marking out. They differ by "
    "what the bends use; each page says which it is.",
)
@click.option(
    "--torch",
    is_flag=True,
    help="Write a second DXF with the torch path and punch points alone, for a table whose own "
    "compensation is off.",
)
@click.option(
    "--svg",
    is_flag=True,
    help="Write the blank as SVG too, cut and crease lines apart, for cutters that take card.",
)
@overwrite_option
@click.option("--json", "as_json", is_flag=True, help="Print the report as one JSON document.")
@refusing
def make(
    files: tuple[Path, ...],
    setups: tuple[Path, ...],
    tried: tuple[str, ...],
    shop: Path | None,
    no_shop: bool,
    out: Path,
    paper: str | None,
    dxf_version: str,
    pattern: str,
    torch: bool,
    svg: bool,
    overwrite: bool,
    as_json: bool,
) -> None:
    """Make a full-scale template (PDF), a DXF and a check sheet (PDF) from each bracket FILE.

    All outputs of a call are made first and then written together: when anything is wrong,
    nothing is written. Print the template at 100 % and check its bars with a tape before use.
    """
    from functools import partial

    from platewright.cli.report import report_json, report_text
    from platewright.files.outputs import out_of_date, own_in, require_folder, write_all
    from platewright.files.reader import load_all, load_job
    from platewright.product import MakeOptions, made_from, named_outputs, replaced_by

    require_folder(out)
    options = MakeOptions(
        paper=paper,
        dxf_version=dxf_version,
        pattern=pattern,
        torch=torch,
        svg=svg,
        standing=frozenset(path.name for path in own_in(out)),
    )
    which = shop_of(shop, no_shop)
    jobs = load_all(files, setups, tried, which)
    read = partial(load_job, setups=setups, tried=tried, shop=which)
    made = _made_on_all_cores(
        jobs, read, options, lambda line: click.echo(line, err=True) if files[1:] else None
    )
    outputs = named_outputs(made, out)
    write_all(outputs, overwrite=overwrite)
    parts = [each.part for each in made]
    signs = {name: sign for part in parts for name, sign in made_from(part).items()}
    old = out_of_date(outputs, signs, replaced_by(parts))
    if tried:
        from platewright.report.changed import before_tried, changed_json, changed_lines

        before = before_tried(files, setups, tried, which)
    if as_json:
        report = {**report_json(made, out), "out_of_date": [str(path) for path in old]}
        if tried:
            report |= {"tried": list(tried), "changed": changed_json(before, parts)}
        click.echo(json.dumps(report, indent=2, ensure_ascii=False))
    else:
        changed = changed_lines(before, parts, tried) if tried else ()
        click.echo("\n".join((report_text(made, out), *changed)))
    warn_out_of_date(old)


def _made_on_all_cores(
    jobs: Sequence[Job],
    read: Callable[[Path], Job],
    options: MakeOptions,
    progress: Callable[[str], None],
) -> tuple[MadePart, ...]:
    """What `make_parts` makes of all jobs, told and refused in its words."""
    from functools import partial

    from platewright.cli.cores import MAKING, shared_out
    from platewright.product import MadePart, make_parts, possible_parts

    if not jobs[1:]:
        return make_parts(jobs, options, progress)
    parts = possible_parts(jobs)
    told = iter([f"{count} of {len(parts)}: {part.name}" for count, part in enumerate(parts, 1)])
    made: list[MadePart] = []
    with shared_out(jobs, read, partial(_to_send, options), MAKING) as answers:
        for job, found in zip(jobs, answers, strict=True):
            if found is None:
                made.extend(make_parts((job,), options, lambda _: progress(next(told))))
                continue
            for part, (outputs, pages, check_pages) in zip(job.parts, found, strict=True):
                progress(next(told))
                made.append(
                    MadePart(
                        part=part, outputs=outputs, template_pages=pages, check_pages=check_pages
                    )
                )
    return tuple(made)


def _to_send(
    options: MakeOptions, jobs: Sequence[Job]
) -> list[tuple[dict[str, bytes], tuple[int, ...], int]]:
    """What is made of jobs, without their parts: those hold functions, which cannot be sent."""
    from platewright.product import make_parts

    made = make_parts(jobs, options, lambda _line: None)
    return [(dict(each.outputs), each.template_pages, each.check_pages) for each in made]
