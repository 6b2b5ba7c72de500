"""Layout: sockets hit, builders' words kept, and every guard made to fire."""

import json
import stat
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from harness.drawing.dot_text import dot_text
from harness.drawing.layout import (
    CHOICE,
    GraphvizChild,
    command,
    dismiss,
    lay_out_all,
    read_laid,
    run_graphviz,
)
from harness.drawing.layout_model import (
    Laid,
    LayoutEdge,
    LayoutError,
    LayoutGraph,
    LayoutNode,
    LayoutPort,
    LostEdges,
)


def lay_out(graph: LayoutGraph) -> Laid:
    return lay_out_all([graph])[0]


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


def test_graphviz_ends_within_a_point_of_each_socket() -> None:
    """Along a part's side only rounding to whole points is left, so no lead meets a neighbour."""
    laid = lay_out(GRAPH)
    for edge in GRAPH.edges:
        start = laid.edges[edge.id][0]
        assert start[1] == pytest.approx(laid.nodes["rx"].ports[edge.tail_port][1], abs=1.0)
        assert start[0] == pytest.approx(laid.nodes["rx"].ports[edge.tail_port][0], abs=2.0)
    assert laid.edges["one"][-1] == pytest.approx(laid.nodes["a"].ports["in"], abs=2.0)
    rect = laid.nodes["rx"].rect
    assert laid.nodes["rx"].ports["1"] == pytest.approx((rect.x + 60, rect.y + 20.4))


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


def answer_of(code: str, time_limit: float = 20) -> list[str]:
    """What a child that runs some Python says to one question."""
    child = GraphvizChild([sys.executable, "-c", code])
    try:
        return child.ask(["digraph {}"], time_limit)
    finally:
        child.close()
        assert not child.folder.exists()


@pytest.mark.parametrize("how", CHILDREN)
def test_a_child_that_dies_is_reported(how: str) -> None:
    code, words = CHILDREN[how]
    with pytest.raises(LayoutError, match=words):
        answer_of(code)


def test_a_child_that_hangs_is_stopped() -> None:
    with pytest.raises(LayoutError, match=r"stopped after 0\.3 s"):
        answer_of("import time; time.sleep(60)", time_limit=0.3)


def test_a_child_that_does_not_start_is_reported(tmp_path: Path) -> None:
    with pytest.raises(LayoutError, match="did not start"):
        GraphvizChild([str(tmp_path / "nothing")])


def test_bad_dot_text_is_reported() -> None:
    with pytest.raises(LayoutError, match="failed"):
        run_graphviz(["digraph { a -> "])


def test_another_dot_program_can_be_chosen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The chosen program is run with Graphviz's own options: -K engine, -T format."""
    library = " ".join(command())
    program = tmp_path / "dot"
    program.write_text(
        f'#!/bin/sh\necho "$@" > "{tmp_path}/options"\necho "$3" | {library} | tr -d "\\000"\n'
    )
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    usual = lay_out(GRAPH)
    monkeypatch.setenv(CHOICE, str(program))
    assert lay_out_all([GRAPH, GRAPH]) == [usual, usual]
    assert (tmp_path / "options").read_text().split()[:2] == ["-Kdot", "-Tjson0"]


def test_a_chosen_program_that_fails_is_reported(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = tmp_path / "dot"
    program.write_text("#!/bin/sh\necho no ink >&2\nexit 7\n")
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv(CHOICE, str(program))
    with pytest.raises(LayoutError, match=r"failed \(exit 7\): no ink"):
        lay_out(GRAPH)


def test_a_chosen_program_that_is_not_there_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(CHOICE, "no-such-dot")
    with pytest.raises(LayoutError, match="no-such-dot"):
        lay_out(GRAPH)


def test_fonts_of_a_machine_never_matter() -> None:
    """Layout texts hold no words; the child is given no fonts at all."""
    (text,) = answer_of("import os; print(open(os.environ['FONTCONFIG_FILE']).read() + chr(0))")
    assert text == ""


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
    """In the order asked for, and whatever the child has laid out before."""
    single = LayoutGraph((LayoutNode("alone", 20, 10),))
    dismiss()
    together = lay_out_all([GRAPH, single, GRAPH])
    for graph, laid in zip((single, GRAPH), (together[1], together[0]), strict=True):
        dismiss()
        assert lay_out(graph) == laid
    assert together[2] == together[0]
    assert lay_out_all([]) == []


def test_one_child_serves_all_layouts_until_one_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    dismiss()
    started: list[GraphvizChild] = []
    usual = GraphvizChild.__init__

    def noted(child: GraphvizChild, *words: Any) -> None:
        started.append(child)
        usual(child, *words)

    monkeypatch.setattr(GraphvizChild, "__init__", noted)
    first = lay_out(GRAPH)
    assert lay_out(GRAPH) == first
    assert len(started) == 1
    with pytest.raises(LayoutError):
        run_graphviz([dot_text(GRAPH), "digraph { a -> "])
    assert started[0].process.poll() is not None
    assert lay_out(GRAPH) == first
    assert len(started) == 2
