"""A tape laid on a made part by code of its own: on its DXF, on a print of it, on the folded metal.

Nothing here comes from the tool but what its files say. `check --json` tells what to measure: each
dimension by the letter of its row, with its two ends on the true blank. What lies there on the true
DXF, a hole, a corner, a side or a bend line, is looked up on the wrong one, and the tape is laid
between the two. Millimetres.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely

from reference.foldback import Array, Flat, Folded, off_line

ENDS = ("start", "end")

#: A place that lies this near to a feature of the true blank is on it, mm.
_ON = 1e-4


@dataclass(frozen=True)
class Feature:
    """What may lie at a place of a blank: the number of a hole, a corner, a bend's end, a line."""

    sort: str
    number: int

    @property
    def is_line(self) -> bool:
        return self.sort in ("side", "bend")


def features_at(flat: Flat, at: Array) -> list[Feature]:
    """All that a tape may find there on a blank."""
    points = {
        "hole": flat.holes[:, :2],
        "corner": flat.corners[:, :2],
        "bend end": np.array(flat.bends).reshape(-1, 2),
    }
    found = [
        Feature(sort, number)
        for sort, places in points.items()
        for number, place in enumerate(places)
        if math.dist(place, at) < _ON
    ]
    for sort, count in (("side", len(flat.corners)), ("bend", len(flat.bends))):
        for number in range(count):
            line = shapely.LineString(line_of(flat, Feature(sort, number)))
            if line.distance(shapely.Point(at)) < _ON:
                found.append(Feature(sort, number))
    return found


def line_of(flat: Flat, feature: Feature) -> tuple[Array, Array]:
    if feature.sort == "bend":
        return flat.bends[feature.number][0], flat.bends[feature.number][1]
    a, b = list(flat.sides)[feature.number]
    return a[:2], b[:2]


def point_of(flat: Flat, feature: Feature, at: Array, true: Flat) -> Array:
    """A point of a blank; on a line the one at the same share of it as a place of the true one."""
    if feature.is_line:
        first, last = line_of(true, feature)
        a, b = line_of(flat, feature)
        return a + (b - a) * math.dist(first, at) / math.dist(first, last)
    if feature.sort == "bend end":
        return np.array(flat.bends).reshape(-1, 2)[feature.number]
    return (flat.holes if feature.sort == "hole" else flat.corners)[feature.number][:2]


def on_the_flat(dimension: dict[str, Any], true: Flat, made: Flat) -> float | None:
    """What a tape shows on a made blank between the places of a dimension, None if it finds none.

    Where a hole's foot happens to be a corner too, the tape is laid as it shows the true value on
    the true blank, square to a line rather than to a point.
    """
    asked = dimension.get("value_on_blank_mm")
    places = [dimension[end]["blank_mm"] for end in ENDS]
    if asked is None or None in places:
        return None
    start, end = (np.array(place) for place in places)

    def laid(one: Feature, other: Feature, flat: Flat) -> float:
        here = point_of(flat, one, start, true)
        if other.is_line:
            return _off(here, *line_of(flat, other))
        return math.dist(here, point_of(flat, other, end, true))

    square = "end to end" not in dimension["words"] and "(end of" not in dimension["words"]
    pairs = sorted(
        ((one, other) for one in features_at(true, start) for other in features_at(true, end)),
        key=lambda pair: (pair[0].is_line == square, pair[1].is_line != square),
    )
    for one, other in pairs:
        if abs(laid(one, other, true) - asked) < _ON:
            return laid(one, other, made)
    return None


def _off(point: Array, start: Array, end: Array) -> float:
    return off_line(np.append(point, 0.0), np.append(start, 0.0), np.append(end, 0.0))


# --- on the folded part -----------------------------------------------------------------------


def on_the_part(dimension: dict[str, Any], true: Flat, made: Folded) -> float | None:
    """The same on a folded part; of a bevel the angle inside the fold, degrees."""
    if dimension.get("value_on_part_deg") is not None:
        normals = [made.normal(made.panel_at(np.array(dimension[e]["blank_mm"]))) for e in ENDS]
        turn = math.acos(float(np.clip(normals[0] @ normals[1], -1, 1)))
        return 180 - math.degrees(turn)
    if dimension.get("value_on_part_mm") is None:
        return None
    start, end = dimension["start"], dimension["end"]
    found = _place(start, true, made)
    if found is None:
        return None
    panel, at, here = found
    if end["blank_mm"] is not None:
        there = _place(end, true, made)
        return None if there is None else float(np.linalg.norm(there[2] - here))
    words = re.search(r"square to the (outside|inside) of the bend", dimension["words"])
    (joint,) = made.joints
    other = joint.parent if panel == joint.child else joint.child
    if words is not None:
        return made.from_bend(at, panel, other, words[1])
    if panel == other or "over all, " in dimension["words"]:
        return None
    on = made.point(made.panels[other].representative_point().coords[0], end["face"], other)
    return abs(float((here - on) @ made.normal(other)))


def _place(end: dict[str, Any], true: Flat, made: Folded) -> tuple[int, Array, Array] | None:
    """The panel, the place on the made blank and the place in space of one end of a tape."""
    at = np.array(end["blank_mm"])
    found = [f for f in features_at(true, at) if not f.sort.startswith("bend")]
    if not found:
        return None
    there = point_of(made.flat, found[0], at, true)
    panel = made.panel_at(there)
    return panel, there, made.point(there, end["face"], panel)


