"""Whether boxes and lines on a sheet meet, asked pairwise of shapely."""

from itertools import combinations

from shapely import LineString, Polygon

from platewright.drawing.free_space import Box, ink_lines
from platewright.drawing.items import Text, marks


def polygon(item):
    """A box, or the box round a text, as a polygon."""
    if isinstance(item, Text):
        return Polygon([(p.x, p.y) for p in item.box()])
    assert isinstance(item, Box)
    plain = Polygon([(-1, -1), (1, -1), (1, 1), (-1, 1)])
    from shapely.affinity import rotate, scale, translate

    sized = scale(plain, item.half_along, item.half_across, origin=(0, 0))
    turned = rotate(sized, item.angle, origin=(0, 0), use_radians=True)
    return translate(turned, item.centre.x, item.centre.y)


def texts_of(items):
    """Every text that has words."""
    return [mark for mark in marks(items) if isinstance(mark, Text) and mark.text]


def any_meet(boxes):
    """Whether any two of some texts or boxes share a point."""
    return any(a.intersects(b) for a, b in combinations([polygon(box) for box in boxes], 2))


def covers(box, line):
    """Whether a text or box meets a straight line."""
    return polygon(box).intersects(LineString([(p.x, p.y) for p in (line.start, line.end)]))


def cover_ink(boxes, items):
    """Whether any text or box meets the ink of some items."""
    lines = ink_lines(items)
    return any(covers(box, line) for box in boxes for line in lines)
