"""The folded bracket as a picture: hidden lines removed, true proportions, fitted to a box.

Top faces are white, undersides grey, cut edges light grey, so that the way a panel folds can be
told at a glance; a thin long-dash double-dot outline shows where each panel lay before its bend
was made (ISO 128), and an arrow the way it swung.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache, partial
from typing import Literal

from platewright.drawing.dimensions import arrowhead
from platewright.drawing.free_space import FreeSpace, LabelSpot, Sizes, SpotRow
from platewright.drawing.items import (
    Fill,
    Group,
    Hatch,
    Item,
    Page,
    Stroke,
    Text,
    moved_all,
    polyline,
)
from platewright.drawing.lettering import LINE_PITCH, fitted, text_width
from platewright.drawing.picture import Picture, SeenFace
from platewright.drawing.placing import Block, Callout, Placed, place_callouts, place_letters
from platewright.drawing.pointers import FlatPointer, pointed, pointer_callouts
from platewright.drawing.scene import Path, Scene, scenes_of
from platewright.drawing.spots import beside, either, led
from platewright.drawing.style import EDGE, LEADER, NARROW, OUTLINE, PHANTOM, LineStyle
from platewright.drawing.svg import svg_text
from platewright.drawing.view_direction import ViewDirection, main_direction, opposite_direction
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Line
from platewright.geometry.space import Point3, Vector3
from platewright.measuring.reach import sharp_corner
from platewright.plate.bracket import Bracket
from platewright.plate.dimension import swapped_hand
from platewright.plate.folded import Folded, FoldedBend, folded
from platewright.plate.skin import skin_of
from platewright.units import format_angle
from platewright.values import dataclass

#: Share of the box's smaller side that is kept round the picture for labels.
_RIM = 0.07
#: Kept round a picture with letters, mm.
_LETTER_RIM = 9.0
#: Boxes narrower than this, or than so much for each bend, get numbers only, mm.
_ROOM_FOR_WORDS = 90.0
_ROOM_FOR_BEND = 10.0
#: Bends are pointed at no nearer to a lettered place if it can be, mm.
_OFF_LETTERS = 3.5
#: How far a line to a sharp corner runs past it, mm.
_BEYOND = 1.2
#: Swings shorter than this on the sheet would only blot the picture, mm.
_LEAST_SWING = 6.0
_GREY = {"top": 1.0, "underside": 0.8}
_CUT_GREY = 0.9
_WALL_GREY = 0.5
_SIDES = (
    "right", "upper right", "top", "upper left", "left", "lower left", "bottom", "lower right",
)  # fmt: skip
"""Sides of a pattern, anticlockwise from its right."""

#: How much wider than its room a name of the other hand may be: half of what is kept free, mm.
_SPARE = 0.8

#: So many panels may have their names on leaders.
_FEW = 5

# less weight than a blank's lines, so that a plate's two edges stay apart in a small picture
_STYLES = {OUTLINE: LineStyle(OUTLINE.name, 0.35), EDGE: LineStyle(EDGE.name, 0.18)}
_PHANTOM = LineStyle(PHANTOM.name, 0.18, PHANTOM.dashes)
_EXTENSION = LineStyle("extension", NARROW / 2)
_WALL = LineStyle("wall", 0.125, grey=_WALL_GREY)
_GHOST = LineStyle("unfolded", 0.18, (5.0, 1.0, 0.5, 1.0, 0.5, 1.0), grey=0.35)


@dataclass(frozen=True, slots=True)
class Place:
    """A place on a bracket, in space, the letter that names it, and whether the metal hides it."""

    letter: str
    at: Point3
    hidden: bool = False


@dataclass(frozen=True, slots=True)
class Pointer:
    """An arrow at a place of a bracket, `by` mm long on the sheet where it lies across the view.

    Words beside its tip say what it shows; `root` is where its line comes from, None without one.
    """

    at: Point3
    by: Vector3
    words: str = ""
    root: Point3 | None = None


@dataclass(frozen=True, slots=True)
class _Stage:
    """From the eye's full-size sheet to the box: one scale both ways."""

    eye: ViewDirection
    scale: float
    shift: Vector

    def point(self, p: Point) -> Point:
        return Point(p.x * self.scale + self.shift.x, p.y * self.scale + self.shift.y)

    def points(self, run: Iterable[Point]) -> list[Point]:
        scale, dx, dy = self.scale, self.shift.x, self.shift.y
        return [Point(p.x * scale + dx, p.y * scale + dy) for p in run]

    def of(self, p: Point3) -> Point:
        return self.point(self.eye.on_sheet(p))


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """One look at a finished bracket, ready to be drawn in any size. A view equals itself alone.

    The other hand's is the mirror image of `mirror_of`, whose scene it has: places are mirrored
    into that, and its picture out of it.
    """

    scene: Scene
    mirror_of: View | None = None

    def seen(self, *places: Point3) -> tuple[Point3, ...]:
        """Those of some places that nothing of the bracket hides, in their order."""
        seen = self.scene.picture.seen(tuple(map(self._in_scene, places)))[0]
        return tuple(map(self._in_scene, seen))

    def drawn(
        self,
        size: tuple[float, float],
        places: Sequence[Place] = (),
        turn: float = 0.0,
        pointers: Sequence[Pointer] = (),
    ) -> tuple[Item, ...]:
        """The picture in a box from (0, 0) to `size` mm, with letters at places of the bracket.

        It is as large as the box allows, not to a round scale. A place that the metal hides has a
        ring and a dashed line to its letter. `turn` is how far the pattern is turned, to which its
        words about the picture's side refer. `pointers` lie on everything.
        """
        places = tuple(replace(each, at=_rounded(self._in_scene(each.at))) for each in places)
        pointers = tuple(map(self._pointer_in_scene, pointers))
        side = self._side(turn)
        room = max(side, swapped_hand(side), key=len)  # kept free on both hands
        below, above = _drawn(self.mirror_of or self, size, places, pointers, room)
        words = (*_key(self, size[0], side), *above)
        if self.mirror_of is None:
            return (*below, *words)
        called = {name: swapped_hand(name) for name, _ in self.scene.names}
        mirror = Motion.mirror_x(size[0] / 2)
        # what has no words is the first hand's own, so that a file holds it once
        return (Group(mirror, below), *moved_all((_called(each, called) for each in words), mirror))

    def _in_scene(self, p: Point3) -> Point3:
        """From the bracket to the scene, and back."""
        return Point3(-p.x, p.y, p.z) if self.mirror_of else p

    def _pointer_in_scene(self, pointer: Pointer) -> Pointer:
        if self.mirror_of is None:
            return pointer
        at, root, by = self._in_scene(pointer.at), pointer.root, pointer.by
        root = root and self._in_scene(root)
        return replace(pointer, at=at, root=root, by=Vector3(-by.x, by.y, by.z))

    def _side(self, turn: float) -> str:
        """The side of the pattern, turned by that, from which the bracket is seen."""
        azimuth = self.scene.picture.eye.azimuth
        here = math.pi - azimuth if self.mirror_of else azimuth
        return _SIDES[round((here + turn) / (math.pi / 4)) % 8]


