"""What the readings of trial pieces tell: in words, as JSON, and as a row of the shop file."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from platewright.drawing.printer import Printer, PrinterReadings
    from platewright.shop.coupon import Kerf
    from platewright.shop.trial_bend import TrialFit, TrialStrip
    from platewright.units import Unit

Answer = tuple[str, dict[str, Any], str, dict[str, float | str] | None]
"""What readings tell: words, JSON, the shop file's table, its row (None: nothing to write)."""

_LEAST_LIGAMENT = 0.05  # mm, as in the shop file
_GREATEST_K = 0.5  # the line that keeps its length lies at most in the middle of the plate


# --- the kerf ---------------------------------------------------------------------------------


def kerf_answer(kerf: Kerf, thickness: float | None, process: str | None, unit: Unit) -> Answer:
    """The kerf in words, as JSON, and as a row of the shop file."""
    told: dict[str, Any] = {
        "kerf_mm": kerf.mean,
        "hole_kerf_mm": kerf.holes,
        "spread_mm": kerf.spread,
        "agrees": kerf.agrees,
        "readings": [
            {"what": r.what, "measured_mm": r.measured, "kerf_mm": r.kerf} for r in kerf.readings
        ],
    }
    row: dict[str, float | str] | None = None
    if kerf.agrees and thickness is not None:
        row = {"thickness": thickness, "kerf": kerf.mean}
        row |= {"process": process} if process else {}
        row |= {"holes": kerf.holes} if kerf.holes is not None else {}
    return "\n".join(_kerf_lines(kerf, thickness, unit)), told, "kerf", row


def _kerf_lines(kerf: Kerf, thickness: float | None, unit: Unit) -> Iterator[str]:
    from platewright.units import format_length

    count = len(kerf.readings)
    plate = f" for {format_length(thickness, unit)} plate" if thickness is not None else ""
    if any(r.what == "outside" for r in kerf.readings):
        yield f"of a coupon{plate} whose square was drawn {'2 in' if unit == 'in' else '50 mm'}:"
    for r in kerf.readings:
        yield f"  {r.what}, read {figure(r.measured, unit)}: kerf {figure(r.kerf, unit)}"
    spread = f"spread {figure(kerf.spread, unit)}"
    if kerf.holes is None:
        readings = f"{count} reading{'' if count == 1 else 's'}"
        yield f"mean kerf {figure(kerf.mean, unit)} from {readings}, {spread}"
    else:
        yield (
            f"mean kerf {figure(kerf.mean, unit)} outside, {figure(kerf.holes, unit)} for holes, "
            f"from {count} readings, {spread} of either: the two differ by more than that"
        )
    if not kerf.agrees:
        yield (
            "The readings do not agree: measure again, or cut another coupon, before you use this "
            "kerf. A worn tip, a leaning torch or dross does this. Two readings or more of holes "
            "and of the outside tell whether those differ."
        )
        return
    offer = ", or --write it for every part of this plate" if plate else ""
    yield f"Write in the bracket file{offer}:"
    yield "  [cutting]"
    yield f'  kerf = "{figure(kerf.mean, unit)}"'
    if kerf.holes is not None:
        yield f'  hole_kerf = "{figure(kerf.holes, unit)}"'


def figure(mm: float, unit: Unit) -> str:
    """As fine as a caliper reads: hundredths of a mm, thousandths of an inch."""
    return f"{mm:.2f} mm" if unit == "mm" else f"{mm / 25.4:.3f} in"


# --- a bend -----------------------------------------------------------------------------------


def bend_answer(
    fit: TrialFit, strip: TrialStrip, material: str | None, ligament_told: bool
) -> Answer:
    """How the strips bent; the strip's own ligament counts where it was told.

    Raises UnitError for an unknown material.
    """
    from platewright.plate.stock import parse_material

    of = parse_material(material) if material is not None else None
    backs = _springbacks(fit)
    name = "k" if fit.way.brake is not None else "ligament_mm"
    score = strip.way.score
    usable = _usable(fit, score.ligament if score and ligament_told else None)
    told: dict[str, Any] = {
        "way": fit.way.name,
        name: fit.found,
        "error": fit.error,
        "spread": fit.spread,
        "allowance_mm": fit.bent.allowance(fit.angle, fit.thickness),
        "allowance_error_mm": _allowance_error(fit),
        "angle_deg": math.degrees(fit.angle),
        "springback_deg": math.fsum(backs) / len(backs),
        "springback_spread_deg": max(backs) - min(backs),
        "agrees": fit.agrees,
        "strips": [
            {
                "legs_mm": [reading.one, reading.other],
                "bent_deg": math.degrees(reading.angle),
                name: value,
            }
            for reading, value in zip(fit.readings, fit.values, strict=True)
        ],
        "apart": [{"strip": a.strip, "what": a.what, "score": a.score} for a in fit.apart],
    }
    row: dict[str, float | str] | None = None
    if usable is not None and fit.agrees and of is not None:
        row = {"material": of.name, "thickness": fit.thickness, "way": fit.way.name}
        if fit.way.brake is not None:
            row |= {"radius": fit.way.brake.radius, "k": usable}
        elif fit.way.score is not None:
            row |= {"groove": fit.way.score.groove, "ligament": usable}
        row |= {"angle": fit.angle}
        if (back := math.radians(told["springback_deg"])) >= 0:
            row |= {"springback": back}
    lines = (
        *_bend_lines(fit, strip, ligament_told),
        *_bend_offer(fit, strip.unit, usable, of is None),
    )
    return "\n".join(lines), told, "bend", row


