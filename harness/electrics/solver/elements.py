"""What hangs together: a union-find over anything that can be ordered."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Generic, TypeVar

T = TypeVar("T", bound=Any)


class Pieces(Generic[T]):
    """Things in pieces; the least thing of a piece stands for it, whatever the order of joins."""

    def __init__(self) -> None:
        self._up: dict[T, T] = {}

    def root(self, thing: T) -> T:
        """Return what stands for the piece of a thing."""
        up = self._up
        while (above := up.setdefault(thing, thing)) != thing:
            up[thing] = up[above]
            thing = above
        return thing

    def join(self, one: T, other: T) -> None:
        """Make two pieces one."""
        a, b = self.root(one), self.root(other)
        self._up[max(a, b)] = min(a, b)

    def __iter__(self) -> Iterator[T]:
        return iter(tuple(self._up))
