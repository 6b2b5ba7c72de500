"""The wiring as graphs: nets, ways and reach against scipy's sparse graphs and by hand."""

from __future__ import annotations

import random
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pytest
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components, dijkstra
from support import plan_of

from harness import as_graph, build, load_plan
from harness.parts.contacts import COPPER, Contact, Link, LinkKind
from harness.wiring.build import Wiring
from harness.wiring.graph import Tree, current_graph, ways_to
from harness.wiring.nets import Nets

PLANS = sorted(
    p for p in (Path(__file__).parents[2] / "examples").rglob("*.yaml") if "." not in p.stem
)


def matrix(arcs: Iterable[tuple[Contact, Contact]], numbers: dict[Contact, int]) -> csr_array:
    """Return arcs between contacts as scipy wants a graph."""
    pairs = sorted({(numbers[a], numbers[b]) for a, b in arcs})
    rows, columns = zip(*pairs, strict=True) if pairs else ((), ())
    return csr_array((np.ones(len(pairs)), (rows, columns)), shape=(len(numbers), len(numbers)))


def numbered(wiring: Wiring) -> dict[Contact, int]:
    ends = (end for link in wiring.links for end in (link.a, link.b))
    return {contact: n for n, contact in enumerate(dict.fromkeys(ends))}


@pytest.mark.parametrize("path", PLANS, ids=lambda p: p.stem)
def test_nets_are_the_components_by_copper(path: Path) -> None:
    wiring = build(load_plan(str(path)))
    numbers = numbered(wiring)
    bare = matrix(((k.a, k.b) for k in wiring.links if k.kind in COPPER), numbers)
    _, at = connected_components(bare, directed=False)
    theirs = {frozenset(c for c, n in numbers.items() if at[n] == net) for net in set(at)}
    assert {frozenset(net) for net in wiring.nets.members.values()} == theirs
    assert all(contact in wiring.nets.net(contact) for contact in numbers)


@pytest.mark.parametrize("path", PLANS, ids=lambda p: p.stem)
def test_ways_to_sources_are_the_shortest(path: Path) -> None:
    wiring = build(load_plan(str(path)))
    numbers = numbered(wiring)
    arcs = [(k.a, k.b) for k in wiring.links if k.kind in COPPER or k.kind is LinkKind.DIODE]
    arcs += [(k.b, k.a) for k in wiring.links if k.kind in COPPER]
    sources = [k for k in wiring.links if k.kind is LinkKind.SOURCE]
    starts = [numbers[k.b] for k in sources]
    far = dijkstra(matrix(arcs, numbers), indices=starts, unweighted=True) if starts else []
    for contact, number in numbers.items():
        ways = {way.source.owner: way.links for way in ways_to(wiring, contact)}
        theirs = {k.owner: row[number] for k, row in zip(sources, far, strict=True)}
        assert {name: len(links) for name, links in ways.items()} == {
            name: steps for name, steps in theirs.items() if steps < np.inf
        }
        for source in sources:
            assert_chain(contact, ways.get(source.owner, ()), source.b)


def assert_chain(here: Contact, links: Iterable[Link], end: Contact) -> None:
    """Each link begins where the one before it ends, none against a diode; the last at the end."""
    links = list(links)
    for link in links:
        assert here == link.b or (here == link.a and link.kind in COPPER)
        here = link.a if here == link.b else link.b
    assert here == end or not links


def test_of_parallel_links_the_first_is_on_the_way() -> None:
    a, b, c = (Contact("x", "pin", name) for name in "abc")
    links = [
        Link(b, a, LinkKind.WIRE, "first"),
        Link(a, b, LinkKind.MATE, "second"),
        Link(b, c, LinkKind.DIODE, "valve"),
    ]
    owners = [link.owner for link in Tree(current_graph(links), a).way(c)]
    assert owners == ["valve", "first"]
    assert list(Tree(current_graph(links), c).way(a)) == []
    assert a not in Tree(current_graph(links), c)


