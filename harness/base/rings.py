"""Rings in what must come before what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter
from typing import TypeVar

T = TypeVar("T")


def ring_in(graph: Mapping[T, Iterable[T]]) -> list[T]:
    """Return one ring of a graph, its first member again at the end; nothing where there is none.

    `graph`: for each member those that come before it.
    """
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        ring: list[T] = error.args[1]
        return ring
    return []
