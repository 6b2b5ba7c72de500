"""The one cache: a fact is a function of a wiring, worked out once and kept with it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, TypeVar, cast

if TYPE_CHECKING:
    from harness.wiring.build import Wiring

T = TypeVar("T")


def fact(work: Callable[[Wiring], T]) -> Callable[[Wiring], T]:
    """Keep the answer of a function of a wiring in the wiring's own `known`."""

    @wraps(work)
    def kept(wiring: Wiring) -> T:
        if work not in wiring.known:
            wiring.known[work] = work(wiring)
        return cast(T, wiring.known[work])

    return kept
