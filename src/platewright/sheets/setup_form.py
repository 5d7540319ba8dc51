"""The measuring form of a suspension's setup: sketches with the letters, a row for each reading.

The sketches show where to measure and are to no scale. Side view, the vehicle's front to the left.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from platewright.drawing.dimensions import bubble, dimension
from platewright.drawing.flow import Strip, figure, flow
from platewright.drawing.free_space import FreeSpace
from platewright.drawing.items import Fill, Item, Page, Stroke, Text, bounds
from platewright.drawing.placing import place_letters
from platewright.drawing.style import CENTRE, EDGE, HATCHING, OUTLINE, LineStyle
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Line
from platewright.measure import lettered
from platewright.sheets.form import CAUTION, SHEET, form_head, in_columns, measure_tables
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.imposition import plain_pages
from platewright.sheets.paper import paper_named
from platewright.suspension.setup import Setup
from platewright.units import Unit
from platewright.values import dataclass

SUMMARY = "One wheel's suspension, in side view: where it turns, where the spring sits."

_ROOM = 8.0  # kept round a sketch for its letters, mm


def setup_form_pages(unit: Unit, paper: str) -> tuple[Page, ...]:
    """The form in a unit, on named paper. Raises OutputError for unknown paper."""
    sheet = paper_named(paper)
    field = plain_field_of(sheet)
    width = field.width
    letters = lettered(Setup)
    above = [*form_head(SUMMARY, "travel", width), *sketches(letters, width)]
    taken = field.ymax - bounds(flow(above, field)[-1]).ymin + _ROOM
    measured, later = measure_tables(Setup, letters, unit, field, taken)
    strips = [*above, *measured, *in_columns(later, field)]
    title = "Suspension: what to measure"
    return plain_pages(strips, sheet, part=title, sheet=SHEET, caution=CAUTION)


def sketches(letters: Mapping[str, str], width: float) -> Iterator[Strip]:
    """The sketches, one under another."""
    for draw, caption in (
        (_arm_sketch, "A trailing arm, front to the left, the frame down on the ground."),
        (_stands_sketch, "Rake, and stands to build on."),
        (_links_sketch, "A four-link, front to the left; the rest is measured as on the arm."),
    ):
        yield from figure(draw(letters), width, caption)


# --- drawing ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Length:
    """A length from place to place; its line `offset` mm to the left of the way.

    Extension lines run to its ends from `places`, where it has any.
    """

    key: str
    start: Point
    end: Point
    offset: float = 0.0
    places: tuple[Point, ...] = ()


def _across(key: str, start: Point, end: Point, level: float) -> _Length:
    """A length along the datum line, drawn at a level."""
    return _Length(key, Point(start.x, level), Point(end.x, level), places=(start, end))


def _upright(key: str, start: Point, end: Point, station: float) -> _Length:
    """A length square to the datum line, drawn at a station of it."""
    return _Length(key, Point(station, start.y), Point(station, end.y), places=(start, end))


def _sketch(
    ink: tuple[Item, ...],
    lengths: tuple[_Length, ...],
    places: Mapping[str, Point],
    letters: Mapping[str, str],
) -> tuple[Item, ...]:
    """A sketch with a letter on each length, and beside each place that has one."""
    thin: list[Item] = []
    lines: list[Item] = []
    circles: list[Item] = []
    for each in lengths:
        for place, end in zip(each.places, (each.start, each.end), strict=False):
            if place.distance(end) > 2.0:
                along = (end - place).unit()
                thin.append(_line(place + along, end + along, HATCHING))
        drawn = dimension(each.start, each.end, "", offset=each.offset or 1e-3)
        lines += [item for item in drawn if not isinstance(item, Text)]
        out = (each.end - each.start).unit().left * each.offset
        circles += bubble(each.start.midpoint(each.end) + out, letters[each.key])
    ink = (*ink, *thin)
    room = bounds((*ink, *lines)).grown(_ROOM)
    free = FreeSpace.beside((*ink, *lines, *circles), (room,))
    named = [(letters[key], at) for key, at in places.items()]
    return (*ink, *lines, *circles, *place_letters(free, named).items)


def _ring(at: Point, diameter: float = 2.2) -> Iterator[Item]:
    yield Fill((Circle(at, diameter),), 1.0)
    yield Stroke(Circle(at, diameter), EDGE)


def _line(a: Point, b: Point, style: LineStyle = EDGE) -> Stroke:
    return Stroke(Line(a, b), style)


# --- what is common to the linkages -----------------------------------------------------------

_MARK = Point(0.0, 0.0)
_GROUND = -13.0


def _frame(right: float) -> Iterator[Item]:
    """Datum line, mark and ground."""
    yield from _named(_line(Point(-10.0, 0.0), Point(right, 0.0), CENTRE), "datum line")
    ground = _line(Point(-10.0, _GROUND), Point(right, _GROUND), OUTLINE)
    yield from _named(ground, "ground")
    yield from _mark(_MARK)


def _named(line: Stroke, words: str) -> tuple[Item, ...]:
    """A level line with its words at the right end."""
    box = bounds((line,))
    return (line, Text(Point(box.xmax + 1.5, box.ymin), words, 1.9, ("left", "middle")))


def _mark(at: Point) -> Iterator[Item]:
    tip = at + Vector(0.0, -0.6)
    for side in (-1.2, 1.2):
        yield _line(tip, tip + Vector(side, -2.4))
    yield Text(at + Vector(2.2, -2.4), "mark", 1.9, ("left", "middle"))


def _wheel(axle: Point) -> Iterator[Item]:
    yield Stroke(Circle(axle, 2 * (axle.y - _GROUND)), EDGE)
    yield from _ring(axle, 3.0)


def _spring(seat: Point, mount: Point, lean: Vector) -> Iterator[Item]:
    """The spring between its seat, which leans, and its upper mount, which is level."""
    half, level = lean.unit() * 11.0, Vector(11.0, 0.0)
    yield _line(seat + -half, seat + half, OUTLINE)
    yield _line(mount + -level, mount + level, OUTLINE)
    for side in (-1.0, 1.0):
        yield _line(seat + half * side, mount + level * side)
    for step in range(8):
        foot = mount + Vector(-11.0 + step * 22 / 7, 0.0)
        yield _line(foot, foot + Vector(1.5, 1.5), HATCHING)


# --- the sketches -----------------------------------------------------------------------------


def _arm_sketch(letters: Mapping[str, str]) -> tuple[Item, ...]:
    pivot, axle = Point(24.0, 16.0), Point(112.0, 40.0)
    along = (axle - pivot).unit()
    foot = pivot + along * 52.0
    seat = foot + along.left * 12.0
    mount = seat + Vector(-1.0, 24.0)
    lengths = (
        _across("trailing_arm.pivot_along", _MARK, pivot, -21.0),
        _across("mount.along", _MARK, mount, mount.y + 9.0),
        _upright("trailing_arm.pivot_above", _MARK, pivot, -8.0),
        _upright("mount.above", _MARK, mount, -17.0),
        _Length("tyre.loaded_radius", Point(axle.x, _GROUND), axle),
        _Length("frame.lowest_below", Point(144.0, 0.0), Point(144.0, _GROUND)),
        _Length("trailing_arm.length", pivot, axle, -13.0),
        _Length("seat.along", pivot, foot, -6.0),
        _Length("spring.diameter", seat + Vector(-11.0, 13.0), seat + Vector(10.5, 13.0)),
        _Length("seat.above", foot + along * 14.0, seat + along * 14.0),
    )
    ink = (
        *_frame(148.0),
        *_wheel(axle),
        _line(pivot, axle, OUTLINE),
        *_spring(seat, mount, along),
        *_ring(pivot),
        *_ring(axle, 3.0),
    )
    places = {
        "seat.tilt": seat + along * -9.0,
        "mount.tilt": mount + Vector(9.0, 0.0),
        "tyre.size": axle + Vector.polar(0.8, axle.y - _GROUND),
    }
    return _sketch(ink, lengths, places, letters)


def _links_sketch(letters: Mapping[str, str]) -> tuple[Item, ...]:
    lower, upper, axle = Point(20.0, 14.0), Point(34.0, 44.0), Point(106.0, 36.0)
    low_eye, high_eye = axle + Vector(-7.0, -21.0), axle + Vector(-4.0, 22.0)
    seat = axle + Vector(23.0, 8.0)
    mount = seat + Vector(0.0, 24.0)
    lengths = (
        _across("four_link.lower_along", _MARK, lower, -21.0),
        _across("four_link.upper_along", _MARK, upper, -29.0),
        _upright("four_link.lower_above", _MARK, lower, -8.0),
        _upright("four_link.upper_above", _MARK, upper, -16.0),
        _upright("four_link.lower_eye_above", axle, low_eye, axle.x + 12.0),
        _upright("four_link.upper_eye_above", axle, high_eye, axle.x + 8.0),
        _across("seat.along", axle, seat, axle.y - 26.0),
        _upright("seat.above", axle, seat, seat.x + 15.0),
        _Length("four_link.lower_length", lower, low_eye, 7.0),
        _Length("four_link.upper_length", upper, high_eye, 7.0),
    )
    ink = (
        *_frame(146.0),
        *_wheel(axle),
        _line(lower, low_eye, OUTLINE),
        _line(upper, high_eye, OUTLINE),
        _line(low_eye, axle),
        _line(axle, high_eye),
        *_spring(seat, mount, Vector(1.0, 0.0)),
        *(item for at in (lower, upper, low_eye, high_eye) for item in _ring(at)),
        *_ring(axle, 3.0),
    )
    places = {"four_link.lower_eye_along": low_eye, "four_link.upper_eye_along": high_eye}
    return _sketch(ink, lengths, places, letters)


def _stands_sketch(letters: Mapping[str, str]) -> tuple[Item, ...]:
    front, rear, floor = Point(-60.0, 4.0), Point(70.0, 0.0), -24.0
    slope = (rear - front).unit()
    stands = {"front": front + slope * 28.0, "rear": front + slope * 104.0}
    mark, foot = front + slope * 58.0, front + slope * 84.0
    heights = {"frame.front": front, "frame.rear": rear}
    heights |= {f"stands.{name}": at for name, at in stands.items()}
    lengths = (
        *(_Length(f"{key}_height", Point(at.x, floor), at) for key, at in heights.items()),
        _Length("frame.marks_apart", front, rear, 21.0),
        _Length("stands.front_along", stands["front"], mark, 13.0),
        _Length("stands.rear_along", mark, stands["rear"], 13.0),
        _Length("frame.lowest_along", mark, foot, 6.0),
    )
    ink = (
        _line(front, rear, CENTRE),
        Text(rear + Vector(1.5, 0.0), "datum line", 1.9, ("left", "middle")),
        *_mark(mark),
        *(_line(foot + Vector(side, 0.0), foot + Vector(0.0, -5.0)) for side in (-3.0, 3.0)),
        Text(foot + Vector(0.0, -6.0), "lowest point", 1.9, ("middle", "top")),
        *_named(_line(Point(-66.0, floor), Point(78.0, floor), OUTLINE), "floor"),
        *(_line(at, Point(at.x + side, floor)) for at in stands.values() for side in (-6.0, 6.0)),
    )
    return _sketch(ink, lengths, {}, letters)
