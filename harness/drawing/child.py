"""Run Graphviz on files of DOT text; write their JSON to standard output, one after another.

Started as a script in a process of its own, because some versions of Graphviz abort. It imports
nothing but the extension module, so that it starts as fast as the Graphviz program itself.
Arguments: the folder of the extension module, the layout engine, the files.
"""

import os
import sys


def main(folder: str, engine: str, *files: str) -> int:
    """Exit status: 0 drawn, 3 layout refused, 4 writing refused."""
    sys.path.insert(0, folder)
    if hasattr(os, "add_dll_directory"):
        os.add_dll_directory(folder + ".libs")
    import _graphviz as library  # type: ignore[import-not-found]

    context = library.gvContextWithBuiltins()
    for name in files:
        with open(name, encoding="utf-8") as file:  # noqa: PTH123 - pathlib costs its import
            graph = library.agread(file, None)
        if library.gvLayout(context, graph, engine.encode()):
            return 3
        if library.gvRender(context, graph, b"json0", sys.stdout):
            return 4
        library.gvFreeLayout(context, graph)
    return 0


if __name__ == "__main__":
    status = main(*sys.argv[1:])
    sys.stdout.flush()
    os._exit(status)