def _rounded(p: Point3) -> Point3:
    """A place to a nanometre, as both hands have it."""
    return Point3(round(p.x, 6), round(p.y, 6), round(p.z, 6))


def _called(item: Item, called: Mapping[str, str]) -> Item:
    """A panel's name as another: in the room of the one, a little smaller if it must."""
    if not isinstance(item, Text) or item.text not in called:
        return item
    words, room = called[item.text], item.width
    if text_width(words, item.size, item.weight) <= room:
        return replace(item, text=words)
    middle = item.start + Vector.polar(item.angle) * (room / 2)
    size = fitted(words, room + _SPARE, item.size, item.weight)
    return replace(item, at=middle, text=words, size=size, anchor=("middle", "baseline"))


def _drawn(
    view: View,
    size: tuple[float, float],
    places: Sequence[Place],
    pointers: tuple[Pointer, ...],
    side: str,
) -> tuple[tuple[Item, ...], tuple[Item, ...]]:
    """What of a view's picture lies below its key, which tells of a side, and what above it."""
    stage = _fitted(view.scene, size, _LETTER_RIM if places else _RIM * min(size))
    extensions = tuple(_extensions(places, view.scene.model, stage))
    bends = tuple(_bend_places(view.scene, stage, places))
    below, worded = _worded(view, size, stage, extensions, bends, pointers, side)
    above, free = list(worded.items), worded.free
    for hidden in (False, True):
        letters = [(each.letter, stage.of(each.at)) for each in places if each.hidden == hidden]
        placed = place_letters(free, letters, hidden=hidden)
        above.extend(placed.items)
        free = placed.free
    return below, tuple(above)


