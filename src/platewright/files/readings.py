"""Readings files: the rows of a check sheet with blanks to fill in, and what was filled in."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any

from platewright import measure
from platewright.errors import FileError, UnitError
from platewright.files.declared import FAILED, read_fields, read_together
from platewright.files.given import Given, KeyTable, Ledger
from platewright.files.outputs import DXF_SIGNATURE
from platewright.files.source import read_text, read_toml
from platewright.files.written import remark, toml
from platewright.measurement import Measure, Scalar
from platewright.readings.cause import MadeOf
from platewright.readings.reading import State
from platewright.units import (
    INCH,
    UNITS,
    Unit,
    format_angle,
    format_length,
    parse_angle,
    parse_length,
)
from platewright.values import dataclass

STATES: Mapping[State, str] = {
    "flat": "before bending; capitals are letters of the drawing of the blank",
    "folded": "after bending; small letters are those of the pictures of the folded part",
}
"""The tables of a readings file, and what stands beside their heads."""

MADE_OF: tuple[MadeOf, ...] = ("plate", "card")

#: A reading this many times too large or too small is asked about: is a point misplaced?
_TIMES = 8.0
#: Inches read for millimetres are no slip of the pen but a cause, which is told as one.
_INCHES = (0.9 * INCH, 1.1 * INCH)
_SURE = re.compile(r"(.*?)\s*\bsure", re.IGNORECASE | re.DOTALL)
_JOINED = re.compile(r"\s*(?:\bto\b|-|,|/)\s*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A line of a readings file, which is a row of the check sheet.

    `value` is what the tape or the bevel should show, mm or radians; `told` the same as the sheet
    prints it, with what it may be off.
    """

    state: State
    name: str
    words: str
    value: float
    told: str
    critical: bool
    angle: bool


@dataclass(frozen=True, kw_only=True)
class Measuring:
    """What can be measured of one piece: the lines of its readings file, and whose they are.

    `made_of` is "plate", or "card" for the mock-up; `without_shop` the fingerprint of the bracket
    file alone; `unit` the bracket file's; `rows` gives the lines.
    """

    part: str
    hand: str
    made_of: MadeOf
    fingerprint: str
    without_shop: str
    unit: Unit
    rows: Callable[[], tuple[Asked, ...]]

    @cached_property
    def asked(self) -> tuple[Asked, ...]:
        """Every line, worked out when it is first asked for."""
        return self.rows()

    @property
    def file_name(self) -> str:
        """What its readings file is called."""
        return f"{self.stem}-readings.toml"

    @property
    def stem(self) -> str:
        """What the names of its files begin with."""
        return f"{self.part}-card" if self.made_of == "card" else self.part


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """What was filled in: each line with its reading, mm or radians, as the tape showed it.

    `taken` are words for what the file leaves open.
    """

    of: Measuring
    readings: tuple[tuple[Asked, float], ...]
    taken: tuple[str, ...] = ()


# --- written ----------------------------------------------------------------------------------


def readings_text(of: Measuring) -> str:
    """The readings file of a piece, with a blank for every row of its check sheet."""
    unit = {"in": '"2 5/16", "7/16 shy"', "mm": '"70", "70.5"'}[of.unit]
    other = {"in": '"80 mm"', "mm": '"2 5/16 in"'}[of.unit]
    lines = [
        *remark(f"{DXF_SIGNATURE}: readings of {of.part}, {of.made_of}."),
        *remark(
            f"Write between the quotes what the tape shows: {unit}, {other}; a number without a "
            f"unit is in {of.unit}. Angles are in degrees; a bevel lies inside its fold. Leave "
            "empty what you did not measure. Behind each stand the value, what it may be off, and "
            "what to measure; FIT decides whether the part fits."
        ),
        *remark("Then: platewright readings THE-BRACKET-FILE THIS-FILE"),
        f"part        = {toml(of.part)}",
        f"hand        = {toml(of.hand)}",
        f"made_of     = {toml(of.made_of)}",
        f"fingerprint = {toml(of.fingerprint)}   # of the sheet that the part was cut from",
        *(() if of.without_shop == of.fingerprint else (f"of_the_file = {toml(of.without_shop)}",)),
        f"units       = {toml(of.unit)}",
    ]
    for state, where in STATES.items():
        asked = [each for each in of.asked if each.state == state]
        wide = max((len(toml(each.name)) for each in asked), default=0)
        told = max((len(each.told) for each in asked), default=0)
        lines += ["", f"[{state}]   # {where}"] if asked else []
        lines += [
            f'{toml(each.name):{wide}} = ""          # {"FIT" if each.critical else "":3}  '
            f"{each.told:{told}}  {each.words}"
            for each in asked
        ]
    return "\n".join((*lines, ""))


