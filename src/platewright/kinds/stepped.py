"""Any row of bends in one strip: leg, bend, leg, bend, to the end."""

from __future__ import annotations

from platewright import measure
from platewright.kinds.folds import fold, fold_direction, measured_to
from platewright.kinds.holes import HoleRow
from platewright.kinds.strip import FoldedStrip, Leg, strip_kind
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One leg, and the bend to the next."""

    length: float = measure.length(
        "Length of this leg, from bend to bend or from bend to end.",
        "1/16 in to 120 in", label="leg length", fit_critical=True, example="2 in",
    )  # fmt: skip
    bend: float | None = measure.angle(
        "How far the metal is folded after this leg; the last leg has none.",
        "1 to 170", label="bend after the leg", optional=True,
    )  # fmt: skip
    direction: str = fold_direction()
    holes: HoleRow | None = measure.table(
        "A row of holes along this leg; the gauge is measured from the bend on the side of the "
        "leg that is held.",
        HoleRow, label="leg holes", optional=True,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Stepped:
    """Measurements of a stepped strip."""

    measured_to: str = measured_to()
    width: float = measure.length(
        "Across the strip, along its bends.", "1/4 in to 120 in", example="2 in"
    )
    held: int = measure.count(
        "Which leg is held still on the drawing, counted from the left; the others fold from it.",
        "1 to 60", label="held leg", default=1,
    )  # fmt: skip
    leg: tuple[Step, ...] = measure.rows(
        "The legs from left to right.", Step, "2 to 60", label="legs"
    )

    def problems(self) -> measure.Problems:
        """Bends that are missing or too many."""
        last = len(self.leg)
        for number, step in enumerate(self.leg, 1):
            if number < last and step.bend is None:
                yield f"leg[{number}].bend", "every leg but the last needs the bend that follows it"
        if self.leg[-1].bend is not None:
            yield f"leg[{last}].bend", "the last leg has no bend after it; leave it out"
        if self.held > last:
            yield "held", f"there are only {last} legs"


def strip(stepped: Stepped) -> FoldedStrip:
    """The stepped strip's legs and folds."""
    steps = list(enumerate(stepped.leg, 1))
    return FoldedStrip(
        legs=tuple(
            Leg(
                name=f"leg {number}",
                length=step.length,
                key=f"leg[{number}].length",
                row=step.holes,
                row_key=f"leg[{number}].holes",
            )
            for number, step in steps
        ),
        folds=tuple(
            fold(
                step.bend,
                step.direction,
                stepped.measured_to,
                f"leg[{number}].bend",
                f"leg[{number}].direction",
            )
            for number, step in steps
            if step.bend is not None
        ),
        width=stepped.width,
        root=stepped.held - 1,
    )


SUMMARY = "Any row of bends in one strip: a list of legs with an angle and a direction between."
KIND = strip_kind("stepped", SUMMARY, Stepped, strip)
