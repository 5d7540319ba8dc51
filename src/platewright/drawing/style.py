"""Line styles, named for what the line means on a sheet.

Sheets must read in black and white, so width and dashes carry the meaning. Widths keep the wide to
narrow ratio 2:1 and the dash orders of ISO 128; the dots and gaps are opened a little beyond the
standard's so that a cheap printer keeps them apart.
"""

from __future__ import annotations

from platewright.values import dataclass

WIDE = 0.5
"""Width of wide lines, mm."""

NARROW = 0.25
"""Width of narrow lines, mm (half of wide)."""


@dataclass(frozen=True, slots=True)
class LineStyle:
    """How a line is drawn: its trade name, width in mm, and dashes and gaps in mm by turns.

    No dashes is a continuous line. `grey` runs from 0 (black) to 1 (white).
    """

    name: str
    width: float
    dashes: tuple[float, ...] = ()
    grey: float = 0.0


_DASHED = (3.0, 1.2)
_CHAIN = (9.0, 1.3, 0.6, 1.3)
_DOUBLE_CHAIN = (9.0, 1.3, 0.6, 1.3, 0.6, 1.3)

CUT = LineStyle("cut", WIDE)
"""Where metal is cut: contour and holes. The middle of the line is the edge of the part."""

BEND = LineStyle("bend", NARROW)
"""A bend line on a blank (ISO 128: continuous narrow)."""

TANGENT = LineStyle("tangent", NARROW / 2, (1.5, 1.0))
"""The two edges of a bend strip, where flat and bent metal meet."""

SCORE = LineStyle("score", WIDE, (5.0, 1.5))
"""A groove on the face that is shown."""

PHANTOM = LineStyle("phantom", NARROW, _DOUBLE_CHAIN)
"""What lies beside the part: the wall, a spring, the outline before forming."""

CENTRE = LineStyle("centre", NARROW, _CHAIN)
"""Centre lines and axes of symmetry."""

HIDDEN = LineStyle("hidden", NARROW, _DASHED)
"""Edges behind what is shown."""

OUTLINE = LineStyle("outline", WIDE)
"""Visible edges of the folded bracket in a view."""

EDGE = LineStyle("edge", NARROW)
"""Lesser visible edges in a view, as where plate curves through a bend."""

DIMENSION = LineStyle("dimension", NARROW)
"""Dimension and extension lines."""

LEADER = LineStyle("leader", NARROW)
"""From a label to what it names."""

HIDDEN_LEADER = LineStyle("hidden leader", NARROW, (1.2, 0.8))
"""From a label to what lies behind the metal."""

SCRIBE = LineStyle("scribe", NARROW, (6.0, 3.0))
"""Lines to scribe on the metal: spaced dashes (ISO 128), told from a bend at arm's length."""

PUNCH = LineStyle("punch", NARROW)
"""Crosses and dots to centre-punch through the paper."""

TORCH = LineStyle("torch", NARROW, (2.0, 0.8))
"""The path of a torch's centre, or a tracing guide's edge."""

ALIGN = LineStyle("align", NARROW)
"""Marks that bring neighbouring pages together."""

OVERLAP = LineStyle("overlap", NARROW / 2, (1.0, 1.5))
"""The edge of a page's share of a tiled pattern."""

BORDER = LineStyle("border", NARROW)
"""Page border and strip frames."""

BAR = LineStyle("bar", NARROW)
"""Scale check bars and their ticks."""

RULE = LineStyle("rule", NARROW / 2)
"""Rules inside tables."""

FRAME = LineStyle("frame", NARROW)
"""Frames round tables and boxes for readings."""

HATCHING = LineStyle("hatching", NARROW / 2)
"""Section lines."""
