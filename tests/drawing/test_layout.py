"""Layout: sockets hit, builders' words kept, and every guard made to fire."""

import json
import os
import stat
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from harness.drawing.dot_text import dot_text
from harness.drawing.layout import (
    CHOICE,
    command,
    lay_out,
    lay_out_all,
    read_laid,
    run_child,
    run_graphviz,
)
from harness.drawing.layout_model import (
    LayoutEdge,
    LayoutError,
    LayoutGraph,
    LayoutNode,
    LayoutPort,
    LostEdges,
)

PORTS = (
    LayoutPort("1", "right", 60, 20.4),
    LayoutPort("2", "right", 60, 37.7),
    LayoutPort("3", "right", 60, 71.2),
)
GRAPH = LayoutGraph(
    nodes=(
        LayoutNode("rx", 60, 90, PORTS),
        LayoutNode("a", 50.5, 30, (LayoutPort("in", "left", 0, 12.2),)),
        LayoutNode("b", 50, 30, (LayoutPort("in", "left", 0, 15),)),
        LayoutNode("c", 20, 20),
    ),
    edges=(
        LayoutEdge("one", "rx", "a", "1", "in"),
        LayoutEdge("two", "rx", "b", "2", "in"),
        LayoutEdge("three", "rx", "c", "3"),
    ),
)


def test_leads_end_on_their_sockets() -> None:
    laid = lay_out(GRAPH)
    assert laid.edges["one"][0] == pytest.approx(laid.nodes["rx"].ports["1"])
    assert laid.edges["one"][-1] == pytest.approx(laid.nodes["a"].ports["in"])
    assert laid.edges["three"][0] == pytest.approx(laid.nodes["rx"].ports["3"])
    rect = laid.nodes["rx"].rect
    assert laid.nodes["rx"].ports["1"] == pytest.approx((rect.x + 60, rect.y + 20.4))


def test_graphviz_itself_ends_within_a_point_of_each_socket() -> None:
    """Along a part's side only rounding to whole points is left, so no lead meets a neighbour."""
    drawn = json.loads(run_graphviz([dot_text(GRAPH)])[0])
    top = float(drawn["bb"].split(",")[3])
    raw = {edge["id"]: edge["pos"].split() for edge in drawn["edges"]}
    laid = lay_out(GRAPH)
    starts = [tuple(map(float, raw[f"e{i}"][0].split(","))) for i in range(len(GRAPH.edges))]
    assert top - starts[0][1] == pytest.approx(laid.edges["one"][0][1], abs=1.0)
    assert top - starts[1][1] == pytest.approx(laid.edges["two"][0][1], abs=1.0)
    assert top - starts[2][1] == pytest.approx(laid.edges["three"][0][1], abs=1.0)


def test_leads_leave_a_right_hand_socket_to_the_right() -> None:
    start, handle = lay_out(GRAPH).edges["one"][:2]
    assert handle[0] > start[0]
    assert handle[1] == pytest.approx(start[1], abs=0.6)


def test_nothing_overlaps() -> None:
    laid = lay_out(GRAPH)
    assert laid.nodes["a"].rect.y + 30 <= laid.nodes["b"].rect.y or (
        laid.nodes["b"].rect.y + 30 <= laid.nodes["a"].rect.y
    )


def test_builders_words_may_hold_anything() -> None:
    words = ['a"b', "x:y", "<b>", "ü\\n", "graph", "-> {", "p0|p1"]
    nodes = tuple(LayoutNode(w, 20, 20, (LayoutPort(w, "right", 20, 9),)) for w in words)
    edges = tuple(LayoutEdge(f"{w}→", w, words[0], w) for w in words[1:])
    laid = lay_out(LayoutGraph(nodes, edges))
    assert set(laid.nodes) == set(words)
    assert set(laid.edges) == {edge.id for edge in edges}


def test_many_leads_between_the_same_parts_are_all_drawn() -> None:
    nodes = (LayoutNode("a", 30, 30), LayoutNode("b", 30, 30))
    edges = tuple(LayoutEdge(f"e{i}", "a", "b") for i in range(12))
    assert len(lay_out(LayoutGraph(nodes, edges)).edges) == 12


def drop(drawn: dict) -> None:
    del drawn["edges"][1]


def empty(drawn: dict) -> None:
    drawn["edges"][1]["pos"] = ""


def unplaced(drawn: dict) -> None:
    del drawn["edges"][1]["pos"]


def moved(drawn: dict) -> None:
    drawn["edges"][1]["head"] = drawn["edges"][0]["head"]