def _usable(fit: TrialFit, ground: float | None) -> float | None:
    """The k or ligament to write, None where none can be.

    A k is held to its limits within its error; a ligament `ground` is kept where the legs agree.
    """
    if fit.way.brake is not None:
        held = min(max(fit.found, 0.0), _GREATEST_K)
        return held if abs(held - fit.found) <= fit.error else None
    if ground is not None and abs(ground - fit.found) <= fit.error:
        return ground
    return fit.found if _LEAST_LIGAMENT <= fit.found < fit.thickness else None


def _bend_lines(fit: TrialFit, strip: TrialStrip, ligament_told: bool) -> Iterator[str]:
    from platewright.shop.trial_bend import deduction
    from platewright.units import format_angle, format_length

    unit = strip.unit
    brake, score = fit.way.brake, fit.way.score
    shape = (
        f"inside radius {format_length(brake.radius, unit)}"
        if brake
        else f"groove {format_length(score.groove, unit)}"
        if score
        else ""
    )
    yield (
        f"of strips of {format_length(fit.thickness, unit)} plate, {fit.way.words}, {shape}, bent "
        f"to {format_angle(fit.angle)}, marks {format_length(fit.flat, unit)} apart:"
    )
    for number, (reading, value) in enumerate(zip(fit.readings, fit.values, strict=True), 1):
        legs = f"{figure(reading.one, unit)} + {figure(reading.other, unit)}"
        bent = format_angle(reading.angle)
        yield f"  strip {number}: legs {legs}, bent {bent}: {_value(fit, value, unit)}"
    count = len(fit.belonging)
    strips = f"{count} strip{'' if count == 1 else 's'}"
    method = f"least squares over {strips}" if count > 2 else f"from {strips}"
    error, spread = (
        f"{value:.2f}" if brake else figure(value, unit) for value in (fit.error, fit.spread)
    )
    yield f"{_value(fit, fit.found, unit)} ± {error}, {method}, spread {spread}"
    yield (
        f"  ± is what reading to {figure(fit.fineness, unit)} and half a degree leaves open, or "
        "twice the mean's deviation if that is more"
    )
    allowance = figure(fit.bent.allowance(fit.angle, fit.thickness), unit)
    longer = figure(deduction(fit.bent, fit.angle, fit.thickness), unit)
    at = format_angle(fit.angle)
    if brake:
        yield f"allowance {allowance} ± {figure(_allowance_error(fit), unit)} at {at}"
    else:
        yield f"groove and ligament keep {allowance} of the flat, the groove's own width"
    yield f"the legs come out {longer} longer together than the flat at {at}"
    if score is not None and ligament_told and strip.way.score is not None:
        ground = strip.way.score.ligament
        same = abs(ground - fit.found) <= fit.error
        yield (
            f"the ligament as ground, {figure(ground, unit)}, "
            + ("agrees with that" if same else "does not explain the legs: this one does")
        )
    backs = _springbacks(fit)
    mean, apart = math.fsum(backs) / len(backs), max(backs) - min(backs)
    yield f"springback {mean:.1f}°" + (f", spread {apart:.1f}°" if len(backs) > 1 else "")
    for odd in fit.apart:
        stand = "legs stand" if odd.what == "legs" else "angle stands"
        yield (
            f"Strip {odd.strip} does not belong: its {stand} {odd.score:.1f} normalised median "
            "deviations from the middle one (more than 3.5 does not belong: Iglewicz and Hoaglin "
            "1993). It is left out above"
        )


def _allowance_error(fit: TrialFit) -> float:
    """How far the allowance may be off, mm: nothing for a score, whose groove was measured."""
    return fit.angle * fit.thickness * fit.error if fit.way.brake is not None else 0.0


def _springbacks(fit: TrialFit) -> list[float]:
    """How far each strip that belongs opened again, degrees."""
    return [math.degrees(fit.angle - reading.angle) for reading in fit.belonging]


def _value(fit: TrialFit, value: float, unit: Unit) -> str:
    if fit.way.brake is not None:
        return f"k {round(value, 2) + 0.0:.2f}"
    return f"ligament {figure(value, unit)}"


