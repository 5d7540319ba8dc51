"""Lettering: which characters can be printed and how much room they take.

The sheets use the two upright faces of Helvetica that every PDF reader carries. Their advance
widths stand here, so that laying out a sheet needs no PDF library. Sizes are the height of capitals
in mm, as drawing practice states them (ISO 3098: 1.8, 2.5, 3.5, 5, 7, 10).
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import Literal

Weight = Literal["regular", "bold"]

CAP_HEIGHT = 0.718
"""Height of capitals over the body (em) size, from the Helvetica font metrics."""

DESCENT = 0.207 / CAP_HEIGHT
"""Depth of descenders below the baseline, in capital heights."""

LINE_PITCH = 1.65
"""Baseline to baseline of running text, in capital heights."""

_PARTS = re.compile(r"[^._/-]*[._/-]|[^._/-]+")
"""Parts of a long word, each with the mark that it may be broken after."""

# advance widths in thousandths of an em, Windows-1252 codes 32 to 255 (standard PDF sans-serif)
_REGULAR = """
    278 278 355 556 556 889 667 191 333 333 389 584 278 333 278 278 556 556 556 556 556 556
    556 556 556 556 278 278 584 584 584 556 1015 667 667 722 722 667 611 778 722 278 500 667
    556 833 722 778 667 778 722 667 611 722 667 944 667 667 611 278 278 278 469 556 333 556
    556 500 556 556 278 556 556 222 222 500 222 833 556 556 556 556 333 500 278 556 500 722
    500 500 500 334 260 334 584 350 556 350 222 556 333 1000 556 556 333 1000 667 333 1000
    350 611 350 350 222 222 333 333 350 556 1000 333 1000 500 333 944 350 500 667 278 333
    556 556 556 556 260 556 333 737 370 556 584 333 737 333 400 584 333 333 333 556 537 278
    333 333 365 556 834 834 834 611 667 667 667 667 667 667 1000 722 667 667 667 667 278 278
    278 278 722 722 778 778 778 778 778 584 778 722 722 722 722 667 667 611 556 556 556 556
    556 556 889 500 556 556 556 556 278 278 278 278 556 556 556 556 556 556 556 584 611 556
    556 556 556 500 556 500
"""
_BOLD = """
    278 333 474 556 556 889 722 238 333 333 389 584 278 333 278 278 556 556 556 556 556 556
    556 556 556 556 333 333 584 584 584 611 975 722 722 722 722 667 611 778 722 278 556 722
    611 833 722 778 667 778 722 667 611 722 667 944 667 667 611 333 278 333 584 556 333 556
    611 556 611 556 333 611 611 278 278 556 278 889 611 611 611 611 389 556 333 611 556 778
    556 556 500 389 280 389 584 350 556 350 278 556 500 1000 556 556 333 1000 667 333 1000
    350 611 350 350 278 278 500 500 350 556 1000 333 1000 556 333 944 350 500 667 278 333
    556 556 556 556 280 556 333 737 370 556 584 333 737 333 400 584 333 333 333 611 556 278
    333 333 365 556 834 834 834 611 722 722 722 722 722 722 1000 722 667 667 667 667 278 278
    278 278 722 722 778 778 778 778 778 584 778 722 722 722 722 667 667 611 556 556 556 556
    556 556 889 556 556 556 556 556 278 278 278 278 611 611 611 611 611 611 611 584 611 611
    611 611 611 556 611 556