@lru_cache(maxsize=16)
def _worded(
    view: View,
    size: tuple[float, float],
    stage: _Stage,
    extensions: tuple[Stroke, ...],
    bends: tuple[Point | None, ...],
    pointers: tuple[Pointer, ...],
    side: str,
) -> tuple[tuple[Item, ...], Placed]:
    """A view's picture without letters: what lies below its key, and what is placed above it.

    Both hands have it, and it is asked for again with other letters.
    """
    scene, box = view.scene, Bounds(0.0, 0.0, *size)
    ink = (*_bracket_items(scene, stage), *_phantom_items(scene, stage), *extensions)
    flat = _flat_pointers(pointers, stage)
    arrows = tuple(pointed(flat))
    free = FreeSpace.beside((*ink, *_key(view, size[0], side), *arrows), (box,))
    # what is off is told first
    first = place_callouts(free, list(pointer_callouts(flat)))
    roomy = box.width >= max(_ROOM_FOR_WORDS, _ROOM_FOR_BEND * len(scene.bends))
    placed = _words(scene, stage, first.free, bends, roomy=roomy)
    words = [replace(i, backed=True) if isinstance(i, Text) else i for i in placed.items]
    above = Placed(items=(*arrows, *first.items, *words), free=placed.free)
    return (*_wall_items(scene, stage), *ink), above


@lru_cache(maxsize=8)
def views_of(bracket: Bracket) -> tuple[View, View]:
    """The main view and the opposite one.

    The main one looks from above, from a side where every panel shows; the opposite one from below
    and the other side, so that each shows what the other hides. The other hand is seen as in a
    mirror.
    """
    if bracket.mirror_of is not None:
        one, other = (
            each.mirror_of or View(each.scene, each) for each in views_of(bracket.mirror_of)
        )
        return one, other
    model = folded(bracket)
    corners = [c.top for p in model.panels for c in model.corners(p.panel.name)]
    # chords of curves leave them by less than a line's width when the picture fits a page
    sagitta = max(0.02, max(a.distance(corners[0]) for a in corners) / 2000)
    solid = skin_of(model, sagitta)
    main = main_direction(model, solid)
    eyes = (main, opposite_direction(main, bracket))
    first, second = map(View, scenes_of(model, [Picture(solid, eye) for eye in eyes]))
    return first, second


def folded_view(
    bracket: Bracket,
    which: Literal["main", "opposite"] = "main",
    size: tuple[float, float] = (170.0, 120.0),
) -> tuple[Item, ...]:
    """The finished bracket as a drawing list in a box from (0, 0) to `size` mm (see `views_of`)."""
    main, opposite = views_of(bracket)
    return (main if which == "main" else opposite).drawn(size)


