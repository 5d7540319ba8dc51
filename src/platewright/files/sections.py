"""The keys that files share: those of any file, and those of every part whatever its kind.

A further section is one more line in `Common`.
"""

from __future__ import annotations

import re
from typing import Any

from platewright import measure
from platewright.errors import UnitError
from platewright.findings.limits import Limits, Load
from platewright.measurement import Scalar
from platewright.plate.bend import BendWay, Brake, Crease, ScoreFold
from platewright.plate.detail import Detail
from platewright.plate.stock import MATERIALS, Material, Stock, gauge_thickness, parse_material
from platewright.shop.cutting import Cutting
from platewright.units import UNITS, Unit, format_length
from platewright.values import dataclass

HANDS = ("as drawn", "mirrored", "pair")

#: Taken to be left under a score until the bends are known, as a share of the thickness
#: (common practice, no published source: a score goes most of the way through).
LIGAMENT_SHARE = 0.25

_GAUGE = re.compile(r"(\d{1,2}) ?(?:ga|ga\.|gauge)?", re.ASCII)
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,59}")
_NAME_WORDS = "letters, digits, - and _, a letter or digit first, at most 60"
_UNSAFE = re.compile(r"[^A-Za-z0-9_-]+")
#: Names that some systems keep for devices.
_DEVICES = re.compile(r"con|prn|aux|nul|com\d|lpt\d", re.IGNORECASE)


def read_gauge(given: Scalar, _unit: Unit) -> int:
    """A gauge number from 7, "7" or "7 ga". Raises UnitError."""
    found = _GAUGE.fullmatch(str(given).strip().lower())
    if not found or isinstance(given, float):
        raise UnitError('not a gauge number; give one such as 7 or "7 ga"')
    return int(found[1])


def read_material(given: Scalar, _unit: Unit) -> Material:
    """A material by its name; 304 may stand without quotes. Raises UnitError."""
    return parse_material(str(given) if isinstance(given, int) else given)


def read_name(given: Scalar, _unit: Unit) -> str:
    """A name that can be a file's name on any system. Raises UnitError."""
    if not isinstance(given, str) or not _NAME.fullmatch(given):
        raise UnitError(f"no name for files; allowed: {_NAME_WORDS}")
    if _DEVICES.fullmatch(given):
        raise UnitError("some computers keep this name for themselves; choose another")
    return given


def file_name(example: str) -> Any:
    """The declaration of what a file's outputs are called."""
    return measure.custom(
        "Names the output files; left out, the name of this file.",
        label="name", read=read_name, allowed=_NAME_WORDS, optional=True, example=example,
    )  # fmt: skip


def file_units() -> Any:
    """The declaration of a file's unit."""
    return measure.choice(
        "What a number without a unit of its own means in this file.",
        UNITS, label="units", example="in",
    )  # fmt: skip


def file_note() -> Any:
    """The declaration of a file's own words for its sheets."""
    return measure.text("Words to print on the sheets.", label="note", optional=True)


def name_from(stem: str, otherwise: str) -> str:
    """A file's own name as one that any system takes; `otherwise` where nothing is left of it."""
    name = _UNSAFE.sub("-", stem).strip("-_")[:50] or otherwise
    return f"{otherwise}-{name}" if _DEVICES.fullmatch(name) else name