@pytest.mark.parametrize("seed", range(40))
def test_potentials_by_walking_the_sources_that_came_first(seed: int) -> None:
    """Copper and sources at random; a source between nets joined before is a loop, no level."""
    dice = random.Random(seed)
    pins = [Contact("x", "pin", str(n)) for n in range(9)]
    links = []
    for _ in range(dice.randint(3, 14)):
        a, b = dice.sample(pins, 2)
        kind = dice.choice([LinkKind.WIRE, LinkKind.SOURCE, LinkKind.SOURCE])
        volts = dice.randint(1, 9) if kind is LinkKind.SOURCE else 0
        links.append(Link(a, b, kind, "x", volts=volts))
    nets = Nets.of(links)
    steps = {(k.a, k.b): 0.0 for k in links if k.kind in COPPER}
    loops = []
    for link in (k for k in links if k.kind is LinkKind.SOURCE):
        before = walked(steps, link.a).get(link.b)
        if before is None:
            steps[link.a, link.b] = link.volts
        else:
            loops.append((link, link.volts - before))
    assert [(loop.source, loop.surplus) for loop in nets.loops] == loops
    for low in {end for link in links for end in (link.a, link.b)}:
        found = {high: nets.volts(low, high) for high in pins}
        assert {h: v for h, v in found.items() if v is not None} == walked(steps, low)


def walked(steps: dict[tuple[Contact, Contact], float], start: Contact) -> dict[Contact, float]:
    """Return the volts above a contact of all that steps lead to, however far."""
    found = {start: 0.0}
    both = {**steps, **{(b, a): -volts for (a, b), volts in steps.items()}}
    for _ in range(len(steps)):
        found |= {b: found[a] + volts for (a, b), volts in both.items() if a in found}
    return found


RING = """
receivers: {rx: {sockets: 3}}
servos: {one: {plug: y.1}, two: {plug: long.1}, lost: {}}
leads:
  y: {kind: y, plug: rx.2}
  long: {kind: extension, plug: y.2}
  a: {kind: y, plug: b.1}
  b: {kind: y, plug: a.1}
packs: {p: {chemistry: lipo, cells: 2, plug: rx.1}}
"""


def test_up_and_down_by_hand() -> None:
    wiring = build(plan_of(RING))
    assert [m.into for m in wiring.upstream("two")] == ["long.1", "y.2", "rx.2"]
    assert [m.into for m in wiring.upstream("a")] == ["b.1", "a.1"]  # round once, and no more
    assert wiring.upstream("lost") == []
    assert wiring.driver("two") is wiring.ports["rx", "2"]
    assert wiring.driver("a") is None
    ids = [port.part.id for port in wiring.downstream(("rx", "2"))]
    assert ids == ["y", "one", "long", "two"]  # the nearest first
    assert wiring.downstream(("rx", "3")) == []
    assert [port.part.id for port in wiring.downstream(("a", "1"))] == ["b", "a"]


def test_a_plug_that_does_not_fit_is_fed_nothing() -> None:
    text = "packs: {p: {chemistry: lipo, cells: 2}}\nservos: {s: {plug: p.main}}\n"
    wiring = build(plan_of(text))
    assert not wiring.by_plug["s", "plug"].fits
    assert wiring.upstream("s") == [wiring.by_plug["s", "plug"]]
    assert wiring.downstream(("p", "main")) == []


def test_nodes_and_edges_carry_what_the_docstring_says() -> None:
    graph = as_graph(build(load_plan(str(PLANS[0].parents[0] / PLANS[0].name))))
    assert {"signal", "positive", "negative"} <= {role for _, role in graph.nodes(data="role")}
    source = next(d for _, _, d in graph.edges(data=True) if d["kind"] == "SOURCE")
    assert source["volts"] > 0
    assert source["high"].pin == "positive"