def is_readings_file(path: Path) -> bool:
    """Whether a path is a readings file; one that cannot be read is not."""
    try:
        raw = read_toml(read_text(path), str(path))
    except FileError:
        return False
    return "kind" not in raw and bool({"flat", "folded", "made_of"} & raw.keys())


def filled_in(text: str) -> tuple[str, ...]:
    """The names of the readings that stand in a text.

    Raises FileError for a text that is no TOML.
    """
    raw = read_toml(text, "")
    tables = [raw.get(state) for state in STATES]
    rows = [each for each in tables if isinstance(each, dict)]
    return tuple(name for row in rows for name, value in row.items() if not _is_blank(value))


def _is_blank(value: Any) -> bool:
    return isinstance(value, str) and not value.strip()


# --- read -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class _Head:
    """Whose readings they are."""

    part: str | None = measure.text("Whose readings these are.", optional=True)
    hand: str | None = measure.text("Which hand was measured.", optional=True)
    made_of: str = measure.choice(
        "Whether the plate or the mock-up was measured.", MADE_OF, default="plate"
    )
    fingerprint: str | None = measure.text(
        "The fingerprint on the sheets that it was cut from.", optional=True
    )
    of_the_file: str | None = measure.text(
        "The fingerprint without what the shop file gives.", optional=True
    )
    units: str | None = measure.choice(
        "What a number without a unit of its own means.", UNITS, optional=True
    )


def read_readings(text: str, path: str, pieces: Sequence[Measuring], job: str) -> Filled:
    """What was filled in of a readings file; `path` is its own name, `job` the bracket file's.

    `pieces` is all that may have been measured. Raises FileError with every mistake: letters that
    the piece does not have, readings that are none or about ten times too large or small, another
    state of the bracket file, nothing filled in.
    """
    raw = read_toml(text, path)
    mistakes: list[Any] = []
    ledger = Ledger(path, mistakes=mistakes)
    if "kind" in raw or isinstance(raw.get("part"), list):
        ledger.refuse("", "this is a bracket file; the readings file stands behind it")
        raise FileError(tuple(mistakes))
    top = KeyTable.of("", raw)
    of = _whose(top, pieces, job, ledger)
    unit = of.unit if of else "in"
    entries = {"units": Given("units", unit), **top.entries}
    head = KeyTable("", {name: given for name, given in entries.items() if name not in STATES})
    ledger, _ = read_together((_Head,), head, path, mistakes)
    if of is not None:
        _require_same_state(top, of, job, ledger)
        readings = [pair for state in STATES for pair in _readings(top, of, state, ledger)]
        if not readings and not mistakes:
            ledger.refuse(
                "", "no reading is filled in: write between the quotes what the tape shows"
            )
    if mistakes or of is None:
        raise FileError(tuple(mistakes))
    taken = []
    if "units" not in raw:
        taken.append(
            f"units: not given; numbers without a unit are taken as {job} has them, {unit}"
        )
    if "fingerprint" not in raw:
        taken.append(f"fingerprint: not given; taken to be of {job} as it is now")
    return Filled(of=of, readings=tuple(readings), taken=tuple(taken))


