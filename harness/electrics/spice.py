"""A network as a SPICE netlist: one draw of it, every element, nothing condensed.

Resistors and sources are the simulator's own; consumers, diodes and converters are behavioural
current sources (`B` elements) that state the characteristics of `devices`, with their leaks
beside them. The circuit is found by its `.op` line; what to print is left to who runs it.
"""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

import numpy as np

from harness.electrics.network import Network
from harness.electrics.solver.circuit import (
    LEAK,
    Amount,
    Circuit,
    Consumer,
    Converter,
    Junction,
    Node,
    NotSolved,
    Resistor,
    VoltSource,
)
from harness.electrics.solver.layout import Layout, Pieces
from harness.electrics.solver.solution import solve
from harness.parts.contacts import Link, LinkKind

OPTIONS = "reltol=1e-9 abstol=1e-12 vntol=1e-12 gmin=1e-15 itl1=1000"
"""Far below what is compared; many rounds, as an exponential is come down step by step."""

STRAIGHT = 1e6
"""A, above which a diode goes on as a straight line: no harness carries it, no simulator
overflows on the way to its solution."""

ABOUT_VOLTS = "0 V of a piece that hangs together with nothing else"
INSIDE = "inside_"
"""How the node between a source's volts and its resistance begins."""

RESERVED = frozenset({"0", "gnd", "time", "temper", "hertz"})
WIDTH = 100

Words = Mapping[tuple[str, int], str]
"""What an element is, in a builder's words, by its kind ("resistor", ...) and its number."""


def netlist(net: Network, case: int = 0, head: Sequence[str] = ()) -> str:
    """Return the netlist of one case of a plan; `head`: lines of comment below the title."""
    plan, chosen = net.wiring.plan, net.cases[case]
    title = f"{plan.aircraft}, {chosen.name}: {chosen.about}"
    return netlist_of(net.circuit, case * net.spread.draws, title, head, words_of(net))


def netlist_of(
    circuit: Circuit,
    draw: int = 0,
    title: str = "network",
    head: Sequence[str] = (),
    words: Words | None = None,
) -> str:
    """Return one draw of a circuit as a netlist. `ValueError` for a resistor without ohms."""
    names, words = node_names(circuit), words or {}
    lines = [_plain(title), *_comments(head)]
    for piece, number in enumerate(_references(circuit)):
        lines += _reference(circuit, names, number, piece)
    for kind, element, number in _elements(circuit):
        text = words.get((kind, number)) or getattr(element, "name", "") or kind
        lines += ["", *_comments([text])]
        lines += _STATED[kind](_Terms(names, draw, _label(number, element)), element)
    lines += ["", *_begin(circuit, draw, names)]
    return "\n".join([*lines, "", f".options {OPTIONS}", ".op", ".end", ""])


def node_names(circuit: Circuit) -> dict[Node, str]:
    """Return the name of each node in the netlist: small letters, digits and underscores.

    The first reference is node 0. Simulators do not tell large letters from small ones, so names
    that differ by no more get a number.
    """
    found: dict[Node, str] = {}
    taken = RESERVED | {_inside(number, s) for number, s in enumerate(circuit.sources)}
    zero = next(iter(_references(circuit)), None)
    for place, node in enumerate(_nodes(circuit)):
        if place == zero:
            found[node] = "0"
            continue
        name = first = _safe(node)
        count = 1
        while name in taken:
            count += 1
            name = f"{first}_{count}"
        taken |= {name}
        found[node] = name
    return found


def source_name(circuit: Circuit, number: int) -> str:
    """Return the name of a source's volts in the netlist; its current enters at the plus."""
    return f"v{_label(number, circuit.sources[number])}"


def words_of(net: Network) -> Words:
    """Return what every element of a plan's network is, in a builder's words."""
    found: dict[tuple[str, int], str] = {}
    for link, number in net.resistor.items():
        found["resistor", number] = _link_words(net.wiring.links[link])
    groups = (
        ("source", net.sources, "cells of"),
        ("consumer", net.consumers, "what it draws:"),
        ("diode", net.diodes, "junction of"),
        ("converter", net.converters, "supply inside"),
    )
    for kind, numbers, what in groups:
        for part, number in numbers.items():
            found[kind, number] = (
                f"{what} {net.wiring.plan.parts[part.split()[0]].word} {part.split()[0]}"
            )
    return found


def _link_words(link: Link) -> str:
    ends = f"{link.a.part}.{link.a.port} to {link.b.part}.{link.b.port}, {link.a.pin}"
    if link.kind is LinkKind.MATE:
        return f"contact {ends}"
    if link.kind is LinkKind.DIODE:
        return f"bulk resistance of {link.owner}"
    if link.kind is LinkKind.INSIDE:
        return f"contact inside {link.owner}, {ends}"
    size = f", {link.wire.size.text}" if link.wire and link.wire.size else ""
    return f"wire of {link.owner}, {ends}{size}"


