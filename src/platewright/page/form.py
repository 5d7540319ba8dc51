"""The measuring form as JSON values: every field of a file, from the declarations alone."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from functools import lru_cache
from typing import Any

from platewright.files.additions import shown_keys
from platewright.files.sections import Common
from platewright.files.setup import SetupHead
from platewright.files.shop_file import ShopFigures
from platewright.kinds.kind import KindsOnDemand
from platewright.kinds.making import Extras
from platewright.measure import fields_of, lettered
from platewright.measurement import Measure
from platewright.suspension.setup import Setup
from platewright.units import Unit

KINDS = KindsOnDemand()

#: What a file of any kind may hold and a person at the vehicle is asked for last.


@lru_cache(maxsize=64)
def bracket_form(kind: str, unit: Unit) -> dict[str, Any]:
    """The fields of a bracket file of a kind: its own with letters, the shared ones, the features.

    Raises KeyError for a kind that there is not.
    """
    chosen = KINDS[kind]
    return {
        "id": f"{kind} {unit}",
        "title": chosen.name,
        "summary": chosen.summary,
        "sections": [
            *_sections(chosen.measurements, unit, lettered(chosen.measurements)),
            *_sections(Common, unit, {}),
        ],
        "features": [
            _field(name, measure, unit, {}, name, shown_keys(name))
            for name, measure in fields_of(Extras)
        ],
    }  # fmt: skip


@lru_cache(maxsize=2)
def setup_form(unit: Unit) -> dict[str, Any]:
    """The fields of a setup file."""
    return {
        "id": f"travel {unit}",
        "title": "travel",
        "summary": "The suspension of one wheel.",
        "sections": [*_sections(Setup, unit, lettered(Setup)), *_sections(SetupHead, unit, {})],
        "features": [],
    }


@lru_cache(maxsize=2)
def shop_form(unit: Unit) -> dict[str, Any]:
    """The fields of a shop file."""
    return {
        "id": f"shop {unit}",
        "title": "shop",
        "summary": "The shop's own figures, each with what it was measured on.",
        "sections": list(_sections(ShopFigures, unit, {})),
        "features": [],
    }


def _sections(declared: type, unit: Unit, letters: Mapping[str, str]) -> Iterator[dict[str, Any]]:
    """The single values of a declared class as one section, then each of its tables."""
    fields = fields_of(declared)
    singles = [(n, m) for n, m in fields if m.quantity not in ("table", "rows")]
    if singles:
        own = [_field(n, m, unit, letters, n) for n, m in singles]
        yield {"key": "", "label": "", "how": "", "optional": False, "fields": own}
    for name, measure in fields:
        head = {"key": name, "label": measure.label, "how": measure.how}
        if measure.quantity == "table" and measure.inside is not None:
            inside = fields_of(measure.inside)
            own = [_field(n, m, unit, letters, f"{name}.{n}") for n, m in inside]
            yield head | {"optional": measure.optional, "fields": own}
        elif measure.quantity == "rows":
            own = [_field(name, measure, unit, letters, name)]
            yield head | {"optional": True, "fields": own}


def _field(
    name: str,
    measure: Measure,
    unit: Unit,
    letters: Mapping[str, str],
    key: str,
    shown: Collection[str] = (),
) -> dict[str, Any]:
    """One field; of a feature's columns those in `shown`, and of rows in them what is needed."""
    told: dict[str, Any] = {
        "key": key,
        "name": name,
        "label": measure.label,
        "how": measure.how.partition(", such as [{")[0],  # nobody writes TOML here
        "quantity": measure.quantity,
        "letter": letters.get(key, ""),
        "star": measure.fit_critical,
        "optional": measure.optional or not measure.required,
        "allowed": measure.limits(unit) if measure.quantity not in ("table", "rows") else "",
        "choices": list(measure.choices),
        "default": measure.default_text(unit) if measure.inside is None else "",
    }
    if measure.inside is not None:
        mark = "[]." if measure.quantity == "rows" else "."
        told["columns"] = []
        for n, m in fields_of(measure.inside):
            # of rows within a feature the columns that most rows have
            inner = fields_of(m.inside) if shown and m.inside is not None else ()
            needed = {each for each, one in inner if not one.optional or one.fit_critical}
            told["columns"].append(
                _field(n, m, unit, letters, f"{key}{mark}{n}", needed)
                | {"seldom": bool(shown) and n not in shown, "begin": n in shown}
            )
    if measure.quantity in ("rows", "lengths", "pairs"):
        told["least"], told["most"] = int(measure.minimum or 0), int(measure.maximum or 0)
    return told
