"""`platewright readings`: a file for the tape's readings, and what they mean."""

from __future__ import annotations

import json
from pathlib import Path

import click

from platewright.cli.choosing import (
    PATTERNS,
    overwrite_option,
    paper_option,
    setups_option,
    shop_of,
    shop_options,
)
from platewright.cli.refusals import refusing


@click.command()
@click.argument("file", type=click.Path(path_type=Path, readable=False))
@click.argument("readings", required=False, type=click.Path(path_type=Path, readable=False))
@setups_option
@shop_options
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Where PART-readings.toml goes.  [default: this folder] With READINGS: also draw what "
    "they mean, as PART-readings.pdf in this folder.",
)
@click.option(
    "--pattern",
    type=click.Choice(PATTERNS, case_sensitive=False),
    default="plate",
    show_default=True,
    help="Whether the plate is to be measured or the mock-up in card.",
)
@paper_option("Paper of the drawing.  [default: letter for inch files, A4 for mm files]")
@click.option(
    "--write",
    is_flag=True,
    help="Add what belongs to the shop's own figures (a kerf, a bend, a printer's scale) at the "
    "end of the shop file.",
)
@overwrite_option
@click.option("--json", "as_json", is_flag=True, help="Print the answer as one JSON document.")
@refusing
def readings(
    file: Path,
    readings: Path | None,
    setups: tuple[Path, ...],
    shop: Path | None,
    no_shop: bool,
    out: Path | None,
    pattern: str,
    paper: str | None,
    write: bool,
    overwrite: bool,
    as_json: bool,
) -> None:
    """Tell what tape readings of a part made from FILE mean.

    Without READINGS: write a file with a blank for each row of the check sheet, to fill in. With
    it: whether the part serves, can be trimmed or must be made again, what explains the readings
    that are off, and what to change.
    """
    from platewright.diagnoses import add_to_shop, diagnosed, drawings, readings_files
    from platewright.files.outputs import write_all
    from platewright.files.reader import load_job
    from platewright.report.readings import diagnosed_json, diagnosed_text

    job = load_job(file, setups=setups, shop=shop_of(shop, no_shop))
    if readings is None:
        if write:
            raise click.UsageError("--write goes with READINGS: there is nothing to add yet")
        wanted = ("card", "plate") if pattern == "both" else (pattern,)
        outputs = readings_files(job, wanted, out or Path(), overwrite=overwrite)
        write_all(outputs, overwrite=overwrite)
        if as_json:
            click.echo(json.dumps({"files": [str(path) for path in outputs]}, indent=2))
        else:
            click.echo("\n".join(f"wrote {path}" for path in outputs))
        return
    found = diagnosed(job, readings)
    paper = paper or job.parts[0].shop.figures.paper
    outputs = {} if out is None else drawings(found, out, paper)
    write_all(outputs, overwrite=overwrite)
    added = add_to_shop(job, found) if write else None
    if as_json:
        told = diagnosed_json(found, list(outputs))
        if write:
            told["added"] = {"file": str(added[0]), "text": added[1]} if added else None
        click.echo(json.dumps(told, indent=2, ensure_ascii=False))
    else:
        click.echo(diagnosed_text(found, list(outputs), added))
        if write and not added:
            click.echo("nothing of it belongs to the shop file: nothing was added")
