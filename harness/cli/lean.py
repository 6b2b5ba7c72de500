"""Libraries without the nine tenths of them that no command uses.

networkx's `__init__` loads every algorithm and asks all installed packages whether one of them
wants to answer instead; numpy hangs its manual on its functions; yaml prepares to read without its
C library. Here packages stay unread: a name is fetched from the module that holds it, and one that
is not on the list has `__init__` run as usual.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import import_module
from importlib.machinery import ModuleSpec, PathFinder
from types import ModuleType, SimpleNamespace
from typing import Any

HELD = """
utils: _dispatchable _clear_cache
exception: NetworkXError
classes: Graph DiGraph MultiGraph MultiDiGraph
algorithms.traversal.breadth_first_search: bfs_edges bfs_predecessors generic_bfs_edges
algorithms.dag: ancestors descendants lexicographical_topological_sort
algorithms.simple_paths: all_simple_paths all_simple_edge_paths
algorithms.components.connected: connected_components
algorithms.components.strongly_connected: strongly_connected_components
algorithms.components.biconnected: biconnected_components biconnected_component_edges
algorithms.shortest_paths.weighted: dijkstra_predecessor_and_distance single_source_dijkstra_path
algorithms.shortest_paths.unweighted: single_target_shortest_path_length
algorithms.tree.mst: minimum_spanning_edges
"""
"""The names of networkx that the house uses, by the module that holds them."""
WHERE = {
    name: f"networkx.{module}"
    for module, names in (line.split(": ") for line in HELD.strip().splitlines())
    for name in names.split()
}


class Unread(ModuleType):
    """A package whose `__init__` has not run."""

    def __getattr__(self, name: str) -> Any:
        part = f"{self.__name__}.{name}"
        if self.__name__ == "networkx" and name in WHERE:
            value = getattr(import_module(WHERE[name]), name)
        elif PathFinder.find_spec(part, self.__path__):
            value = import_module(part)
        else:
            self.__class__ = ModuleType  # type: ignore[assignment]
            self.__spec__.loader.whole.exec_module(self)  # type: ignore[union-attr]
            return getattr(self, name)
        setattr(self, name, value)
        return value


class _Pattern:
    """A regular expression that is compiled when it is used."""

    def __init__(self, *words: Any) -> None:
        self.words = words

    def __getattr__(self, name: str) -> Any:
        return getattr(re.compile(*self.words), name)


@contextmanager
def _instead(names: dict[str, Any], name: str, value: Any) -> Iterator[None]:
    before = names.get(name)
    names[name] = value
    try:
        yield
    finally:
        del names[name]
        names.update({name: before} if before else {})


def _unread(module: ModuleType, whole: Any) -> None:
    module.__class__ = Unread


def _alone(module: ModuleType, whole: Any) -> None:
    """Load the part of networkx that asks the installed packages while there are none."""
    module.__class__ = Unread
    nobody: Any = SimpleNamespace(entry_points=lambda group: ())
    with _instead(sys.modules, "importlib.metadata", nobody):
        import_module("networkx.utils.backends")


def _empty(module: ModuleType, whole: Any) -> None:
    """Leave out a module that only hangs pages on others; `python -OO` has none of them."""


def _late(module: ModuleType, whole: Any) -> None:
    """Run a module whose patterns, costly to compile, are seldom used."""
    with _instead(vars(re), "compile", _Pattern):
        whole.exec_module(module)


_HOW: dict[str, Callable[[ModuleType, Any], None]] = {
    "networkx": _alone,
    "networkx.algorithms": _unread,
    "networkx.algorithms.components": _unread,
    "networkx.algorithms.shortest_paths": _unread,
    "networkx.algorithms.traversal": _unread,
    "networkx.algorithms.tree": _unread,
    "numpy._core._add_newdocs": _empty,
    "numpy._core._add_newdocs_scalars": _empty,
    "yaml": _unread,
    "yaml.constructor": _late,
    "yaml.reader": _late,
}


class _Loader:
    def __init__(self, whole: Any, how: Callable[[ModuleType, Any], None]) -> None:
        self.whole, self.how = whole, how

    def create_module(self, spec: ModuleSpec) -> None:
        pass

    def exec_module(self, module: ModuleType) -> None:
        self.how(module, self.whole)


class Lean:
    """Finds these modules; put before Python's own finders."""

    @staticmethod
    def find_spec(name: str, path: Any, target: ModuleType | None = None) -> ModuleSpec | None:
        """Return where a module is, with the loader that leaves something out."""
        spec = PathFinder.find_spec(name, path) if name in _HOW else None
        if spec:
            spec.loader = _Loader(spec.loader, _HOW[name])  # type: ignore[assignment]
        return spec
