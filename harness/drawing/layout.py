"""Layout by Graphviz in a child process, checked edge by edge."""

from __future__ import annotations

import atexit
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections import defaultdict
from collections.abc import Mapping, Sequence
from contextlib import suppress
from importlib.util import find_spec
from pathlib import Path as FilePath
from signal import SIGKILL
from threading import Timer
from time import monotonic
from typing import Any

from harness.drawing.dot_text import dot_text
from harness.drawing.layout_model import (
    Laid,
    LaidNode,
    LayoutError,
    LayoutGraph,
    LayoutNode,
    LostEdges,
    Rect,
)
from harness.drawing.scene import Point

CHOICE = "HARNESS_DOT"


def lay_out_all(graphs: Sequence[LayoutGraph]) -> list[Laid]:
    """Places for every node and edge of several graphs, in their order.

    Raises LayoutError when Graphviz fails or is slow, LostEdges when it drew other edges.
    """
    drawn = run_graphviz([dot_text(graph) for graph in graphs])
    return [read_laid(text, graph) for text, graph in zip(drawn, graphs, strict=True)]


def run_graphviz(dots: Sequence[str]) -> list[str]:
    """JSON of DOT texts, by a child process that stays for further ones; raises LayoutError.

    The environment variable HARNESS_DOT, when set, names a `dot` program to use in place of the
    library that comes with the Python package.
    """
    line = command()
    if not (_standing and _standing[0].line == line):
        dismiss()
        _standing.append(GraphvizChild(line))
        atexit.register(dismiss)
    try:
        return _standing[0].ask(dots)
    except BaseException:  # what it still has to say belongs to no later question
        dismiss()
        raise


def dismiss() -> None:
    """End the child that stays, if there is one."""
    while _standing:
        _standing.pop().close()


def command() -> list[str]:
    """The command line of the child process; raises LayoutError."""
    if choice := os.environ.get(CHOICE):
        graphviz = shutil.which(choice)
        if graphviz is None:
            raise LayoutError(f"{CHOICE} names {choice}, which is not a program on this machine")
    else:
        spec = find_spec("pygraphviz")
        if spec is None or not spec.submodule_search_locations:
            raise LayoutError(f"no Graphviz: install pygraphviz, or set {CHOICE} to a dot program")
        graphviz = spec.submodule_search_locations[0]
    child = str(FilePath(__file__).with_name("child.py"))
    return [sys.executable, "-S", "-E", "-I", child, graphviz, "dot"]


class GraphvizChild:
    """A child process that lays out what it is asked for; raises LayoutError without a start."""

    def __init__(self, line: list[str]) -> None:
        self.line, self.home = line, tempfile.TemporaryDirectory(prefix="harness-")
        self.folder = FilePath(self.home.name)
        environment = {**os.environ, "FONTCONFIG_FILE": os.devnull}  # no words, so no fonts
        self.complaints = (self.folder / "complaints").open("w+b")
        try:
            self.process = subprocess.Popen(
                line,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=self.complaints,
                env=environment,
                start_new_session=True,
            )
        except OSError as error:
            self._forget()
            raise LayoutError(f"Graphviz did not start: {error}") from None

    def ask(self, dots: Sequence[str], time_limit: float = 60.0) -> list[str]:
        """Return the JSON of each text; raises LayoutError if it aborts, fails or is too slow."""
        assert self.process.stdin and self.process.stdout
        end, found = monotonic() + time_limit, b""
        files = [self.folder / f"{number}.dot" for number in range(len(dots))]
        try:
            for file, dot in zip(files, dots, strict=True):
                file.write_text(dot, encoding="utf-8")
        except OSError as error:
            raise LayoutError(f"{self.folder} cannot be written: {error.strerror}") from None
        timer = Timer(time_limit, self._kill)
        timer.daemon = True  # who is interrupted does not wait for it
        timer.start()
        with suppress(OSError):  # it is dead: reading tells why
            self.process.stdin.write("".join(f"{file}\n" for file in files).encode())
            self.process.stdin.flush()
        says = self.process.stdout.fileno()
        while found.count(b"\0") < len(dots) and (chunk := os.read(says, 1 << 20)):
            found += chunk
        timer.cancel()
        answers = found.decode(errors="replace").split("\0")[:-1]
        if len(answers) < len(dots):
            code = self.process.wait()
            if monotonic() >= end:
                raise LayoutError(f"Graphviz was stopped after {time_limit:g} s")
            self.complaints.seek(0)
            raise LayoutError(_failure(code, self.complaints.read().decode(errors="replace")))
        return answers

    def close(self) -> None:
        """End it, and remove its files."""
        self._kill()
        self.process.communicate()
        self._forget()

    def _kill(self) -> None:
        """Kill it and the program that it may have started; an interrupt is for us alone."""
        with suppress(ProcessLookupError):
            os.killpg(self.process.pid, SIGKILL)

    def _forget(self) -> None:
        self.complaints.close()
        self.home.cleanup()


