"""`platewright compare`: what changed between two bracket files."""

from __future__ import annotations

import json
from pathlib import Path

import click

from platewright.cli.choosing import (
    overwrite_option,
    paper_option,
    setups_option,
    shop_of,
    shop_options,
)
from platewright.cli.refusals import refusing


@click.command()
@click.argument("old", type=click.Path(path_type=Path, readable=False))
@click.argument("new", type=click.Path(path_type=Path, readable=False))
@setups_option
@shop_options
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Also draw each part that changed, as NAME-changes.pdf in this folder.",
)
@paper_option("Paper of the drawings.  [default: letter for inch files, A4 for mm files]")
@click.option(
    "--readings",
    type=click.Path(path_type=Path, readable=False),
    metavar="FILE",
    help="What the tape showed on a part made to OLD, as `platewright readings` reads it: tell "
    "whether that very part serves the NEW file.",
)
@overwrite_option
@click.option("--json", "as_json", is_flag=True, help="Print the changes as one JSON document.")
@refusing
def compare(
    old: Path,
    new: Path,
    setups: tuple[Path, ...],
    shop: Path | None,
    no_shop: bool,
    out: Path | None,
    paper: str | None,
    readings: Path | None,
    overwrite: bool,
    as_json: bool,
) -> None:
    """Tell what changed from the OLD bracket file to the NEW one.

    Which measurements, which edges and how far, whether bends or holes move; and whether a part
    made to the old file serves, can be trimmed or must be cut again: as it is cut, once it is
    scored, once it is bent. Parts are matched by their names, or as they are where each file has
    one.
    """
    from platewright.comparisons import compare_files, compare_json, compare_text, drawings
    from platewright.files.outputs import require_folder, write_all
    from platewright.files.reader import load_all

    if out is not None:
        require_folder(out)
    jobs = load_all((old, new), setups, shop=shop_of(shop, no_shop))
    work = compare_files(*jobs)
    read = None
    if readings is not None:
        from platewright.diagnoses import as_read
        from platewright.report.readings import as_read_json, as_read_lines

        read = as_read(jobs[0], jobs[1], readings)
    paper = paper or jobs[1].parts[0].shop.figures.paper
    outputs = {} if out is None else drawings(work, out, paper)
    write_all(outputs, overwrite=overwrite)
    if as_json:
        found = compare_json(work, list(outputs))
        if read is not None:
            found["as_read"] = as_read_json(read)
        click.echo(json.dumps(found, indent=2, ensure_ascii=False))
    else:
        lines = [] if read is None else as_read_lines(read)
        click.echo("\n".join((compare_text(work, list(outputs)), *lines)))
