"""The folded bracket in small, set beside the flat pattern."""

from __future__ import annotations

from functools import lru_cache

from platewright.drawing.flow import Strip, heading, height_of
from platewright.drawing.insets import Inset
from platewright.drawing.items import Group
from platewright.drawing.view import views_of
from platewright.geometry.plane import Motion, Vector
from platewright.plate.bracket import Bracket

_WIDTHS = (78.0, 62.0)
_HEIGHT_SHARE = 0.72
_ROOMY = 70.0
_TITLE = 2.4


def view_inset(bracket: Bracket) -> Inset:
    """What comes of it: the main view of the finished bracket."""

    def strips(width: float) -> tuple[Strip, ...]:
        return (*_title(width), _lowered(bracket, _size(width)))

    def height(width: float) -> float:
        return height_of((*_title(width), Strip(height=_size(width)[1])))

    return Inset(strips=strips, widths=_WIDTHS, height=height)


def _title(width: float) -> tuple[Strip, ...]:
    words = "Folded; white: top face" if width > _ROOMY else "Folded"
    return heading(words, width, _TITLE)[1:]


def _size(width: float) -> tuple[float, float]:
    return width, width * _HEIGHT_SHARE


@lru_cache(maxsize=8)
def _lowered(bracket: Bracket, size: tuple[float, float]) -> Strip:
    """The picture hung from its upper left corner; card and plate show the same one."""
    main, _ = views_of(bracket)
    motion = Motion.translation(Vector(0.0, -size[1]))
    return Strip(height=size[1], items=(Group(motion, main.drawn(size)),))