def view_svg(
    bracket: Bracket, title: str, size: tuple[float, float] = (180.0, 130.0), made_from: str = ""
) -> str:
    """The main view as SVG text, on a page as large as `size` mm; `made_from` as in `svg_text`."""
    return svg_text(Page(*size, folded_view(bracket, "main", size), title), made_from)


def _fitted(scene: Scene, size: tuple[float, float], rim: float) -> _Stage:
    seen = scene.bounds
    room = Bounds(0.0, 0.0, *size).grown(-rim)
    scale = min(room.width / seen.width, room.height / seen.height)
    middle, target = seen.centre, room.centre
    return _Stage(
        scene.picture.eye, scale, Vector(target.x - middle.x * scale, target.y - middle.y * scale)
    )


# --- the bracket ------------------------------------------------------------------------------


def _bracket_items(scene: Scene, stage: _Stage) -> Iterator[Item]:
    for face in scene.picture.faces:
        outlines = tuple(Contour.polygon(stage.points(loop)) for loop in face.loops)
        yield Fill(outlines, _grey(scene.model, face))
    # the wider lines over the others
    for style, run in sorted(scene.picture.strokes, key=lambda stroke: stroke[0] is OUTLINE):
        yield polyline(stage.points(run), _STYLES[style])


def _grey(model: Folded, face: SeenFace) -> float:
    """White for the top, grey for the underside, through bends too; light grey for cut edges."""
    bend = model.bend_of(face.panel)
    if bend is None or face.skin not in ("bend inside", "bend outside"):
        return _GREY.get(face.skin, _CUT_GREY)
    upper = (face.skin == "bend inside") == (bend.bend.direction == "up")
    return _GREY["top" if upper else "underside"]


# --- beside it --------------------------------------------------------------------------------


def _wall_items(scene: Scene, stage: _Stage) -> tuple[Item, ...]:
    if not scene.wall:
        return ()
    outline = Contour.polygon([stage.of(p) for p in scene.wall])
    return (Hatch((outline,), math.pi / 4, 3.0, _WALL), Stroke(outline, _WALL))


def _phantom_items(scene: Scene, stage: _Stage) -> Iterator[Item]:
    def drawn(path: Path, style: LineStyle) -> Iterator[Stroke]:
        return (polyline(stage.points(run), style) for run in path.seen)

    for path in scene.body:
        yield from drawn(path, _PHANTOM)
    for ghost, swing, tip in zip(scene.ghosts, scene.swings, scene.tips_seen, strict=True):
        if swing.length * stage.scale < _LEAST_SWING:
            continue
        yield from drawn(ghost, _GHOST)
        yield from drawn(swing, LEADER)
        before, _, end = stage.points(swing.whole[-3:])
        if tip and end != before:
            yield arrowhead(end, end - before)


def _flat_pointers(pointers: Sequence[Pointer], stage: _Stage) -> list[FlatPointer]:
    eye = stage.eye
    return [
        FlatPointer(
            stage.of(each.at),
            eye.on_sheet(each.at + each.by) - eye.on_sheet(each.at),
            each.words,
            stage.of(each.root) if each.root else None,
        )
        for each in pointers
    ]


# --- words ------------------------------------------------------------------------------------


def _words(
    scene: Scene, stage: _Stage, free: FreeSpace, bends: Sequence[Point | None], *, roomy: bool
) -> Placed:
    """Bends in words where there is room, else by number alone; then what stands beside."""
    beside = (*_name_callouts(scene, stage), *_beside_callouts(scene, stage))
    if roomy:
        words = _bend_callouts(scene, bends, _bend_words)
        placed = place_callouts(free, [*words, *beside], numbered=False)
        if not placed.notes:
            return placed
    numbers = _bend_callouts(scene, bends, lambda bend: str(bend.number))
    return place_callouts(free, [*(replace(one, needed=False) for one in numbers), *beside])


