"""A setup as a file gives it: the tables together, and the layout they come to."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import cast

from platewright import measure
from platewright.geometry.plane import Point, Vector
from platewright.suspension.laid_out import Ground, Stand, rake, resting
from platewright.suspension.layout import Layout, Limits
from platewright.suspension.link_measurements import ArmSection, FourLinkSection
from platewright.suspension.linkage import FourLink, Linkage, Part, TrailingArm
from platewright.suspension.measurements import (
    FrameSection,
    MountSection,
    Problems,
    SeatSection,
    SpringSection,
    StandsSection,
    TyreSection,
)
from platewright.suspension.seat import Mount, Seat
from platewright.suspension.spring import Heights, HeightTable, area_from_force
from platewright.suspension.tyre import LoadedRadius, estimated_radius, measured_radius
from platewright.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class TravelSection:
    """Lifts of the frame above laid out, measured at the axle."""

    ride: float = measure.length(
        "ride height",
        "How far the frame stands above laid out when it is driven.",
        minimum="0",
        maximum="60 in",
        example="4 in",
    )
    centred: float | None = measure.length(
        "centred height",
        "The lift at which the mounts shall be parallel and centred; left out, at ride height.",
        minimum="0",
        maximum="60 in",
        optional=True,
        example="4 in",
    )
    full: float | None = measure.length(
        "full height",
        "The lift at which something else ends the travel, a damper or a strap.",
        minimum="1/4 in",
        maximum="60 in",
        optional=True,
        example="8 in",
    )

    def problems(self) -> Problems:
        """A ride height beyond full height."""
        if self.full is not None and self.full < self.ride:
            return (("full", "less than the ride height"),)
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadSection:
    """What one wheel carries."""

    wheel: float = measure.force(
        "wheel load",
        "On one wheel, loaded as it is driven: a scale's reading.",
        minimum="1 lb",
        maximum="100000 lb",
        example="1500 lb",
    )
    unsprung: float = measure.force(
        "unsprung load",
        "The part of it that the spring does not carry: wheel, tyre, this end of the axle.",
        maximum="20000 lb",
        default="0 lb",
    )

    def problems(self) -> Problems:
        """Nothing left for the spring."""
        if self.unsprung >= self.wheel:
            return (("unsprung", "as much as the wheel load: nothing is left for the spring"),)
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitsSection:
    """What the spring's data sheet or the room beside it allows."""

    tilt: float | None = measure.angle(
        "greatest tilt",
        "Between the two mounts.",
        minimum_deg=0,
        maximum_deg=60,
        optional=True,
        example_deg=10,
    )
    drift: float | None = measure.length(
        "greatest drift",
        "Of the lower mount off the upper mount's axis.",
        minimum="0",
        maximum="12 in",
        optional=True,
        example="1 in",
    )


LINKAGES = ("trailing_arm", "four_link")
"""The tables of which a setup has exactly one."""


