"""The work on the metal bend by bend, and the screens of strength, as values for the sheets.

Figures come from the rooms that own them (scores, bending, strength); here they are gathered for
one bracket. Angles are how far the metal turns, radians.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from platewright.errors import BuildError
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Line
from platewright.plate.bend import Brake, Direction, Face, outside_setback
from platewright.plate.blank import Blank, BlankBend
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.stock import Material
from platewright.shop import bending, scores
from platewright.shop.bending import LeastRadius
from platewright.shop.scores import Score, Suggestion, score_of
from platewright.shop.strength import (
    ELECTRODE_ULTIMATE,
    Screen,
    Section,
    WeldGroup,
    least_fillet,
    plate_screen,
    section,
    weld_group,
    weld_screen,
)
from platewright.shop.wall import wall_lines, wall_rectangles

#: Wheels in shop words, narrowest first (common practice).
_WHEEL_WORDS = (".045 in", "1/16 in", "3/32 in")

Grain = Literal["across", "along", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How hard hands must push to fold: limit in N, lever in mm (both common practice)."""

    limit: float = scores.PUSH_LIMIT
    lever: float = scores.LEVER


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreRow:
    """One score of a bracket: what to grind, how it opens, the weld that fills it, the push.

    Moments are N mm, pushes N at the effort's lever; "hard" takes the highest ultimate stress to
    expect. `suggestion` is a ligament that hands can fold; `greatest_ligament` keeps the hardest
    push at the limit.
    """

    number: int
    direction: Direction
    face: Face
    angle: float
    length: float
    groove: float
    depth: float
    ligament: float
    wheel: str
    passes: int
    inside_radius: float
    stretch: float
    shut_angle: float
    greatest_fold: float
    opening: float
    weld_area: float
    weld_volume: float
    weld_g: float
    wire_m: float
    moment_yield: float
    moment_hard: float
    push_yield: float
    push_hard: float
    effort: Effort
    greatest_ligament: float
    suggestion: Suggestion


def score_schedule(
    bracket: Bracket, blank: Blank, effort: Effort | None = None
) -> tuple[ScoreRow, ...]:
    """Every score of a bracket, in the order of its bends."""
    asked = effort or Effort()
    found = ((bend, score_of(bend, bracket.stock.thickness)) for bend in blank.bends)
    return tuple(
        _score_row(bend, score, bracket.stock.material, asked) for bend, score in found if score
    )


def _score_row(bend: BlankBend, score: Score, material: Material, effort: Effort) -> ScoreRow:
    wheel, passes = wheel_for(score.way.groove)
    low, high = material.yield_mpa, material.ultimate_high_mpa
    ligament, length = score.way.ligament, score.length
    return ScoreRow(
        number=bend.number,
        direction=bend.direction,
        face=bend.score_face or "top",
        angle=bend.angle,
        length=length,
        groove=score.way.groove,
        depth=score.depth,
        ligament=ligament,
        wheel=wheel,
        passes=passes,
        inside_radius=score.inside_radius,
        stretch=score.stretch,
        shut_angle=score.shut_angle,
        greatest_fold=scores.greatest_fold(score.way),
        opening=score.opening,
        weld_area=score.channel_area,
        weld_volume=score.weld_volume,
        weld_g=scores.weld_mass_g(score.weld_volume, material),
        wire_m=scores.wire_length_m(score.weld_volume),
        moment_yield=scores.plastic_moment(length, ligament, low),
        moment_hard=scores.plastic_moment(length, ligament, high),
        push_yield=scores.push(score, low, effort.lever),
        push_hard=scores.push(score, high, effort.lever),
        effort=effort,
        greatest_ligament=scores.greatest_ligament(length, material, effort.limit, effort.lever),
        suggestion=scores.suggest_ligament(
            score.thickness, length, material, effort.limit, effort.lever
        ),
    )