@dataclass(frozen=True, slots=True, kw_only=True)
class StockSection:
    """The plate that is cut."""

    thickness: float | None = measure.length(
        "Thickness of the plate, by caliper where it matters. Give this or a gauge.",
        "0.2 mm to 2 in", optional=True, fit_critical=True, example="3/16 in",
    )  # fmt: skip
    gauge: int | None = measure.custom(
        "Gauge number of steel sheet, instead of a thickness; name its table as well.",
        read=read_gauge, allowed='a gauge number such as 7 or "7 ga"', optional=True,
        example="7 ga",
    )  # fmt: skip
    gauge_table: str | None = measure.choice(
        "Which table the gauge is from: the law's (15 U.S.C. 206) or the Manufacturers' "
        "Standard Gauge. At 7 gauge they are 0.1875 in and 0.1793 in.",
        ("law", "msg"), optional=True,
    )  # fmt: skip
    material: Material = measure.custom(
        "What the plate is made of.",
        read=read_material, allowed=", ".join(MATERIALS), example="mild steel",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """Thickness and gauge that contradict each other."""
        if self.thickness is None and self.gauge is None:
            yield "thickness", "give the plate's thickness, or its gauge and gauge_table"
        if self.thickness is not None and self.gauge is not None:
            yield "gauge", "thickness and gauge are both given; keep one (a caliper is surer)"
        if self.gauge is None and self.gauge_table is not None:
            yield "gauge_table", "a gauge table without a gauge"
        if self.gauge is not None:
            if self.material.family in ("aluminium", "card"):
                yield "gauge", "the gauge tables are for steel sheet; give the thickness"
            elif self.material.family == "stainless" and self.gauge_table != "law":
                yield (
                    "gauge_table",
                    "the Manufacturers' Standard Gauge is for carbon steel: stainless sheet goes "
                    'by gauge_table = "law" (15 U.S.C. 206: 7 ga is 0.1875 in), or give the '
                    "thickness",
                )
            elif self.gauge_table is None:
                yield (
                    "gauge",
                    'the same gauge is two thicknesses: say gauge_table = "law" (15 U.S.C. 206: '
                    '7 ga is 0.1875 in) or "msg" (Manufacturers\' Standard: 7 ga is 0.1793 in)',
                )
            else:
                try:
                    _thickness(self.gauge, self.gauge_table)
                except UnitError as error:
                    yield "gauge", str(error)

    @property
    def plate(self) -> Stock:
        """The stock as a value. Raises UnitError where `problems` would tell of one."""
        for _, message in self.problems():
            raise UnitError(message)
        if self.thickness is not None:
            return Stock(self.thickness, self.material)
        return Stock(_thickness(self.gauge or 0, self.gauge_table or ""), self.material)


def _thickness(gauge: int, table: str) -> float:
    return gauge_thickness(gauge, "law" if table == "law" else "msg")


#: Keys that each way of bending must have, and those it may have.
_NEEDS = {"score": ("groove",), "brake": ("radius", "k"), "crease": ()}
_MAY_HAVE = {"score": ("ligament", "wheel"), "brake": (), "crease": ()}


@dataclass(frozen=True, slots=True, kw_only=True)
class BendSection:
    """How the bends are made."""

    way: str = measure.choice(
        "score: a groove is ground, then folded by hand. brake: a press brake or folder. "
        "crease: card, for a mock-up.",
        ("score", "brake", "crease"), label="way of bending", example="score",
    )  # fmt: skip
    groove: float | None = measure.length(
        "Score only: width of the ground groove; grind a trial groove and measure it.",
        "0.2 mm to 1/2 in", label="groove width", optional=True, of_shop=True, example="1/8 in",
    )  # fmt: skip
    ligament: float | None = measure.length(
        "Score only: metal left under the groove; left out, what hands can fold, at most a "
        "quarter of the thickness (common practice).",
        "0.05 mm to 1 in", optional=True, of_shop=True, example="3/64 in",
    )  # fmt: skip
    wheel: float | None = measure.length(
        "Score only: thickness of the cutoff wheel; tells the passes. Left out, the widest common "
        "one that fits the groove.",
        "0.2 mm to 1/2 in", optional=True, of_shop=True, example="1/16 in",
    )  # fmt: skip
    radius: float | None = measure.length(
        "Brake only: inside radius that the punch leaves, measured on a trial bend.",
        "0 to 12 in", label="inside radius", optional=True, of_shop=True, example="1/4 in",
    )  # fmt: skip
    k: float | None = measure.factor(
        "Brake only: depth of the line that keeps its length, as a share of the thickness, "
        "from a trial bend.",
        "0 to 0.5", label="neutral-line factor", optional=True, of_shop=True, example=0.4,
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """Keys that the way of bending lacks or has no use for."""
        needs, may_have = _NEEDS[self.way], _MAY_HAVE[self.way]
        for key in ("groove", "ligament", "wheel", "radius", "k"):
            given = getattr(self, key) is not None
            if key in needs and not given:
                yield key, f'a bend made by "{self.way}" needs its {key}'
            if given and key not in (*needs, *may_have):
                yield key, f'has no use with way = "{self.way}"; leave it out'
        if self.wheel and self.groove and self.groove < self.wheel:
            yield "groove", "a groove cannot be narrower than the wheel that ground it"

    def bend_way(self, thickness: float) -> BendWay:
        """The way of bending as a value for plate of this thickness, mm.

        Raises UnitError where `problems` would tell of one.
        """
        for _, message in self.problems():
            raise UnitError(message)
        if self.groove is not None:
            ligament = thickness * LIGAMENT_SHARE if self.ligament is None else self.ligament
            return ScoreFold(self.groove, ligament, self.wheel)
        if self.radius is not None and self.k is not None:
            return Brake(self.radius, self.k)
        return Crease()


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """The card of a mock-up: creased, so that its blank is not the plate's."""

    thickness: float = measure.length(
        "Thickness of the card; left out, too thin to count.",
        "0 to 1/4 in", label="card thickness", default="0",
    )  # fmt: skip

    @property
    def stock(self) -> Stock:
        """The card as a value."""
        return Stock(self.thickness, MATERIALS["card"])


@dataclass(frozen=True, slots=True, kw_only=True)
class Common:
    """What every part has besides the measurements of its kind."""

    kind: str = measure.text("Which kind of bracket this is.")
    name: str | None = file_name("rear-left")
    units: str = file_units()
    hand: str = measure.choice(
        "The hand that is drawn, its mirror image, or one of each.", HANDS, default="as drawn"
    )
    quantity: int = measure.count(
        "How many to make; of a pair, how many pairs.", "1 to 999", default=1
    )
    note: str | None = file_note()
    stock: StockSection = measure.table("The plate that is cut.", StockSection)
    bend: BendSection = measure.table("How the bends are made.", BendSection)
    cutting: Cutting = measure.table("How the torch or the table cuts.", Cutting)
    detail: Detail = measure.table("What is cut into the outline where bends end and meet.", Detail)
    card: Card = measure.table("The card of a mock-up.", Card)
    limits: Limits = measure.table("What the shop has and can do.", Limits)
    load: Load | None = measure.table(
        "What the bracket carries, for the strength screen.", Load, optional=True
    )

    def problems(self) -> measure.Problems:
        """Sections that contradict each other."""
        if self.stock.material.family == "card" and self.bend.way == "score":
            yield "bend.way", 'card is not ground but creased: write way = "crease"'
        ligament = self.bend.ligament
        if ligament is not None and not list(self.stock.problems()):
            thickness = self.stock.plate.thickness
            if ligament >= thickness:
                words = format_length(thickness, "mm" if self.units == "mm" else "in")
                yield "bend.ligament", f"nothing would be ground: the plate is {words} thick"
