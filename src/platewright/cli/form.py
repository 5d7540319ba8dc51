"""`platewright form`: a measuring form to print and take out to the vehicle."""

from __future__ import annotations

from pathlib import Path

import click

from platewright.cli.choosing import (
    SETUP,
    is_setup,
    kind_of,
    overwrite_option,
    paper_option,
    shop_of,
    shop_options,
    unit_of,
    units_option,
)
from platewright.cli.refusals import refusing


@click.command()
@click.argument("kind")
@units_option
@paper_option("Paper of the form.  [default: letter for in, A4 for mm]")
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Where to write it.  [default: KIND-form.pdf]",
)
@shop_options
@overwrite_option
@refusing
def form(
    kind: str,
    units: str,
    paper: str | None,
    output: Path | None,
    shop: Path | None,
    no_shop: bool,
    overwrite: bool,
) -> None:
    """Write a measuring form (PDF) for a KIND of bracket.

    It has a picture with the letter of each measurement, what to measure and how, and blanks to
    write in. The letters are those of the file that `platewright start KIND` writes. With `travel`
    for a KIND it is the form of a suspension's setup.
    """
    from platewright.drawing.pdf import pdf_bytes
    from platewright.files.outputs import require_file, write_all
    from platewright.files.shop_file import shop_for

    if output is not None:
        require_file(output)
    unit = unit_of(units)
    own_paper = shop_for(Path(output or SETUP), shop_of(shop, no_shop)).figures.paper
    sheet = paper or own_paper or ("letter" if unit == "in" else "A4")
    if is_setup(kind):
        from platewright.sheets.setup_form import setup_form_pages

        name, pages = SETUP, setup_form_pages(unit, sheet)
    else:
        from platewright.files.starter import example
        from platewright.sheets.form import form_pages

        chosen = kind_of(kind)
        name, pages = chosen.name, form_pages(chosen, example(chosen, unit), unit, sheet)
    target = output or Path(f"{name}-form.pdf")
    title, subject = f"{name}: measuring form", "Measurements"
    write_all({target: pdf_bytes(pages, title=title, subject=subject)}, overwrite=overwrite)
    count = f"{len(pages)} page" + ("s" if len(pages) > 1 else "")
    click.echo(f"wrote {target}, {count}")
