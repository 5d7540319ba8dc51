"""A page as a printer sees it: rendered by another library, its ink measured in mm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pypdfium2
from numpy.typing import NDArray

from platewright.drawing.items import Page
from platewright.drawing.pdf import pdf_bytes
from platewright.geometry.plane import Bounds, Point

DPI = 400
PIXEL = 25.4 / DPI


@dataclass(frozen=True, slots=True)
class Ink:
    """Darkness from 0 to 1, row 0 at the top of the page; the page's height in mm."""

    darkness: NDArray[np.float64]
    height: float

    def crop(self, box: Bounds) -> tuple[NDArray[np.float64], Point]:
        """The darkness in a box and the place of its upper left corner."""
        left, right = (max(0, round(x / PIXEL)) for x in (box.xmin, box.xmax))
        top, low = (max(0, round((self.height - y) / PIXEL)) for y in (box.ymax, box.ymin))
        corner = Point(left * PIXEL, self.height - top * PIXEL)
        return self.darkness[top:low, left:right], corner

    def centre(self, box: Bounds) -> Point:
        """The middle of all ink in a box, weighted by darkness."""
        part, corner = self.crop(box)
        rows, columns = np.indices(part.shape)
        x = float(np.average(columns + 0.5, weights=part)) * PIXEL
        y = float(np.average(rows + 0.5, weights=part)) * PIXEL
        return Point(corner.x + x, corner.y - y)


def rendered(page: Page) -> Ink:
    """One page, written as PDF and rendered."""
    document = pypdfium2.PdfDocument(pdf_bytes([page], title="rendered"))
    image = document[0].render(scale=DPI / 72, grayscale=True).to_numpy()
    darkness = 1 - image.reshape(image.shape[:2]).astype(float) / 255
    return Ink(darkness, page.height)


def around(at: Point, x: float, y: float) -> Bounds:
    """A box that reaches `x` and `y` mm to either side of a point."""
    return Bounds(at.x - x, at.y - y, at.x + x, at.y + y)