def _bend_offer(
    fit: TrialFit, unit: Unit, usable: float | None, no_material: bool
) -> Iterator[str]:
    from platewright.units import format_length

    if not fit.agrees:
        again = "Measure that strip again" if fit.apart else "Bend and read a third strip"
        yield f"The readings do not agree. {again} before you use this."
        return
    if usable is None and fit.way.brake is not None:
        yield (
            "No bend has that: k lies between 0 and 0.5. Measure the inside radius with a gauge, "
            "and the legs again."
        )
        return
    if usable is None:
        yield "No ligament of this plate explains it: measure the groove and the legs again."
        return
    offer = ", or --write it with --material" if no_material else ", or --write it"
    yield f"Write in the bracket file{offer}:"
    yield "  [bend]"
    yield f'  way = "{fit.way.name}"'
    if fit.way.brake is not None:
        yield f'  radius = "{format_length(fit.way.brake.radius, unit)}"'
        yield f"  k = {usable:.3f}"
    elif fit.way.score is not None:
        yield f'  groove = "{format_length(fit.way.score.groove, unit)}"'
        yield f'  ligament = "{figure(usable, unit)}"'
    if len(fit.readings) < 3:
        yield "Three strips or more tell whether one was misread."


# --- a printer --------------------------------------------------------------------------------


def printer_answer(
    name: str, lengths: Sequence[float], paper: str, unit: Unit, fineness: float
) -> Answer:
    """How true a printer prints: bars across and up, diagonals rising and falling, mm.

    Raises OutputError where the print was fitted to the page.
    """
    from platewright.drawing.printer import PrinterReadings
    from platewright.sheets.printer_page import bars_of

    drawn = bars_of(paper, unit)
    across, up, rising, falling = lengths
    readings = PrinterReadings(
        drawn_across=drawn.width,
        drawn_up=drawn.height,
        across=across,
        up=up,
        rising=rising,
        falling=falling,
        fineness=fineness,
    )
    if not readings.agrees:
        agrees = False
        told: dict[str, Any] = {"name": name, "agrees": agrees}
        told |= {"misclosure_mm": readings.misclosure, "left_open_mm": readings.left_open}
        return "\n".join(_disagreement(readings, unit)), told, "printer", None
    printer = readings.printer(name)
    told = {
        "name": name,
        "agrees": True,
        "across": printer.across,
        "up": printer.up,
        "skew_deg": math.degrees(printer.skew),
        "misclosure_mm": readings.misclosure,
        "left_open_mm": readings.left_open,
    }
    row: dict[str, float | str] = {"name": name} if name else {}
    row |= {"across": printer.across, "up": printer.up, "skew": printer.skew}
    return "\n".join(_printer_lines(readings, printer, unit)), told, "printer", row


def _disagreement(readings: PrinterReadings, unit: Unit) -> Iterator[str]:
    off = readings.misclosure
    yield (
        f"The four readings do not agree: the diagonals are {figure(abs(off), unit)} "
        f"{'longer' if off > 0 else 'shorter'} on the whole than these bars allow, and reading to "
        f"{figure(readings.fineness, unit)} explains {figure(readings.left_open, unit)} at most."
    )
    yield (
        "One of them is wrong, or the paper does not lie flat: measure all four again. Nothing can "
        "be corrected by these."
    )


def _printer_lines(readings: PrinterReadings, printer: Printer, unit: Unit) -> Iterator[str]:
    from platewright.drawing.printer import percent_words

    for way, scale, drawn in (
        ("across", printer.across, readings.drawn_across),
        ("up", printer.up, readings.drawn_up),
    ):
        open_ = readings.fineness / 2 / drawn
        prints = percent_words(scale - 1) if abs(scale - 1) >= 0.00005 else "true"
        yield f"{way}: prints {prints}, scale {scale:.4f} ± {open_:.4f} of {figure(drawn, unit)}"
    lean = math.degrees(printer.skew)
    side = "right" if lean > 0 else "left"
    yield f"upright leans {abs(lean):.2f}° to the {side}" if abs(lean) >= 0.005 else "square"
    yield (
        f"the four readings close to {figure(abs(readings.misclosure), unit)}; reading to "
        f"{figure(readings.fineness, unit)} leaves {figure(readings.left_open, unit)}"
    )
    seen = readings.fineness / 2
    off = max(
        abs(printer.across - 1) * readings.drawn_across,
        abs(printer.up - 1) * readings.drawn_up,
        abs(printer.skew) * readings.drawn_up,
    )
    if off <= seen:
        yield "That is true as far as you can read it: there is nothing to correct."
        return
    yield "Write in the shop file, or --write it, and templates are drawn for this printer:"
    yield "  [[printer]]"
    if printer.name:
        yield f'  name = "{printer.name}"'
    yield f"  across = {printer.across:.5f}"
    yield f"  up = {printer.up:.5f}"
    yield f"  skew = {lean:.3f}"
