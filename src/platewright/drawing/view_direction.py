"""The direction that a bracket is looked at from, and where its places come to stand on a sheet.

A parallel projection; the direction is chosen so that every panel can be seen.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property, lru_cache
from itertools import product
from typing import TYPE_CHECKING, Any

from platewright.drawing.hidden_lines import Occluders, Polygons
from platewright.errors import GeometryError
from platewright.geometry.plane import Point
from platewright.geometry.space import Point3, Vector3
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.folded import Folded
from platewright.plate.place import PlacedPanel
from platewright.plate.prism import panel_polygons
from platewright.plate.skin import Solid
from platewright.values import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Eyes are tried in this order: degrees to the side of square-on to the wall's front, then above.
_SIDES = (38, 25, 52)
_RISES = (28, 18, 40)
#: An eye is good enough when it sees this share of each panel, foreshortening counted.
_ENOUGH = 0.12
_NEAR = 1e-6


@dataclass(frozen=True, slots=True)
class Seen:
    """A point of space as the eye sees it: x to the right, y up, `depth` towards the eye, mm."""

    x: float
    y: float
    depth: float

    @property
    def point(self) -> Point:
        """The place on the sheet."""
        return Point(self.x, self.y)


@dataclass(frozen=True)
class ViewDirection:
    """A direction to look from: `azimuth` anticlockwise from +x round z, `elevation` above level.

    Radians. Space's z stays upright on the sheet. Raises GeometryError for an eye straight above
    or below, where upright has no meaning.
    """

    azimuth: float
    elevation: float

    def __post_init__(self) -> None:
        if not abs(self.elevation) < math.pi / 2:
            raise GeometryError("an eye looks from less than a right angle above or below")

    @cached_property
    def towards(self) -> Vector3:
        """Unit vector from the object to the eye."""
        flat = math.cos(self.elevation)
        return Vector3(
            flat * math.cos(self.azimuth), flat * math.sin(self.azimuth), math.sin(self.elevation)
        )

    @cached_property
    def right(self) -> Vector3:
        """Unit vector to the right on the sheet."""
        return Vector3(-math.sin(self.azimuth), math.cos(self.azimuth), 0.0)

    @cached_property
    def up(self) -> Vector3:
        """Unit vector up on the sheet."""
        return self.towards.cross(self.right)

    def seen(self, p: Point3) -> Seen:
        """A point as the eye sees it."""
        place = Vector3(p.x, p.y, p.z)
        return Seen(self.right.dot(place), self.up.dot(place), self.towards.dot(place))

    def seen_each(self, places: Iterable[Point3] | NDArray[Any]) -> NDArray[Any]:
        """Many points, or rows of x, y and z, as the eye sees them: rows of x, y and depth."""
        import numpy as np

        x, y, z = (places if isinstance(places, np.ndarray) else _rows(places)).T
        axes = (self.right, self.up, self.towards)
        return np.stack([x * axis.x + y * axis.y + z * axis.z for axis in axes], axis=1)

    def on_sheet(self, p: Point3) -> Point:
        """Where a point of space comes to stand on the sheet, at full size."""
        place = Vector3(p.x, p.y, p.z)
        return Point(self.right.dot(place), self.up.dot(place))


def _rows(places: Iterable[Point3]) -> NDArray[Any]:
    import numpy as np

    return np.array([(p.x, p.y, p.z) for p in places], dtype=float).reshape(-1, 3)


@lru_cache(maxsize=4)
def mesh_of(solid: Solid) -> tuple[NDArray[Any], Polygons]:
    """A solid's points in rows of x, y and z, and its facets: the same for every eye."""
    return _rows(solid.points), Polygons([facet.loops for facet in solid.facets])


# --- which direction --------------------------------------------------------------------------


def main_direction(folded: Folded, skin: Solid) -> ViewDirection:
    """From above, in front of the wall, from the side that shows most of the least seen panel."""
    front, samples = front_azimuth(folded.bracket), face_samples(folded)
    best, best_share = None, -1.0
    for rise, side, sign in product(_RISES, _SIDES, (-1, 1)):
        eye = ViewDirection(front + sign * math.radians(side), math.radians(rise))
        share = least_seen(samples, skin, eye, best_share + _NEAR)
        if share >= _ENOUGH:
            return eye
        if share > best_share + _NEAR:
            best, best_share = eye, share
    assert best is not None
    return best


def opposite_direction(main: ViewDirection, bracket: Bracket) -> ViewDirection:
    """From below and the other side, in front of the wall: each shows what the other hides."""
    return ViewDirection(2 * front_azimuth(bracket) - main.azimuth, -main.elevation)


def front_azimuth(bracket: Bracket) -> float:
    """The direction away from the wall, radians from +x; away from -y where no wall is named."""
    if bracket.wall is None:
        return math.pi / 2
    return bracket.root.straight_edge(bracket.wall).direction.left.angle


def least_seen(
    samples: Sequence[Samples], skin: Solid, eye: ViewDirection, enough: float = -1.0
) -> float:
    """The share that an eye sees of the panel it sees least of, from 0 to 1.

    Sample places on the face turned to the eye, counted with the face's slant. What is found to be
    no more than `enough` may be less.
    """
    import numpy as np

    tilts = [panel.normal.dot(eye.towards) for panel in samples]
    share = min(map(abs, tilts))
    if share <= enough:
        return share
    spots = [
        place
        for tilt, panel in zip(tilts, samples, strict=True)
        for place in (panel.top if tilt > 0 else panel.underside)
    ]
    points, polygons = mesh_of(skin)
    occluders = Occluders(eye.seen_each(points), polygons)
    clear = ~occluders.hide(eye.seen_each(spots))
    counts = np.array([len(panel.top) for panel in samples])
    seen = np.add.reduceat(clear, np.cumsum(counts) - counts, dtype=int)
    return float((np.abs(tilts) * seen / counts).min())


@dataclass(frozen=True, slots=True)
class Samples:
    """Places spread over a panel, on its top face and on its underside, and its upward normal."""

    normal: Vector3
    top: tuple[Point3, ...]
    underside: tuple[Point3, ...]


def face_samples(folded: Folded) -> tuple[Samples, ...]:
    """Of every panel places near the middle and the corners of its convex pieces."""

    def spots(panel: Panel) -> Iterator[Point]:
        for ring in panel_polygons(panel):
            middle = Point(
                math.fsum(p.x for p in ring) / len(ring), math.fsum(p.y for p in ring) / len(ring)
            )
            yield middle
            yield from (middle.towards(p, 0.7) for p in ring[:: max(1, len(ring) // 6)])

    def sampled(placed: PlacedPanel) -> Samples:
        place, at = placed.world_from_panel, list(spots(placed.panel))
        top, underside = (
            tuple(place.point(p, height) for p in at) for height in (0.0, -folded.thickness)
        )
        return Samples(place.z_axis, top, underside)

    return tuple(map(sampled, folded.panels))