def wheel_for(groove: float) -> tuple[str, int]:
    """The widest common cutoff wheel that is not wider than a groove, and how many passes.

    Below the narrowest wheel that one is named all the same, with one pass: the groove comes out
    wider (common practice).
    """
    pairs = zip(scores.WHEELS, _WHEEL_WORDS, strict=True)
    fitting = [(wheel, words) for wheel, words in pairs if wheel <= groove + 1e-9]
    wheel, words = fitting[-1] if fitting else (scores.WHEELS[0], _WHEEL_WORDS[0])
    passes = math.ceil(groove / (wheel + scores.WHEEL_WANDER) - 1e-9)
    return f"{words} cutoff wheel", max(1, passes)


# --- brake ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeRow:
    """One brake bend: radius against the least, grain, die, force in N, springback, legs in mm.

    `leg` is the bend's own shorter outside leg at its narrowest, `shortest_leg` the least that
    stays on the die. `least` is None where no figure is at hand.
    """

    number: int
    direction: Direction
    angle: float
    length: float
    inside_radius: float
    k: float
    allowance: float
    grain: Grain
    least: LeastRadius | None
    die: float
    force: float
    springback: str
    leg: float
    shortest_leg: float


def brake_schedule(
    bracket: Bracket, blank: Blank, grain: float | None = None
) -> tuple[BrakeRow, ...]:
    """Every brake bend of a bracket, in order.

    `grain` is the direction of rolling on the blank, radians from +x; None when it is not known,
    and then the least radius is the one along the grain, which is the greater.
    """
    return tuple(
        _brake_row(bracket, bend, bend.way, grain)
        for bend in blank.bends
        if isinstance(bend.way, Brake)
    )


def _brake_row(bracket: Bracket, bend: BlankBend, way: Brake, grain: float | None) -> BrakeRow:
    thickness, material = bracket.stock.thickness, bracket.stock.material
    lies = grain_across(bend.line, grain)
    die = bending.suggest_die(thickness)
    return BrakeRow(
        number=bend.number,
        direction=bend.direction,
        angle=bend.angle,
        length=bend.line.length,
        inside_radius=way.radius,
        k=way.k,
        allowance=bend.allowance,
        grain=lies,
        least=bending.least_radius(material, thickness, along_grain=lies != "across"),
        die=die,
        force=bending.air_bend_force(material, bend.line.length, thickness, die),
        springback=bending.springback_words(material.family),
        leg=legs_of(bracket, bend).least,
        shortest_leg=bending.shortest_flange(die, way.radius),
    )


def grain_across(line: Line, grain: float | None) -> Grain:
    """Whether a bend runs across the grain (within 45 degrees of square to it) or along it."""
    if grain is None:
        return "unknown"
    return "along" if abs(line.direction.dot(Vector.polar(grain))) > math.sqrt(0.5) else "across"


@dataclass(frozen=True, slots=True, kw_only=True)
class Legs:
    """The shorter leg of a bend, where it is least and greatest along the bend, mm.

    `flat_least` and `flat_greatest` count from the tangent line, `least` and `greatest` from the
    outside corner.
    """

    flat_least: float
    flat_greatest: float
    setback: float

    @property
    def least(self) -> float:
        """Outside length where the leg is shortest, mm."""
        return self.flat_least + self.setback

    @property
    def greatest(self) -> float:
        """Outside length where the leg is longest, mm."""
        return self.flat_greatest + self.setback


def legs_of(bracket: Bracket, bend: BlankBend) -> Legs:
    """How far the panels of a bend stretch from it: of parent and child, the one that is shorter.

    Looked at square to the bend in 11 places along it.
    """
    panels = {panel.name: panel for panel in bracket.root.walk()}
    own = next(b for p in panels.values() for b in p.bends if b.panel.name == bend.child)
    parent, child = panels[bend.parent], panels[bend.child]
    sides = (
        flat_depths(parent, parent.bend_base(own)),
        flat_depths(child, child.straight_edge(own.base)),
    )
    shorter = min(sides, key=max)
    setback = outside_setback(bend.way, bend.angle, bracket.stock.thickness)
    return Legs(flat_least=min(shorter), flat_greatest=max(shorter), setback=setback)


