"""A commented file to start from, written from the declarations; it reads back without mistakes."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping

from platewright.errors import FileError, PlatewrightError, UnitError
from platewright.files.additions import additions
from platewright.files.job import Part
from platewright.files.reader import read_job
from platewright.files.sections import Common
from platewright.files.setup import SetupHead, read_setup
from platewright.files.shop_file import ShopFigures, read_shop
from platewright.files.written import list_of, remark, toml
from platewright.kinds.kind import Kind
from platewright.measure import fields_of, lettered
from platewright.measurement import Measure, Scalar
from platewright.plate.blank import blank_of
from platewright.suspension.setup import Setup
from platewright.units import Unit, format_exact
from platewright.values import dataclass

_HEAD = """\
# {title}
#
# Replace every value below by your own measurement.
# A line that begins with #key is not read: take the # away to use it.
# Letters are those of the measuring form; * marks what decides whether the part fits.
# A number without a unit is in {unit}. A fraction, or a unit of its own, needs quotes:
# "3 3/16", "1'-2 1/2\\"", "80 mm".
"""

_SHOP_HEAD = """\
# Shop: your own measured figures, for every bracket file in this folder that has none of its own.
#
# What the bracket file says comes first, then this file, then the usual figure; each sheet says
# which it was. A line or a [table] that begins with # is not read: take the # away to use it.
# A [[table]] in double brackets may stand as often as needed. A figure of other plate is not used.
# A number without a unit is in {unit}. A fraction, or a unit of its own, needs quotes:
# "3/16", "0.062 in", "1.5 mm".
"""

_SETUP_TITLE = "Setup: one wheel's suspension, for `platewright travel` and for seats that name it."
_SETUP_HEAD = """\
#
# Places are taken in side view from a straight line of the frame, the datum line (the underside
# of the rail, say), and from a mark on it. Along: rearward of the mark. Above: above the line.
# A minus is the other way. Laid out: the frame down on the ground.
"""

_STEPS = re.compile(r"<(\d+)>")
_ROW = re.compile(r"\[\d*\]")

#: What an example is tried from, by quantity and the file's unit.
_TRIED: Mapping[str, tuple[Scalar, ...]] = {
    "angle": (45, 90, 10, 0, -45),
    "count": (1, 2, 3, 4, 6, 10, 0),
    "factor": (1, 0.5, 0.33, 0.1, 2, 10, 0),
    "force": ("500 lb", "2000 lb", "100 lb", "10 lb", "0 lb"),
    "pressure": ("90 psi", "50 psi", "10 psi", "0 psi"),
    "area": ("10 in2", "1 in2", "100 in2", "0 in2"),
    "speed": ("100 in/min", "20 in/min", "10 in/min", "0 in/min"),
    "text": ("words",),
    "custom": ("1/4 in", 1, "1"),
}
_TRIED_LENGTHS: Mapping[Unit, tuple[str, ...]] = {
    "in": ("4 in", "1 in", "1/4 in", "1/16 in", "0.02 in", "12 in", "48 in", "0 in"),
    "mm": ("100 mm", "25 mm", "6 mm", "1.5 mm", "0.5 mm", "300 mm", "1200 mm", "0 mm"),
}


def starter(kind: Kind, unit: Unit) -> str:
    """A job file of one part of that kind, ready to be filled in.

    At its end stands what a file of any kind may hold besides, where the values make a bracket.
    """
    text = own_starter(kind, unit)
    try:
        (part,) = read_job(text, "starter.toml", {kind.name: kind}).parts
        return f"{text}\n{additions(part.bracket, unit)}"
    except FileError:
        return text


def own_starter(kind: Kind, unit: Unit, opened: frozenset[str] = frozenset()) -> str:
    """The keys that every part has and those of the kind.

    Optional keys are commented out, but those in `opened` and those that the other values call
    for.
    """
    title = f"{kind.name.capitalize()}: {kind.summary}"
    sheet = _Sheet(
        head=_HEAD.format(title=title, unit=_unit_words(unit)),
        groups=(fields_of(Common), fields_of(kind.measurements)),
        letters=lettered(kind.measurements),
        fixed={"kind": kind.name, "units": unit},
        rounded=unit == "mm",
    )
    return _filled(
        sheet, unit, opened, lambda text: read_job(text, "starter.toml", {kind.name: kind})
    )


def shop_starter(unit: Unit, opened: frozenset[str] = frozenset()) -> str:
    """A shop file, ready to be filled in; `opened` as for `starter`."""
    sheet = _Sheet(
        head=_SHOP_HEAD.format(unit=_unit_words(unit)),
        groups=(fields_of(ShopFigures),),
        letters={},
        fixed={"units": unit},
    )
    return _filled(sheet, unit, opened, lambda text: read_shop(text, "starter.toml"))


def setup_starter(unit: Unit, opened: frozenset[str] = frozenset()) -> str:
    """A setup file of a suspension, ready to be filled in; `opened` as for `starter`."""
    sheet = _Sheet(
        head=_HEAD.format(title=_SETUP_TITLE, unit=_unit_words(unit)) + _SETUP_HEAD,
        groups=(fields_of(SetupHead), fields_of(Setup)),
        letters=lettered(Setup),
        fixed={"units": unit},
    )
    return _filled(sheet, unit, opened, lambda text: read_setup(text, "starter.toml"))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sheet:
    """What a file is written from: its head, its declared fields in groups, letters by key.

    `fixed` are values that are no example; `rounded` examples are whole millimetres in such files.
    """

    head: str
    groups: tuple[tuple[tuple[str, Measure], ...], ...]
    letters: Mapping[str, str]
    fixed: Mapping[str, str]
    rounded: bool = False


def _filled(
    sheet: _Sheet, unit: Unit, opened: frozenset[str], read: Callable[[str], object]
) -> str:
    """The file with whatever its own values call for opened."""
    while True:
        text = _Writer(sheet, unit, opened).text()
        called_for = _called_for(text, read) - opened
        if not called_for:
            return text
        opened |= called_for


def _called_for(text: str, read: Callable[[str], object]) -> frozenset[str]:
    """Keys that reading the text complains of."""
    try:
        read(text)
    except FileError as error:
        # the first row stands for all that is said of rows; a further one is named by its number
        return frozenset(mistake.key.replace("[1]", "[]") for mistake in error.mistakes)
    return frozenset()


@dataclass(frozen=True, slots=True)
class _Writer:
    """Writes the declarations out; `opened` are optional keys to write all the same."""

    sheet: _Sheet
    unit: Unit
    opened: frozenset[str]

    def text(self) -> str:
        """The whole file: single values first, then the tables, as TOML wants it."""
        lines = [self.sheet.head]
        for fields in self.sheet.groups:
            lines += self._singles(fields, "", self.sheet.letters)
        for fields in self.sheet.groups:
            lines += self._tables(fields, "", self.sheet.letters)
        return "\n".join(lines) + "\n"

    def _singles(
        self,
        fields: tuple[tuple[str, Measure], ...],
        before: str,
        letters: Mapping[str, str],
        closed: str = "",
    ) -> Iterator[str]:
        for name, measure in fields:
            if measure.inside is None:
                key = before + name
                letter = letters.get(key, "")
                star = " *" if measure.fit_critical else ""
                yield from remark(f"{letter}  {measure.label}{star}".strip())
                yield from remark(measure.how, "   ")
                limits, default = measure.limits(self.unit), measure.default_text(self.unit)
                if limits:
                    yield from remark(f"Allowed: {limits}.", "   ")
                if measure.of_shop:
                    default = f"the shop file's, else {default}" if default else "the shop file's"
                if default:
                    yield from remark(f"Left out: {default}.", "   ")
                shut = closed or ("" if self._live(key, measure) else "#")
                yield f"{shut}{name} = {self._value(name, measure)}"
                yield ""

    def _tables(
        self,
        fields: tuple[tuple[str, Measure], ...],
        before: str,
        letters: Mapping[str, str],
        closed: str = "",
    ) -> Iterator[str]:
        for name, measure in fields:
            if measure.inside is None:
                continue
            rows = measure.quantity == "rows"
            left_out = measure.optional or (rows and not measure.minimum)
            shut = closed or ("#" if left_out and before + name not in self.opened else "")
            yield from remark(f"--- {measure.label}: {measure.how}")
            key = _ROW.sub("", before) + name
            yield shut + (f"[[{key}]]" if rows else f"[{key}]")
            inside, mark = fields_of(measure.inside), "[]." if rows else "."
            yield from self._singles(inside, before + name + mark, letters, shut)
            yield from self._tables(inside, before + name + mark, letters, shut)
            if rows:
                yield from self._further_rows(measure, f"[[{key}]]", before + name)

    def _further_rows(self, measure: Measure, head: str, before: str) -> Iterator[str]:
        """As many more rows as there must be, without their remarks."""
        assert measure.inside is not None
        fields = fields_of(measure.inside)
        for number in range(2, int(measure.minimum or 0) + 1):
            inside = f"{before}[{number}]."
            yield head
            for line in (*self._singles(fields, inside, {}), *self._tables(fields, inside, {})):
                if line and not line.startswith("#"):
                    yield line
            yield ""
        if measure.again:
            yield head
            yield from (_STEPS.sub(lambda n: self._whole(int(n[1])), s) for s in measure.again)
            yield ""

    def _live(self, key: str, measure: Measure) -> bool:
        """Whether a single value is written to be read."""
        usual = measure.default is not None and not measure.of_shop
        return measure.required or usual or key in self.opened

    def _value(self, name: str, measure: Measure) -> str:
        if name in self.sheet.fixed:
            return toml(self.sheet.fixed[name])
        if measure.quantity == "lengths":
            count = max(int(measure.minimum or 0), 1)
            return list_of(toml(self._whole(i)) for i in range(1, count + 1))
        if measure.quantity == "pairs":
            return list_of(list_of(map(toml, pair)) for pair in self._corners(measure))
        return toml(_single_value(measure, self.unit, rounded=self.sheet.rounded))

    def _corners(self, measure: Measure) -> list[tuple[str, str]]:
        """Corners of a regular polygon, anticlockwise, in whole inches or centimetres.

        Its first edge lies below.
        """
        count = max(int(measure.minimum or 0), 4)
        turns = [math.tau * ((i - 0.5) / count - 0.25) for i in range(count)]
        points = [(round(count * math.cos(t)), round(count * math.sin(t))) for t in turns]
        return [(self._whole(x), self._whole(y)) for x, y in points]

    def _whole(self, steps: int) -> str:
        return f"{steps} in" if self.unit == "in" else f"{steps * 10} mm"


def _single_value(measure: Measure, unit: Unit, *, rounded: bool) -> Scalar:
    """The example, the default, or the first value tried that the limits allow."""
    if rounded and measure.quantity == "length" and measure.example is not None:
        # A length as a metric shop would choose it, near the one given
        mm = measure.value(measure.example, unit)
        step = next(step for least, step in ((20, 5.0), (2, 1.0), (0, 0.5)) if abs(mm) >= least)
        whole = f"{(round(mm / step) * step):g} mm"
        if _allowed(measure, whole, unit):
            return whole
    if unit == "mm" and measure.example_mm is not None:
        return measure.example_mm
    for known in (measure.example, measure.default_in(unit)):
        if known is not None:
            return _in_unit(measure, known, unit)
    tried = _TRIED_LENGTHS[unit] if measure.quantity == "length" else _TRIED.get(measure.quantity)
    for value in (*(tried or ()), *measure.choices):
        if _allowed(measure, value, unit):
            return _in_unit(measure, value, unit)
    return ""


def _in_unit(measure: Measure, known: Scalar, unit: Unit) -> Scalar:
    """A value that is declared in inches or pounds as a metric file has it."""
    if unit == "in" or measure.quantity not in ("length", "force", "pressure", "area", "speed"):
        return known
    value = measure.value(known, unit)
    if measure.quantity == "length":
        return format_exact(value, unit)
    number, _, word = measure.show(value, unit, "nearest").partition(" ")
    round_value = f"{float(f'{float(number):.2g}'):g} {word}"
    return round_value if _allowed(measure, round_value, unit) else f"{number} {word}"


def _allowed(measure: Measure, value: Scalar, unit: Unit) -> bool:
    try:
        measure.value(value, unit)
    except UnitError:
        return False
    return True


def _unit_words(unit: Unit) -> str:
    return "inches" if unit == "in" else "millimetres"


# --- the example that shows the most ----------------------------------------------------------


def example(kind: Kind, unit: Unit) -> Part | None:
    """The part that the starter file describes, its optional keys opened one after another.

    A key stays shut when the rest would no longer make a bracket. None when the starter file's
    own values make none.
    """
    opened: frozenset[str] = frozenset()
    part = _example(kind, unit, opened)
    for key in _optional_keys(kind.measurements):
        fuller = _example(kind, unit, opened | {key})
        if part is not None and fuller is not None:
            part, opened = fuller, opened | {key}
    return part


def _example(kind: Kind, unit: Unit, opened: frozenset[str]) -> Part | None:
    try:
        (part,) = read_job(own_starter(kind, unit, opened), "example.toml", {kind.name: kind}).parts
        blank_of(part.bracket)
    except PlatewrightError:
        return None
    return part


def _optional_keys(declared: type, before: str = "") -> Iterator[str]:
    """Keys that a file may leave out, tables before what is in them, as the starter names them."""
    for name, measure in fields_of(declared):
        key = before + name
        if measure.optional or measure.quantity == "rows":
            yield key
        if measure.inside is not None:
            mark = "[]." if measure.quantity == "rows" else "."
            yield from _optional_keys(measure.inside, key + mark)
