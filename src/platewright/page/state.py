"""What the page shows of a draft, worked out from the text of a file: JSON values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from platewright.errors import FileError, PlatewrightError
from platewright.files.job import Part
from platewright.files.sections import Common
from platewright.files.setup import SetupHead
from platewright.files.shop_file import SHOP_TABLES, ShopFigures, read_shop
from platewright.files.source import read_toml
from platewright.findings.words import finding_words, grouped
from platewright.kinds.making import Extras
from platewright.measure import fields_of
from platewright.measurement import Measure
from platewright.page.edits import with_edits
from platewright.page.form import KINDS
from platewright.page.picture import bent_edges, picture
from platewright.page.reading import read
from platewright.page.work import mistake_json
from platewright.report.changed import change_lines, distances_changed
from platewright.report.dimensions_json import measured_json
from platewright.report.part import finding_json
from platewright.sheets.figures import weight_words
from platewright.shop.notes import bend_words, piece_title
from platewright.suspension.setup import Setup
from platewright.units import Unit, format_length

Json = dict[str, Any]

#: Top-level keys that a part of several may take from what all share.
_SHARED = {name for name, _ in fields_of(Common) if name != "name"}


def draft_state(
    name: str,
    text: str,
    edits: Sequence[Mapping[str, Any]],
    saved: str | None,
    before: str | None,
    number: int,
) -> Json:
    """The text with its edits made, and all that is shown of part `number` of it, from 1.

    `saved` is the file's text on the disk, `before` the last text that made brackets.
    """
    raw = _raw(text, name)
    refused: tuple[tuple[str, str], ...] = ()
    if edits:
        placed = [_placed(edit, raw, int(edit.get("part", number))) for edit in edits]
        text, refused = with_edits(text, placed, fields_in(raw, number))
        raw = _raw(text, name)
    sort = sort_of(raw)
    if sort == "setup":
        told = _setup_state(name, text)
    elif sort == "shop":
        unit, messages = _unit(raw), list[Json]()
        try:
            read_shop(text, name)
        except FileError as error:
            messages = [mistake_json(each) for each in error.mistakes]
        told = {"unit": unit, "form": f"shop {unit}", "messages": messages, "good": not messages}
    else:
        told = _bracket_state(name, text, saved, before, number)
    return {
        "text": text,
        "sort": sort,
        **typed_in(raw, number),
        "refused_edits": [{"key": key, "message": message} for key, message in refused],
        **told,
    }


# --- what the file says -------------------------------------------------------------------------


def _raw(text: str, name: str) -> Json:
    try:
        return read_toml(text, name)
    except FileError:
        return {}


def sort_of(raw: Json) -> str:
    """What sort of file a table is of: "bracket", unless another sort's own tables stand in it."""
    if {"kind", "part"} & raw.keys() and "made_of" not in raw:
        return "bracket"
    if isinstance(raw.get("travel"), Mapping):
        return "setup"
    return "shop" if SHOP_TABLES & raw.keys() else "bracket"


def _own(raw: Json, number: int) -> tuple[Json, str]:
    """The table of a part and where it stands."""
    rows = raw.get("part")
    if isinstance(rows, list) and 1 <= number <= len(rows) and isinstance(rows[number - 1], dict):
        return rows[number - 1], f"part[{number}]."
    return raw, ""


def fields_in(raw: Json, number: int) -> dict[str, Measure]:
    """What is declared of the keys of a file's table, and of a part's, from 1."""
    sort = sort_of(raw)
    if sort == "setup":
        return dict(fields_of(SetupHead)) | dict(fields_of(Setup))
    if sort == "shop":
        return dict(fields_of(ShopFigures))
    kind = _kind_name(raw, number)
    own = dict(fields_of(KINDS[kind].measurements)) if kind in KINDS else {}
    return dict(fields_of(Common)) | dict(fields_of(Extras)) | own


def _kind_name(raw: Json, number: int) -> str:
    own, _ = _own(raw, number)
    kind = own.get("kind", raw.get("kind"))
    return kind if isinstance(kind, str) else ""


