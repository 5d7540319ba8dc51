"""`platewright nest`: parts laid on sheets and remnants."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from platewright.cli.choosing import (
    dxf_version_option,
    files_argument,
    overwrite_option,
    paper_option,
    setups_option,
    shop_of,
    shop_options,
    warn_out_of_date,
)
from platewright.cli.refusals import refusing

#: Told here so that `--help` need not load the rooms that own them; a test keeps them equal.
GRAIN_NAMES = ("any", "drawn", "across")


#: Letters of the bar that shows how far the search has come.
_BAR = 24


@click.command()
@files_argument
@setups_option
@shop_options
@click.option(
    "--sheet",
    "sheets",
    multiple=True,
    metavar="SIZE",
    help='A size of sheet: 24x48, "4 ft x 8 ft", "1250x2500 mm"; 24x48:2 when there are two only, '
    "else as many as are needed. May be given again. The grain runs along the first length.",
)
@click.option(
    "--remnant",
    "remnants",
    multiple=True,
    metavar="SIZE|FILE",
    help='A remnant, used before new sheets: a size, or a TOML file with units = "in" and '
    "outline = [[0, 0], [30, 0], ...]; it may tell thickness and material, and each [[hole]] by "
    "its outline. May be given again.",
)
@click.option(
    "--gap",
    metavar="LENGTH",
    help="Metal left standing between parts once the kerf and the leads are burnt.  "
    "[default: 1/4 in or 6 mm]",
)
@click.option(
    "--margin",
    metavar="LENGTH",
    help="Metal left standing along the edge of the stock, likewise.  [default: as the gap]",
)
@click.option(
    "--grain",
    type=click.Choice(GRAIN_NAMES),
    default="any",
    show_default=True,
    help="any: turn parts freely. drawn: only as drawn or half round, the drawing's x along the "
    "grain. across: each part's bends, or most of them, across the grain, where a bend stands a "
    "smaller radius.",
)
@click.option(
    "--turn",
    type=click.FloatRange(1, 360, max_open=False),
    default=90,
    show_default=True,
    metavar="DEGREES",
    help="Step of the turns tried where the grain is not heeded; finer may pack closer, and takes "
    "longer.",
)
@click.option(
    "--tries",
    type=click.IntRange(1, 100_000),
    default=80,
    show_default=True,
    help="How many ways of laying to try.",
)
@click.option(
    "--seed",
    type=click.IntRange(0),
    default=1,
    show_default=True,
    help="The same seed gives the same nest; another may find a better one.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path(),
    metavar="DIR",
    help="Folder for the outputs; made if it is not there.  [default: this folder]",
)
@click.option(
    "--name", default="nest", show_default=True, help="What the names of the outputs begin with."
)
@click.option(
    "--units",
    type=click.Choice(("in", "mm")),
    help="Unit of sizes that carry none, and of the outputs.  [default: the first FILE's]",
)
@paper_option("Paper of the pictures.  [default: letter for in, A4 for mm]")
@dxf_version_option
@click.option(
    "--torch",
    is_flag=True,
    help="Write a second DXF of each sheet with the torch path and punch points alone, for a table "
    "whose own compensation is off.",
)
@overwrite_option
@click.option("--json", "as_json", is_flag=True, help="Print the report as one JSON document.")
@refusing
def nest(
    files: tuple[Path, ...],
    setups: tuple[Path, ...],
    shop: Path | None,
    no_shop: bool,
    out: Path,
    overwrite: bool,
    as_json: bool,
    **told: object,
) -> None:
    """Lay the parts of each bracket FILE on sheets, as few as can be found.

    Parts are laid by their true outlines, as many of each as their files say, turned but never
    mirrored. For each sheet there is a DXF with the torch path in cutting order; one PDF shows
    all sheets with the names of the parts and what is left. Parts of different plate go on
    different sheets. A part that fits no stock is refused. What is left in one piece is written as
    a file for --remnant. Without --sheet and --remnant the plate on the shop file's rack is used,
    what is left of earlier jobs first. Ctrl-C ends the search and keeps the best found so far.
    """
    from platewright.files.outputs import out_of_date, own_in, require_folder, write_all
    from platewright.files.reader import load_all
    from platewright.nests import NestOptions, nest_all, nest_json, nest_text, replaced_by

    require_folder(out)
    standing = frozenset(path.name for path in own_in(out))
    options = NestOptions(**told, standing=standing)  # type: ignore[arg-type]
    jobs = load_all(files, setups, shop=shop_of(shop, no_shop))
    watched = sys.stderr.isatty()
    try:
        work = nest_all(jobs, options, _bar if watched else _silent)
    finally:
        if watched:
            click.echo(err=True)
    outputs = {out / name: data for name, data in work.outputs.items()}
    write_all(outputs, overwrite=overwrite)
    old = out_of_date(outputs, work.made_from, replaced_by(options.name))
    if as_json:
        report = {**nest_json(work, list(outputs)), "out_of_date": [str(path) for path in old]}
        click.echo(json.dumps(report, indent=2, ensure_ascii=False))
    else:
        click.echo(nest_text(work, list(outputs)))
    warn_out_of_date(old)


def _bar(share: float, best: str) -> None:
    """A bar for a person to watch, and to break off."""
    done = "#" * round(_BAR * share)
    click.echo(f"\r[{done:{_BAR}}] {best:44}", nl=False, err=True)


def _silent(_share: float, _best: str) -> None:
    pass
