"""Lengths told where nobody knows the file and its unit: in both units."""

from __future__ import annotations

from platewright.units import format_length


def both_units(mm: float) -> str:
    """A length in inches and mm, for a message that knows no file."""
    return f"{format_length(mm, 'in')} ({format_length(mm, 'mm')})"
