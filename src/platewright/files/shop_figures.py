"""Which of the shop's own figures a part takes, and where each such figure of a part comes from.

The bracket file comes first, then the shop file, then the usual figure. A figure of the shop is
put into the part's table before that is read, so that it is judged as a file's own would be.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal, TypeVar

from platewright.errors import Mistake, UnitError
from platewright.files.declared import FAILED, read_given, unit_in
from platewright.files.given import Given, KeyTable, Ledger
from platewright.files.sections import Common
from platewright.files.shop_file import (
    RADIUS_SHARE,
    THICKNESS_SHARE,
    MeasuredKerf,
    ShopFile,
    TrialBend,
)
from platewright.measure import fields_of
from platewright.measurement import Measure
from platewright.plate.stock import Stock
from platewright.units import Unit, format_angle, format_length, parse_length

T = TypeVar("T")

Source = Literal["file", "shop", "default"]

_WHEEL_APART = 0.05  # mm
_ROUNDING = 1e-9

#: What a tape is taken to be divided into where no shop file tells, mm.
USUAL_DIVISION: Mapping[Unit, float] = {"in": 25.4 / 32, "mm": 1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One measured figure of a part, and where it comes from.

    `key` is the file's, `value` in mm, radians or N (None where hands decide it), `words` as it is
    printed; `measured_on` is what the shop file tells of it, `note` why none of its figures serves.
    """

    key: str
    label: str
    value: float | str | None
    words: str
    source: Source
    measured_on: str = ""
    note: str = ""

    @property
    def source_words(self) -> str:
        """Where it comes from, in words."""
        match self.source:
            case "file":
                return "this file"
            case "shop":
                return f"shop file: {self.measured_on}" if self.measured_on else "shop file"
            case "default":
                return "usual, not measured"

    @property
    def counts(self) -> bool:
        """Whether the fingerprint counts it: what the shop gives to the part, not to its paper."""
        return self.source == "shop" and self.key not in _OF_THE_PRINT


#: Figures of paper and tape, which change no number of a part.
_OF_THE_PRINT = ("paper", "printer", "tape.division")


@dataclass(slots=True)
class Borrowed:
    """What a part takes from a shop file.

    `values` by their dotted keys, as a file would have them; `measured_on` and `notes` by the same
    keys.
    """

    shop: ShopFile
    values: dict[str, float | str] = field(default_factory=dict)
    measured_on: dict[str, str] = field(default_factory=dict)
    notes: dict[str, str] = field(default_factory=dict)
    trial: TrialBend | None = None

    def take(self, key: str, value: float | str, measured_on: str = "") -> None:
        """Take one figure."""
        self.values[key] = value
        self.measured_on[key] = measured_on


# --- what a part takes --------------------------------------------------------------------------


def borrowed(table: KeyTable, shop: ShopFile) -> Borrowed:
    """What a part of a file takes from a shop file: nothing that its own table tells.

    What cannot be read there is left for the reader to tell.
    """
    taken, unit = Borrowed(shop), unit_in(table)
    if not shop.path or unit is None:
        return taken
    stock = _stock(table, unit)
    hands, limits = shop.figures.hands, _own(table, "limits")
    for name, value, word in (("push", hands.push, "N"), ("lever", hands.lever, "mm")):
        if value is not None and name not in limits:
            taken.take(f"limits.{name}", f"{value!r} {word}")
    if stock is not None:
        _take_kerf(taken, _own(table, "cutting"), stock)
        bend = _own(table, "bend")
        if bend.get("way") == "brake":
            _take_brake(taken, bend, stock, unit)
        elif bend.get("way") == "score":
            _take_score(taken, bend, stock, unit)
    return taken


def with_borrowed(table: KeyTable, taken: Borrowed) -> KeyTable:
    """The part's table with what it takes from a shop file."""
    entries = dict(table.entries)
    for key, value in taken.values.items():
        section, _, name = key.partition(".")
        given = entries.get(section, Given(table.below(section), {}))
        if isinstance(given.value, Mapping):
            entries[section] = Given(given.key, {**given.value, name: value})
    return KeyTable(table.key, entries)


def told_with(mistake: Mistake, taken: Borrowed, table: KeyTable) -> Mistake:
    """A mistake of a part, told with what a shop file has to do with it."""
    for key in taken.values:
        if table.below(key) == mistake.key:
            return replace(mistake, message=f"{mistake.message}; from {taken.shop.path}")
    for key, note in taken.notes.items():
        if table.below(key) == mistake.key:
            return replace(mistake, message=f"{mistake.message}; {note}")
    return mistake


def _stock(table: KeyTable, unit: Unit) -> Stock | None:
    """The part's plate, None where it cannot be read."""
    given = table.entries.get("stock")
    if given is None:
        return None
    ledger = Ledger("", unit)
    section = read_given(_COMMON["stock"], given, ledger)
    if section is FAILED or ledger.mistakes:
        return None
    plate: Stock = section.plate
    return plate


