"""What is measured for a seat, each measurement declared once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from platewright import measure
from platewright.kinds.holes import bolt_fit
from platewright.shop.hardware import BoltSize, PortSize, parse_bolt_size, parse_port_size
from platewright.values import dataclass

if TYPE_CHECKING:
    from platewright.suspension.mounting import End, OnTravel


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolts:
    """The bolts that hold the round thing's plate."""

    count: int = measure.count(
        "How many bolts hold the plate.", "1 to 8", label="bolt count", default=2
    )
    spacing: float | None = measure.length(
        "Two bolts: centre to centre. Three or more: the diameter of the circle they stand on.",
        "1/4 in to 48 in", label="bolt spacing", optional=True, fit_critical=True,
        example="2 3/4 in",
    )  # fmt: skip
    size: BoltSize = measure.custom(
        "The bolt, not its hole; a drilled hole's diameter serves too.",
        label="bolt size", read=parse_bolt_size,
        allowed='an inch bolt such as 3/8, a metric bolt such as M10, or "hole 0.4 in"',
        default="3/8", default_mm="M10",
    )  # fmt: skip
    fit: str = bolt_fit()
    turn: float = measure.angle(
        "Angle between the wall and the line through the centre and the first bolt, "
        "anticlockwise seen on the top face.",
        "-180 to 180", label="turn of the bolt line", default=0,
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """Bolts that need a spacing and have none."""
        if self.count > 1 and self.spacing is None:
            yield "spacing", f"{self.count} bolts need a spacing; only a single bolt has none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Port:
    """The air or fluid port beside the bolts."""

    offset: float = measure.length(
        "From the bolt line to the middle of the port, square to the line.",
        "0 to 24 in", label="port offset", fit_critical=True, example="1 1/4 in",
    )  # fmt: skip
    shift: float = measure.length(
        "From the seat's centre to the port, along the bolt line, towards the first bolt.",
        "-24 in to 24 in", label="port shift", default="0", negative=True,
    )  # fmt: skip
    size: PortSize = measure.custom(
        "The fitting's thread; a hole diameter serves too.",
        label="port size", read=parse_port_size,
        allowed='a pipe thread such as 1/4 NPT or G 1/4, or "hole 3/4 in"', default="1/4 NPT",
        default_mm="G 1/4",
    )  # fmt: skip
    side: str = measure.choice(
        "Which side of the bolt line the port lies on; undecided marks both places and cuts none.",
        ("towards the wall", "away from the wall", "undecided"), label="port side",
        default="undecided",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """Two places to choose from that are one."""
        if self.side == "undecided" and self.offset == 0:
            words = (
                "with an offset of 0 both places are one: give the offset, or say "
                '"towards the wall" or "away from the wall"'
            )
            yield "side", words


@dataclass(frozen=True, slots=True, kw_only=True)
class SideGusset:
    """A gusset folded from one side of the seat."""

    reach: float = measure.length(
        "How far the gusset reaches along the side, from the wall edge forwards.",
        "1/2 in to 60 in", label="gusset reach", example="6 in",
    )  # fmt: skip
    from_centre: float | None = measure.length(
        "From the seat's centre to the gusset's inside face; left out, half the fullest body and "
        "the clearance. A gusset that folds away from the body may stand nearer, such as in line "
        "with the edge of the mounting plate.",
        "1/4 in to 48 in", optional=True, fit_critical=True, example="4 in",
    )  # fmt: skip
    taper: float = measure.angle(
        "Slope of the gusset's long edge against the side it is folded from.",
        "5 to 85", label="gusset taper", default=45,
    )  # fmt: skip
    fold: float = measure.angle(
        "How far the gusset is folded from flat.", "5 to 135", label="fold angle", default=90
    )
    direction: str = measure.choice(
        "Up is towards you with the top face up.",
        ("down", "up"), label="fold direction", default="down",
    )  # fmt: skip
    depth: float | None = measure.length(
        "From the seat's outside face to the gusset's far edge at the wall, along the gusset; "
        "left out, the taper alone decides.",
        "1/2 in to 48 in", label="greatest gusset depth", optional=True, example="3 1/2 in",
    )  # fmt: skip
    nose: float = measure.length(
        "Depth of the gusset's blunt front end, from the seat's outside face.",
        "0 to 12 in", label="nose width", default="1/2 in", default_mm="12 mm",
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """The front edge."""

    shape: str = measure.choice(
        "Round follows the mounting plate's circle; square is straight, parallel to the wall.",
        ("round", "square"), label="front shape", default="round",
    )  # fmt: skip
    length: float | None = measure.length(
        "Square front only: from the wall edge to the front edge.",
        "1/2 in to 72 in", label="front length", optional=True, example="7 in",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """A length that is missing or has no use."""
        if self.shape == "square" and self.length is None:
            yield "length", "a square front needs its length from the wall edge"
        if self.shape == "round" and self.length is not None:
            yield "length", "a round front follows the plate circle: leave the length out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """Measurements of a seat."""

    plate_diameter: float = measure.length(
        "Diameter of the round mounting plate.", "1/2 in to 48 in", example="5 in"
    )
    body_diameter: float = measure.length(
        "Fullest diameter of whatever sits there, its plate included; for an air spring at full "
        "pressure.",
        "1/2 in to 48 in", example="6 1/2 in",
    )  # fmt: skip
    clearance: float = measure.length(
        "Room to leave between the fullest body and the inside of a gusset.",
        "0 to 12 in", default="1/2 in", default_mm="12 mm", fit_critical=True,
    )  # fmt: skip
    wall_gap: float | None = measure.length(
        "From the wall to the near edge of the body. Give this or the centre distance.",
        "0 to 48 in", optional=True, fit_critical=True, example="1 in",
    )  # fmt: skip
    centre_distance: float | None = measure.length(
        "From the wall to the seat's centre. Give this or the wall gap.",
        "1/4 in to 72 in", optional=True, fit_critical=True, example="4 1/4 in",
    )  # fmt: skip
    plain_side: float | None = measure.length(
        "From the seat's centre to a side without a gusset; left out, half the plate diameter.",
        "1/4 in to 48 in", optional=True, example="2 1/2 in",
    )  # fmt: skip
    body_face: str = measure.choice(
        "The face of the plate that the body sits on.", ("top", "underside"), default="top"
    )
    drift: float | None = measure.length(
        "How far the body may move sideways through its travel, if known.",
        "0 to 12 in", label="body drift", optional=True, example="1/4 in",
    )  # fmt: skip
    travel: str | None = measure.text(
        "The setup file of the suspension that this seat belongs to, beside this file; it tells "
        "where the seat sits and how the body moves.",
        label="setup file", optional=True, example="rear-axle-travel.toml",
    )  # fmt: skip
    mount: str | None = measure.choice(
        "With a setup file: whether this seat is the spring's upper mount, on the frame, or its "
        "lower one, on what moves.",
        ("upper", "lower"), optional=True,
    )  # fmt: skip
    wall_runs: str = measure.choice(
        "With a setup file: whether the wall runs along the vehicle, like a rail, or across it, "
        "like an axle.",
        ("along", "across"), default="along",
    )  # fmt: skip
    bolts: Bolts = measure.table("The bolts that hold the plate.", Bolts)
    port: Port | None = measure.table("The port beside the bolts.", Port, optional=True)
    left: SideGusset | None = measure.table(
        "The gusset on the left, top face up and the wall edge nearest to you.",
        SideGusset, label="left gusset", optional=True,
    )  # fmt: skip
    right: SideGusset | None = measure.table(
        "The gusset on the right, top face up and the wall edge nearest to you.",
        SideGusset, label="right gusset", optional=True,
    )  # fmt: skip
    front: Front = measure.table("The front edge.", Front)

    def problems(self) -> measure.Problems:
        """Keys that contradict each other."""
        if (self.wall_gap is None) == (self.centre_distance is None):
            both = "both were given" if self.wall_gap is not None else "neither was given"
            yield "wall_gap", f"give either wall_gap or centre_distance; {both}"
        if self.body_diameter < self.plate_diameter:
            yield (
                "body_diameter",
                "the fullest diameter includes the mounting plate, so it cannot be less than "
                "plate_diameter",
            )
        if self.centre_distance is not None and self.centre_distance < self.body_diameter / 2:
            yield (
                "centre_distance",
                "less than half the body diameter: the body would stand in the wall",
            )
        if self.plain_side is not None and self.plain_side < self.plate_diameter / 2:
            yield (
                "plain_side",
                "less than half the plate diameter: the plate would overhang the side",
            )
        if self.travel is not None and self.mount is None:
            yield "mount", 'say which mount of the spring this seat is: "upper" or "lower"'
        if self.travel is None and self.mount is not None:
            yield "mount", "has no use without travel, the setup file of the suspension"

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

    def inside_of(self, gusset: SideGusset) -> float:
        """From the seat's centre to a gusset's inside face, or the nearest place of it, mm."""
        clear = self.body_diameter / 2 + self.clearance
        return clear if gusset.from_centre is None else gusset.from_centre