# --- on a print -------------------------------------------------------------------------------


def measured_print(darkness: Array, dpi: float, true: Flat, near: float) -> Flat:
    """The blank as it stands on a print, by the ink of its lines and of its holes' edges.

    `darkness` runs from 0 to 1, row 0 at the top. Where the pattern lies on the page is found by
    laying its outline on the ink at about `near` times its size; every side and hole is then found
    by itself, in the page's own millimetres.
    """
    pixel = 25.4 / dpi
    x, y = _laid(darkness, pixel, true, near)
    height = darkness.shape[0] * pixel

    def there(at: Array) -> Array:
        return at * near + np.array([x, y])

    def dark(at: Array) -> float:
        row, column = int((height - at[1]) / pixel), int(at[0] / pixel)
        inside = 0 <= row < darkness.shape[0] and 0 <= column < darkness.shape[1]
        return float(darkness[row, column]) if inside else 0.0

    def inked(at: Array, way: Array, reach: float) -> float | None:
        """How far along a way from a place the middle of the nearest stroke of ink lies."""
        steps = np.arange(-reach, reach, pixel / 2)
        ink = np.array([dark(at + way * s) for s in steps])
        if ink.max() < 0.5:
            return None
        runs = np.flatnonzero(ink > 0.3)
        middle = runs[np.argmin(abs(steps[runs]))]
        low = high = middle
        while low > 0 and ink[low - 1] > 0.3:
            low -= 1
        while high + 1 < len(ink) and ink[high + 1] > 0.3:
            high += 1
        return float(np.average(steps[low : high + 1], weights=ink[low : high + 1]))

    def side(a: Array, b: Array) -> tuple[Array, Array]:
        """A side of the outline as printed: its place and its direction."""
        start, end = there(a[:2]), there(b[:2])
        way = (end - start) / math.dist(start, end)
        square = np.array([-way[1], way[0]])
        spots = [start + (end - start) * share for share in np.linspace(0.1, 0.9, 41)]
        offs = [(spot, inked(spot, square, 2.0)) for spot in spots]
        found = [(spot, off) for spot, off in offs if off is not None]
        middle = float(np.median([off for _, off in found]))
        # what stands beside the line is left out
        kept = np.array([spot + square * off for spot, off in found if abs(off - middle) < 0.4])
        centre = kept.mean(axis=0)
        _, _, axes = np.linalg.svd(kept - centre)
        return centre, axes[0]

    bends = []
    for a, b in true.bends:
        centre, way = side(a, b)
        # how long it is, is not measured
        bends.append(np.array([centre + way * ((there(end) - centre) @ way) for end in (a, b)]))
    sides = [side(a, b) for a, b in true.sides]
    corners = []
    for n, corner in enumerate(true.corners):
        (p, u), (q, v) = sides[n - 1], sides[n]
        runs_on = abs(u[0] * v[1] - u[1] * v[0]) < 0.05
        corners.append(q + v * ((there(corner[:2]) - q) @ v) if runs_on else _meeting(p, u, q, v))
    holes = []
    for hole in true.holes:
        middle, radius = there(hole[:2]), hole[2] / 2 * near
        turns = np.arange(0, 2 * math.pi, math.pi / 90)
        edge = []
        for turn in turns:
            if min(abs(math.remainder(turn, math.pi / 2)), 9) < 0.25:
                continue  # the centre lines run there
            way = np.array([math.cos(turn), math.sin(turn)])
            if (off := inked(middle + way * radius, way, 1.5)) is not None:
                edge.append(middle + way * (radius + off))
        ring = np.array(edge)
        # the circle of least squares (Kasa 1976): x2 + y2 = 2 a x + 2 b y + c
        a = np.column_stack([2 * ring, np.ones(len(ring))])
        (cx, cy, c), *_ = np.linalg.lstsq(a, (ring**2).sum(axis=1), rcond=None)
        holes.append([cx, cy, 2 * math.sqrt(c + cx * cx + cy * cy)])
    return replace(
        true,
        corners=np.column_stack([np.array(corners), np.zeros(len(corners))]),
        bends=tuple(bends),
        holes=np.array(holes),
    )


def _meeting(p: Array, u: Array, q: Array, v: Array) -> Array:
    """Where two straight lines meet."""
    t, _ = np.linalg.solve(np.column_stack([u, -v]), q - p)
    return p + u * t


def _laid(darkness: Array, pixel: float, true: Flat, near: float) -> tuple[float, float]:
    """Where the blank's origin lies on the page, by laying its outline on the ink."""
    mask = np.zeros_like(darkness)
    low = true.corners[:, :2].min(axis=0) * near
    for a, b in true.sides:
        for share in np.linspace(0, 1, 2000):
            x, y = (a[:2] + (b[:2] - a[:2]) * share) * near - low
            mask[mask.shape[0] - 1 - int(y / pixel), int(x / pixel)] = 1
    found = np.fft.irfft2(np.fft.rfft2(darkness) * np.conj(np.fft.rfft2(mask)), darkness.shape)
    row, column = np.unravel_index(int(found.argmax()), found.shape)
    down = row if row < darkness.shape[0] / 2 else row - darkness.shape[0]
    return float(column * pixel - low[0]), float(-down * pixel - low[1])


def rounded(value: float, step: float) -> float:
    """What is read on a tape of that division."""
    return round(value / step) * step
