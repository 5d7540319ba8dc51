"""The rule of strength: a screened stress beyond what it is held against."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.findings.case import Case
from platewright.findings.finding import Amount, Finding
from platewright.shop.strength import Screen

SOURCE = "a screen, which approves nothing"
_SECTION = f"moment over section modulus: {SOURCE}"
_WELD = f"weld as a line, AISC 360-16 J2.4: {SOURCE}"


def screen_exceeded(case: Case) -> Iterator[Finding]:
    """The greatest stress of each screen that comes to more than it is held against."""
    strength = case.context.strength
    if strength is None:
        return
    deeper = "a deeper gusset, less load or"
    yield from _beyond("section at the wall", strength.plate, f"{deeper} thicker plate", _SECTION)
    yield from _beyond("weld to the wall", strength.weld, f"{deeper} a thicker weld", _WELD)


def _beyond(where: str, screen: Screen, remedy: str, source: str) -> Iterator[Finding]:
    if screen.ratio <= 1.0 + 1e-9:
        return
    words = max(screen.stresses, key=lambda each: each[1])[0]
    yield Finding(
        severity="change",
        place=f"{where}, {words}, against {screen.limit_words}",
        measured=Amount(screen.ratio, "share"),
        limit=Amount(1.0, "share"),
        bound="at most",
        change=remedy,
        source=source,
    )
