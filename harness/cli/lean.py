"""Libraries without the nine tenths of them that no command uses.

Packages stay unread: a name is fetched from the module that holds it, and one that is not on the
list has `__init__` run as usual. No other program is asked whether it answers for networkx.
"""

from __future__ import annotations

import re
import sys
from importlib import import_module
from importlib.machinery import ModuleSpec, PathFinder
from types import ModuleType, SimpleNamespace
from typing import Any

HELD = """
utils: _dispatchable _clear_cache
exception: NetworkXError
classes: Graph DiGraph MultiGraph MultiDiGraph
algorithms.traversal.breadth_first_search: bfs_edges bfs_predecessors generic_bfs_edges
algorithms.traversal.depth_first_search: dfs_preorder_nodes
algorithms.dag: ancestors descendants lexicographical_topological_sort
algorithms.simple_paths: all_simple_paths all_simple_edge_paths
algorithms.components.connected: connected_components
algorithms.components.weakly_connected: weakly_connected_components
algorithms.components.strongly_connected: strongly_connected_components
algorithms.components.biconnected: biconnected_components biconnected_component_edges
algorithms.shortest_paths.weighted: dijkstra_predecessor_and_distance
algorithms.shortest_paths.unweighted: single_target_shortest_path_length
algorithms.tree.mst: minimum_spanning_edges
"""
"""The names of networkx that the house uses, by the module that holds them."""
# Unread; only hanging pages on others, as `python -OO` does not; with patterns seldom used.
_UNREAD = {"networkx", "networkx.algorithms", "yaml"} | {
    f"networkx.algorithms.{part}" for part in ("components", "shortest_paths", "traversal", "tree")
}
_PAGES = {"numpy._core._add_newdocs", "numpy._core._add_newdocs_scalars"}
_PATTERNS = {"yaml.constructor", "yaml.reader"}
WHERE = {
    name: f"networkx.{line.partition(':')[0]}"
    for line in HELD.splitlines()
    for name in line.split()[1:]
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
            self.__spec__.loader_state.exec_module(self)  # type: ignore[union-attr]
            return getattr(self, name)
        setattr(self, name, value)
        return value


class _Pattern:
    """A regular expression that is compiled when it is used."""

    def __init__(self, *words: Any) -> None:
        self.words = words

    def __getattr__(self, name: str) -> Any:
        return getattr(re.compile(*self.words), name)


class Lean:
    """Finds these modules, put before Python's own finders, and loads them in part."""

    @staticmethod
    def find_spec(name: str, path: Any, target: ModuleType | None = None) -> ModuleSpec | None:
        """Return where a module is, if something of it can be left out."""
        spec = PathFinder.find_spec(name, path) if name in _UNREAD | _PAGES | _PATTERNS else None
        if spec:
            spec.loader, spec.loader_state = Lean, spec.loader  # type: ignore[assignment]
        return spec

    create_module = staticmethod(lambda spec: None)

    @staticmethod
    def exec_module(module: ModuleType) -> None:
        """Load what cannot be left out."""
        if module.__name__ in _UNREAD:
            module.__class__ = Unread
        if module.__name__ == "networkx":
            before = sys.modules.pop("importlib.metadata", None)
            sys.modules["importlib.metadata"] = SimpleNamespace(entry_points=lambda group: ())  # type: ignore[assignment]
            import_module("networkx.utils.backends")  # asks what is installed: nothing
            del sys.modules["importlib.metadata"]
            sys.modules.update({"importlib.metadata": before} if before else {})
        if module.__name__ in _PATTERNS:
            at_once, re.compile = re.compile, _Pattern  # type: ignore[assignment]
            module.__spec__.loader_state.exec_module(module)  # type: ignore[union-attr]
            re.compile = at_once