def _key(view: View, width: float, side: str) -> Iterator[Text]:
    """Where the picture is seen from, as the flat pattern lies, and what the greys mean."""
    if width >= _ROOM_FOR_WORDS:
        yield Text(Point(0.0, 0.6 + 1.8 * LINE_PITCH), "white: top face; grey: underside", 1.8)
    height = "above" if view.scene.picture.eye.elevation > 0 else "below"
    words = f"seen from {height}, from the pattern's {side}"
    yield Text(Point(0.0, 0.6), words, fitted(words, width, 1.8))


def _bend_words(bend: FoldedBend) -> str:
    return f"bend {bend.number}: {bend.bend.direction} {format_angle(bend.bend.angle)}"


def _bend_places(scene: Scene, stage: _Stage, places: Sequence[Place]) -> Iterator[Point | None]:
    """Where each bend is pointed at, clear of the lettered places if it can be; None unseen."""
    lettered = [stage.of(place.at) for place in places]
    for _, seen in scene.bends:
        clear = (
            at
            for at in map(stage.of, seen)
            if all(at.distance(spot) > _OFF_LETTERS for spot in lettered)
        )
        yield next(clear, None) or (stage.of(seen[0]) if seen else None)


def _bend_callouts(
    scene: Scene, bends: Sequence[Point | None], words: Callable[[FoldedBend], str]
) -> Iterator[Callout]:
    for (bend, _), at in zip(scene.bends, bends, strict=True):
        if at is not None:
            block = Block(lines=(words(bend),), bold=1)
            yield Callout(block=block, spots=led(at, clear=0.6), at=at, shrinks=False)


def _name_callouts(scene: Scene, stage: _Stage) -> Iterator[Callout]:
    """Every panel's name on its face, or on a leader to it where the panels are few."""
    outlines = {
        face.panel: Bounds.of(*stage.points(face.loops[0]))
        for face in scene.picture.faces
        if face.skin in ("top", "underside")
    }
    for name, places in scene.names:
        at = [stage.of(place) for place in places]
        if at:
            on_it = partial(_on_face, at, outlines.get(name))
            spots = either(on_it, led(at[0])) if len(scene.names) <= _FEW else on_it
            yield Callout(block=Block(lines=(name,), size=2.0), spots=spots, at=at[0], needed=False)


def _on_face(at: Sequence[Point], face: Bounds | None, sizes: Sizes) -> Iterator[SpotRow]:
    """Places on a face, if words can stand between its lines in any size; edge-on it is None."""
    if face and any(width < face.width and height < face.height for width, height in sizes):
        yield SpotRow.of(map(LabelSpot, at))


def _beside_callouts(scene: Scene, stage: _Stage) -> Iterator[Callout]:
    if scene.body:
        rim = stage.points(scene.body[0].whole)
        top, right, left = (
            max(rim, key=lambda p: p.y),
            max(rim, key=lambda p: p.x),
            min(rim, key=lambda p: p.x),
        )
        block = Block(lines=("body at its fullest",), size=2.0)
        spots = either(beside(top, 0.0, 0.0), beside(right, 0.0, 0.0), beside(left, 0.0, 0.0))
        yield Callout(block=block, spots=spots, at=top, needed=False)
    if scene.wall_seen:
        at = max(map(stage.of, scene.wall_seen), key=lambda p: p.y)
        block = Block(lines=("wall",), size=2.0)
        yield Callout(block=block, spots=beside(at, 0.0, 0.0), at=at, needed=False)


def _extensions(places: Sequence[Place], model: Folded, stage: _Stage) -> Iterator[Stroke]:
    """Thin lines to a sharp corner in the air from the faces that would meet there.

    As drawings do (ISO 129-1 habit).
    """
    for place in places:
        for end in sharp_corner(model, place.at) or ():
            start, corner = stage.of(end), stage.of(place.at)
            if start.distance(corner) > _BEYOND:
                yield Stroke(Line(start, corner + (corner - start).unit() * _BEYOND), _EXTENSION)
