"""Layout by Graphviz in a child process, checked edge by edge, each lead on its very socket."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from importlib.util import find_spec
from pathlib import Path as FilePath
from typing import Any

from harness.drawing.bezier import mix
from harness.drawing.font import font_path
from harness.drawing.layout_model import (
    Laid,
    LaidNode,
    LayoutEdge,
    LayoutError,
    LayoutGraph,
    LayoutNode,
    LayoutPort,
    LostEdges,
    Rect,
)
from harness.drawing.scene import Point

ENGINE = "dot"
CHOICE = "HARNESS_DOT"


def lay_out(graph: LayoutGraph, *, time_limit: float = 60.0) -> Laid:
    """Places for every node and edge.

    Raises LayoutError when Graphviz fails or needs more than `time_limit` seconds, LostEdges when
    it drew other edges than asked for.
    """
    return lay_out_all([graph], time_limit=time_limit)[0]


def lay_out_all(graphs: Sequence[LayoutGraph], *, time_limit: float = 60.0) -> list[Laid]:
    """The layouts of several graphs in their order, by one child process; raises as `lay_out`."""
    from harness.drawing.dot_text import dot_text

    drawn = run_graphviz([dot_text(graph) for graph in graphs], time_limit=time_limit)
    return [read_laid(text, graph) for text, graph in zip(drawn, graphs, strict=True)]


def run_graphviz(dots: Sequence[str], *, time_limit: float = 60.0) -> list[str]:
    """JSON of DOT texts; raises LayoutError.

    The environment variable HARNESS_DOT, when set, names a `dot` program to use in place of the
    library that comes with the Python package.
    """
    text = run_child(command(), dots, time_limit=time_limit) if dots else ""
    found: list[str] = []
    while len(found) < len(dots):
        text = text.lstrip()
        try:
            _, end = json.JSONDecoder().raw_decode(text)
        except ValueError:
            raise LayoutError("Graphviz gave no layout that can be read") from None
        found.append(text[:end])
        text = text[end:]
    return found


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


def run_child(line: list[str], dots: Sequence[str], *, time_limit: float) -> str:
    """Output of the child process; raises LayoutError if it aborts, fails or takes too long."""
    with tempfile.TemporaryDirectory(prefix="harness-") as name:
        folder = FilePath(name)
        environment = {**os.environ, "FONTCONFIG_FILE": str(font_settings(folder))}
        files = [folder / f"{number}.dot" for number in range(len(dots))]
        for file, dot in zip(files, dots, strict=True):
            file.write_text(dot, encoding="utf-8")
        try:
            done = subprocess.run(
                [*line, *map(str, files)], stdin=subprocess.DEVNULL, capture_output=True,
                encoding="utf-8", errors="replace", timeout=time_limit, env=environment,
                check=False,
            )  # fmt: skip
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
    ports = {node.id: {port.id: port for port in node.ports} for node in graph.nodes}
    edges = {
        edge.id: _landed(_flipped(splines[edge.id], left, top), edge, ports, nodes)
        for edge in graph.edges
    }
    return Laid(nodes, edges, {}, right - left, top - low)


def _edges(drawn: Mapping[str, Any], graph: LayoutGraph) -> dict[str, str]:
    """Control points as text by edge id; each edge exactly once and between its own nodes."""
    names = {item["_gvid"]: item["name"] for item in drawn.get("objects", ())}
    index = {node.id: f"n{i}" for i, node in enumerate(graph.nodes)}
    found: dict[str, list[Mapping[str, Any]]] = {}
    for item in drawn.get("edges", ()):
        found.setdefault(str(item.get("id", "")), []).append(item)
    splines: dict[str, str] = {}
    for number, edge in enumerate(graph.edges):
        rows = found.get(f"e{number}", [])
        ends = (index[edge.tail], index[edge.head])
        if len(rows) == 1 and (names[rows[0]["tail"]], names[rows[0]["head"]]) == ends:
            points = str(rows[0].get("pos", ""))
            if len(points.split()) >= 4 and ";" not in points:
                splines[edge.id] = points
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


def _landed(
    points: list[Point],
    edge: LayoutEdge,
    ports: Mapping[str, Mapping[str, LayoutPort]],
    laid: Mapping[str, LaidNode],
) -> tuple[Point, ...]:
    """The spline with each end that has a port moved onto it, leaving at a right angle."""
    if edge.tail_port is not None:
        points = _land(points, laid[edge.tail], ports[edge.tail][edge.tail_port])
    if edge.head_port is not None:
        points = _land(points[::-1], laid[edge.head], ports[edge.head][edge.head_port])[::-1]
    return tuple(points)


def _land(points: list[Point], node: LaidNode, port: LayoutPort) -> list[Point]:
    """The same from a port on or inside a part's rim: level to the rim, then as drawn."""
    target, rect = node.ports[port.id], node.rect
    rim = (rect.x if port.side == "left" else rect.x + rect.width, target[1])
    dx, dy = rim[0] - points[0][0], rim[1] - points[0][1]
    points = [rim, (points[1][0] + dx, points[1][1] + dy), *points[2:]]
    if abs(target[0] - rim[0]) < 0.01:
        return points
    return [target, mix(target, rim, 1 / 3), mix(target, rim, 2 / 3), *points]