_COMMON = dict(fields_of(Common))


def _own(table: KeyTable, section: str) -> Mapping[str, Any]:
    """What the part's own table has of a section."""
    given = table.entries.get(section)
    return given.value if given is not None and isinstance(given.value, Mapping) else {}


def _take_kerf(taken: Borrowed, own: Mapping[str, Any], stock: Stock) -> None:
    if "kerf" in own or stock.material.family == "card":
        return
    rows = [row for row in taken.shop.figures.kerf if row.process == own.get("process")]
    if "process" not in own:
        rows = list(taken.shop.figures.kerf)
    fit = [row for row in rows if _near(row.thickness, stock.thickness, THICKNESS_SHARE)]
    processes = list(dict.fromkeys(row.process or "no process" for row in fit))
    if len(processes) > 1:
        taken.notes["cutting.kerf"] = (
            f"{taken.shop.name} has kerfs of {_listed(processes)} for this plate: say which in "
            "[cutting], such as "
            f'process = "{next(row.process for row in fit if row.process)}"'
        )
        return
    row = _nearest(fit, lambda row: abs(row.thickness - stock.thickness))
    if row is None:
        _note_other_plate(taken, "cutting.kerf", "kerfs", rows, stock)
        return
    taken.take("cutting.kerf", f"{row.kerf!r} mm", row.measured_on)
    if row.holes is not None and "hole_kerf" not in own:
        taken.take("cutting.hole_kerf", f"{row.holes!r} mm", row.measured_on)


def _take_brake(taken: Borrowed, own: Mapping[str, Any], stock: Stock, unit: Unit) -> None:
    """Radius and k; of a file that has both, what its trial bend tells of springback."""
    rows = _trials(taken, "bend.k" if "k" not in own else "bend.radius", "brake", stock)
    radius = _read(own.get("radius"), unit)
    if "radius" in own:
        if radius is None:
            return
        near = [row for row in rows if _near(row.radius or 0.0, radius, RADIUS_SHARE)]
        if rows and not near and "k" not in own:
            bent = _lengths((row.radius or 0.0 for row in rows), unit)
            taken.notes["bend.k"] = (
                f"{taken.shop.name} has trial bends of this plate with radius {bent}, "
                f"none of {format_length(radius, unit)}"
            )
        rows = near
    else:
        radii = sorted({row.radius or 0.0 for row in rows})
        if radii and not _near(radii[-1], radii[0], RADIUS_SHARE):
            taken.notes["bend.radius"] = (
                f"{taken.shop.name} has trial bends of this plate with radius "
                f"{_lengths(radii, unit)}: say which"
            )
            return
    row = _nearest(
        rows,
        lambda row: abs(row.thickness - stock.thickness),
        lambda row: abs((row.radius or 0.0) - (radius or 0.0)) if radius is not None else 0.0,
    )
    if row is None or row.radius is None or row.neutral_factor is None:
        return
    taken.trial = row
    if "radius" not in own:
        taken.take("bend.radius", f"{row.radius!r} mm", row.measured_on)
    if "k" not in own:
        taken.take("bend.k", row.neutral_factor, row.measured_on)


def _take_score(taken: Borrowed, own: Mapping[str, Any], stock: Stock, unit: Unit) -> None:
    """Groove, ligament and wheel: from a trial bend, or the groove from the wheel alone."""
    missing = next((key for key in ("groove", "ligament") if key not in own), "")
    rows = _trials(taken, f"bend.{missing}" if missing else "", "score", stock)
    wheel, groove = _read(own.get("wheel"), unit), _read(own.get("groove"), unit)
    if "groove" in own:
        rows = [row for row in rows if groove and _near(row.groove or 0.0, groove, RADIUS_SHARE)]
    if wheel is not None:
        rows = [row for row in rows if row.wheel is None or _same_wheel(row.wheel, wheel)]
    row = _nearest(
        rows,
        lambda row: abs(row.thickness - stock.thickness),
        lambda row: abs((row.groove or 0.0) - groove) if groove else 0.0,
    )
    if row is not None:
        taken.trial = row
        for name in ("groove", "ligament", "wheel"):
            value = getattr(row, name)
            if value is not None and name not in own:
                taken.take(f"bend.{name}", f"{value!r} mm", row.measured_on)
    elif "groove" not in own:
        _take_groove(taken, own, wheel, unit)


def _take_groove(taken: Borrowed, own: Mapping[str, Any], wheel: float | None, unit: Unit) -> None:
    rows = taken.shop.figures.groove
    if "wheel" in own:
        ground = [row for row in rows if wheel is not None and _same_wheel(row.wheel, wheel)]
    else:
        ground = list(rows)
        wheels = sorted({row.wheel for row in rows})
        if wheels and not _same_wheel(wheels[-1], wheels[0]):
            taken.notes["bend.groove"] = (
                f"{taken.shop.name} has grooves of wheels {_lengths(wheels, unit)}: say which wheel"
            )
            return
    if ground:
        taken.notes.pop("bend.groove", None)
        row = ground[-1]
        taken.take("bend.groove", f"{row.groove!r} mm", row.measured_on)
        if "wheel" not in own:
            taken.take("bend.wheel", f"{row.wheel!r} mm", row.measured_on)


