"""Data classes that cost little to define: methods are not compiled class by class.

The standard library writes and compiles up to ten methods for each class, which took a quarter
of the time of a short command. Here comparing, hashing and showing are plain functions over its
own fields, and `__init__` alone is compiled, once it is clear that many instances are made.
"""

from __future__ import annotations

import dataclasses
import operator
from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError, field, fields, is_dataclass, replace
from reprlib import recursive_repr
from types import MemberDescriptorType, SimpleNamespace
from typing import TYPE_CHECKING, Any

__all__ = ["MISSING", "dataclass", "field", "fields", "is_dataclass", "replace"]

FEW = 24
"""So many instances are made faster one by one than `__init__` is compiled."""

_FIELD = vars(dataclasses)["_FIELD"]
_FROZEN, _OPEN = SimpleNamespace(frozen=True), SimpleNamespace(frozen=False)

if TYPE_CHECKING:
    from dataclasses import dataclass
else:

    def dataclass(
        cls: type | None = None,
        *,
        eq: bool = True,
        order: bool = False,
        frozen: bool = False,
        slots: bool = False,
        kw_only: bool = False,
    ) -> Any:
        """Make a data class; the words are those of the standard library."""
        if cls is None:
            return lambda cls: _made(cls, eq, order, frozen, slots=slots, kw_only=kw_only)
        return _made(cls, eq, order, frozen, slots=slots, kw_only=kw_only)


def _made(cls: Any, eq: bool, order: bool, frozen: bool, slots: bool, kw_only: bool) -> type:
    every: dict[str, Any] = {}
    for base in cls.__mro__[:0:-1]:
        every |= getattr(base, "__dataclass_fields__", {})
    for name, kind in vars(cls).get("__annotations__", {}).items():
        if not str(kind).startswith(("ClassVar", "typing.ClassVar")):
            every[name] = _read(cls, name, kind, kw_only)
    cls.__doc__ = cls.__doc__ or cls.__name__
    cls.__dataclass_fields__, cls.__dataclass_params__ = every, _FROZEN if frozen else _OPEN
    cls.__match_args__ = tuple(f.name for f in every.values() if f.init and not f.kw_only)  # type: ignore[misc]
    made: type = _with_slots(cls, every) if slots else cls
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


def _read(cls: type, name: str, kind: str, kw_only: bool) -> Any:
    """Return one field of a class, and leave its default there, if it has one."""
    found: Any = getattr(cls, name, MISSING)
    if not isinstance(found, Field):
        found = field(default=MISSING if isinstance(found, MemberDescriptorType) else found)
    elif found.default is MISSING:
        delattr(cls, name)
    else:
        setattr(cls, name, found.default)
    if found.default.__class__.__hash__ is None:
        raise ValueError(f"{name}: a default that can change is shared; give a factory")
    found.name, found.type, found._field_type = name, kind, _FIELD
    found.kw_only = kw_only if found.kw_only is MISSING else found.kw_only
    return found


def _with_slots(cls: type, every: dict[str, Any]) -> type:
    """Return the class again, its fields as slots: they cannot be added to a class."""
    taken = {name for base in cls.__mro__[1:-1] for name in vars(base).get("__slots__", ())}
    left_out = {*every, "__dict__", "__weakref__"}
    body = {name: value for name, value in vars(cls).items() if name not in left_out}
    body["__slots__"] = tuple(name for name in every if name not in taken)
    made: type = type(cls)(cls.__name__, cls.__bases__, body)
    made.__qualname__ = cls.__qualname__
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
    """Return an `__init__` for few instances: it compiles the true one when there come many.

    What does not fit the fields goes to the compiled one, which refuses it as Python does.
    """
    every, left, put = fields(made), FEW, object.__setattr__ if frozen else setattr
    places = [f.name for f in every if f.init and not f.kw_only]

    def first(self: Any, *given: Any, **named: Any) -> None:
        nonlocal left
        left -= 1
        values = dict(zip(places, given, strict=False)) | named
        fits = left >= 0 and len(given) <= len(places) and len(values) == len(given) + len(named)
        for f in every if fits else ():
            if f.init and f.name in values:
                put(self, f.name, values.pop(f.name))
            elif f.default is not MISSING:
                put(self, f.name, f.default)
            elif f.default_factory is not MISSING:
                put(self, f.name, f.default_factory())
            else:
                fits = False
        if not fits or values:
            init = made.__init__ = _compiled_init(made, frozen)  # type: ignore[misc]
            init(self, *given, **named)
        elif more:
            self.__post_init__()

    more = hasattr(made, "__post_init__")
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
