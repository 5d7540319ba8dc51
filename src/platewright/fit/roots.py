"""Where a continuous function is nought: a bracket is halved until no number lies between."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

Function = Callable[[float], float]


def bisect(f: Function, a: float, b: float) -> float:
    """The place between `a` and `b` where `f` changes sign, to the last digit.

    Takes for granted that f(a) and f(b) differ in sign or that one of them is nought.
    """
    fa = f(a)
    if fa == 0:
        return a
    while True:
        middle = (a + b) / 2
        if middle in (a, b):
            return middle
        fm = f(middle)
        if fm == 0:
            return middle
        if (fm > 0) == (fa > 0):
            a = middle
        else:
            b = middle


def grid(a: float, b: float, steps: int) -> list[float]:
    """The ends and `steps - 1` evenly spaced places between them; the ends exactly as given."""
    return [a, *(a + (b - a) * i / steps for i in range(1, steps)), b]


def crossings(f: Function, places: list[float]) -> Iterator[float]:
    """Every place where `f` changes sign between neighbours of `places`, in their order.

    Two changes between the same neighbours cancel and are not seen: space the places accordingly.
    """
    values = [(place, f(place)) for place in places]
    for (a, fa), (b, fb) in pairwise(values):
        if fa == 0:
            yield a
        elif fa * fb < 0:
            yield bisect(f, a, b)
    if values and values[-1][1] == 0:
        yield values[-1][0]


def largest(f: Function, rate: Function, places: list[float]) -> float:
    """The place between the first and last of `places` where |f| is greatest.

    `rate` is the derivative of `f` up to a factor that keeps its sign.
    """
    turning = list(crossings(rate, places))
    return max((places[0], places[-1], *turning), key=lambda place: abs(f(place)))
