"""Run Graphviz on DOT text from standard input; write its JSON to standard output.

Started as a script in a process of its own, because some versions of Graphviz abort. It imports
nothing but the extension module, so that it starts as fast as the Graphviz program itself.
Arguments: the folder of the extension module, the layout engine.
"""

import os
import sys


def main(folder: str, engine: str) -> int:
    """Exit status: 0 drawn, 3 layout refused, 4 writing refused."""
    sys.path.insert(0, folder)
    if hasattr(os, "add_dll_directory"):
        os.add_dll_directory(folder + ".libs")
    import _graphviz as library  # type: ignore[import-not-found]

    graph = library.agread(sys.stdin, None)
    context = library.gvContextWithBuiltins()
    if library.gvLayout(context, graph, engine.encode()):
        return 3
    return 4 if library.gvRender(context, graph, b"json0", sys.stdout) else 0


if __name__ == "__main__":
    status = main(sys.argv[1], sys.argv[2])
    sys.stdout.flush()
    os._exit(status)