def _trials(taken: Borrowed, key: str, way: str, stock: Stock) -> list[TrialBend]:
    """Trial bends that serve a plate: of its material, where there are any, else of its family."""
    family = stock.material.family
    made = [row for row in taken.shop.figures.bend if row.way == way]
    like = [row for row in made if row.material.family == family]
    fit = [row for row in like if _near(row.thickness, stock.thickness, THICKNESS_SHARE)]
    if not fit and key:
        metal = "stainless steel" if family == "stainless" else family
        _note_other_plate(taken, key, f"trial bends in {metal}", like, stock)
    same = [row for row in fit if row.material == stock.material]
    return same or fit


def _note_other_plate(
    taken: Borrowed,
    key: str,
    what: str,
    rows: Sequence[MeasuredKerf] | Sequence[TrialBend],
    stock: Stock,
) -> None:
    """Tell that there are such figures, and not of this thickness."""
    if rows:
        unit = taken.shop.unit
        taken.notes[key] = (
            f"{taken.shop.name} has {what} of {_lengths((row.thickness for row in rows), unit)} "
            f"plate, none of {format_length(stock.thickness, unit)}"
        )


def _lengths(lengths: Iterable[float], unit: Unit) -> str:
    return _listed(format_length(length, unit) for length in sorted(set(lengths)))


def _listed(words: Iterable[str]) -> str:
    *first, last = dict.fromkeys(words)
    return f"{', '.join(first)} and {last}" if first else last


def _near(measured: float, own: float, share: float) -> bool:
    return abs(measured - own) <= share * own + _ROUNDING


def _same_wheel(one: float, other: float) -> bool:
    return abs(one - other) <= _WHEEL_APART


def _nearest(rows: Sequence[T], *off: Callable[[T], float]) -> T | None:
    """The row that is the least off; of rows as near, the one that was measured last."""
    found = min(
        enumerate(rows),
        key=lambda each: (*(round(far(each[1]), 6) for far in off), -each[0]),
        default=None,
    )
    return found[1] if found else None


def _read(given: Any, unit: Unit) -> float | None:
    """A length of the part's own table, None where there is none to be read."""
    if isinstance(given, bool) or not isinstance(given, str | int | float):
        return None
    try:
        return parse_length(given, unit)
    except UnitError:
        return None


# --- where each figure comes from ---------------------------------------------------------------


def figures_of(table: KeyTable, common: Common, taken: Borrowed, unit: Unit) -> Iterator[Figure]:
    """Every figure of a part that a shop measures, from its own table, the shop file or neither."""
    figures = taken.shop.figures
    scored = common.bend.way == "score"
    for section in ("cutting", "bend", "limits") if scored else ("cutting", "bend"):
        own, values = _own(table, section), getattr(common, section)
        declared = _COMMON[section].inside
        assert declared is not None
        for name, measure in fields_of(declared):
            key, value = f"{section}.{name}", getattr(values, name)
            by_hands = scored and key == "bend.ligament"  # what hands can fold, where none is told
            if not measure.of_shop or (value is None and not by_hands):
                continue
            source: Source = "default"
            if name in own or key in taken.values:
                source = "file" if name in own else "shop"
            yield Figure(
                key=key,
                label=measure.label,
                value=value,
                words=_words(value, measure, unit),
                source=source,
                measured_on=taken.measured_on.get(key, ""),
                note=taken.notes.get(key, "") if source == "default" else "",
            )
    if (trial := taken.trial) and trial.springback is not None:
        yield Figure(
            key="bend.springback",
            label="springback",
            value=trial.springback,
            words=format_angle(trial.springback),
            source="shop",
            measured_on=trial.measured_on,
        )
    division = figures.tape.division
    yield Figure(
        key="tape.division",
        label="tape's division",
        value=division or USUAL_DIVISION[unit],
        words=format_length(division or USUAL_DIVISION[unit], unit),
        source="shop" if division else "default",
    )
    if printer := taken.shop.printer:
        yield Figure(
            key="printer",
            label="printer",
            value=repr(printer),
            words=f"{printer.across:.2%} across, {printer.up:.2%} up".replace("%", " %"),
            source="shop",
            measured_on=printer.measured_on,
        )
    if figures.paper:
        yield Figure(
            key="paper", label="paper", value=figures.paper, words=figures.paper, source="shop"
        )


def _words(value: float | None, measure: Measure, unit: Unit) -> str:
    if value is None:
        return "what hands can fold"
    if measure.quantity == "length":
        # as finely as a caliper reads
        return f"{value:.2f} mm" if unit == "mm" else format_length(value, unit)
    if measure.quantity == "factor":
        return f"{value:.3g}"
    return measure.show(value, unit, "nearest")
