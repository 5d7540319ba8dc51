"""The words that go with a piece wherever it goes: what it is, its bends, what to take care of."""

from __future__ import annotations

from collections.abc import Iterable

from platewright.plate.blank import BlankBend
from platewright.plate.piece import Piece
from platewright.quantities import SPEED, format_quantity
from platewright.shop.cutting import TorchPlan
from platewright.shop.guide import Guide
from platewright.units import Unit, format_angle, format_length

#: Said on every sheet that goes to the torch.
CAUTIONS = (
    "Cutting, grinding and welding burn and blind: shield, gloves, fresh air, no fuel near.",
    "Air springs hold great force: let the pressure out before any hand goes near one.",
    "Never work under a vehicle held up by a spring or a jack alone: use rated stands.",
    "These figures are an aid, not an approval: local codes and licensed practice decide.",
)


def piece_title(piece: Piece) -> str:
    """The piece's name, with its hand when that must not be mixed up."""
    return piece.name if piece.hand == "as drawn" else f"{piece.name} ({piece.hand} hand)"


def many_words(piece: Piece) -> str:
    """How many to make: "1", "3", "3 of this hand, 3 of the other"."""
    count = str(piece.quantity)
    return (
        count
        if piece.hand not in ("left", "right")
        else f"{count} of this hand, {count} of the other"
    )


def note_words(piece: Piece) -> str:
    """The note that the file wants on the sheets, "" without one."""
    return f"Note: {piece.note}" if piece.note else ""


def fingerprint_words(piece: Piece) -> tuple[str, ...]:
    """The sign of the file that a piece was made from, where there is one."""
    sign = piece.fingerprint
    return (f"fingerprint {sign}, as on the sheets of the same file",) if sign else ()


def bend_words(bend: BlankBend) -> str:
    """One bend in words: "bend 1: fold DOWN 90°, score the TOP face"."""
    fold = f"bend {bend.number}: fold {bend.direction.upper()} {format_angle(bend.angle)}"
    if bend.score_face is None:
        return f"{fold}, {bend.way.words}"
    return f"{fold}, score the {bend.score_face.upper()} face"


def kerf_words(plans: Iterable[TorchPlan], unit: Unit) -> str:
    """The kerfs that are allowed for and where each comes from, the least first.

    "0.06 in (this file)", or "1/16 in, 0.055 in in holes (shop file: coupon of 3 March)".
    """

    def size(mm: float) -> str:
        """As finely as a caliper reads."""
        return format_length(mm, unit) if unit == "in" else f"{round(mm, 2):g} mm"

    told = []
    for plan in sorted(plans, key=lambda plan: plan.kerf):
        inside = "" if plan.hole_kerf == plan.kerf else f", {size(plan.hole_kerf)} in holes"
        told.append(size(plan.kerf) + inside + (f" ({plan.kerf_from})" if plan.kerf_from else ""))
    return "; ".join(dict.fromkeys(told))


def cutting_lines(plan: TorchPlan, unit: Unit) -> tuple[str, ...]:
    """How the piece is cut: kerf, length, pierces, time, and what the torch cannot do."""
    return (
        f"The torch path allows for a kerf of {kerf_words((plan,), unit)}: switch the "
        "table's own compensation off. Never compensate twice.",
        f"Torch path {run_words(plan, unit)}.",
        *short_of_the_torch(plan, unit),
    )


def short_of_the_torch(plan: TorchPlan, unit: Unit) -> tuple[str, ...]:
    """What the torch leaves to other tools, a line each."""
    lines = []
    corners = [missed.radius for missed in plan.missed if missed.kind == "filled corner"]
    if corners:
        radius = format_length(max(corners), unit)
        lines.append(f"Inside corners come out with a radius of {radius}, half the kerf.")
    filled = [missed.depth for missed in plan.missed if missed.kind == "filled notch"]
    if filled:
        deepest = format_length(max(filled), unit)
        places = "1 place" if len(filled) == 1 else f"{len(filled)} places"
        lines.append(
            f"Narrower than the kerf in {places}, up to {deepest} deep: saw or file it out."
        )
    for hole in plan.punched:
        # a pilot waits; a hole too small for the torch is drilled
        drill = f"; drill it {format_length(hole.diameter, unit)}" if hole.cut else ""
        lines.append(f"{hole.what}: punch only, not cut{drill}")
    return tuple(lines)


def run_words(plan: TorchPlan, unit: Unit) -> str:
    """How long the torch burns: "38.9 in, 4 pierces, 0.8 min of cutting at 60 in/min"."""
    burn = plan.burn_length
    length = f"{burn / 25.4:.1f} in" if unit == "in" else f"{burn:.0f} mm"
    pierces = f"{plan.pierces} pierce{'' if plan.pierces == 1 else 's'}"
    if plan.feed is None or plan.minutes is None:
        return f"{length}, {pierces}"
    feed = format_quantity(plan.feed, SPEED, "in/min" if unit == "in" else "mm/min")
    return f"{length}, {pierces}, {plan.minutes:.1f} min of cutting at {feed}"


def dxf_notes(
    piece: Piece, plan: TorchPlan, unit: Unit, guide: Guide | None = None
) -> tuple[str, ...]:
    """The lines of words on a DXF."""
    stock = piece.bracket.stock
    bends = [
        f"{bend_words(bend)}, inside radius {format_length(bend.inside_radius, unit)}"
        for bend in piece.blank.bends
    ]
    guided: tuple[str, ...] = ()
    if guide is not None:
        inset = format_length(guide.inset, unit)
        words = f"The tracing guide lies {inset} inside the part: it is for a hand torch to run "
        guided = (words + "round, never the edge of the part.",)
    return (
        piece_title(piece),
        f"{format_length(stock.thickness, unit)} {stock.material.label}; seen on the TOP face; "
        f"drawn in {'inches' if unit == 'in' else 'millimetres'}",
        f"to make: {many_words(piece)}",
        *fingerprint_words(piece),
        *filter(None, (note_words(piece),)),
        *bends,
        *cutting_lines(plan, unit),
        *guided,
        *CAUTIONS,
    )


def torch_notes(piece: Piece, plan: TorchPlan, unit: Unit) -> tuple[str, ...]:
    """The lines of words on a DXF that holds the torch path alone."""
    drawn = "inches" if unit == "in" else "millimetres"
    title = f"{piece_title(piece)}: torch path, in {drawn}"
    return (title, *fingerprint_words(piece), *cutting_lines(plan, unit))