def _elements(circuit: Circuit) -> Iterable[tuple[str, object, int]]:
    """Every element with its kind and its number."""
    for kind in _STATED:
        for number, element in enumerate(getattr(circuit, f"{kind}s")):
            yield kind, element, number


def _pairs(circuit: Circuit) -> list[tuple[Node, Node]]:
    """What hangs together, element by element."""
    pairs = [(s.low, s.high) for s in circuit.sources]
    for c in circuit.converters:
        pairs += [(c.in_minus, c.in_plus), (c.out_minus, c.out_plus)]
    pairs += [(d.a, d.b) for d in circuit.diodes]
    pairs += [(c.minus, c.plus) for c in circuit.consumers]
    return pairs + [(r.a, r.b) for r in circuit.resistors]


def _nodes(circuit: Circuit) -> list[Node]:
    return list(dict.fromkeys(node for pair in _pairs(circuit) for node in pair))


def _references(circuit: Circuit) -> list[int]:
    """The place among the nodes of the reference of each piece: the one the solver takes.

    A piece of nothing but copper has none there: its first node.
    """
    nodes = _nodes(circuit)
    place = {node: number for number, node in enumerate(nodes)}
    pieces = Pieces[int]()
    for a, b in _pairs(circuit):
        pieces.join(place[a], place[b])
    layout = Layout.of(circuit)
    kept = list(layout.index)
    solved = (place[kept[number]] for number in layout.references)
    chosen = {pieces.root(number): number for number in solved}
    for number in range(len(nodes)):
        chosen.setdefault(pieces.root(number), number)
    return [chosen[piece] for piece in sorted(chosen)]


def _reference(circuit: Circuit, names: Mapping[Node, str], number: int, piece: int) -> list[str]:
    node = _nodes(circuit)[number]
    said = ".".join(map(str, node)) if isinstance(node, tuple) else str(node)
    if not piece:
        return _comments([f"node 0 is {said}"])
    return [*_comments([f"{ABOUT_VOLTS}: {said}"]), f"Vzero{piece} {names[node]} 0 0.0"]


def _begin(circuit: Circuit, draw: int, names: Mapping[Node, str]) -> list[str]:
    """Where a simulator begins: our own volts.

    It still has to find that its equations hold there; but a simulator that takes whole steps
    may run in circles between two supplies of one rail, of which only one gives.
    """
    try:
        ours = solve(_one(circuit, draw), by_hand=True)
    except NotSolved:
        return []
    if ours.trouble:
        return []
    begun = {name: _told(ours.volts(node)[0]) for node, name in names.items() if name != "0"}
    lines = [f".nodeset V({name})={value!r}" for name, value in begun.items() if value]
    return [*_comments(["where to begin"]), *lines]


def _one(circuit: Circuit, draw: int) -> Circuit:
    """One draw of a circuit as a circuit of its own."""
    amount = _Terms({}, draw, "").amount

    def of(element: Any) -> Any:
        changed = {
            f.name: amount(value)
            for f in fields(element)
            if isinstance(value := getattr(element, f.name), np.ndarray)
        }
        return replace(element, **changed)

    groups = (
        circuit.resistors,
        circuit.sources,
        circuit.consumers,
        circuit.diodes,
        circuit.converters,
    )
    return Circuit(1, *([of(element) for element in group] for group in groups))


class _Terms:
    """How the terms of one element are written."""

    def __init__(self, names: Mapping[Node, str], draw: int, label: str) -> None:
        self.names, self.draw, self.label = names, draw, label

    def amount(self, value: Amount) -> float:
        """The amount of this draw."""
        all_draws = np.asarray(value, dtype=float)
        return _told(all_draws[self.draw] if all_draws.ndim else all_draws)

    def volts(self, plus: Node, minus: Node) -> str:
        """The volts between two nodes."""
        return f"V({self.names[plus]},{self.names[minus]})"

    def ohms(self, prefix: str, a: Node, b: Node, ohms: float) -> str:
        """A resistor."""
        if not ohms > 0:
            raise ValueError(f"{prefix}{self.label}: {ohms} ohm; a netlist needs more than 0")
        return f"R{prefix}{self.label} {self.names[a]} {self.names[b]} {ohms!r}"

    def leak(self, prefix: str, a: Node, b: Node) -> str:
        """What leaks beside a device."""
        return self.ohms(f"leak{prefix}", a, b, 1 / LEAK)

    def flow(self, prefix: str, a: Node, b: Node, amps: str) -> list[str]:
        """A current that flows through the element from `a` to `b`."""
        line = f"B{prefix}{self.label} {self.names[a]} {self.names[b]} I = {amps}"
        return textwrap.wrap(
            line, WIDTH, subsequent_indent="+ ", break_long_words=False, break_on_hyphens=False
        )


def _resistor(of: _Terms, r: Resistor) -> list[str]:
    return [of.ohms("", r.a, r.b, of.amount(r.ohms))]


