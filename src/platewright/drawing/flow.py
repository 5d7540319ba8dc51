"""Running matter: headings, paragraphs, lists and figures set one under another over pages.

Everything becomes strips: pieces that may not be broken, each drawn from its own upper left corner
(0, 0) downwards. `flow` sets strips into a frame, page after page.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from platewright.drawing.items import Group, Item, Text, bounds, shifted
from platewright.drawing.lettering import LINE_PITCH, Weight, wrap
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.values import dataclass

TEXT_SIZE = 2.3
"""Height of capitals of running text, mm."""

_ROUNDING = 1e-9
_LEAST_PAGE = 0.1  # what a last page holds at least, of its frame


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One unbreakable piece: `height` mm, items from (0, 0) at its upper left, y downwards < 0.

    `keeps` holds it on one page with the next strip. `repeated` is drawn above it when it begins a
    page (a table's header). `loose` strips are dropped at the top of a page (gaps). What takes
    long to draw is `drawn` only once its strip is set on a page. A picture has a `smaller` one, for
    where that saves a page.
    """

    height: float
    items: tuple[Item, ...] = ()
    drawn: Callable[[], tuple[Item, ...]] | None = None
    keeps: bool = False
    repeated: Strip | None = None
    loose: bool = False
    smaller: Callable[[], Strip] | None = None

    @property
    def ink(self) -> tuple[Item, ...]:
        """What it shows, drawn now where it was not yet."""
        return self.drawn() if self.drawn else self.items


def gap(height: float) -> Strip:
    """Empty room, `height` mm, that vanishes at the top of a page."""
    return Strip(height=height, loose=True)


def kept(strips: Iterable[Strip]) -> tuple[Strip, ...]:
    """Strips that stay with what follows."""
    return tuple(replace(strip, keeps=True) for strip in strips)


def heading(text: str, width: float, size: float = 3.5) -> tuple[Strip, ...]:
    """A bold heading that stays with what follows, with room above it."""
    lines = wrap(text, width, size, "bold")
    strips = [_line(line, size, "bold", 0.0, keeps=True) for line in lines]
    return (gap(size * 0.8), *strips, Strip(height=size * 0.2, keeps=True))


def paragraph(
    text: str,
    width: float,
    size: float = TEXT_SIZE,
    weight: Weight = "regular",
) -> tuple[Strip, ...]:
    """Wrapped text, with a little room under it; its first two lines stay together."""
    lines = wrap(text, width, size, weight)
    strips = [
        _line(line, size, weight, 0.0, keeps=index == 0 and len(lines) > 1)
        for index, line in enumerate(lines)
    ]
    return (*strips, gap(size * 0.6))


def bullets(
    texts: Iterable[str],
    width: float,
    size: float = TEXT_SIZE,
    marker: str = "\N{BULLET}",
) -> tuple[Strip, ...]:
    """A list with a marker before each entry, wrapped beside it."""
    return tuple(strip for text in texts for strip in _entry(marker, text, width, size))


def steps(texts: Iterable[str], width: float, size: float = TEXT_SIZE) -> tuple[Strip, ...]:
    """A numbered list, counted from 1."""
    return tuple(
        strip
        for number, text in enumerate(texts, start=1)
        for strip in _entry(f"{number}.", text, width, size)
    )


def figure(items: Sequence[Item], width: float, caption: str = "") -> tuple[Strip, ...]:
    """A drawing of its own size, centred in `width` mm, with a caption under it.

    Raises GeometryError when the drawing is empty.
    """
    box = bounds(items)
    drawn = shifted(items, (width - box.width) / 2 - box.xmin, -box.ymax)
    strips = [Strip(height=box.height, items=drawn, keeps=bool(caption))]
    for line in wrap(caption, width, TEXT_SIZE) if caption else ():
        text = Text(Point(width / 2, -1.5 * TEXT_SIZE), line, TEXT_SIZE, ("middle", "baseline"))
        strips.append(Strip(height=TEXT_SIZE * LINE_PITCH, items=(text,)))
    above = kept((gap(TEXT_SIZE),))  # with the drawing, so that a heading over it does not part
    return (*above, *strips, gap(TEXT_SIZE))


