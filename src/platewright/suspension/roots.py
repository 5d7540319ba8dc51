"""Where a continuous function is zero, and where its size is greatest."""

from __future__ import annotations

from collections.abc import Callable, Iterator

Function = Callable[[float], float]

_LAST_DIGIT = 2.3e-16
_NOTHING = 1e-17


def root(f: Function, a: float, b: float) -> float:
    """The place between `a` and `b` where `f` changes sign, to a few units of the last digit.

    Chandrupatla's method (1997): inverse quadratic steps where they are safe, halving elsewhere.
    Takes for granted that f(a) and f(b) differ in sign or that one of them is zero.
    """
    fa, fb = f(a), f(b)
    if fa == 0 or fb == 0:
        return a if fa == 0 else b
    share = 0.5
    while True:
        x = a + share * (b - a)
        fx = f(x)
        if (fx > 0) == (fa > 0):
            c, fc = a, fa
        else:
            c, fc, b, fb = b, fb, a, fa
        a, fa = x, fx
        best, value = (a, fa) if abs(fa) < abs(fb) else (b, fb)
        least = (_LAST_DIGIT * abs(best) + _NOTHING) / abs(b - a)
        if value == 0 or least > 0.5:
            return best
        xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
        share = 0.5
        if phi**2 < xi and (1 - phi) ** 2 < 1 - xi:
            share = fa / (fb - fa) * fc / (fb - fc)
            share += (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        share = min(1 - least, max(least, share))


def grid(a: float, b: float, steps: int) -> list[float]:
    """The ends and `steps - 1` evenly spaced places between them; the ends exactly as given."""
    return [a, *(a + (b - a) * i / steps for i in range(1, steps)), b]


def crossings(f: Function, places: list[float]) -> Iterator[float]:
    """Every place where `f` changes sign between neighbours of `places`, in their order.

    Two changes between the same neighbours cancel and are not seen: space the places accordingly.
    """
    before = None
    for b in places:
        fb = f(b)
        if before is not None:
            a, fa = before
            if fa == 0:
                yield a
            elif fa * fb < 0:
                yield root(f, a, b)
        before = b, fb
    if before is not None and before[1] == 0:
        yield before[0]


def largest(f: Function, rate: Function, places: list[float]) -> float:
    """The place between the first and last of `places` where |f| is greatest.

    `rate` is the derivative of `f` up to a factor that keeps its sign.
    """
    turning = list(crossings(rate, places))
    return max((places[0], places[-1], *turning), key=lambda place: abs(f(place)))