#: Where along a bend its legs are looked at, as shares of its length.
_STATIONS = (0.01, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.99)


def flat_depths(panel: Panel, base: Line) -> list[float]:
    """Depth of flat metal behind an edge in some places along it, mm."""
    return [_depth_behind(panel, base.point_at(at), base.direction.left) for at in _STATIONS]


def _depth_behind(panel: Panel, at: Point, inward: Vector) -> float:
    """From a point of an edge straight into the panel as far as metal goes, mm."""
    ring = panel.contour.flatten(0.1)
    found = []
    for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
        edge = b - a
        cross = inward.cross(edge)
        if abs(cross) < 1e-12:
            continue
        distance = (a - at).cross(edge) / cross
        share = (a - at).cross(inward) / cross
        if -1e-9 <= share <= 1 + 1e-9 and distance > 1e-6:
            found.append(distance)
    return min(found, default=0.0)


# --- strength ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """The screens of a bracket that stands out from its wall.

    `arm` is mm from the wall to the load; `weld_words` says which fillets were counted.
    """

    load: float
    arm: float
    at_wall: Section
    plate: Screen
    group: WeldGroup
    leg: float
    weld_words: str
    weld: Screen


def strength_of(
    bracket: Bracket,
    load: float,
    *,
    arm: float | None = None,
    leg: float | None = None,
    electrode_mpa: float = ELECTRODE_ULTIMATE,
) -> Strength:
    """The bracket as a cantilever from its wall under `load` N.

    The load acts at the body's centre unless `arm` (mm from the wall) is given, else at the root's
    far end; the fillet's leg is the least for the thickness unless given. Raises BuildError for a
    bracket without a wall edge, or of a material that carries nothing.
    """
    if bracket.wall is None:
        raise BuildError("a strength screen needs a wall edge to stand out from", "wall")
    lines = wall_lines(bracket)
    thickness, material = bracket.stock.thickness, bracket.stock.material
    reach = load_arm(bracket) if arm is None else arm
    fillet = least_fillet(thickness) if leg is None else leg
    at_wall = section(wall_rectangles(lines, thickness))
    words, welds = _fillets(lines, thickness)
    group = weld_group(welds)
    return Strength(
        load=load,
        arm=reach,
        at_wall=at_wall,
        plate=plate_screen(load, reach, at_wall, material),
        group=group,
        leg=fillet,
        weld_words=words,
        weld=weld_screen(load, reach, group, fillet, electrode_mpa),
    )


def load_arm(bracket: Bracket) -> float:
    """From the wall to the body's centre, or to the root's far end where no body is told, mm."""
    if bracket.wall is None:
        raise BuildError("a load's arm needs a wall edge", "wall")
    edge = bracket.root.straight_edge(bracket.wall)
    out = edge.direction.left
    if bracket.body is not None:
        return (bracket.body.centre - edge.start).dot(out)
    return max((p - edge.start).dot(out) for p in bracket.root.contour.flatten(0.1))


def _fillets(lines: tuple[Line, ...], thickness: float) -> tuple[str, tuple[Line, ...]]:
    """The fillets that a screen counts: one along each end, or two round a plate alone."""
    heights = {round(end.y, 6) for line in lines for end in (line.start, line.end)}
    if len(heights) > 1:
        return "one fillet along the plate and along each gusset", lines
    return "two fillets, above and below the plate", tuple(
        both for line in lines for both in _above_and_below(line, thickness / 2)
    )


def _above_and_below(line: Line, half: float) -> Iterator[Line]:
    for rise in (half, -half):
        yield Line(line.start + Vector(0.0, rise), line.end + Vector(0.0, rise))