def doubled(drawn: dict) -> None:
    drawn["edges"].append(dict(drawn["edges"][1]))


def renamed(drawn: dict) -> None:
    drawn["edges"][1]["id"] = "e77"


@pytest.mark.parametrize("doctor", [drop, empty, unplaced, moved, doubled, renamed])
def test_a_lost_edge_is_named(doctor: Callable[[dict], None]) -> None:
    drawn = json.loads(run_graphviz([dot_text(GRAPH)])[0])
    drawn["edges"].sort(key=lambda edge: edge["id"])
    read_laid(json.dumps(drawn), GRAPH)
    doctor(drawn)
    with pytest.raises(LostEdges, match=r"lost 1 edge\(s\): two") as caught:
        read_laid(json.dumps(drawn), GRAPH)
    assert caught.value.ids == ("two",)


def test_all_edges_gone_are_all_named() -> None:
    drawn = json.loads(run_graphviz([dot_text(GRAPH)])[0])
    del drawn["edges"]
    with pytest.raises(LostEdges, match="one, two, three"):
        read_laid(json.dumps(drawn), GRAPH)


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"bb": "1,2"}', "not json"])
def test_unreadable_output_is_refused(text: str) -> None:
    with pytest.raises(LayoutError, match="no layout"):
        read_laid(text, GRAPH)


CHILDREN = {
    "aborted": ("import os; os.abort()", "aborted \\(signal 6\\)"),
    "failed": ("import sys; sys.exit('out of ink')", "failed \\(exit 1\\): out of ink"),
}


@pytest.mark.parametrize("how", CHILDREN)
def test_a_child_that_dies_is_reported(how: str) -> None:
    code, words = CHILDREN[how]
    with pytest.raises(LayoutError, match=words):
        run_child([sys.executable, "-c", code], ["digraph {}"], time_limit=20)


def test_a_child_that_hangs_is_stopped() -> None:
    line = [sys.executable, "-c", "import time; time.sleep(60)"]
    with pytest.raises(LayoutError, match=r"stopped after 0\.3 s"):
        run_child(line, ["digraph {}"], time_limit=0.3)


def test_a_child_that_does_not_start_is_reported(tmp_path: Path) -> None:
    with pytest.raises(LayoutError, match="did not start"):
        run_child([str(tmp_path / "nothing")], [], time_limit=5)


def test_bad_dot_text_is_reported() -> None:
    with pytest.raises(LayoutError, match="failed"):
        run_graphviz(["digraph { a -> "])


def test_another_dot_program_can_be_chosen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The chosen program is run with Graphviz's own options: -K engine, -T format."""
    library = command()
    program = tmp_path / "dot"
    program.write_text(
        f'#!/bin/sh\necho "$@" > "{tmp_path}/options"\nshift 2\nexec {" ".join(library)} "$@"\n'
    )
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv(CHOICE, str(program))
    assert lay_out(GRAPH).edges.keys() == {"one", "two", "three"}
    assert (tmp_path / "options").read_text().split()[:2] == ["-Kdot", "-Tjson0"]


def test_a_chosen_program_that_is_not_there_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(CHOICE, "no-such-dot")
    with pytest.raises(LayoutError, match="no-such-dot"):
        lay_out(GRAPH)


def test_the_child_sees_one_font_only() -> None:
    probe = "import os; print(open(os.environ['FONTCONFIG_FILE']).read())"
    text = run_child([sys.executable, "-c", probe], [], time_limit=20)
    assert text.count("<dir>") == 1
    folder = text.split("<dir>")[1].split("</dir>")[0]
    assert not os.path.exists(folder)  # noqa: PTH110 - gone again with the child


@pytest.mark.parametrize(
    "change",
    [
        {"edges": (LayoutEdge("x", "rx", "nobody"),)},
        {"edges": (LayoutEdge("x", "rx", "a", "9"),)},
        {"edges": (LayoutEdge("x", "rx", "a"), LayoutEdge("x", "rx", "b"))},
        {"nodes": (*GRAPH.nodes, LayoutNode("rx", 1, 1))},
    ],
)
def test_names_that_lead_nowhere_are_refused(change: dict) -> None:
    with pytest.raises(LayoutError):
        lay_out(replace(GRAPH, **change))


def test_layouts_made_by_one_child_are_those_made_one_by_one() -> None:
    """In the order asked for, which is not the order in which they are ready."""
    single = LayoutGraph((LayoutNode("alone", 20, 10),))
    assert lay_out_all([GRAPH, single]) == [lay_out(GRAPH), lay_out(single)]
    assert lay_out_all([]) == []