def _entry(marker: str, text: str, width: float, size: float) -> tuple[Strip, ...]:
    indent = 2.6 * size
    lines = wrap(text, width - indent, size)
    first = _line(lines[0], size, "regular", indent, keeps=len(lines) > 1)
    marked = (Text(Point(0.4 * size, -_drop(size)), marker, size), *first.items)
    rest = [_line(line, size, "regular", indent) for line in lines[1:]]
    return (
        Strip(height=first.height, items=marked, keeps=first.keeps),
        *rest,
        gap(size * 0.35),
    )


def _line(text: str, size: float, weight: Weight, indent: float, *, keeps: bool = False) -> Strip:
    items = (Text(Point(indent, -_drop(size)), text, size, weight=weight),) if text else ()
    return Strip(height=size * LINE_PITCH, items=items, keeps=keeps)


def _drop(size: float) -> float:
    """From the top of a line to its baseline."""
    return size * (1 + (LINE_PITCH - 1) * 0.4)


def height_of(strips: Iterable[Strip]) -> float:
    """Height of strips set one under another on one page, mm."""
    return math.fsum([strip.height for strip in strips])


def stacked(strips: Iterable[Strip], corner: Point) -> tuple[Item, ...]:
    """The strips set one under another from an upper left corner, however far that runs."""
    groups: list[Item] = []
    y = corner.y
    for strip in strips:
        if items := strip.ink:
            groups.append(Group(Motion.translation(Vector(corner.x, y)), items))
        y -= strip.height
    return tuple(groups)


def flow(
    strips: Sequence[Strip], first: Bounds, later: Bounds | None = None
) -> tuple[tuple[Item, ...], ...]:
    """The strips set into frames, one list of items a page: `first`, then `later` (or `first`).

    A strip taller than its frame stands alone and runs out of it below. At least one page.
    """
    pages = paged(strips, first, later)
    frames = [first, *((later or first) for _ in pages[1:])]
    return tuple(
        stacked(page, Point(frame.xmin, frame.ymax))
        for page, frame in zip(pages, frames, strict=True)
    )


def paged(strips: Sequence[Strip], first: Bounds, later: Bounds | None = None) -> list[list[Strip]]:
    """The strips of each page, by their heights alone (see `flow`)."""
    later = later or first
    pages: list[list[list[Strip]]] = [[]]
    filled = 0.0
    for block in _blocks(strips):
        frame = first if len(pages) == 1 else later
        height = height_of(block)
        if filled and filled + height > frame.height + _ROUNDING:
            pages.append([])
            filled = 0.0
        filled += height if filled else height_of(_opening(block))
        pages[-1].append(block)
    # a page of a line or two takes some of the page before
    while len(pages) > 1 and len(pages[-2]) > 1:
        longer = [pages[-2][-1], *pages[-1]]
        whole = height_of(_page(longer)) <= later.height + _ROUNDING
        if height_of(_page(pages[-1])) >= _LEAST_PAGE * later.height or not whole:
            break
        pages[-2:] = [pages[-2][:-1], longer]
    return [_page(page) for page in pages]


def _page(blocks: Sequence[list[Strip]]) -> list[Strip]:
    """The strips of a page: no gap first, and a table's header over the rows it begins with."""
    head = next((number for number, block in enumerate(blocks) if _opening(block)), None)
    if head is None:
        return []
    return [*_opening(blocks[head]), *(s for block in blocks[head + 1 :] for s in block)]


def _blocks(strips: Sequence[Strip]) -> list[list[Strip]]:
    """Runs of strips that stay on one page."""
    blocks: list[list[Strip]] = []
    kept = False
    for strip in strips:
        if kept:
            blocks[-1].append(strip)
        else:
            blocks.append([strip])
        kept = strip.keeps
    return blocks


def _opening(block: list[Strip]) -> list[Strip]:
    """A block as it begins a page: no gap first, and its header above it."""
    while block and block[0].loose:
        block = block[1:]
    above = block[0].repeated if block else None
    return [above, *block] if above is not None else block