_standing: list[GraphvizChild] = []
"""The child that lays out all pictures of this process."""


def _failure(code: int, complaint: str) -> str:
    how = f"aborted (signal {-code})" if code < 0 else f"failed (exit {code})"
    lines = [line for line in complaint.splitlines() if line and "Fontconfig" not in line]
    return f"Graphviz {how}" + (f": {lines[-1].strip()}" if lines else "")


def read_laid(text: str, graph: LayoutGraph) -> Laid:
    """The layout of `graph` as drawn; raises LayoutError, and LostEdges if an edge is missing."""
    try:
        drawn = json.loads(text)
        left, low, right, top = map(float, drawn["bb"].split(","))
    except (ValueError, KeyError, TypeError, AttributeError):
        raise LayoutError("Graphviz gave no layout that can be read") from None
    objects = {item["name"]: item for item in drawn.get("objects", ())}
    splines = _edges(drawn, graph)
    nodes = {
        node.id: _node(node, objects.get(f"n{i}"), left, top) for i, node in enumerate(graph.nodes)
    }
    edges = {name: tuple(_flipped(text, left, top)) for name, text in splines.items()}
    return Laid(nodes, edges, {}, right - left, top - low)


def _edges(drawn: Mapping[str, Any], graph: LayoutGraph) -> dict[str, str]:
    """Control points as text by edge id; each edge exactly once and between its own nodes."""
    names = {item["_gvid"]: item["name"] for item in drawn.get("objects", ())}
    index = {node.id: f"n{i}" for i, node in enumerate(graph.nodes)}
    found: dict[tuple[str, str, str], list[str]] = defaultdict(list)
    for item in drawn.get("edges", ()):
        ends = names[item["tail"]], names[item["head"]]
        found[str(item.get("id")), *ends].append(str(item.get("pos", "")))
    splines: dict[str, str] = {}
    for number, edge in enumerate(graph.edges):
        points = found[f"e{number}", index[edge.tail], index[edge.head]]
        if len(points) == 1 and len(points[0].split()) >= 4 and ";" not in points[0]:
            splines[edge.id] = points[0]
    lost = tuple(edge.id for edge in graph.edges if edge.id not in splines)
    if lost:
        raise LostEdges(lost)
    return splines


def _node(node: LayoutNode, item: Mapping[str, Any] | None, left: float, top: float) -> LaidNode:
    if item is None or "pos" not in item:
        raise LayoutError(f"the layout lost {node.id}")
    x, y = map(float, str(item["pos"]).rstrip("!").split(","))
    corner = (x - left - node.width / 2, top - y - node.height / 2)
    ports = {port.id: (corner[0] + port.x, corner[1] + port.y) for port in node.ports}
    return LaidNode(Rect(*corner, node.width, node.height), ports)


def _flipped(text: str, left: float, top: float) -> list[Point]:
    pairs = (pair.split(",") for pair in text.split() if pair[0] not in "es")
    return [(float(x) - left, top - float(y)) for x, y in pairs]
