"""Work that several rules share is done once for each desk."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar, cast

from harness.checks.rule import Desk

T = TypeVar("T")


def once(work: Callable[[Desk], T]) -> Callable[[Desk], T]:
    """Keep the answer of a function of the desk with the desk itself."""
    word = f"{work.__module__}.{work.__qualname__}"

    @wraps(work)
    def kept(desk: Desk) -> T:
        if word not in vars(desk):
            vars(desk)[word] = work(desk)
        return cast(T, vars(desk)[word])

    return kept