def _source(of: _Terms, s: VoltSource) -> list[str]:
    ohms, volts = of.amount(s.ohms), of.amount(s.volts)
    if not ohms:
        return [f"V{of.label} {of.names[s.high]} {of.names[s.low]} {volts!r}"]
    inside = f"{INSIDE}{of.label}"
    return [
        f"V{of.label} {inside} {of.names[s.low]} {volts!r}",
        f"Rcells{of.label} {inside} {of.names[s.high]} {ohms!r}",
    ]


def _consumer(of: _Terms, c: Consumer) -> list[str]:
    """Below its knee or stall volts the least of the two volts falls off, the greater stays."""
    volts, amps, watts = of.volts(c.plus, c.minus), of.amount(c.amps), of.amount(c.watts)
    lines = [of.ohms("draw", c.plus, c.minus, 1 / (of.amount(c.siemens) + LEAK))]
    if amps:
        knee = float(c.knee)
        lines += of.flow("amps", c.plus, c.minus, f"{amps!r} * min({volts}, {knee!r}) / {knee!r}")
    if watts:
        stall = float(c.stall)
        power = f"{watts!r} * min({volts}, {stall!r}) / ({stall!r} * max({volts}, {stall!r}))"
        lines += of.flow("watts", c.plus, c.minus, power)
    return lines + _motor(of, c, volts) if of.amount(c.duty) else lines


def _motor(of: _Terms, c: Consumer, volts: str) -> list[str]:
    """The law of motors: no more than the no-load current before it turns, then the load's too."""
    duty, winding, no_load, load, switching = map(
        of.amount, (c.duty, c.winding, c.no_load, c.load, c.switching)
    )
    across, share = f"{duty!r} * {volts}", duty + switching * (1 - duty)
    over = f"max({across} - {winding * no_load!r}, 0)"
    own = f"(2 * {over} / (1 + sqrt(1 + {4 * winding * load!r} * {over})))"
    starts = f"max(min({across} / {winding!r}, {no_load!r}), 0)"
    return of.flow("motor", c.plus, c.minus, f"{share!r} * ({starts} + {load!r} * {own}^2)")


def _diode(of: _Terms, d: Junction) -> list[str]:
    saturation, slope = of.amount(d.saturation), float(d.slope)
    most = _told(math.log1p(STRAIGHT / saturation))
    x = f"{of.volts(d.a, d.b)} / {slope!r}"
    bent = f"exp(min({x}, {most!r})) * (1 + max({x} - {most!r}, 0))"
    return [*of.flow("", d.a, d.b, f"{saturation!r} * ({bent} - 1)"), of.leak("", d.a, d.b)]


def _converter(of: _Terms, c: Converter) -> list[str]:
    fed, out = of.volts(c.in_plus, c.in_minus), of.volts(c.out_plus, c.out_minus)
    amps, limit = _given(of, c, fed, out), of.amount(c.limit)
    if math.isfinite(limit):
        amps = f"min({amps}, {limit!r})"
    efficiency, quiescent = of.amount(c.efficiency), of.amount(c.quiescent)
    taken = amps
    if efficiency > 0:
        taken = f"{amps} * {out} / ({efficiency!r} * max({fed}, 1))"
    taken = f"{taken} + {quiescent!r} * min({fed}, 1)"
    return [
        *of.flow("out", c.out_minus, c.out_plus, amps),
        of.leak("out", c.out_plus, c.out_minus),
        *of.flow("in", c.in_plus, c.in_minus, taken),
        of.leak("in", c.in_plus, c.in_minus),
    ]


def _given(of: _Terms, c: Converter, fed: str, out: str) -> str:
    """What its volts would drive through its resistance, never backwards."""
    volts, drop_out, ohms = of.amount(c.volts), of.amount(c.drop_out), of.amount(c.ohms)
    target = f"max(min({fed} - {drop_out!r}, {volts!r}), 0)"
    return f"max(({target} - {out}) / {ohms!r}, 0)"


_STATED: Mapping[str, Callable[[_Terms, Any], list[str]]] = {
    "source": _source,
    "converter": _converter,
    "diode": _diode,
    "consumer": _consumer,
    "resistor": _resistor,
}
"""How an element of each kind is stated, in the order of a netlist."""


def _told(amount: Any) -> float:
    """Cut off where a logarithm or a power may differ from one machine's library to another's."""
    return float(f"{float(amount):.12g}")


def _label(number: int, element: object) -> str:
    """Number and name: no two elements of a kind are called alike."""
    name = _words(getattr(element, "name", ""))
    return f"{number + 1}_{name}" if name else str(number + 1)


def _inside(number: int, source: VoltSource) -> str:
    return f"{INSIDE}{_label(number, source)}"


def _safe(node: Node) -> str:
    name = _words("_".join(map(str, node)) if isinstance(node, tuple) else str(node))
    return name if name[:1].isalpha() else f"n{name}"


def _words(text: str) -> str:
    """Small letters, digits and underscores."""
    return re.sub(r"[^a-z0-9]+", "_", text.lower()).strip("_")


def _comments(texts: Iterable[str]) -> list[str]:
    return [f"* {_plain(text)}" for text in texts]


def _plain(text: str) -> str:
    """One line: a line break would start an element."""
    return " ".join(text.split())
