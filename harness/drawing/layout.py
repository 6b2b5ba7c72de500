"""Layout by Graphviz in a child process, checked edge by edge."""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from importlib.util import find_spec
from pathlib import Path as FilePath

from harness.drawing.font import font_path
from harness.drawing.laid import read_laid
from harness.drawing.layout_model import Laid, LayoutError, LayoutGraph

ENGINE = "dot"
CHOICE = "HARNESS_DOT"


def lay_out(graph: LayoutGraph, *, time_limit: float = 60.0) -> Laid:
    """Places for every node, edge and cluster.

    Raises LayoutError when Graphviz fails or needs more than `time_limit` seconds, LostEdges when
    it drew other edges than asked for.
    """
    from harness.drawing.dot_text import dot_text

    return read_laid(run_graphviz(dot_text(graph), time_limit=time_limit), graph)


def lay_out_all(graphs: Sequence[LayoutGraph]) -> Iterator[Laid]:
    """The layouts of several graphs in their order, made side by side; raises as `lay_out`."""
    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(max_workers=max(len(graphs), 1)) as pool:
        yield from pool.map(lay_out, graphs)


def run_graphviz(dot: str, *, time_limit: float = 60.0) -> str:
    """JSON of a DOT text; raises LayoutError.

    The environment variable HARNESS_DOT, when set, names a `dot` program to use in place of the
    library that comes with the Python package.
    """
    return run_child(command(), dot, time_limit=time_limit)


def command() -> list[str]:
    """The command line of the child process; raises LayoutError."""
    if choice := os.environ.get(CHOICE):
        program = shutil.which(choice)
        if program is None:
            raise LayoutError(f"{CHOICE} names {choice}, which is not a program on this machine")
        return [program, f"-K{ENGINE}", "-Tjson0"]
    spec = find_spec("pygraphviz")
    if spec is None or not spec.submodule_search_locations:
        raise LayoutError(f"no Graphviz: install pygraphviz, or set {CHOICE} to a dot program")
    child = str(FilePath(__file__).with_name("child.py"))
    folder = spec.submodule_search_locations[0]
    return [sys.executable, "-S", "-E", "-I", child, folder, ENGINE]


def run_child(line: list[str], dot: str, *, time_limit: float) -> str:
    """Output of the child process; raises LayoutError if it aborts, fails or takes too long."""
    with tempfile.TemporaryDirectory(prefix="harness-") as folder:
        environment = {**os.environ, "FONTCONFIG_FILE": str(font_settings(FilePath(folder)))}
        try:
            done = subprocess.run(
                line,
                input=dot,
                capture_output=True,
                encoding="utf-8",
                errors="replace",
                timeout=time_limit,
                env=environment,
                check=False,
            )
        except subprocess.TimeoutExpired:
            raise LayoutError(f"Graphviz was stopped after {time_limit:g} s") from None
        except OSError as error:
            raise LayoutError(f"Graphviz did not start: {error}") from None
    if done.returncode:
        raise LayoutError(_failure(done.returncode, done.stderr))
    return done.stdout


def _failure(code: int, complaint: str) -> str:
    how = f"aborted (signal {-code})" if code < 0 else f"failed (exit {code})"
    lines = [line for line in complaint.splitlines() if line and "Fontconfig" not in line]
    return f"Graphviz {how}" + (f": {lines[-1].strip()}" if lines else "")


def font_settings(folder: FilePath) -> FilePath:
    """Write a fontconfig file whose only font is DejaVu Sans; returns its path."""
    fonts = folder / "fonts"
    fonts.mkdir()
    shutil.copy(font_path(), fonts)
    path = folder / "fonts.conf"
    path.write_text(
        '<?xml version="1.0"?>\n<!DOCTYPE fontconfig SYSTEM "fonts.dtd">\n<fontconfig>'
        f"<dir>{fonts}</dir><cachedir>{folder / 'cache'}</cachedir></fontconfig>\n",
        encoding="utf-8",
    )
    return path