def linkage_complaint(given: int) -> tuple[str, str] | None:
    """The key and what is wrong when so many of the linkages' tables were given; None for one."""
    if given == 1:
        return None
    both = "both were given" if given else "neither was given"
    return LINKAGES[0], f"give [trailing_arm] or [four_link]; {both}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """Measurements of one wheel's suspension."""

    travel: TravelSection = measure.table("travel", "Where the frame shall stand.", TravelSection)
    spring: SpringSection = measure.table("spring", "The air spring.", SpringSection)
    seat: SeatSection = measure.table("seat", "The spring's lower mount.", SeatSection)
    mount: MountSection | None = measure.table(
        "mount",
        "The spring's upper mount as it stands; left out, it is put where it should be.",
        MountSection,
        optional=True,
    )
    tyre: TyreSection = measure.table("tyre", "The tyre.", TyreSection)
    frame: FrameSection = measure.table("frame", "How the frame lies.", FrameSection)
    trailing_arm: ArmSection | None = measure.table(
        "trailing arm", "One arm. Give this or a four_link.", ArmSection, optional=True
    )
    four_link: FourLinkSection | None = measure.table(
        "four-link", "Two links. Give this or a trailing_arm.", FourLinkSection, optional=True
    )
    stands: StandsSection | None = measure.table(
        "stands", "Stands to build on.", StandsSection, optional=True
    )
    load: LoadSection | None = measure.table(
        "load", "What one wheel carries.", LoadSection, optional=True
    )
    limits: LimitsSection = measure.table("limits", "What is allowed.", LimitsSection)

    def problems(self) -> Problems:
        """Tables that contradict each other."""
        return tuple(self._problems())

    def _problems(self) -> Iterator[tuple[str, str]]:
        complaint = linkage_complaint(sum(getattr(self, key) is not None for key in LINKAGES))
        if complaint is not None:
            yield complaint
            return
        has = ("arm", "axle") if self.trailing_arm else ("axle", "lower link", "upper link")
        if self.seat.on not in has:
            words = ", ".join(f'"{part}"' for part in has)
            yield "seat.on", f"this linkage has no such part; it has {words}"

    @property
    def linkage_table(self) -> str:
        """The name of the table that holds the linkage."""
        return "trailing_arm" if self.trailing_arm else "four_link"

    def layout(self, unit: Unit) -> Layout:
        """What decides the travel, with `unit` for messages. Raises BuildError."""
        load = self.load
        return Layout(
            heights=Heights(least=self.spring.least, greatest=self.spring.greatest),
            room=self.spring.room,
            diameter=self.spring.diameter,
            seat=self._seat,
            mount=self._mount,
            linkage=self._linkage,
            behind=self._behind,
            ground=self._ground,
            radius=self._radius,
            tyre=self.tyre.size,
            ride=self.travel.ride,
            centred=self.travel.ride if self.travel.centred is None else self.travel.centred,
            full=self.travel.full,
            wheel_load_n=load.wheel - load.unsprung if load else None,
            area=self._area,
            stands=self._stands,
            tube=self.stands.tube if self.stands else None,
            limits=Limits(
                tilt=self.limits.tilt,
                drift=self.limits.drift,
                pressure_mpa=self.spring.max_pressure,
            ),
            unit=unit,
        )

    @property
    def _behind(self) -> bool:
        section = self.trailing_arm or self.four_link
        return section is None or section.runs == "rearward"

    @property
    def _linkage(self) -> Linkage:
        if self.trailing_arm is not None:
            arm = self.trailing_arm
            return TrailingArm(pivot=Point(arm.pivot_along, arm.pivot_above), length=arm.length)
        links = self.four_link
        assert links is not None
        return FourLink(
            lower_pivot=Point(links.lower_along, links.lower_above),
            lower_length=links.lower_length,
            upper_pivot=Point(links.upper_along, links.upper_above),
            upper_length=links.upper_length,
            lower_eye=Vector(links.lower_eye_along, links.lower_eye_above),
            upper_eye=Vector(links.upper_eye_along, links.upper_eye_above),
        )

    @property
    def _seat(self) -> Seat:
        """A part that runs forward has its own axes upside down: above is to its right."""
        seat = self.seat
        part = cast(Part, seat.on)
        if self._behind or (seat.on == "axle" and self.four_link):
            return Seat(on=part, at=Vector(seat.along, seat.above), angle=seat.tilt)
        return Seat(on=part, at=Vector(seat.along, -seat.above), angle=math.pi + seat.tilt)

    @property
    def _mount(self) -> Mount | None:
        if self.mount is None:
            return None
        return Mount(at=Point(self.mount.along, self.mount.above), angle=self.mount.tilt)

    @property
    def _ground(self) -> Ground:
        frame = self.frame
        lowest = Point(frame.lowest_along, -frame.lowest_below)
        front, rear, apart = frame.front_height, frame.rear_height, frame.marks_apart
        if front is None or rear is None or apart is None:
            return resting(lowest)
        return resting(lowest, rake(front, rear, apart))

    @property
    def _radius(self) -> LoadedRadius:
        if self.tyre.loaded_radius is not None:
            return measured_radius(self.tyre.loaded_radius)
        assert self.tyre.size is not None
        return estimated_radius(self.tyre.size)

    @property
    def _area(self) -> HeightTable | None:
        rows, pressure = self.spring.table, self.spring.table_pressure
        if not rows:
            return None
        if pressure and all(row.force for row in rows):
            force = HeightTable(tuple((row.height, row.force or 0.0) for row in rows))
            return area_from_force(force, pressure)
        return HeightTable(tuple((row.height, row.area or 0.0) for row in rows))

    @property
    def _stands(self) -> tuple[Stand, Stand] | None:
        stands = self.stands
        if stands is None:
            return None
        rear = stands.front_height if stands.rear_height is None else stands.rear_height
        return Stand(stands.front_along, stands.front_height), Stand(stands.rear_along, rear)
