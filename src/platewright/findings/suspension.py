"""Rules of a bracket that belongs to a suspension: its body through the whole travel."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.findings.case import Case
from platewright.findings.finding import SLACK, Finding, beyond, short
from platewright.findings.plan import Leaning
from platewright.findings.room import nearest_to_body

LEAST_SHARE = 0.5
"""This share of the clearance asked for should be left where the body comes nearest."""

UNLIKE = 0.5
"""Two readings of one diameter that differ by no more than this are alike, mm."""


def lean_room(case: Case) -> Iterator[Finding]:
    """Room left beside the body at its fullest where the travel brings it nearest to a panel."""
    body, lean, wall = case.bracket.body, case.context.lean, case.bracket.wall
    if body is None or lean is None or wall is None:
        return
    along = case.bracket.root.straight_edge(wall).direction
    leaning = Leaning(along if lean.along_wall else along.left, lean.sideways)
    nearest = nearest_to_body(case, body, 1.0, leaning)
    if nearest is None:
        return
    room, least = nearest.distance - body.diameter / 2, body.clearance * LEAST_SHARE
    rubs = room < -SLACK
    yield from short(
        f"{nearest.part.words}, body at its fullest through the travel",
        room,
        least,
        "it rubs: ask for more clearance, or move the mounts so that they drift less"
        if rubs
        else "ask for more clearance",
        severity="change" if rubs else "note",
    )


def lean_to_wall(case: Case) -> Iterator[Finding]:
    """The same beside a wall that runs across the vehicle, should it stand as high as the body."""
    body, lean, wall = case.bracket.body, case.context.lean, case.bracket.wall
    if body is None or lean is None or wall is None or lean.along_wall:
        return
    edge = case.bracket.root.straight_edge(wall)
    away = (body.centre - edge.start).dot(edge.direction.left)
    room = away - lean.most - body.diameter / 2
    yield from short(
        "wall, body at its fullest through the travel, should the wall stand as high",
        room,
        0.0,
        "stand the body further off, or see that the wall ends below it",
        severity="note",
    )


def past_the_other_mount(case: Case) -> Iterator[Finding]:
    """Panels beside the body that are longer than the spring is at its lowest."""
    body, lean = case.bracket.body, case.context.lean
    if body is None or lean is None:
        return
    for placed in case.finished.panels[1:]:
        corners = case.finished.corners(placed.panel.name)
        heights = [p.z for corner in corners for p in (corner.top, corner.underside)]
        top = body.face == "top"
        reach = max(heights) if top else -case.thickness - min(heights)
        yield from beyond(
            f"{placed.panel.name}, other mount with the frame down",
            reach,
            lean.lowest,
            "shorten it, or see that it passes beside whatever carries the other mount",
            severity="note",
        )


def body_unlike_the_spring(case: Case) -> Iterator[Finding]:
    """A body that is told narrower here than its spring is in the setup."""
    body, lean = case.bracket.body, case.context.lean
    if body is None or lean is None or lean.diameter is None:
        return
    remedy = "measure the spring at full pressure and give both files the same"
    place = "body diameter here, spring in the setup"
    yield from short(place, body.diameter, lean.diameter, remedy, slack=UNLIKE)


def suspension_itself(case: Case) -> Iterator[Finding]:
    """What must be changed about the suspension before its bracket means anything."""
    for words in case.context.suspension:
        yield Finding(
            severity="change", place=words.removesuffix("."), change="change the setup file first"
        )
