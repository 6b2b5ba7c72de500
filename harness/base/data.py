"""Data classes that cost little to define: methods are not compiled class by class.

The standard library writes and compiles up to ten methods for each class, which took a quarter
of the time of a short command. Here it still reads the fields; comparing, hashing and showing are
plain functions over them, and `__init__` alone is compiled, when the first instance is made.
"""

from __future__ import annotations

import dataclasses
import operator
from collections.abc import Callable
from dataclasses import MISSING, FrozenInstanceError, field, fields, is_dataclass, replace
from reprlib import recursive_repr
from typing import TYPE_CHECKING, Any

__all__ = ["MISSING", "dataclass", "field", "fields", "is_dataclass", "replace"]

if TYPE_CHECKING:
    from dataclasses import dataclass
else:

    def dataclass(
        cls: type | None = None, *, eq: bool = True, order: bool = False, frozen: bool = False,
        slots: bool = False, kw_only: bool = False,
    ) -> Any:  # fmt: skip
        """Make a data class; the words are those of the standard library."""
        if cls is None:
            return lambda cls: _made(cls, eq, order, frozen, slots=slots, kw_only=kw_only)
        return _made(cls, eq, order, frozen, slots=slots, kw_only=kw_only)


def _made(cls: type, eq: bool, order: bool, frozen: bool, **layout: bool) -> type:
    cls.__doc__ = cls.__doc__ or cls.__name__  # else its signature is worked out for it
    made: type = dataclasses.dataclass(init=False, repr=False, eq=False, **layout)(cls)
    methods: dict[str, Any] = {"__init__": _first_init(made, frozen), "__repr__": _shown}
    if eq:
        methods |= _comparing(made, order)
        if not frozen:
            methods["__hash__"] = None
    if frozen:
        methods |= {"__setattr__": _refused, "__delattr__": _refused, "__setstate__": _restored}
    for name in methods.keys() - vars(cls).keys():
        setattr(made, name, methods[name])
    return made


def _comparing(made: type, order: bool) -> dict[str, Any]:
    """Return the methods that compare instances by their fields, as tuples."""
    names = [f.name for f in fields(made) if f.compare]
    values: Callable[[Any], Any] = operator.attrgetter(*names) if names else lambda _: ()
    if len(names) == 1:
        (name,) = names
        values = lambda one: (getattr(one, name),)  # noqa: E731

    def by(name: str) -> Callable[[Any, Any], Any]:
        compare = getattr(operator, name)

        def compared(self: Any, other: Any) -> Any:
            same = other.__class__ is self.__class__
            return compare(values(self), values(other)) if same else NotImplemented

        return compared

    every = ("__eq__", "__lt__", "__le__", "__gt__", "__ge__") if order else ("__eq__",)
    return {"__hash__": lambda self: hash(values(self))} | {name: by(name) for name in every}


@recursive_repr()
def _shown(self: Any) -> str:
    told = (f"{f.name}={getattr(self, f.name)!r}" for f in fields(self) if f.repr)
    return f"{self.__class__.__qualname__}({', '.join(told)})"


def _refused(self: Any, name: str, *_: object) -> None:
    raise FrozenInstanceError(f"cannot change field {name!r}")


def _restored(self: Any, state: Any) -> None:
    """Fill a frozen instance that was copied or unpickled."""
    for values in state if isinstance(state, tuple) else (state,):
        for name, value in (values or {}).items():
            object.__setattr__(self, name, value)


def _first_init(made: type, frozen: bool) -> Callable[..., None]:
    """Return an `__init__` that compiles the true one, which takes its place."""

    def first(self: Any, *given: Any, **named: Any) -> None:
        init = made.__init__ = _compiled_init(made, frozen)  # type: ignore[misc]
        init(self, *given, **named)

    return first


def _compiled_init(made: type, frozen: bool) -> Callable[..., None]:
    """Compile the `__init__` that sets the fields of a class."""
    known: dict[str, Any] = {"_set": object.__setattr__, "_unset": MISSING}
    words, lines = ["self"], []
    for f in sorted(fields(made), key=lambda f: bool(f.kw_only)):
        name, value, default = f.name, f.name, f"_default_{f.name}"
        if f.kw_only and "*" not in words:
            words.append("*")
        if f.default_factory is not MISSING:
            known[default] = f.default_factory
            value = f"{default}() if {name} is _unset else {name}" if f.init else f"{default}()"
        elif f.default is not MISSING:
            known[default] = f.default
        preset = "_unset" if f.default_factory is not MISSING else default
        if f.init:
            words.append(f"{name}={preset}" if default in known else name)
        lines.append(f"_set(self, {name!r}, {value})" if frozen else f"self.{name} = {value}")
    if hasattr(made, "__post_init__"):
        lines.append("self.__post_init__()")
    exec(f"def __init__({', '.join(words)}):\n " + "\n ".join(lines or ["pass"]), known)
    init: Callable[..., None] = known["__init__"]
    init.__qualname__ = f"{made.__qualname__}.__init__"
    return init
