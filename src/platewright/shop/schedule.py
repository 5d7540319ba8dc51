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
from platewright.plate.bend import Brake, Direction, Face, ScoreFold, outside_setback
from platewright.plate.blank import Blank, BlankBend
from platewright.plate.bracket import Bracket
from platewright.plate.stock import Material
from platewright.shop import bending, scores
from platewright.shop.bending import LeastRadius
from platewright.shop.legs import flat_leg
from platewright.shop.scores import Score, Suggestion, score_of
from platewright.shop.strength import (
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
from platewright.units import Unit

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
    wheel: float
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
    wheel, passes = wheel_for(score.way)
    low, high = material.least_yield(score.thickness), material.ultimate_high_mpa
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
        greatest_fold=score.greatest_fold,
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


def wheel_for(way: ScoreFold) -> tuple[float, int]:
    """The cutoff wheel that grinds a groove, its thickness in mm, and in how many passes.

    The file's own wheel; without one the widest common wheel that is not wider than the groove.
    Below the narrowest that one is taken all the same: the groove comes out wider. A pass may
    wander to the groove's side (common practice).
    """
    common = max((w for w in scores.WHEELS if w <= way.groove + 1e-9), default=scores.WHEELS[0])
    wheel = common if way.wheel is None else way.wheel
    return wheel, max(1, math.ceil(way.groove / (wheel + scores.WHEEL_WANDER) - 1e-9))


# --- brake ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeRow:
    """One brake bend: radius against the least, grain, die, force in N, springback, legs in mm.

    `flat` is the bend's own flat leg at its narrowest, `least_flat` the least that stays on the
    die to the end of the stroke. `least` is None where no figure is at hand. `die` is None where
    no practical one leaves the radius: the bend is bumped or rolled. `force` is None there, and
    where the radius is so sharp that it is bottomed.
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
    die: float | None
    force: float | None
    springback: str
    flat: float
    least_flat: float
    setback: float


def brake_schedule(
    bracket: Bracket, blank: Blank, grain: float | None = None
) -> tuple[BrakeRow, ...]:
    """Every brake bend of a bracket, in order.

    `grain` is the direction of rolling on the blank, radians from +x; None when it is not known,
    and then the least radius is the one along the grain, which is the greater.
    """
    return tuple(
        _brake_row(bracket, bend, bend.way.brake, grain)
        for bend in blank.bends
        if bend.way.brake is not None
    )


def _brake_row(bracket: Bracket, bend: BlankBend, way: Brake, grain: float | None) -> BrakeRow:
    thickness, material = bracket.stock.thickness, bracket.stock.material
    lies, length, die = grain_across(bend.line, grain), bend.line.length, way.die(thickness)
    air = None if die is None or way.bottomed(thickness) else die
    return BrakeRow(
        number=bend.number,
        direction=bend.direction,
        angle=bend.angle,
        length=length,
        inside_radius=way.radius,
        k=way.k,
        allowance=bend.allowance,
        grain=lies,
        least=bending.least_radius(material, thickness, along_grain=lies != "across"),
        die=die,
        force=None if air is None else bending.air_bend_force(material, length, thickness, air),
        springback=bending.springback_words(material.family),
        flat=flat_leg(bracket, bend).least,
        least_flat=way.least_flat(bend.angle, thickness),
        setback=outside_setback(way, min(bend.angle, math.pi / 2), thickness),
    )


def grain_across(line: Line, grain: float | None) -> Grain:
    """Whether a bend runs across the grain (within 45 degrees of square to it) or along it."""
    if grain is None:
        return "unknown"
    return "along" if abs(line.direction.dot(Vector.polar(grain))) > math.sqrt(0.5) else "across"


# --- strength ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """The screens of a bracket that stands out from its wall.

    `origin` says where the load is from, `arm` is mm from the wall to it, `weld_words` says which
    fillets were counted. `twists` tells that the section at the wall is not alike left and right:
    the load then bends it sideways and twists it too, which these figures leave out.
    """

    load: float
    origin: str
    arm: float
    at_wall: Section
    plate: Screen
    group: WeldGroup
    leg: float
    weld_words: str
    weld: Screen
    twists: bool


def strength_of(
    bracket: Bracket,
    load: float,
    *,
    arm: float | None = None,
    leg: float | None = None,
    origin: str = "",
    unit: Unit = "mm",
) -> Strength:
    """The bracket as a cantilever from its wall under `load` N.

    The load acts at the body's centre unless `arm` (mm from the wall) is given, else at the root's
    far end; the fillet's leg is the least for the thickness unless given. `unit` is the shop's own:
    the standards' figures are taken in it. Raises BuildError for a bracket without a wall edge, or
    of a material that carries nothing.
    """
    if bracket.wall is None:
        raise BuildError("a strength screen needs a wall edge to stand out from", "wall")
    lines = wall_lines(bracket)
    thickness = bracket.stock.thickness
    reach = load_arm(bracket) if arm is None else arm
    fillet = least_fillet(thickness, unit) if leg is None else leg
    at_wall = section(wall_rectangles(lines, thickness))
    words, welds = _fillets(lines, thickness)
    group = weld_group(welds)
    return Strength(
        load=load,
        origin=origin,
        arm=reach,
        at_wall=at_wall,
        plate=plate_screen(load, reach, at_wall, bracket.stock, unit),
        group=group,
        leg=fillet,
        weld_words=words,
        weld=weld_screen(load, reach, group, fillet, bracket.stock.material.family),
        twists=_twists(lines),
    )


def _twists(lines: tuple[Line, ...]) -> bool:
    """Whether lines on the wall have a product of inertia: they are unlike left and right."""
    length = math.fsum(line.length for line in lines)
    x = math.fsum(line.length * line.point_at(0.5).x for line in lines) / length
    y = math.fsum(line.length * line.point_at(0.5).y for line in lines) / length
    product = math.fsum(_product(line, Point(x, y)) for line in lines)
    reach = max(end.distance(Point(x, y)) for line in lines for end in (line.start, line.end))
    return abs(product) > 1e-3 * length * reach**2


def _product(line: Line, about: Point) -> float:
    """Integral of x y along a line about a point, mm³ (exact)."""
    a, b = line.start - about, line.end - about
    return line.length * (2 * a.x * a.y + 2 * b.x * b.y + a.x * b.y + b.x * a.y) / 6


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
