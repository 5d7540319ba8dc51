"""The rule of strength: a screened stress beyond what it is held against."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.findings.case import Case
from platewright.findings.finding import Fault, Reading
from platewright.shop.strength import Screen

SOURCE = "beam theory and weld as a line: a screen, which approves nothing"


def screen_exceeded(case: Case) -> Iterator[Fault]:
    """The greatest stress of each screen that comes to more than it is held against."""
    strength = case.context.strength
    if strength is None:
        return
    yield from _beyond("section at the wall", strength.plate, "a deeper gusset or thicker plate")
    yield from _beyond("weld to the wall", strength.weld, "more or thicker weld, a deeper gusset")


def _beyond(where: str, screen: Screen, remedy: str) -> Iterator[Fault]:
    if screen.ratio <= 1.0 + 1e-9:
        return
    words = max(screen.stresses, key=lambda each: each[1])[0]
    yield Fault(
        severity="change",
        place=f"{where}, {words}, of {screen.limit_words}",
        measured=Reading(screen.ratio, "share"),
        limit=Reading(1.0, "share"),
        bound="at most",
        change=f"{remedy}, or less load; this is a screen and approves nothing",
    )
