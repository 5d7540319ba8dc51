"""Frozen values: `dataclass` with the library's meaning, at a fifth of what it costs to load.

A call of the command loads over two hundred such classes and uses some of them. What makes,
compares and tells a value is compiled when its class is first used, not when it is loaded.
"""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(*, frozen, slots=False, kw_only=False, eq=True):
        """As `dataclasses.dataclass`, of frozen values alone."""
        if not frozen:
            raise TypeError("a value is frozen")
        return lambda cls: _built(cls, slots, kw_only, eq)


class KeepsHash:
    """What a heavy value inherits from, so that its hash is worked out once."""

    __slots__ = ("_hash",)
    _hash: int

    def __hash__(self) -> int:
        try:
            return self._hash
        except AttributeError:
            fields = [f for f in dataclasses.fields(self) if f.compare]  # type: ignore[arg-type]
            found = hash(tuple([getattr(self, field.name) for field in fields]))
            object.__setattr__(self, "_hash", found)
            return found


def _built(cls: Any, slots: bool, kw_only: bool, eq: bool) -> Any:
    cls.__doc__ = cls.__doc__ or cls.__name__  # else its signature is worked out and told
    own = set(vars(cls))
    made: Any = dataclasses.dataclass(
        cls, init=False, repr=False, eq=False, slots=slots, kw_only=kw_only
    )
    made.__init__, made.__setattr__, made.__delattr__ = _first_init, _refuse, _refuse
    if "__repr__" not in own:
        made.__repr__ = _repr
    if eq and "__eq__" not in own:
        made.__eq__ = _first_eq
    if eq and "__hash__" not in own and not issubclass(cls, KeepsHash):
        made.__hash__ = _first_hash
    if slots:
        made.__getstate__, made.__setstate__ = _state, _set_state
    return made


def _refuse(_self: Any, name: str, *_value: Any) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to or delete field {name!r}")


def _repr(self: Any) -> str:
    told = (f"{f.name}={getattr(self, f.name)!r}" for f in dataclasses.fields(self) if f.repr)
    return f"{type(self).__qualname__}({', '.join(told)})"


def _state(self: Any) -> list[Any]:
    return [getattr(self, field.name) for field in dataclasses.fields(self)]


def _set_state(self: Any, state: list[Any]) -> None:
    for field, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)


# --- compiled at first use ---------------------------------------------------------------------


def _first_init(self: Any, *args: Any, **kwargs: Any) -> None:
    owner = _owner(self, "__init__", _first_init)
    owner.__init__ = _compiled_init(owner)
    owner.__init__(self, *args, **kwargs)


def _first_eq(self: Any, other: object) -> Any:
    owner = _owner(self, "__eq__", _first_eq)
    ours, theirs = _compared(owner, "self"), _compared(owner, "other")
    lines = f"if other.__class__ is self.__class__:\n  return {ours} == {theirs}"
    owner.__eq__ = _compiled(owner, "__eq__", "self, other", f"{lines}\n return NotImplemented", {})
    return owner.__eq__(self, other)


def _first_hash(self: Any) -> int:
    owner = _owner(self, "__hash__", _first_hash)
    owner.__hash__ = _compiled(
        owner, "__hash__", "self", f"return hash({_compared(owner, 'self')})", {}
    )
    found: int = owner.__hash__(self)
    return found


def _owner(value: Any, name: str, first: Any) -> Any:
    """The class of a value, or the one it inherits from, that has yet to be compiled."""
    return next(cls for cls in type(value).__mro__ if vars(cls).get(name) is first)


def _compared(owner: Any, of: str) -> str:
    fields = (field for field in dataclasses.fields(owner) if field.compare)
    return "(" + "".join(f"{of}.{field.name}, " for field in fields) + ")"


def _compiled_init(owner: Any) -> Any:
    missing = dataclasses.MISSING
    known: dict[str, Any] = {"missing": missing, "put": object.__setattr__}
    positional, lines = ["self"], []
    named: list[str] = []
    for field in dataclasses.fields(owner):
        name, value = field.name, field.name
        if field.default is not missing:
            known[f"_{name}"] = field.default
            default = f"={'_' + name}"
        elif field.default_factory is not missing:
            known[f"_{name}"] = field.default_factory
            default, value = "=missing", f"_{name}() if {name} is missing else {name}"
        else:
            default = ""
        if field.init:
            (named if field.kw_only else positional).append(name + default)
        elif not default:
            continue
        else:
            value = f"_{name}" if default != "=missing" else f"_{name}()"
        # a slot's own way in is the quickest
        slot = getattr(getattr(owner, name, None), "__set__", None)
        known[f"put_{name}"] = slot
        lines.append(f"put_{name}(self, {value})" if slot else f"put(self, {name!r}, {value})")
    if hasattr(owner, "__post_init__"):
        lines.append("self.__post_init__()")
    star = ["*"] if named else []
    parameters = ", ".join((*positional, *star, *named))
    return _compiled(owner, "__init__", parameters, "\n ".join(lines) or "pass", known)


def _compiled(owner: Any, name: str, parameters: str, body: str, known: dict[str, Any]) -> Any:
    # as of a file of the class's name, so that a profile or a trace tells whose it is
    lines = f"def {name}({parameters}):\n {body}"
    exec(compile(lines, f"<{owner.__qualname__}>", "exec"), known)
    return known[name]
