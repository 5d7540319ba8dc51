"""`platewright coupon`: trial pieces for the kerf, a bend and a printer, and what they read.

What readings answer is told in `trial_answers`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from platewright.cli.choosing import (
    dxf_version_option,
    overwrite_option,
    paper_option,
    unit_of,
)
from platewright.cli.refusals import refusing

if TYPE_CHECKING:
    from platewright.cli.trial_answers import Answer
    from platewright.shop.coupon import Kerf
    from platewright.shop.trial_bend import TrialFit, TrialStrip
    from platewright.units import Unit

#: Told here so that `--help` need not load the rooms that own them; a test keeps them equal.
PROCESSES = ("plasma", "oxy-fuel", "laser", "water jet")

_LEAST, _MOST = 0.2, 50.8  # thickness of plate, mm, as in bracket files

#: Which options belong to which trial piece, by their names in a call.
_OF_PIECE = {
    "--bend": ("--radius", "--groove", "--ligament", "--material", "--angle", "--legs", "--flat"),
    "--printer": ("--bars", "--diagonals"),
    "": ("--outside", "--slot", "--hole", "--process"),
}


@click.command()
@click.option(
    "--thickness",
    "thicknesses",
    multiple=True,
    metavar="LENGTH",
    help="The plate: of the piece to make, or of the one that was read. Given again, coupons are "
    "made for several plates.",
)
@click.option(
    "--outside",
    "outsides",
    multiple=True,
    metavar="LENGTH",
    help="Kerf: a reading of the square, outside. May be given again.",
)
@click.option(
    "--slot",
    "slots",
    multiple=True,
    metavar="LENGTH",
    help="Kerf: a reading of the slot's width. May be given again.",
)
@click.option(
    "--hole",
    "holes",
    nargs=2,
    multiple=True,
    metavar="DRAWN READ",
    help="Kerf: a hole, its diameter as drawn, then as read. May be given again.",
)
@click.option(
    "--process",
    type=click.Choice(PROCESSES),
    help="Kerf: what cut it, where the shop cuts in more than one way.",
)
@click.option(
    "--bend", type=click.Choice(("brake", "score")), help="A strip for a trial bend, made this way."
)
@click.option("--radius", metavar="LENGTH", help="Bend in a brake: its inside radius.")
@click.option("--groove", metavar="LENGTH", help="Bend over a score: the groove's width.")
@click.option(
    "--ligament", metavar="LENGTH", help="Bend over a score: what is left under the groove."
)
@click.option(
    "--angle", metavar="DEGREES", help="Bend: how far it is bent from flat.  [default: 90]"
)
@click.option(
    "--legs",
    nargs=3,
    multiple=True,
    metavar="A B BENT",
    help="Bend: both legs of a strip, from the outside to their marks, and how far it came out "
    "bent. Once for each strip.",
)
@click.option(
    "--flat", metavar="LENGTH", help="Bend: mark to mark before bending, if not as on the sheet."
)
@click.option("--material", metavar="NAME", help="Bend: what the strips are of, for --write.")
@click.option(
    "--printer", metavar="NAME", help="A page of long bars for the printer that you call so."
)
@click.option("--bars", nargs=2, metavar="A B", help="Printer: the bars across and up, as read.")
@click.option(
    "--diagonals", nargs=2, metavar="C D", help="Printer: the diagonals, rising and falling."
)
@click.option(
    "--tape",
    metavar="LENGTH",
    help="What legs and bars are read to.  [default: 1/32 in, 0.5 mm, or the shop file's]",
)
@click.option(
    "--units",
    type=click.Choice(("in", "mm")),
    default="mm",
    show_default=True,
    help="Unit of numbers that carry none, of the DXF and of the piece's own sizes: the kerf's "
    "square is drawn 50 mm, or 2 in.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path(),
    metavar="DIR",
    help="Folder for what is made.  [default: this folder]",
)
@paper_option("Paper of the sheet, and of a printer's page.  [default: letter for in, A4 for mm]")
@dxf_version_option
@click.option(
    "--write",
    is_flag=True,
    help="Add the answer to the end of the shop file, which is made if it is not there; nothing "
    "else in it is touched. Needs --measured-on, and for a kerf or a bend --thickness.",
)
@click.option(
    "--shop",
    type=click.Path(path_type=Path, readable=False),
    default=Path("shop.toml"),
    metavar="FILE",
    help="The shop file to write to.  [default: shop.toml in this folder]",
)
@click.option(
    "--measured-on",
    metavar="WORDS",
    help='What it was measured on, and when: "coupon of 3 March, 45 A tip".',
)
@overwrite_option
@click.option("--json", "as_json", is_flag=True, help="Print the answer as one JSON document.")
@refusing
def coupon(
    thicknesses: tuple[str, ...],
    outsides: tuple[str, ...],
    slots: tuple[str, ...],
    holes: tuple[tuple[str, str], ...],
    process: str | None,
    bend: str | None,
    radius: str | None,
    groove: str | None,
    ligament: str | None,
    angle: str | None,
    legs: tuple[tuple[str, str, str], ...],
    flat: str | None,
    material: str | None,
    printer: str | None,
    bars: tuple[str, str] | None,
    diagonals: tuple[str, str] | None,
    tape: str | None,
    units: str,
    out: Path,
    paper: str | None,
    dxf_version: str,
    write: bool,
    shop: Path,
    measured_on: str | None,
    overwrite: bool,
    as_json: bool,
) -> None:
    """Make a trial piece, or work out what was measured on one.

    \b
    Kerf     --thickness 3/16: a square, a slot and holes, drawn without any
             allowance. Cut them with the table's own compensation off.
             Readings: --outside, --slot, --hole.
    Bend     --bend brake --thickness 3/16 --radius 3/16 (or --bend score
             --groove 0.11): a strip with two marks to bend. Readings: --legs.
    Printer  --printer NAME: a page of long bars. Readings: --bars and
             --diagonals.

    With readings nothing is made: they are worked out, with their spread, and what to write is
    told; --write puts it into the shop file.
    """
    unit = unit_of(units)
    given: dict[str, object] = {
        "--radius": radius, "--groove": groove, "--ligament": ligament, "--material": material,
        "--angle": angle, "--legs": legs, "--flat": flat, "--bars": bars, "--diagonals": diagonals,
        "--outside": outsides, "--slot": slots, "--hole": holes, "--process": process,
        "--tape": tape,
    }  # fmt: skip
    _require_one_piece(bend, printer, given)
    sheet = paper or ("letter" if unit == "in" else "A4")
    read: Answer | None = None
    outputs: dict[str, bytes] = {}
    if printer is not None:
        if (bars is None) != (diagonals is None):
            raise click.UsageError("a printer's page is read by --bars and --diagonals together")
        if bars and diagonals:
            from platewright.cli.trial_answers import printer_answer

            lengths = [_length("--bars", text, unit) for text in bars]
            lengths += [_length("--diagonals", text, unit) for text in diagonals]
            read = printer_answer(printer, lengths, sheet, unit, _fineness(tape, shop, unit))
        else:
            outputs = _printer_outputs(printer, sheet, unit)
    elif bend is not None:
        strip = _strip(bend, thicknesses, radius, groove, ligament, angle, unit)
        if legs:
            from platewright.cli.trial_answers import bend_answer

            fineness = _fineness(tape, shop, unit)
            read = bend_answer(
                _fit(strip, legs, flat, fineness), strip, material, ligament is not None
            )
        else:
            outputs = _strip_outputs(strip, sheet, dxf_version)
    else:
        plates = list(dict.fromkeys(_thickness(text, unit) for text in thicknesses))
        found = _kerf(outsides, slots, holes, unit)
        if found is None and not plates:
            raise click.UsageError(
                "give --thickness to make a coupon, --bend or --printer for another trial piece, "
                "or readings of one"
            )
        if found is not None:
            from platewright.cli.trial_answers import kerf_answer

            read = kerf_answer(found, _only_plate(plates), process, unit)
        else:
            outputs = _coupon_outputs(plates, sheet, unit, dxf_version)
    if write:
        _require_for_writing(
            {
                "readings of a trial piece": read,
                "--thickness of its plate": printer is not None or thicknesses,
                "--material of its plate": bend is None or material,
                '--measured-on: what, and when, such as "coupon of 3 March"': measured_on,
            }
        )
    if outputs:
        from platewright.files.outputs import write_all

        paths = {out / name: data for name, data in outputs.items()}
        write_all(paths, overwrite=overwrite)
        for path in paths:
            click.echo(f"wrote {path}", err=as_json)
    if read is not None:
        words, told, table, row = read
        click.echo(json.dumps(told, indent=2, ensure_ascii=False) if as_json else words)
        if write:
            _add_to(shop, table, row, measured_on or "", unit)
            click.echo(f"added to {shop}", err=as_json)


def _require_one_piece(bend: str | None, printer: str | None, given: Mapping[str, object]) -> None:
    """Raise UsageError for options of two trial pieces at once."""
    if bend is not None and printer is not None:
        raise click.UsageError("--bend and --printer: one trial piece at a time")
    piece = "--bend" if bend is not None else "--printer" if printer is not None else ""
    for owner, options in _OF_PIECE.items():
        strangers = [option for option in options if given[option]]
        if owner != piece and strangers:
            goes = f"goes with {owner}" if owner else "is read on a kerf's coupon"
            raise click.UsageError(f"{strangers[0]} {goes}{f', not with {piece}' if piece else ''}")
    if given["--flat"] and not given["--legs"]:
        raise click.UsageError("--flat goes with --legs")
    if given["--tape"] and not (given["--legs"] or given["--bars"]):
        raise click.UsageError("--tape goes with --legs or --bars")


def _require_for_writing(needed: Mapping[str, object]) -> None:
    """Raise UsageError for what is lacking of an answer to write."""
    lacking = [words for words, given in needed.items() if not given]
    if lacking:
        raise click.UsageError(f"--write needs {'; '.join(lacking)}")


def _add_to(
    shop: Path, table: str, row: Mapping[str, float | str] | None, measured_on: str, unit: Unit
) -> None:
    """Add an answer to a shop file. Raises UnitError where there is none to add."""
    from platewright.errors import UnitError
    from platewright.files.shop_file import add_table

    if row is None:
        raise UnitError("these readings give nothing to write: nothing was written")
    add_table(shop, table, [{**row, "measured_on": measured_on}], unit)


# --- what is made -----------------------------------------------------------------------------


def _coupon_outputs(
    plates: Sequence[float], paper: str, unit: Unit, version: str
) -> dict[str, bytes]:
    """A DXF and a sheet for each plate; several carry their thickness in their names."""
    from platewright.drawing.pdf import pdf_bytes
    from platewright.dxf import coupon_bytes
    from platewright.errors import UnitError
    from platewright.sheets.coupon_sheet import coupon_pages, notes_of, sign_of
    from platewright.shop.coupon import coupon as made_for
    from platewright.units import format_length

    outputs = {}
    for plate in plates:
        made = made_for(plate, unit)
        plate_words = format_length(plate, unit).replace("/", "-").replace(" ", "-")
        name = f"coupon-{plate_words}" if len(plates) > 1 else "coupon"
        if f"{name}.dxf" in outputs:
            raise UnitError(f"two of the plates would both write {name}.dxf: make them one by one")
        pages = coupon_pages(made, unit, paper)
        outputs[f"{name}.dxf"] = coupon_bytes(made, notes_of(made, unit), unit, version)
        outputs[f"{name}.pdf"] = pdf_bytes(
            pages,
            title="Coupon",
            subject="Trial cut for the kerf",
            made_from={name: sign_of(made, unit)},
        )
    return outputs


def _strip_outputs(strip: TrialStrip, paper: str, version: str) -> dict[str, bytes]:
    from platewright.drawing.pdf import pdf_bytes
    from platewright.dxf import trial_bytes
    from platewright.sheets.trial_sheet import notes_of, sign_of, title_of, trial_pages

    pages = trial_pages(strip, paper)
    sign = {"trial-bend": sign_of(strip)}
    return {
        "trial-bend.dxf": trial_bytes(strip, notes_of(strip), strip.unit, version),
        "trial-bend.pdf": pdf_bytes(
            pages, title=title_of(strip), subject="Trial bend", made_from=sign
        ),
    }


def _printer_outputs(name: str, paper: str, unit: Unit) -> dict[str, bytes]:
    from platewright.drawing.pdf import pdf_bytes
    from platewright.sheets.printer_page import SHEET, printer_page, sign_of

    page = printer_page(paper, unit, name)
    sign = {"printer-page": sign_of(paper, unit, name)}
    return {"printer-page.pdf": pdf_bytes([page], title=SHEET, subject="Printer", made_from=sign)}


# --- what was typed ---------------------------------------------------------------------------


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


def _only_plate(plates: Sequence[float]) -> float | None:
    """The plate that readings are of; None where it is not told."""
    if len(plates) > 1:
        raise click.UsageError("readings are of one plate: give --thickness once")
    return plates[0] if plates else None


def _strip(
    bend: str,
    thicknesses: Sequence[str],
    radius: str | None,
    groove: str | None,
    ligament: str | None,
    angle: str | None,
    unit: Unit,
) -> TrialStrip:
    """The strip of a trial bend. Raises UsageError for what it lacks, UnitError for the rest."""
    from platewright.errors import UnitError
    from platewright.shop.trial_bend import trial_strip
    from platewright.units import parse_angle

    plate = _only_plate([_thickness(text, unit) for text in thicknesses])
    needed, other = ("--radius", "--groove") if bend == "brake" else ("--groove", "--radius")
    shape, stray = (radius, groove or ligament) if bend == "brake" else (groove, radius)
    if plate is None or shape is None:
        raise click.UsageError(f"a trial bend by {bend} needs --thickness and {needed}")
    if stray is not None:
        raise click.UsageError(f"{other} has no use with --bend {bend}")
    try:
        turned = parse_angle("90" if angle is None else angle)
    except UnitError as error:
        raise UnitError(f"--angle {angle}: {error}") from None
    return trial_strip(
        bend,
        plate,
        _length(needed, shape, unit),
        None if ligament is None else _length("--ligament", ligament, unit),
        turned,
        unit,
    )


def _fit(
    strip: TrialStrip, legs: Sequence[tuple[str, str, str]], flat: str | None, fineness: float
) -> TrialFit:
    from platewright.errors import UnitError
    from platewright.shop.trial_bend import LegReading, TrialFit
    from platewright.units import parse_angle

    readings = []
    for one, other, bent in legs:
        try:
            turned = parse_angle(bent)
        except UnitError as error:
            raise UnitError(f"--legs {one} {other} {bent}: {error}") from None
        leg_a, leg_b = (_length("--legs", text, strip.unit) for text in (one, other))
        readings.append(LegReading(leg_a, leg_b, turned))
    return TrialFit(
        thickness=strip.thickness,
        way=strip.way,
        angle=strip.angle,
        flat=strip.flat if flat is None else _length("--flat", flat, strip.unit),
        readings=tuple(readings),
        fineness=fineness,
    )


def _fineness(tape: str | None, shop: Path, unit: Unit) -> float:
    """What lengths are read to, mm: as told, else the shop's own tape, else the usual."""
    from platewright.errors import UnitError
    from platewright.files.shop_file import load_shop
    from platewright.shop.trial_bend import FINENESS

    if tape is None:
        own = load_shop(shop).figures.tape.division if shop.is_file() else None
        return own or FINENESS[unit]
    division = _length("--tape", tape, unit)
    if not 0 < division <= 25.4 / 8:
        raise UnitError(f"--tape {tape}: the smallest division of a tape, 1/8 in at most")
    return division


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
