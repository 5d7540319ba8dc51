"""Weight: the blank, the metal that the wheel takes and the weld that goes in."""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.plate.blank import Blank
from platewright.plate.stock import Stock
from platewright.shop.scores import score_of, weld_mass_g

LB_PER_KG = 1 / 0.45359237
"""Pounds in a kilogram (exact by definition)."""

OZ_PER_G = 16 * LB_PER_KG / 1000
"""Ounces in a gram (exact by definition)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """Masses of one bracket, kg: as cut, ground out of scores, and weld to fill their channels."""

    cut_kg: float
    ground_kg: float
    weld_kg: float

    @property
    def finished_kg(self) -> float:
        """The bracket with its channels welded, kg."""
        return self.cut_kg - self.ground_kg + self.weld_kg


def weight(blank: Blank, stock: Stock) -> Weight:
    """The masses of a blank's bracket; weld is taken as dense as the plate."""
    found = [score_of(bend, stock.thickness) for bend in blank.bends]
    scores = [score for score in found if score is not None]
    material = stock.material
    return Weight(
        cut_kg=stock.mass_kg(blank.area),
        ground_kg=math.fsum(weld_mass_g(score.groove_volume, material) for score in scores) / 1000,
        weld_kg=math.fsum(weld_mass_g(score.weld_volume, material) for score in scores) / 1000,
    )