"""


def _table(figures: str) -> tuple[int, ...]:
    return (0,) * 32 + tuple(int(figure) for figure in figures.split())


_WIDTHS: dict[str, tuple[int, ...]] = {"regular": _table(_REGULAR), "bold": _table(_BOLD)}

# what a shop writes that the built-in faces lack
_STAND_INS = str.maketrans(
    {
        "\u2300": "\u00d8",  # diameter sign: O with stroke
        "\u2205": "\u00d8",
        "\u2212": "-",
        "\u2010": "-",
        "\u2011": "-",
        "\u2015": "\u2014",
        "\u2044": "/",
        "\u2215": "/",
        "\u2032": "'",
        "\u2033": '"',
        "\u2264": "<=",
        "\u2265": ">=",
        "\u2260": "!=",
        "\u2248": "~",
        "\u2190": "<-",
        "\u2192": "->",
        "\u2191": "^",
        "\u2193": "v",
        "\u2220": "angle",
        "\u221a": "sqrt",
        "\u03c0": "pi",
        "\u0394": "delta",
        "\u2126": "ohm",
        "\u2713": "x",
        "\u2714": "x",
        "\u2610": "[ ]",
        "\u2611": "[x]",
        "\u00ad": "",
        "\u200b": "",
        "\u2009": " ",
        "\u202f": "\u00a0",
    }
)


@lru_cache(maxsize=4096)
def printable(text: str) -> str:
    """The text in characters that the built-in faces have: spelled out, else "?".

    Control characters, line ends among them, become spaces: a `Text` is one line.
    """
    if text.isascii() and text.isprintable():
        return text
    printed = ""
    for character in text.translate(_STAND_INS):
        shown = _printable_character(character)
        # a whole number and a fraction spelled out must not run together: 3⅛ is 3 1/8, not 31/8
        apart = len(shown) > 1 and shown[0].isdigit() and printed[-1:].isdigit()
        printed += f" {shown}" if apart else shown
    return printed


def _printable_character(character: str) -> str:
    if unicodedata.category(character) in {"Cc", "Zl", "Zp"}:
        return " "
    if unicodedata.category(character) in {"Cf", "Mn", "Me"}:
        return ""
    if _encodes(character):
        return character
    # accents off, ligatures, circled and vulgar figures apart
    plain = unicodedata.normalize("NFKD", character).translate(_STAND_INS)
    kept = "".join(c for c in plain if not unicodedata.combining(c))
    raised = "^" if unicodedata.decomposition(character).startswith("<super>") else ""
    return raised + kept if kept and _encodes(kept) else "?"


def _encodes(text: str) -> bool:
    try:
        text.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return True


def text_width(text: str, size: float, weight: Weight = "regular") -> float:
    """Width of a line of text, mm, as it is printed at `size` mm height of capitals."""
    return _thousandths(text, weight) * size / CAP_HEIGHT / 1000


@lru_cache(maxsize=4096)
def _thousandths(text: str, weight: Weight) -> int:
    """Advance width of a line in thousandths of the body size; the same words come up often."""
    widths = _WIDTHS[weight]
    return sum(widths[code] for code in printable(text).encode("cp1252"))


def wrap(text: str, width: float, size: float, weight: Weight = "regular") -> tuple[str, ...]:
    """The text broken at spaces into lines no wider than `width` mm; line ends in it are kept.

    A single word wider than the line is broken after a point, bar, stroke or hyphen in it, else
    where it must. Always at least one line.
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        lines.extend(_wrapped_paragraph(paragraph, width, size, weight))
    return tuple(lines)


def _wrapped_paragraph(text: str, width: float, size: float, weight: Weight) -> list[str]:
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if text_width(longer, size, weight) <= width:
            lines[-1] = longer
            continue
        pieces = _broken_word(word, width, size, weight)
        lines = [*lines, *pieces] if lines[-1] else pieces
    return lines


def _broken_word(word: str, width: float, size: float, weight: Weight) -> list[str]:
    if text_width(word, size, weight) <= width:
        return [word]
    pieces = [""]
    for part in _PARTS.findall(word):
        fits = text_width(part, size, weight) <= width
        for bit in (part,) if fits else part:
            if pieces[-1] and text_width(pieces[-1] + bit, size, weight) > width:
                pieces.append("")
            pieces[-1] += bit
    return pieces


def fitted(text: str, width: float, size: float, weight: Weight = "regular") -> float:
    """The capital height, at most `size` mm, at which the text is no wider than `width` mm."""
    natural = text_width(text, size, weight)
    return size if natural <= width else size * width / natural


def shortened(text: str, width: float, size: float, weight: Weight = "regular") -> str:
    """The text, or as much of its beginning as fits in `width` mm with an ellipsis."""
    if text_width(text, size, weight) <= width:
        return text
    kept = text
    while kept and text_width(kept + "\u2026", size, weight) > width:
        kept = kept[:-1].rstrip()
    return kept + "\u2026"