def _placed(edit: Mapping[str, Any], raw: Json, number: int) -> dict[str, Any]:
    """An edit by the file's own key: a part's, unless all parts share what it stands in."""
    own, prefix = _own(raw, number)

    def place(key: str) -> str:
        first = key.partition(".")[0].partition("[")[0]
        shared = first in _SHARED and first in raw and first not in own
        return key if not prefix or shared else prefix + key

    names = ("key", "add_row", "remove_row")
    return {k: place(str(v)) if k in names else v for k, v in edit.items()}


def typed_in(raw: Json, number: int) -> Json:
    """Every value as typed by its key, and how many rows each list of tables has."""
    own, _ = _own(raw, number)
    shared = {name: value for name, value in raw.items() if name in _SHARED}
    typed: dict[str, Any] = {}
    rows: dict[str, int] = {}

    def walk(table: Mapping[str, Any], before: str) -> None:
        for name, value in table.items():
            key = before + name
            if isinstance(value, Mapping):
                rows[key] = 1
                walk(value, f"{key}.")
            elif isinstance(value, list) and value and all(isinstance(v, Mapping) for v in value):
                rows[key] = len(value)
                for index, row in enumerate(value, 1):
                    walk(row, f"{key}[{index}].")
            else:
                typed[key] = _as_typed(value)

    walk({**shared, **own}, "")
    return {"typed": typed, "rows": rows}


def _as_typed(value: Any) -> Any:
    """A value as JSON has it; a list of lists as it is."""
    if isinstance(value, list):
        return [_as_typed(each) for each in value]
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) > 2**53:
        return str(value)[:60]
    if isinstance(value, float) and (value != value or value in (float("inf"), float("-inf"))):
        return str(value)
    return value if isinstance(value, str | int | float | bool) else str(value)


# --- a bracket ------------------------------------------------------------------------------------


def _bracket_state(
    name: str, text: str, saved: str | None, before: str | None, number: int
) -> Json:
    messages: list[Json] = []
    parts: tuple[Part, ...] = ()
    part = None
    try:
        parts = read(name, text).parts
        part = parts[number - 1] if number <= len(parts) else None
        if part is not None:
            _ = part.judgements, part.mock_ups, part.guides
    except FileError as error:
        own = f"part[{number}]."
        for each in error.mistakes:
            # by the key in its own part, and which part that is
            of_other = each.key.startswith("part[") and not each.key.startswith(own)
            key, file = each.key.removeprefix(own), "" if each.file == name else each.file
            told_here = {"key": key, "other_part": of_other, "file": file}
            messages.append(mistake_json(each) | told_here)
    shown, part_shown = ("draft", part) if part and not messages else _before(name, before, number)
    raw = _raw(text, name)
    unit, kind = _unit(raw, number), _kind_name(raw, number)
    stem, rows = Path(name).stem, raw.get("part")
    count = min(len(rows), 500) if isinstance(rows, list) else 1
    named = [f"{stem}-{n}" for n in range(1, count + 1)] if count > 1 else [stem] * count
    told: Json = {
        "parts": [each.name for each in parts] or named,
        "part": number,
        "kind": kind,
        "unit": unit,
        "form": f"{kind} {unit}",
        "messages": messages,
        "good": shown == "draft",
        "shown": shown,
        "pieces": [],
        "changed": [],
        "changed_lines": [],
        "panels": [],
        "fingerprint": "",
        "stock": None,
    }
    if part_shown is not None:
        told |= _part_state(part_shown)
        told |= _changed(name, saved, part_shown, number)
    return told


def _before(name: str, before: str | None, number: int) -> tuple[str | None, Part | None]:
    if before is not None:
        try:
            part = read(name, before).parts[number - 1]
            _ = part.judgements
            return "before", part
        except (FileError, IndexError):
            pass
    return None, None


