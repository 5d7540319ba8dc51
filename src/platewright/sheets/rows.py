"""The rows of a check sheet: of all that is measured on a piece, what its tables ask for.

Letters stand for places: capitals on the flat blank, small ones on the folded part.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any, Generic, TypeVar

from platewright.findings.words import joined_places
from platewright.geometry.space import Point3
from platewright.measuring.dimensions import Measured, dimensions_of, dimensions_on_blank
from platewright.plate.bend import inside_face
from platewright.plate.dimension import Dimension, OnBlank, PanelFace, Touch
from platewright.plate.folded import Folded, FoldedBend, folded
from platewright.plate.piece import Piece
from platewright.sheets.alignment import seam_letters
from platewright.units import format_angle
from platewright.values import dataclass

P = TypeVar("P")

_ALPHABET = "abcdefghjkmnpqrstuvwxyz"  # without those that look like figures
_MANY = 3  # more alike than this share a row
_SAME = 0.05  # mm
_ONE = 1e-4  # mm: places on the blank this near have one letter
_NUMBERS = re.compile(r"\d+|\b(left|right)\b")

#: A gap narrower than this, mm, is for a feeler, and no row for a tape.
_LEAST = 1.6


@dataclass(frozen=True, slots=True)
class Row(Generic[P]):
    """A row of a table: what is measured, its value in mm or radians, in words; and those alike.

    `ends` are the places that have letters: "A to B", "a", "" for none. No other row of its table
    has its `name`: the letters, numbered where another has them too, or else "across", "bevel 1".
    """

    told: tuple[Measured, ...]
    value: float
    words: str
    ends: tuple[P, ...]
    letters: str = ""
    name: str = ""

    @property
    def critical(self) -> bool:
        """Whether it decides that the part fits."""
        return self.told[0].critical

    @property
    def angle(self) -> bool:
        """Whether it is an angle."""
        return self.told[0].dimension.quantity == "angle"

    @property
    def is_bevel(self) -> bool:
        """Whether it is the angle inside a fold: half a turn less what the metal turns."""
        return self.angle and isinstance(self.told[0].dimension.start, PanelFace)


@dataclass(frozen=True, slots=True)
class Rows(Generic[P]):
    """The rows of a table, and the places in them by their letters."""

    rows: tuple[Row[P], ...]
    places: tuple[tuple[str, P], ...]


# --- the flat blank ---------------------------------------------------------------------------


@lru_cache(maxsize=16)
def flat_rows(piece: Piece) -> Rows[OnBlank]:
    """Every distance worth measuring on the blank, the fit-critical ones first."""
    rows = [
        Row(
            (each,),
            each.on_blank.value,
            _flat_words(each),
            () if each.dimension.over_all else each.blank_ends,
            name=_flat_name(each),
        )
        for each in dimensions_on_blank(piece)
        if each.on_blank and each.told_on_blank == each.dimension
    ]
    return _lettered(_alike_together(rows), _same_on_blank, seam_letters)


def _flat_name(each: Measured) -> str:
    """What a row is called whose places have no letters."""
    if not each.dimension.over_all:
        return ""
    return "across" if "left" in each.dimension.what else "up"


def _flat_words(each: Measured) -> str:
    if each.dimension.over_all:
        return each.dimension.what
    start, end = each.blank_ends[0], each.blank_ends[-1]
    if each.dimension.end_to_end:
        return f"{start.words}, end to end"
    if each.dimension.quantity == "angle":
        return f"{start.words} to {end.words}, angle"
    square = "" if end.line is None else ", square" if start.line else ", square to it"
    return f"{start.words} to {end.words}{square}"


# --- the folded part --------------------------------------------------------------------------


@lru_cache(maxsize=16)
def folded_rows(piece: Piece) -> Rows[Point3]:
    """The readings that the folded part is held to, angles first.

    Distances within one panel stand as on the flat and are not asked for again.
    """
    model = folded(piece.bracket)
    rows = [
        Row(
            (each,),
            _shown(each),
            _folded_words(each.dimension, model),
            _folded_ends(each, model),
            name=_folded_name(each.dimension, model),
        )
        for each in dimensions_of(piece)
        if each.on_part and each.told_on_part == each.dimension and not _stands_as_flat(each)
        if each.on_part.value >= _LEAST or each.critical or each.dimension.quantity == "angle"
    ]
    angles = [row for row in rows if row.angle]
    lengths = [row for row in rows if not row.angle]
    together = (*_bevels(angles, model), *_alike_together(lengths))
    return _lettered(together, _same_on_part, _small_letter)


def _stands_as_flat(each: Measured) -> bool:
    return bool(each.on_blank) and each.dimension.start.panel == each.dimension.end.panel


def _shown(each: Measured) -> float:
    """What a tape or a bevel shows; a bevel lies inside the fold."""
    assert each.on_part is not None
    value = each.on_part.value
    return math.pi - value if isinstance(each.dimension.start, PanelFace) else value


def _folded_ends(each: Measured, model: Folded) -> tuple[Point3, ...]:
    tape, end = each.on_part, each.dimension.end
    if tape is None or each.dimension.quantity == "angle":
        return ()
    if isinstance(end, Touch):
        return tape.start, model.panel(end.panel).world_from_panel.point3(end.at)
    return (tape.start,) if each.dimension.square else (tape.start, tape.end)


def _folded_name(each: Dimension, model: Folded) -> str:
    """What a row is called whose places have no letters."""
    bend = _bend_between(each, model)
    if bend is not None:
        return f"bevel {bend.number}"
    return "angle" if each.quantity == "angle" else ""


def _folded_words(each: Dimension, model: Folded) -> str:
    start, end = each.start, each.end
    if each.over_all:
        return f"{each.what}: between two squares"
    bend = _bend_between(each, model)
    if bend is not None:
        inside = inside_face(bend.bend.direction)
        faces = " to ".join(model.face_words(p.panel, inside) for p in (start, end))
        return f"bevel in bend {bend.number}: {start.words} to {end.words}, {faces}"
    faces = " to ".join(model.face_words(place.panel, place.face) for place in (start, end))
    if start.panel == end.panel and start.face == end.face:
        face = model.face_words(start.panel, start.face)
        # "square to the inside of the bend" has named it already, or each end its own
        named = end.words.startswith(face.split()[0]) or ", on the " in end.words
        faces = "" if named else f"on the {face}"
    what = f"{each.what}: " if each.what else ""
    between = ", square to the " if each.square and each.quantity == "length" else " to "
    return f"{what}{start.words}{between}{end.words}{', ' if faces else ''}{faces}"


def _bend_between(each: Dimension, model: Folded) -> FoldedBend | None:
    """The bend that an angle between the faces of two panels tells of."""
    if not isinstance(each.start, PanelFace) or not isinstance(each.end, PanelFace):
        return None
    names = {each.start.panel, each.end.panel}
    for bend in model.bends:
        if {model.panels[i].panel.name for i in (bend.parent, bend.child)} == names:
            return bend
    return None


def _bevels(rows: Sequence[Row[Point3]], model: Folded) -> Iterator[Row[Point3]]:
    """Every bevel, those of many bends with one angle together."""
    by_angle: dict[str, list[Row[Point3]]] = {}
    for row in rows:
        by_angle.setdefault(format_angle(row.value), []).append(row)
    for group in by_angle.values():
        bends = [_bend_between(row.told[0].dimension, model) for row in group]
        if len(group) <= _MANY or None in bends:
            yield from group
            continue
        names = joined_places([f"bevel in bend {bend.number}" for bend in bends if bend])
        told = tuple(each for row in group for each in row.told)
        words = f"{names}, each, inside the fold"
        first = min(bend.number for bend in bends if bend)
        yield Row(told, group[0].value, words, (), name=f"bevel {first}")


# --- alike rows -------------------------------------------------------------------------------


def _alike_together(rows: Sequence[Row[P]]) -> Iterator[Row[P]]:
    """Rows of one distance, whose words differ by numbers and hands alone, in one with a count."""
    keys = [(_NUMBERS.sub("", r.words), round(r.value / _SAME), r.critical) for r in rows]
    groups: dict[tuple[str, int, bool], list[Row[P]]] = {key: [] for key in keys}
    for key, row in zip(keys, rows, strict=True):
        groups[key].append(row)
    for key, row in zip(keys, rows, strict=True):
        group = groups[key]
        if len(group) <= _MANY:
            yield row
        elif row is group[0]:
            told = tuple(each for other in group for each in other.told)
            yield replace(row, told=told, words=f"{row.words}: {len(group)} alike")


# --- letters ----------------------------------------------------------------------------------


def _lettered(
    rows: Iterable[Row[P]], same: Callable[[P, P], bool], letter: Callable[[int], str]
) -> Rows[P]:
    """Rows whose places have letters, each place once, in the order in which the rows meet them."""
    places: list[tuple[str, P]] = []
    known: dict[P, str] = {}
    named: list[Row[P]] = []
    for row in rows:
        letters: list[str] = []
        for end in row.ends:
            found = known.get(end)
            if found is None:
                found = next((name for name, other in places if same(end, other)), None)
            if found is None:
                found = letter(len(places))
                places.append((found, end))
            known[end] = found
            letters.append(found)
        together = " to ".join(letters)
        named.append(replace(row, letters=together, name=row.name or together))
    several = Counter(row.name for row in named)
    met: Counter[str] = Counter()
    for index, row in enumerate(named):
        met[row.name] += 1
        if several[row.name] > 1:
            named[index] = replace(row, name=f"{row.name} {met[row.name]}")
    return Rows(tuple(named), tuple(places))


def _same_on_blank(one: OnBlank, other: OnBlank) -> bool:
    """Whether two places on the blank are one, whichever way a line is travelled."""
    a, b = one.line, other.line
    if a is None or b is None:
        return a is b and one.at.distance(other.at) < _ONE
    ways = (b.start, b.end), (b.end, b.start)
    return any(a.start.distance(s) < _ONE and a.end.distance(e) < _ONE for s, e in ways)


def _same_on_part(one: Point3, other: Point3) -> bool:
    return one.distance(other) < _SAME


def _small_letter(index: int) -> str:
    rounds, at = divmod(index, len(_ALPHABET))
    return (_ALPHABET[rounds - 1] if rounds else "") + _ALPHABET[at]


def in_rows(piece: Piece) -> Iterator[tuple[Measured, str, str]]:
    """Every dimension of a piece with the words and the letters of its rows on the check sheet.

    One without a row has its own words and no letter.
    """
    flat = {e.dimension: row for row in flat_rows(piece).rows for e in row.told}
    part = {e.dimension: row for row in folded_rows(piece).rows for e in row.told}
    found = {each.dimension: each for each in dimensions_of(piece)}
    model = folded(piece.bracket)
    for each in found.values():
        rows: list[Row[Any]] = []
        if each.told_on_blank is not None:
            rows.append(flat[each.told_on_blank])
        if each.told_on_part is not None:
            teller = found[each.told_on_part]
            if teller.dimension in part:
                rows.append(part[teller.dimension])
            elif not rows and teller.told_on_blank is not None:
                rows.append(flat[teller.told_on_blank])
        words = _flat_words(each) if each.on_blank else _folded_words(each.dimension, model)
        yield each, words, ", ".join(row.letters for row in rows if row.letters)
