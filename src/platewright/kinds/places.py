"""Places on panels, and the dimensions between them, as kinds list them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from platewright.geometry.plane import Point
from platewright.plate.bend import DrawnTo, other_face
from platewright.plate.bracket import Bracket, DrawnEdge, Hole, Panel
from platewright.plate.dimension import (
    Dimension,
    Level,
    PanelFace,
    Place,
    Spot,
    Straight,
    Tag,
    When,
)

_FACES: dict[Level, str] = {"top": "on the top face", "underside": "on the underside"}


def edge(panel: Panel, name: str, words: str = "", face: Level = "top") -> Straight:
    """A straight edge; a bent one is the line that it was drawn to, on its own face."""
    drawn = panel.drawn_edge(name)
    if drawn is None:
        return Straight(panel.name, panel.straight_edge(name), words or name, face)
    return bend_line(panel, drawn, words)


def bend_line(panel: Panel, drawn: DrawnEdge, words: str = "") -> Straight:
    """What a bent edge was drawn to."""
    when: When = "flat" if drawn.to == "flat" else "folded"
    return Straight(panel.name, drawn.line, words or drawn.words, drawn.face, when)


def middle(of: Straight, words: str = "") -> Spot:
    """The middle of an edge."""
    return Spot(of.panel, of.line.point_at(0.5), words or of.words, of.face, of.when)


def spot(panel: Panel, at: Point, words: str, face: Level = "top") -> Spot:
    """A point of a panel."""
    return Spot(panel.name, at, words, face)


def centre(panel: Panel, hole: Hole, face: Level = "top") -> Spot:
    """The middle of a hole."""
    return Spot(panel.name, hole.centre, hole.what, face)


def length(
    key: str, asked: float | None, start: Place, end: Place, *, critical: bool = False
) -> Dimension:
    """A length that the file gives by a key; both its ends on one face of one panel.

    An end in the air beside a bend decides the face.
    """
    decided = next((p.face for p in (end, start) if p.when == "folded"), start.face)
    if start.panel == end.panel:
        start, end = replace(start, face=decided), replace(end, face=decided)
    return Dimension(start=start, end=end, critical=critical, key=key, asked=asked)


def derived(start: Place, end: Place, *, critical: bool = False) -> Dimension:
    """A distance that follows from the others and is worth a check."""
    return length("", None, start, end, critical=critical)


def across(
    bracket: Bracket,
    key: str,
    asked: float,
    panel: Panel,
    ends: tuple[str, str],
    *,
    critical: bool = False,
) -> Iterator[Dimension]:
    """A length from one edge of a panel to another, bent or free.

    No tape finds the centre of the thickness: what is drawn to it is told to the outside as well.
    """

    def sides(to: DrawnTo | None) -> Iterator[Straight]:
        for name in ends:
            drawn = bracket.bent_edge(panel, name, to)
            own = name if panel.name in name else f"{name} of the {panel.name}"
            yield bend_line(panel, drawn) if drawn else edge(panel, name, own)

    start, end = sides(None)
    bent = start.when == end.when == "folded"
    if bent and {start.face, end.face} == {"top", "underside"}:
        # between a bend up and one down each end is on a face of its own
        start, end = (
            replace(each, words=f"{each.words}, {_FACES[each.face]}") for each in (start, end)
        )
    yield length(key, asked, middle(start), end, critical=critical)
    if "middle" in (start.face, end.face):
        start, end = sides("outside")
        yield derived(middle(start), end, critical=critical)


def turned(key: str, asked: float, bracket: Bracket, panel: str) -> Dimension:
    """How far the bend that holds a panel is folded."""
    parent, bend = bracket.bend_of(panel)
    inside = other_face(bend.outside)
    start, end = (PanelFace(each, each, inside, "folded") for each in (parent.name, panel))
    return Dimension(start=start, end=end, key=key, asked=asked, quantity="angle", critical=True)


def inside_of(bracket: Bracket, panel: str) -> Level:
    """The face of a panel that ends up inside its fold."""
    return other_face(bracket.bend_of(panel)[1].outside)


def tag(key: str, panel: Panel, edge_name: str, fraction: float = 0.5) -> Tag:
    """What is told of an edge, such as the direction of the bend there."""
    return Tag(key=key, panel=panel.name, at=panel.edge(edge_name).point_at(fraction))


def bend_listed(
    angle: str, asked: float, direction: str, bracket: Bracket, panel: str
) -> Iterator[Dimension | Tag]:
    """The angle and the direction of the bend that holds a panel; an empty key is left out."""
    if angle:
        yield turned(angle, asked, bracket, panel)
    if direction:
        _, bend = bracket.bend_of(panel)
        yield tag(direction, bend.panel, bend.base, 0.25)