def _whose(
    top: KeyTable, pieces: Sequence[Measuring], job: str, ledger: Ledger
) -> Measuring | None:
    """The piece that was measured."""
    given, card = top.entries.get("part"), top.entries.get("made_of")
    made_of = "card" if card is not None and card.value == "card" else "plate"
    of = [each for each in pieces if each.made_of == made_of]
    names = [each.part for each in of]
    if given is None and len(of) == 1:
        return of[0]
    found = next((each for each in of if given is not None and each.part == given.value), None)
    if found is None:
        message = f"no such part in {job}" if given else "missing: the part that was measured"
        ledger.refuse("part", f"{message}. Allowed: {', '.join(map(toml, names))}", given, names)
    return found


def _require_same_state(top: KeyTable, of: Measuring, job: str, ledger: Ledger) -> None:
    """Refuse readings of another hand, and those of another state of the bracket file."""
    hand, sign = top.entries.get("hand"), top.entries.get("fingerprint")
    if hand is not None and isinstance(hand.value, str) and hand.value != of.hand:
        ledger.refuse("hand", f"{of.part} is the hand {toml(of.hand)}", hand, (of.hand,))
    if sign is None or not isinstance(sign.value, str) or sign.value == of.fingerprint:
        return
    alone = top.entries.get("of_the_file", sign)
    changed = "the shop file" if alone.value == of.without_shop else job
    ledger.refuse(
        "fingerprint",
        f"{changed} has changed since the sheet that was measured by: today it is "
        f"{of.fingerprint}, and letters and sizes may have changed with it. Give the files that "
        "the part was cut from; or, if it was cut from these, write "
        f'fingerprint = "{of.fingerprint}"',
        sign,
    )


def _readings(
    top: KeyTable, of: Measuring, state: State, ledger: Ledger
) -> list[tuple[Asked, float]]:
    given = top.entries.get(state)
    if given is None:
        return []
    if not isinstance(given.value, Mapping):
        ledger.refuse(state, f"should be a table, [{state}], of letters and readings", given)
        return []
    asked = {each.name: each for each in of.asked if each.state == state}
    table = KeyTable.of(state, given.value)
    entries: dict[str, Given] = {}
    for name, value in table.entries.items():
        known = _known(name, asked)
        if known in entries:
            ledger.refuse_name(value, name, f"{known} stands twice", ())
        elif not _is_blank(value.value):
            entries[known] = value
    fields = {name: _measure(each) for name, each in asked.items()}
    found = read_fields(fields, KeyTable(state, entries), ledger)
    return [(asked[name], value) for name, value in found.items() if value is not FAILED]


def _known(name: str, asked: Mapping[str, Asked]) -> str:
    """The row that a name means: "B to A" and "A-B" are "A to B"."""
    if name in asked:
        return name
    ends = sorted(_JOINED.split(name.strip()))
    alike = [each for each in asked if sorted(_JOINED.split(each)) == ends]
    return alike[0] if len(alike) == 1 else name


def _measure(asked: Asked) -> Measure:
    """The declaration of a reading."""

    def read(given: Scalar, unit: Unit) -> float:
        sure = _SURE.fullmatch(given.strip()) if isinstance(given, str) else None
        text = sure[1] if sure else given
        value = parse_angle(text, negative=False) if asked.angle else parse_length(text, unit)
        times = max(value, asked.value) / max(min(value, asked.value), 1e-9)
        if sure or times < _TIMES or _INCHES[0] <= times <= _INCHES[1]:
            return value
        # its point may stand in the wrong place
        should = format_angle(asked.value) if asked.angle else format_length(asked.value, unit)
        far = f"about {times:.0f} times too {'large' if value > asked.value else 'small'}"
        raise UnitError(
            f"it should be {should}, so this is {far if times < 1000 else 'far off'}: is the "
            "point, or the unit, misplaced? If it is as the tape shows it, write sure behind it, "
            'as in "7 sure"'
        )

    return Measure(
        quantity="angle" if asked.angle else "length",
        label=asked.name,
        how=asked.words,
        read=read,
        optional=True,
    )
