"""The words that go with a piece wherever it goes: what it is, its bends, what to take care of."""

from __future__ import annotations

from platewright.plate.blank import BlankBend
from platewright.plate.piece import Piece
from platewright.shop.cutting import TorchPlan
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


def bend_words(bend: BlankBend) -> str:
    """One bend in words: "bend 1: fold DOWN 90°, score the TOP face"."""
    fold = f"bend {bend.number}: fold {bend.direction.upper()} {format_angle(bend.angle)}"
    if bend.score_face is None:
        return f"{fold}, {bend.way.words}"
    return f"{fold}, score the {bend.score_face.upper()} face"


def dxf_notes(piece: Piece, plan: TorchPlan, unit: Unit) -> tuple[str, ...]:
    """The lines of words on a DXF."""
    stock = piece.bracket.stock
    bends = [
        f"{bend_words(bend)}, inside radius {format_length(bend.inside_radius, unit)}"
        for bend in piece.blank.bends
    ]
    return (
        piece_title(piece),
        f"{format_length(stock.thickness, unit)} {stock.material.label}; seen on the TOP face; "
        f"drawn in {'inches' if unit == 'in' else 'millimetres'}",
        *bends,
        f"The torch path allows for a kerf of {format_length(plan.kerf, unit)}: switch the "
        "table's own compensation off. Never compensate twice.",
        *(f"{hole.what}: punch only, not cut" for hole in plan.punched),
        *CAUTIONS,
    )
