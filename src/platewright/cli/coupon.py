"""`platewright coupon`: a trial cut for the kerf, and the kerf from its readings."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from platewright.cli.choosing import overwrite_option, unit_of
from platewright.cli.make import DXF_VERSIONS
from platewright.cli.refusals import refusing

if TYPE_CHECKING:
    from platewright.shop.coupon import Kerf
    from platewright.units import Unit

#: Told here so that `--help` need not load the rooms that own them; a test keeps them equal.
PROCESSES = ("plasma", "oxy-fuel", "laser", "water jet")
PAPER_NAMES = ("letter", "legal", "tabloid", "A4", "A3")

_LEAST, _MOST = 0.2, 50.8  # thickness of plate, mm, as in bracket files


@click.command()
@click.option(
    "--thickness",
    metavar="LENGTH",
    help="Make the coupon for plate of this thickness; with --write, the plate that was cut.",
)
@click.option(
    "--outside",
    "outsides",
    multiple=True,
    metavar="LENGTH",
    help="A reading of the square, outside. May be given again.",
)
@click.option(
    "--slot",
    "slots",
    multiple=True,
    metavar="LENGTH",
    help="A reading of the slot's width. May be given again.",
)
@click.option(
    "--hole",
    "holes",
    nargs=2,
    multiple=True,
    metavar="DRAWN READ",
    help="A hole: its diameter as drawn, then as read. May be given again.",
)
@click.option(
    "--units",
    type=click.Choice(("in", "mm")),
    default="mm",
    show_default=True,
    help="Unit of numbers that carry none, of the DXF and of the coupon's own sizes: its square is "
    "drawn 50 mm, or 2 in.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path(),
    metavar="DIR",
    help="Folder for coupon.dxf and coupon.pdf.  [default: this folder]",
)
@click.option(
    "--paper",
    type=click.Choice(PAPER_NAMES, case_sensitive=False),
    help="Paper of the sheet.  [default: letter for in, A4 for mm]",
)
@click.option(
    "--dxf-version",
    type=click.Choice(DXF_VERSIONS, case_sensitive=False),
    default="R2010",
    show_default=True,
    help="Older tables may need R2000 or R12.",
)
@click.option(
    "--write",
    is_flag=True,
    help="Add the kerf to the end of the shop file, which is made if it is not there; nothing else "
    "in it is touched. Needs --thickness and --measured-on.",
)
@click.option(
    "--shop",
    type=click.Path(path_type=Path, readable=False),
    default=Path("shop.toml"),
    metavar="FILE",
    help="The shop file to write to.  [default: shop.toml in this folder]",
)
@click.option(
    "--process",
    type=click.Choice(PROCESSES),
    help="What cut it, where the shop cuts in more than one way.",
)
@click.option(
    "--measured-on",
    metavar="WORDS",
    help='What it was measured on, and when: "coupon of 3 March, 45 A tip".',
)
@overwrite_option
@click.option("--json", "as_json", is_flag=True, help="Print the kerf as one JSON document.")
@refusing
def coupon(
    thickness: str | None,
    outsides: tuple[str, ...],
    slots: tuple[str, ...],
    holes: tuple[tuple[str, str], ...],
    units: str,
    out: Path,
    paper: str | None,
    dxf_version: str,
    write: bool,
    shop: Path,
    process: str | None,
    measured_on: str | None,
    overwrite: bool,
    as_json: bool,
) -> None:
    """Make a coupon to cut, or work out the kerf from what was measured on one.

    With --thickness: a DXF and a one-page sheet of a test square, a slot and holes, drawn without
    any allowance for the kerf. Cut it with the table's own compensation off. With readings: the
    kerf, how far the readings differ, and what to write in the bracket file; --write puts it into
    the shop file, for every part of that plate.
    """
    unit = unit_of(units)
    if not (thickness or outsides or slots or holes):
        raise click.UsageError("give --thickness to make a coupon, or readings of one that is cut")
    found = _kerf(outsides, slots, holes, unit)
    if write and not (found and thickness and measured_on):
        raise click.UsageError(
            "--write needs readings of the coupon, --thickness of its plate, and --measured-on: "
            'what it was measured on, and when, such as "coupon of 3 March"'
        )
    if thickness and not write:
        for path in _write(thickness, unit, out, paper, dxf_version, overwrite=overwrite):
            click.echo(f"wrote {path}", err=as_json)
    if found:
        click.echo(json.dumps(_json(found), indent=2) if as_json else _words(found, unit))
    if write and found and thickness and measured_on:
        row = {"process": process, "kerf": found.mean, "measured_on": measured_on}
        _add_to(shop, found, {"thickness": _thickness(thickness, unit), **row}, unit)
        click.echo(f"added to {shop}", err=as_json)


def _add_to(shop: Path, kerf: Kerf, row: Mapping[str, float | str | None], unit: Unit) -> None:
    """Add a kerf to a shop file. Raises UnitError for readings that do not agree."""
    from platewright.errors import UnitError
    from platewright.files.shop_file import add_table

    if not kerf.agrees:
        raise UnitError("the readings do not agree: nothing was written. Measure again")
    told = {key: value for key, value in row.items() if value is not None}
    add_table(shop, "kerf", [told], unit)


def _write(
    thickness: str, unit: Unit, out: Path, paper: str | None, version: str, *, overwrite: bool
) -> list[Path]:
    from platewright.drawing.pdf import pdf_bytes
    from platewright.dxf import coupon_bytes
    from platewright.files.outputs import write_all
    from platewright.sheets.coupon_sheet import coupon_pages, notes_of
    from platewright.shop.coupon import coupon as made_for

    made = made_for(_thickness(thickness, unit), unit)
    pages = coupon_pages(made, unit, paper or ("letter" if unit == "in" else "A4"))
    outputs = {
        out / "coupon.dxf": coupon_bytes(made, notes_of(made, unit), unit, version),
        out / "coupon.pdf": pdf_bytes(pages, title="Coupon", subject="Trial cut for the kerf"),
    }
    write_all(outputs, overwrite=overwrite)
    return list(outputs)


def _thickness(text: str, unit: Unit) -> float:
    from platewright.errors import UnitError

    thickness = _length("--thickness", text, unit)
    if not _LEAST <= thickness <= _MOST:
        raise UnitError(
            f"--thickness {text}: allowed are 0.2 mm to 2 in; without a unit it is taken "
            f'as {"mm" if unit == "mm" else "inches"}: write "3/16 in" or "5 mm"'
        )
    return thickness


def _length(option: str, text: str, unit: Unit) -> float:
    from platewright.errors import UnitError
    from platewright.units import parse_length

    try:
        return parse_length(text, unit)
    except UnitError as error:
        raise UnitError(f"{option} {text}: {error}") from None


def _kerf(
    outsides: tuple[str, ...],
    slots: tuple[str, ...],
    holes: tuple[tuple[str, str], ...],
    unit: Unit,
) -> Kerf | None:
    from platewright.shop.coupon import Kerf, hole_reading, outside_reading, slot_reading

    readings = (
        *(outside_reading(_length("--outside", text, unit), unit) for text in outsides),
        *(slot_reading(_length("--slot", text, unit)) for text in slots),
        *(
            hole_reading(_length("--hole", drawn, unit), _length("--hole", read, unit))
            for drawn, read in holes
        ),
    )
    return Kerf(readings) if readings else None


def _words(kerf: Kerf, unit: Unit) -> str:
    count = len(kerf.readings)
    drawn = {"in": "2 in", "mm": "50 mm"}[unit]
    squares = any(r.what == "outside" for r in kerf.readings)
    lines = [f"of a coupon whose square was drawn {drawn}:"] if squares else []
    lines += [
        f"  {r.what}, read {_figure(r.measured, unit)}: kerf {_figure(r.kerf, unit)}"
        for r in kerf.readings
    ]
    lines.append(
        f"mean kerf {_figure(kerf.mean, unit)} from {count} reading{'' if count == 1 else 's'}, "
        f"spread {_figure(kerf.spread, unit)}"
    )
    if not kerf.agrees:
        lines.append(
            "The readings do not agree: measure again, or cut another coupon, before you use this "
            "kerf. A worn tip, a leaning torch or dross does this."
        )
        return "\n".join(lines)
    figure = _figure(kerf.mean, unit)
    lines += ["Write in the bracket file:", "  [cutting]", f'  kerf = "{figure}"']
    return "\n".join(lines)


def _figure(mm: float, unit: Unit) -> str:
    """As fine as a caliper reads: hundredths of a mm, thousandths of an inch."""
    return f"{mm:.2f} mm" if unit == "mm" else f"{mm / 25.4:.3f} in"


def _json(kerf: Kerf) -> dict[str, object]:
    return {
        "kerf_mm": kerf.mean,
        "spread_mm": kerf.spread,
        "agrees": kerf.agrees,
        "readings": [
            {"what": r.what, "measured_mm": r.measured, "kerf_mm": r.kerf} for r in kerf.readings
        ],
    }
