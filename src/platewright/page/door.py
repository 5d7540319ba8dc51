"""A way into the page, and how much may come through it."""

from __future__ import annotations

from platewright.values import dataclass

LARGEST_BODY = 2_000_000
"""Bytes of a request: more than the largest file, written as JSON."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """A way in: its key, the hosts ("127.0.0.1:8000") it is for, whether it may write.

    `lan` says that it is for other machines of the network.
    """

    key: str
    hosts: frozenset[str]
    can_write: bool
    lan: bool = False