def _unit(raw: Json, number: int = 1) -> Unit:
    own, _ = _own(raw, number)
    return "mm" if own.get("units", raw.get("units")) == "mm" else "in"


def _part_state(part: Part) -> Json:
    unit, stock = part.unit, part.stock
    in_place = part.kind.in_place(part.measurements, part.bracket)
    pieces: list[Json] = []
    for piece, judgement in zip(part.pieces, part.judgements, strict=True):
        box = piece.blank.bounds
        # the right hand of a pair is the mirror image, and drawn and measured once
        drawn = {} if pieces else {"picture": picture(piece, in_place), **measured_json(piece, {})}
        pieces.append(
            {
                "name": piece.name,
                "hand": piece.hand,
                "title": piece_title(piece),
                "blank": f"{format_length(box.width, unit)} x {format_length(box.height, unit)}",
                "mass": weight_words(stock.mass_kg(piece.blank.area), unit),
                "bends": [bend_words(bend) for bend in piece.blank.bends],
                **drawn,
                "findings": [
                    finding_json(each, unit) | {"words": finding_words(each, unit)}
                    for each in grouped(judgement.findings, unit)
                ],
            }
        )
    return {
        "pieces": pieces,
        "fingerprint": part.fingerprint,
        "figures": [
            {
                "key": each.key,
                "label": each.label,
                "words": each.words,
                "source": each.source,
                "source_words": each.source_words,
            }
            for each in part.figures
        ],
        "stock": {
            "words": f"{format_length(stock.thickness, unit)} {stock.material.label}",
            "thickness_mm": stock.thickness,
            "material": stock.material.name,
        },
        "panels": [
            {
                "name": panel.name,
                "edges": [edge for edge, _ in panel.edges],
                "bent": sorted(bent_edges(part.bracket, panel)),
            }
            for panel in part.bracket.root.walk()
        ],
    }


def _changed(name: str, saved: str | None, part: Part, number: int) -> Json:
    """What the draft changes against the file on the disk."""
    if saved is None:
        return {}
    try:
        old = read(name, saved).parts[number - 1]
        _ = old.pieces
    except (PlatewrightError, IndexError):
        return {}
    if old.fingerprint == part.fingerprint:
        return {}
    changed = list(distances_changed(old.pieces[0], part.pieces[0]))
    lines = [line for each in changed for line in change_lines(each, part.unit)]
    return {"changed": changed, "changed_lines": lines or ["no distance changes"]}


# --- other files ----------------------------------------------------------------------------------


def _setup_state(name: str, text: str) -> Json:
    from platewright.files.setup import read_setup, travel_of
    from platewright.suspension.report import travel_json, travel_words

    unit = _unit(_raw(text, name))
    told: Json = {"unit": unit, "form": f"travel {unit}", "messages": [], "good": True}
    try:
        file = read_setup(text, name)
        of = travel_of(file)
    except FileError as error:
        messages = [mistake_json(each) for each in error.mistakes]
        return {**told, "messages": messages, "good": False, "travel": None}
    return {
        **told,
        "fingerprint": file.fingerprint,
        "travel": travel_json(of),
        "lines": travel_words(of).split("\n"),
    }


def form_key(name: str, text: str, number: int) -> tuple[str, Unit]:
    """The kind and the unit whose form a file is filled in by; "travel" for a setup, "shop"."""
    raw = _raw(text, name)
    sort, unit = sort_of(raw), _unit(raw, number)
    if sort != "bracket":
        return {"setup": "travel"}.get(sort, sort), unit
    return _kind_name(raw, number), unit


def starter_text(kind: str, unit: Unit) -> str:
    """A file to begin from: of a kind, "travel" for a setup, or "shop". Raises FileError."""
    from platewright.files.starter import setup_starter, shop_starter, starter

    if kind == "shop":
        return shop_starter(unit)
    if kind == "travel":
        return setup_starter(unit)
    if kind not in KINDS:
        raise FileError.of("", "no such kind of bracket", "kind")
    return starter(KINDS[kind], unit)
