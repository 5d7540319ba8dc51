"""The kinds there are: every module of this room that holds a `KIND`."""

from __future__ import annotations

import pkgutil
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import import_module

from platewright import kinds
from platewright.kinds.kind import Kind

#: Modules of the room that are not kinds themselves.
_GROUND = {"kind", "catalogue"}


@cache
def catalogue() -> dict[str, Kind]:
    """Every kind by its name, in the order of the modules' names."""
    found = (_kind_in(module) for module in _modules())
    return {kind.name: kind for kind in found if kind is not None}


@cache
def _modules() -> tuple[str, ...]:
    found = sorted(module.name for module in pkgutil.iter_modules(kinds.__path__))
    return tuple(name for name in found if name not in _GROUND)


def _kind_in(module: str) -> Kind | None:
    return getattr(import_module(f"{kinds.__name__}.{module}"), "KIND", None)


class KindsOnDemand(Mapping[str, Kind]):
    """The catalogue, of which only the modules of the kinds that are asked for are loaded.

    A kind's module is called as the kind is; asking for a name that is none loads them all.
    """

    def __getitem__(self, name: str) -> Kind:
        kind = _kind_in(name) if name in _modules() else None
        return kind if kind is not None and kind.name == name else catalogue()[name]

    def __iter__(self) -> Iterator[str]:
        return iter(catalogue())

    def __len__(self) -> int:
        return len(catalogue())
