"""A setup as a file gives it: the tables together, and the layout they come to."""

from __future__ import annotations

import math
from typing import cast

from platewright import measure
from platewright.geometry.plane import Point, Vector
from platewright.suspension.layout import Ground, Layout, TravelLimits, rake
from platewright.suspension.linkage import FourLink, Linkage, MovingPart, TrailingArm
from platewright.suspension.measurements import (
    ArmSection,
    FourLinkSection,
    FrameSection,
    LimitsSection,
    LoadSection,
    MountSection,
    SeatSection,
    SpringSection,
    StandsSection,
    TravelSection,
    TyreSection,
)
from platewright.suspension.mounts import Mount, SpringSeat
from platewright.suspension.spring import Heights, HeightTable, area_from_force
from platewright.suspension.tyre import estimated_radius, measured_radius
from platewright.units import Unit
from platewright.values import dataclass

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

    travel: TravelSection = measure.table("Where the frame shall stand.", TravelSection)
    spring: SpringSection = measure.table("The air spring.", SpringSection)
    seat: SeatSection = measure.table("The spring's lower mount.", SeatSection)
    mount: MountSection | None = measure.table(
        "The spring's upper mount as it stands; left out, it is put where it should be.",
        MountSection, optional=True,
    )  # fmt: skip
    tyre: TyreSection = measure.table("The tyre.", TyreSection)
    frame: FrameSection = measure.table("How the frame lies.", FrameSection)
    trailing_arm: ArmSection | None = measure.table(
        "One arm. Give this or a four_link.", ArmSection, optional=True
    )
    four_link: FourLinkSection | None = measure.table(
        "Two links. Give this or a trailing_arm.", FourLinkSection, label="four-link", optional=True
    )
    stands: StandsSection | None = measure.table(
        "Stands to build on.", StandsSection, optional=True
    )
    load: LoadSection | None = measure.table("What one wheel carries.", LoadSection, optional=True)
    limits: LimitsSection = measure.table("What is allowed.", LimitsSection)

    def problems(self) -> measure.Problems:
        """Tables that contradict each other."""
        complaint = linkage_complaint(sum(getattr(self, key) is not None for key in LINKAGES))
        has = ("arm", "axle") if self.trailing_arm else ("axle", "lower link", "upper link")
        if complaint is not None:
            yield complaint
        elif self.seat.on not in has:
            words = ", ".join(f'"{part}"' for part in has)
            yield "seat.on", f"this linkage has no such part; it has {words}"

    @property
    def linkage_table(self) -> str:
        """The name of the table that holds the linkage."""
        return "trailing_arm" if self.trailing_arm else "four_link"

    def layout(self, unit: Unit) -> Layout:
        """What decides the travel, with `unit` for messages. Raises BuildError."""
        load, stands, mount = self.load, self.stands, self.mount
        linkage, frame, tyre = self.trailing_arm or self.four_link, self.frame, self.tyre
        ground = Ground(Point(frame.lowest_along, -frame.lowest_below))
        front, rear, apart = frame.front_height, frame.rear_height, frame.marks_apart
        if front is not None and rear is not None and apart is not None:
            ground = Ground(ground.touch, rake(front, rear, apart))
        if tyre.loaded_radius is not None:
            radius = measured_radius(tyre.loaded_radius)
        else:
            assert tyre.size is not None
            radius = estimated_radius(tyre.size)
        return Layout(
            heights=Heights(least=self.spring.least, greatest=self.spring.greatest),
            room=self.spring.room,
            diameter=self.spring.diameter,
            seat=self._seat(),
            mount=Mount(at=Point(mount.along, mount.above), angle=mount.tilt) if mount else None,
            linkage=self._linkage(),
            behind=linkage is None or linkage.runs == "rearward",
            ground=ground,
            radius=radius,
            ride=self.travel.ride,
            centred=self.travel.ride if self.travel.centred is None else self.travel.centred,
            full=self.travel.full,
            wheel_load_n=load.wheel - load.unsprung if load else None,
            area=self._area(),
            stands=stands.pair if stands else None,
            tube=stands.tube if stands else None,
            limits=TravelLimits(
                tilt=self.limits.tilt,
                drift=self.limits.drift,
                pressure_mpa=self.spring.max_pressure,
            ),
            unit=unit,
        )

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

    def _seat(self) -> SpringSeat:
        """A part that runs forward has its own axes upside down: above is to its right."""
        seat, linkage = self.seat, self.trailing_arm or self.four_link
        part = cast(MovingPart, seat.on)
        upright = seat.on == "axle" and self.four_link is not None
        if upright or linkage is None or linkage.runs == "rearward":
            return SpringSeat(on=part, at=Vector(seat.along, seat.above), angle=seat.tilt)
        return SpringSeat(on=part, at=Vector(seat.along, -seat.above), angle=math.pi + seat.tilt)

    def _area(self) -> HeightTable | None:
        rows, pressure = self.spring.table, self.spring.table_pressure
        if not rows:
            return None
        if pressure and all(row.force for row in rows):
            force = HeightTable(tuple((row.height, row.force or 0.0) for row in rows))
            return area_from_force(force, pressure)
        return HeightTable(tuple((row.height, row.area or 0.0) for row in rows))
