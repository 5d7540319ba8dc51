"""What is measured for a seat, each measurement declared once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from platewright import measure
from platewright.shop.hardware import (
    BoltSize,
    PortSize,
    parse_bolt_size,
    parse_port_size,
)

if TYPE_CHECKING:
    from platewright.suspension.mounting import End, OnTravel

Problems = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolts:
    """The bolts that hold the round thing's plate."""

    count: int = measure.count(
        "bolt count", "How many bolts hold the plate.", minimum=1, maximum=8, default=2
    )
    spacing: float | None = measure.length(
        "bolt spacing",
        "Two bolts: centre to centre. Three or more: the diameter of the circle they stand on.",
        minimum="1/4 in",
        maximum="48 in",
        optional=True,
        fit_critical=True,
        example="2 3/4 in",
    )
    size: BoltSize = measure.custom(
        "bolt size",
        "The bolt, not its hole; a drilled hole's diameter serves too.",
        read=parse_bolt_size,
        allowed='an inch bolt such as 3/8, a metric bolt such as M10, or "hole 0.4 in"',
        default="3/8",
        default_mm="M10",
    )
    fit: str = measure.choice(
        "bolt fit",
        "How much room the hole gives the bolt (ASME B18.2.8, ISO 273).",
        ("close", "normal", "loose"),
        default="normal",
    )
    turn: float = measure.angle(
        "turn of the bolt line",
        "Angle between the wall and the line through the centre and the first bolt, "
        "anticlockwise seen on the top face.",
        minimum_deg=-180,
        maximum_deg=180,
        default_deg=0,
    )

    def problems(self) -> Problems:
        """Bolts that need a spacing and have none."""
        if self.count > 1 and self.spacing is None:
            return (("spacing", f"{self.count} bolts need a spacing; only a single bolt has none"),)
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Port:
    """The air or fluid port beside the bolts."""

    offset: float = measure.length(
        "port offset",
        "From the bolt line to the middle of the port, square to the line.",
        minimum="0",
        maximum="24 in",
        fit_critical=True,
        example="1 1/4 in",
    )
    shift: float = measure.length(
        "port shift",
        "From the seat's centre to the port, along the bolt line, towards the first bolt.",
        minimum="-24 in",
        maximum="24 in",
        default="0",
        negative=True,
    )
    size: PortSize = measure.custom(
        "port size",
        "The fitting's thread; a hole diameter serves too.",
        read=parse_port_size,
        allowed='a pipe thread such as 1/4 NPT or G 1/4, or "hole 3/4 in"',
        default="1/4 NPT",
        default_mm="G 1/4",
    )
    side: str = measure.choice(
        "port side",
        "Which side of the bolt line the port lies on; undecided marks both places and cuts none.",
        ("towards the wall", "away from the wall", "undecided"),
        default="undecided",
    )

    def problems(self) -> Problems:
        """Two places to choose from that are one."""
        if self.side == "undecided" and self.offset == 0:
            words = (
                "with an offset of 0 both places are one: give the offset, or say "
                '"towards the wall" or "away from the wall"'
            )
            return (("side", words),)
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Gusset:
    """A gusset folded from one side of the seat."""

    reach: float = measure.length(
        "gusset reach",
        "How far the gusset reaches along the side, from the wall edge forwards.",
        minimum="1/2 in",
        maximum="60 in",
        example="6 in",
    )
    from_centre: float | None = measure.length(
        "from centre",
        "From the seat's centre to the gusset's inside face; left out, half the fullest body and "
        "the clearance. A gusset that folds away from the body may stand nearer, such as in line "
        "with the edge of the mounting plate.",
        minimum="1/4 in",
        maximum="48 in",
        optional=True,
        fit_critical=True,
        example="4 in",
    )
    taper: float = measure.angle(
        "gusset taper",
        "Slope of the gusset's long edge against the side it is folded from.",
        minimum_deg=5,
        maximum_deg=85,
        default_deg=45,
    )
    fold: float = measure.angle(
        "fold angle",
        "How far the gusset is folded from flat.",
        minimum_deg=5,
        maximum_deg=135,
        default_deg=90,
    )
    direction: str = measure.choice(
        "fold direction",
        "Up is towards you with the top face up.",
        ("down", "up"),
        default="down",
    )
    depth: float | None = measure.length(
        "greatest gusset depth",
        "From the seat's outside face to the gusset's far edge at the wall, along the gusset; "
        "left out, the taper alone decides.",
        minimum="1/2 in",
        maximum="48 in",
        optional=True,
        example="3 1/2 in",
    )
    nose: float = measure.length(
        "nose width",
        "Depth of the gusset's blunt front end, from the seat's outside face.",
        minimum="0",
        maximum="12 in",
        default="1/2 in",
        default_mm="12 mm",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """The front edge."""

    shape: str = measure.choice(
        "front shape",
        "Round follows the mounting plate's circle; square is straight, parallel to the wall.",
        ("round", "square"),
        default="round",
    )
    length: float | None = measure.length(
        "front length",
        "Square front only: from the wall edge to the front edge.",
        minimum="1/2 in",
        maximum="72 in",
        optional=True,
        example="7 in",
    )

    def problems(self) -> Problems:
        """A length that is missing or has no use."""
        if self.shape == "square" and self.length is None:
            return (("length", "a square front needs its length from the wall edge"),)
        if self.shape == "round" and self.length is not None:
            return (("length", "a round front follows the plate circle: leave the length out"),)
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """Measurements of a seat."""

    plate_diameter: float = measure.length(
        "plate diameter",
        "Diameter of the round mounting plate.",
        minimum="1/2 in",
        maximum="48 in",
        example="5 in",
    )
    body_diameter: float = measure.length(
        "body diameter",
        "Fullest diameter of whatever sits there, its plate included; for an air spring at full "
        "pressure.",
        minimum="1/2 in",
        maximum="48 in",
        example="6 1/2 in",
    )
    clearance: float = measure.length(
        "clearance",
        "Room to leave between the fullest body and the inside of a gusset.",
        minimum="0",
        maximum="12 in",
        default="1/2 in",
        default_mm="12 mm",
        fit_critical=True,
    )
    wall_gap: float | None = measure.length(
        "wall gap",
        "From the wall to the near edge of the body. Give this or the centre distance.",
        minimum="0",
        maximum="48 in",
        optional=True,
        fit_critical=True,
        example="1 in",
    )
    centre_distance: float | None = measure.length(
        "centre distance",
        "From the wall to the seat's centre. Give this or the wall gap.",
        minimum="1/4 in",
        maximum="72 in",
        optional=True,
        fit_critical=True,
        example="4 1/4 in",
    )
    plain_side: float | None = measure.length(
        "plain side",
        "From the seat's centre to a side without a gusset; left out, half the plate diameter.",
        minimum="1/4 in",
        maximum="48 in",
        optional=True,
        example="2 1/2 in",
    )
    body_face: str = measure.choice(
        "body face",
        "The face of the plate that the body sits on.",
        ("top", "underside"),
        default="top",
    )
    drift: float | None = measure.length(
        "body drift",
        "How far the body may move sideways through its travel, if known.",
        minimum="0",
        maximum="12 in",
        optional=True,
        example="1/4 in",
    )
    travel: str | None = measure.text(
        "setup file",
        "The setup file of the suspension that this seat belongs to, beside this file; it tells "
        "where the seat sits and how the body moves.",
        optional=True,
        example="rear-axle-travel.toml",
    )
    mount: str | None = measure.choice(
        "mount",
        "With a setup file: whether this seat is the spring's upper mount, on the frame, or its "
        "lower one, on what moves.",
        ("upper", "lower"),
        optional=True,
    )
    wall_runs: str = measure.choice(
        "wall runs",
        "With a setup file: whether the wall runs along the vehicle, like a rail, or across it, "
        "like an axle.",
        ("along", "across"),
        default="along",
    )
    bolts: Bolts = measure.table("bolts", "The bolts that hold the plate.", Bolts)
    port: Port | None = measure.table("port", "The port beside the bolts.", Port, optional=True)
    left: Gusset | None = measure.table(
        "left gusset",
        "The gusset on the left, top face up and the wall edge nearest to you.",
        Gusset,
        optional=True,
    )
    right: Gusset | None = measure.table(
        "right gusset",
        "The gusset on the right, top face up and the wall edge nearest to you.",
        Gusset,
        optional=True,
    )
    front: Front = measure.table("front", "The front edge.", Front)

    def problems(self) -> Problems:
        """Keys that contradict each other."""
        return tuple(_seat_problems(self))

    @property
    def on_travel(self) -> OnTravel | None:
        """The suspension that the seat says it belongs to."""
        if self.travel is None or self.mount is None:
            return None
        from platewright.suspension.mounting import OnTravel

        end: End = "upper" if self.mount == "upper" else "lower"
        return OnTravel(setup=self.travel, end=end, along_wall=self.wall_runs == "along")

    @property
    def centre_to_wall(self) -> float:
        """From the seat's centre to the wall, mm, whichever way it was measured."""
        if self.centre_distance is not None:
            return self.centre_distance
        return (self.wall_gap or 0.0) + self.body_diameter / 2

    def inside_of(self, gusset: Gusset) -> float:
        """From the seat's centre to a gusset's inside face, or the nearest place of it, mm."""
        clear = self.body_diameter / 2 + self.clearance
        return clear if gusset.from_centre is None else gusset.from_centre


def _seat_problems(seat: Seat) -> Iterator[tuple[str, str]]:
    if (seat.wall_gap is None) == (seat.centre_distance is None):
        both = "both were given" if seat.wall_gap is not None else "neither was given"
        yield "wall_gap", f"give either wall_gap or centre_distance; {both}"
    if seat.body_diameter < seat.plate_diameter:
        yield (
            "body_diameter",
            "the fullest diameter includes the mounting plate, so it cannot be less than "
            "plate_diameter",
        )
    if seat.centre_distance is not None and seat.centre_distance < seat.body_diameter / 2:
        yield (
            "centre_distance",
            "less than half the body diameter: the body would stand in the wall",
        )
    if seat.plain_side is not None and seat.plain_side < seat.plate_diameter / 2:
        yield "plain_side", "less than half the plate diameter: the plate would overhang the side"
    if seat.travel is not None and seat.mount is None:
        yield "mount", 'say which mount of the spring this seat is: "upper" or "lower"'
    if seat.travel is None and seat.mount is not None:
        yield "mount", "has no use without travel, the setup file of the suspension"
