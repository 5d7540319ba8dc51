"""`platewright start`: a commented file to fill in."""

from __future__ import annotations

import os
from pathlib import Path

import click

from platewright.cli.choosing import SHOP, is_setup, kind_of, unit_of, units_option
from platewright.cli.refusals import refusing


@click.command()
@click.argument("kind")
@units_option
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Where to write it; never over a file that is there.  [default: the screen]",
)
@refusing
def start(kind: str, units: str, output: Path | None) -> None:
    """Write a commented bracket file of a KIND, ready to be filled in.

    With `travel` for a KIND it is the setup file of a suspension; with `shop` it is the shop file,
    for the shop's own measured figures.

    Every measurement has its letter, what to measure and how, what is allowed, and an example
    value to replace. The letters are those of `platewright form KIND`.
    """
    from platewright.errors import OutputError
    from platewright.files.outputs import write_all
    from platewright.files.starter import setup_starter, shop_starter, starter

    unit = unit_of(units)
    if is_setup(kind):
        text, then = setup_starter(unit), f"platewright travel {output}"
    elif kind.lower() == SHOP:
        text, then = shop_starter(unit), "platewright make, for the files beside it"
    else:
        text, then = starter(kind_of(kind), unit), f"platewright make {output}"
    if output is None:
        click.echo(text, nl=False)
        return
    if os.path.lexists(output):
        raise OutputError(f"{output} is there already; nothing was written. Choose another name")
    write_all({output: text.encode()})
    click.echo(f"wrote {output}; fill it in, then: {then}")
