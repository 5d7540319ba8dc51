"""Lettering: which characters can be printed and how much room they take.

The sheets use the two upright faces of Helvetica that every PDF reader carries. Sizes are the
height of capitals in mm, as drawing practice states them (ISO 3098: 1.8, 2.5, 3.5, 5, 7, 10).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from functools import cache, lru_cache
from typing import Literal

from platewright.home import away_from_home

Weight = Literal["regular", "bold"]

FACES: dict[Weight, str] = {"regular": "Helvetica", "bold": "Helvetica-Bold"}
"""The faces by their names in a PDF."""

CAP_HEIGHT = 0.718
"""Height of capitals over the body (em) size, from the Helvetica font metrics."""

DESCENT = 0.207 / CAP_HEIGHT
"""Depth of descenders below the baseline, in capital heights."""

LINE_PITCH = 1.65
"""Baseline to baseline of running text, in capital heights."""

_PARTS = re.compile(r"[^._/-]*[._/-]|[^._/-]+")
"""Parts of a long word, each with the mark that it may be broken after."""

# what a shop writes that the built-in faces lack
_STAND_INS = str.maketrans(
    {
        **dict(zip("⌀∅−‐‑―⁄∕′″↑↓✓✔\u2009\u202f", "ØØ---—//'\"^vxx \u00a0", strict=True)),
        "≤": "<=",
        "≥": ">=",
        "≠": "!=",
        "≈": "~",
        "←": "<-",
        "→": "->",
        "☐": "[ ]",
        "☑": "[x]",
        "∠": "angle",
        "√": "sqrt",
        "π": "pi",
        "Δ": "delta",
        "\u2126": "ohm",
        "\u00ad": "",
        "\u200b": "",
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


@lru_cache(maxsize=1024)
def _printable_character(character: str) -> str:
    category = unicodedata.category(character)
    if category in {"Cc", "Zl", "Zp"}:
        return " "
    if category in {"Cf", "Mn", "Me"}:
        return ""
    if character.encode("cp1252", "ignore"):
        return character
    # accents off, ligatures, circled and vulgar figures apart
    plain = unicodedata.normalize("NFKD", character).translate(_STAND_INS)
    kept = "".join(c for c in plain if not unicodedata.combining(c))
    if not kept or kept.encode("cp1252", "replace") != kept.encode("cp1252", "ignore"):
        return "?"
    return "^" + kept if unicodedata.decomposition(character).startswith("<super>") else kept


def coded(text: str) -> bytes:
    """What is printed of the text, in the code of the built-in faces."""
    shown = printable(text)
    return shown.encode("ascii" if shown.isascii() else "cp1252")  # ASCII is coded at once


def text_width(text: str, size: float, weight: Weight = "regular") -> float:
    """Width of a line of text, mm, as it is printed at `size` mm height of capitals."""
    return _thousandths(text, weight) * 0.001 * size / CAP_HEIGHT


@lru_cache(maxsize=8192)
def _thousandths(text: str, weight: Weight) -> int:
    """Advance width in thousandths of the body size: what stands together adds up."""
    return sum(map(_widths(FACES[weight]).__getitem__, coded(text)))


@cache
def _widths(face: str) -> Sequence[int]:
    """The advance widths of a face by the codes of its characters."""
    with away_from_home():
        from reportlab.pdfbase.pdfmetrics import getFont
    widths: Sequence[int] = getFont(face).widths
    return widths


@lru_cache(maxsize=2048)
def wrap(text: str, width: float, size: float, weight: Weight = "regular") -> tuple[str, ...]:
    """The text broken at spaces into lines no wider than `width` mm; line ends in it are kept.

    A single word wider than the line is broken after a point, bar, stroke or hyphen in it, else
    where it must. Always at least one line.
    """
    if not text.startswith(" ") and "\n" not in text and text_width(text, size, weight) <= width:
        return (text,)  # as most do
    lines: list[str] = []
    space = _thousandths(" ", weight)
    for part in text.split("\n"):
        lines.append("")
        filled = 0
        for word in part.split(" "):
            longer = _thousandths(word, weight) + (filled + space if lines[-1] else 0)
            if longer * 0.001 * size / CAP_HEIGHT <= width:
                lines[-1] = f"{lines[-1]} {word}" if lines[-1] else word
                filled = longer
                continue
            if not lines[-1]:
                lines.pop()
            lines += _broken_word(word, width, size, weight)
            filled = _thousandths(lines[-1], weight)
    return tuple(lines)


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
