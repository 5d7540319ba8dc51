"""A toy kind that declares every sort of measurement, and texts that are nearly its files."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from hypothesis import strategies as st

from platewright import measure
from platewright.errors import BuildError, UnitError
from platewright.kinds.kind import Kind
from platewright.plate.bend import BendWay
from platewright.plate.flatten import Drawn
from platewright.plate.stock import Stock
from platewright.units import Unit


def read_letter(given: Any, _unit: Unit) -> str:
    if not isinstance(given, str) or given not in "xyz":
        raise UnitError("allowed: x, y or z")
    return given.upper()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    long: float = measure.length("Along the tab.", "1/2 in to 9 in", label="tab length")
    tilt: float = measure.angle("From square.", "0 to 60", default=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    count: int = measure.count("How many.", "1 to 8", label="hole count", default=2)
    spacing: float | None = measure.length(
        "Centre to centre.",
        "1/4 in to 40 in",
        label="hole spacing",
        optional=True,
        fit_critical=True,
    )
    fit: str = measure.choice("How close.", ("close", "normal", "loose"), default="normal")

    def problems(self) -> tuple[tuple[str, str], ...]:
        needs = self.count > 1 and self.spacing is None
        return (("spacing", "several holes need a spacing"),) if needs else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Toy:
    width: float = measure.length("Across the plate.", "1 in to 20 in", fit_critical=True)
    shift: float = measure.length("Sideways.", negative=True, default="0")
    turn: float = measure.angle("Anticlockwise.", "-90 to 90", default=0)
    share: float = measure.factor("A share.", "at most 1", default=0.5)
    push: float | None = measure.force("A push.", "at most 2 kN", optional=True)
    air: float = measure.pressure("Gauge.", "at most 150 psi", default="100 psi")
    face: float | None = measure.area("An area.", optional=True)
    feed: float | None = measure.speed("A speed.", optional=True)
    painted: bool = measure.flag("Whether painted.")
    words: str | None = measure.text("Any words.", optional=True)
    letter: str = measure.custom("A letter.", read=read_letter, allowed="x, y or z", default="x")
    steps: tuple[float, ...] = measure.lengths("Each step.", "at most 5")
    corners: tuple[tuple[float, float], ...] = measure.pairs("Corners.", "at least 3")
    holes: Holes = measure.table("Its holes.", Holes)
    lug: Tab | None = measure.table("A lug.", Tab, optional=True)
    tabs: tuple[Tab, ...] = measure.rows("Its tabs.", Tab, "1 to 3")

    def problems(self) -> tuple[tuple[str, str], ...]:
        return (
            (("tabs[1].long", "longer than the width"),) if self.tabs[0].long > self.width else ()
        )


def _no_bracket(_toy: Any, _stock: Stock, _way: BendWay) -> Drawn:
    raise BuildError("the toy makes no bracket", "width", "holes.spacing")


TOY = Kind(
    name="toy",
    summary="A plate for tests.",
    measurements=Toy,
    draw=_no_bracket,
    dimensions=lambda _, __: (),
)
KINDS = {"toy": TOY}

COMMON = """\
kind = "toy"
units = "in"
"""
SECTIONS = """\
[stock]
thickness = "3/16"
material = "A36"
[bend]
way = "score"
groove = "0.07"
"""
BODY = """\
width = "5 1/2"
corners = [[0, 0], ["4", "-1/2"], [4, "50 mm"]]
"""
TABLES = """\
[holes]
spacing = 3.5
[[tabs]]
long = 2
"""
GOOD = COMMON + BODY + SECTIONS + TABLES

_keys = st.sampled_from(
    [
        "kind",
        "units",
        "width",
        "widht",
        "part",
        "stock",
        "bend",
        "holes",
        "tabs",
        "lug",
        "corners",
        "steps",
        "name",
        "hand",
        "quantity",
        "note",
        "painted",
        "letter",
        "turn",
        "thickness",
        "gauge",
        "gauge_table",
        "material",
        "way",
        "groove",
        "k",
        "long",
        "spacing",
        "count",
        "cutting",
    ]
)
_plain = st.one_of(
    st.sampled_from(
        [
            "toy",
            "in",
            "mm",
            "score",
            "brake",
            "A36",
            "3/16",
            "3 3/16",
            "none",
            "pair",
            "law",
            "7 ga",
            "",
            "x",
            "nan",
            "-1",
            "500 lb",
        ]
    ),
    st.text(max_size=12),
    st.integers(),
    st.floats(),
    st.booleans(),
    st.dates(),
    st.times(),
)

#: Documents as TOML could have them: likely keys, unlikely values.
documents = st.recursive(
    st.dictionaries(_keys, _plain, max_size=6),
    lambda inner: st.dictionaries(
        _keys,
        st.one_of(_plain, inner, st.lists(inner, max_size=3), st.lists(_plain, max_size=3)),
        max_size=8,
    ),
    max_leaves=8,
)


def toml(value: Any) -> str:
    """A value in TOML's own words, tables inline."""
    if isinstance(value, dict):
        return (
            "{" + ", ".join(f"{_text(key)} = {toml(inside)}" for key, inside in value.items()) + "}"
        )
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text(value)
    return value.isoformat() if hasattr(value, "isoformat") else str(value)


def _text(text: str) -> str:
    escaped = "".join(c if c.isalnum() and c.isascii() else f"\\U{ord(c):08x}" for c in text)
    return f'"{escaped}"'


def document(values: dict[str, Any]) -> str:
    """A whole file, one key a line."""
    return "".join(f"{_text(key)} = {toml(value)}\n" for key, value in values.items())
