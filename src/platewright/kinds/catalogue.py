"""The kinds there are: every module of this room that holds a `KIND`."""

from __future__ import annotations

import pkgutil
from functools import cache
from importlib import import_module

from platewright import kinds
from platewright.kinds.kind import Kind

#: Modules of the room that are not kinds themselves.
_GROUND = {"kind", "catalogue"}


@cache
def catalogue() -> dict[str, Kind]:
    """Every kind by its name, in the order of the modules' names."""
    names = sorted(found.name for found in pkgutil.iter_modules(kinds.__path__))
    modules = [import_module(f"{kinds.__name__}.{name}") for name in names if name not in _GROUND]
    found = [module.KIND for module in modules if hasattr(module, "KIND")]
    return {kind.name: kind for kind in found}
