"""Run Graphviz on files of DOT text; write their JSON to standard output, a NUL after each.

Started as a script in a process of its own, because some versions of Graphviz abort. It imports
nothing but the extension module, so that it starts as fast as the Graphviz program itself.
Arguments: the folder of the extension module, or a Graphviz program; the layout engine. The names
of the files come on standard input, one a line.
"""

import os
import sys


class Library:
    """Graphviz as the extension module carries it."""

    def __init__(self, folder: str, engine: str) -> None:
        sys.path.insert(0, folder)
        if hasattr(os, "add_dll_directory"):
            os.add_dll_directory(folder + ".libs")
        import _graphviz  # type: ignore[import-not-found]

        self.library, self.engine = _graphviz, engine.encode()
        self.context = _graphviz.gvContextWithBuiltins()

    def draw(self, name: str) -> int:
        """Say: 0 drawn, 3 layout refused, 4 writing refused."""
        with open(name, encoding="utf-8") as file:  # noqa: PTH123 - pathlib costs its import
            graph = self.library.agread(file, None)
        if self.library.gvLayout(self.context, graph, self.engine):
            return 3
        if self.library.gvRender(self.context, graph, b"json0", sys.stdout):
            return 4
        self.library.gvFreeLayout(self.context, graph)
        self.library.agclose(graph)
        return 0


def main(graphviz: str, engine: str) -> int:
    """Draw until the names end, or one fails."""
    own = Library(graphviz, engine) if os.path.isdir(graphviz) else None  # noqa: PTH112
    for name in map(str.rstrip, sys.stdin):
        words = [graphviz, f"-K{engine}", "-Tjson0", name]
        if failed := own.draw(name) if own else os.spawnv(os.P_WAIT, graphviz, words):
            return failed
        sys.stdout.write("\0")
        sys.stdout.flush()
    return 0


if __name__ == "__main__":
    status = main(*sys.argv[1:])
    sys.stdout.flush()
    os._exit(status)
