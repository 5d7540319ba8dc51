"""Where the angle's measurements show on its flat bracket."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from platewright.kinds.shown import Shown
from platewright.kinds.shown_parts import OFF, ON, along, bend_told, panels_of, row_told
from platewright.plate.bracket import Bracket

if TYPE_CHECKING:
    from platewright.kinds.angle import Angle


def angle_shown(angle: Angle, bracket: Bracket) -> Iterator[Shown]:
    """Where the measurements show on the flat angle."""
    panels = panels_of(bracket)
    shelf, upright = panels["shelf"], panels["upright"]
    yield along("shelf", shelf, "right side", ON if angle.right else OFF)
    yield along("upright", upright, "right side")
    yield along("width", shelf, "front")
    yield from bend_told("angle", "direction", upright)
    yield from row_told("shelf_holes", shelf, angle.shelf_holes, "back")
    yield from row_told("upright_holes", upright, angle.upright_holes)
    for hand in ("left", "right"):
        gusset = panels.get(f"{hand} gusset")
        if gusset is not None:
            yield along(f"{hand}.reach", gusset, "base", ON)
            yield along(f"{hand}.height", gusset, "upright end")
            if "nose" in dict(gusset.edges):
                yield along(f"{hand}.nose", gusset, "nose")
