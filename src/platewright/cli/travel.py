"""`platewright travel`: from a suspension's measurements to where the bracket must sit."""

from __future__ import annotations

import json
from pathlib import Path

import click

from platewright.cli.choosing import (
    files_argument,
    overwrite_option,
    paper_option,
    shop_of,
    shop_options,
)
from platewright.cli.refusals import EXIT_CHANGE, refusing


@click.command()
@files_argument
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=None,
    metavar="DIR",
    help="Write each setup's sheet (PDF) with its spacer gauge into this folder.",
)
@paper_option("Paper for the sheet.  [default: letter for inch files, A4 for mm files]")
@shop_options
@overwrite_option
@click.option("--json", "as_json", is_flag=True, help="Print the answers as one JSON document.")
@refusing
def travel(
    files: tuple[Path, ...],
    out: Path | None,
    paper: str | None,
    shop: Path | None,
    no_shop: bool,
    overwrite: bool,
    as_json: bool,
) -> None:
    """Work out stroke, laid-out height and linkage travel from each setup FILE.

    Prints the table; with --out also writes a sheet with the side view to scale, curves over the
    travel, and a spacer gauge to stand in for the spring while fitting. Exit code 0: nothing to
    change; 1: something must be changed; 2: a file that cannot be read or a linkage that cannot be.
    """
    from platewright.files.outputs import require_folder, write_all
    from platewright.suspension.report import travel_json, travel_words
    from platewright.travels import named_sheets, travels

    if out is not None:
        require_folder(out)
    found = travels(files, shop_of(shop, no_shop))
    sheets = named_sheets(found, out, paper) if out is not None else {}
    write_all(sheets, overwrite=overwrite)
    if as_json:
        setups = [{"name": each.file.name, **travel_json(each.travel)} for each in found]
        click.echo(json.dumps({"setups": setups}, indent=2, ensure_ascii=False))
    else:
        for each in found:
            click.echo(f"{each.file.name}\n{travel_words(each.travel)}")
        for path in sheets:
            click.echo(f"wrote {path}")
    if any(each.must_change for each in found):
        raise SystemExit(EXIT_CHANGE)
