"""Circuits for the tests: invented harnesses by a seed, and the sums that must hold on any."""

from __future__ import annotations

import random

import numpy as np

from harness.electrics.solver.circuit import (
    Array,
    Circuit,
    Consumer,
    Converter,
    Junction,
    Node,
    Resistor,
    VoltSource,
)
from harness.electrics.solver.solution import Solution

Pair = tuple[Node, Node]
"""A positive and a negative node."""


class Grower:
    """Grows a harness: packs in series and parallel, Y-splits, supplies, diodes, consumers."""

    def __init__(self, seed: int, draws: int = 2) -> None:
        self.rng, self.draws, self.count = random.Random(seed), draws, 0
        self.circuit = Circuit(draws)

    def grown(self, leaves: int) -> Circuit:
        """A harness with about `leaves` ends."""
        bus = self.packs()
        self.tree(bus, leaves)
        return self.circuit

    def node(self) -> Node:
        self.count += 1
        return ("n", f"{self.count:05d}", "x")

    def amount(self, low: float, high: float) -> Array:
        """One number a draw."""
        return np.array([self.rng.uniform(low, high) for _ in range(self.draws)])

    def wire(self, a: Node, low: float, high: float) -> Node:
        b = self.node()
        self.circuit.resistors.append(Resistor(a, b, self.rng.uniform(low, high)))
        return b

    def run(self, pair: Pair, low: float = 2e-3, high: float = 3e-2) -> Pair:
        """Two wires with a contact each: four resistors."""
        plus, minus = (self.wire(self.wire(end, low, high), 5e-4, 1.5e-2) for end in pair)
        return plus, minus

    def packs(self) -> Pair:
        """Strings of packs in parallel, up to 0.3 V apart, each on its leads."""
        bus = self.node(), self.node()
        for _ in range(self.rng.randint(1, 3)):
            low = self.wire(bus[1], 5e-4, 5e-3)
            for _ in range(2):
                high = self.node()
                ohms = self.amount(5e-3, 3e-2)
                self.circuit.sources.append(VoltSource(low, high, self.amount(8.2, 8.35), ohms))
                low = self.wire(high, 5e-4, 2e-3)
            self.circuit.resistors.append(Resistor(low, bus[0], 1e-3))
        return bus

    def tree(self, pair: Pair, leaves: int) -> None:
        """Split until a branch has one end."""
        if leaves <= 1:
            self.end(pair)
            return
        some = self.rng.randint(1, leaves - 1)
        for share in (some, leaves - some):
            self.tree(self.run(pair, 5e-4, 4e-3), share)

    def end(self, pair: Pair) -> None:
        """What hangs at the end of a branch of the battery."""
        kind = self.rng.choice(["esc", "linear", "switching", "pair", "diode", "spare"])
        if kind == "esc":
            amps, siemens = self.amount(0, 0.2), self.amount(0, 0.01)
            watts = self.amount(0, 60)
            self.circuit.consumers.append(Consumer(*pair, amps, siemens, watts, 1.0, 8.0))
        elif kind in {"linear", "switching"}:
            self.rail([self.converter(pair, kind)])
        elif kind == "pair":
            self.rail([self.converter(pair, "switching"), self.converter(pair, "linear")])
        elif kind == "diode":
            self.circuit.consumers.append(Consumer(*self.behind(pair), self.amount(0.1, 3)))
        else:
            self.run(pair)

    def converter(self, pair: Pair, kind: str) -> Pair:
        """A supply; its ground comes out as it went in."""
        plus, minus = self.run(pair)
        out = self.node()
        efficiency = self.rng.uniform(0.8, 0.92) if kind == "switching" else 0.0
        self.circuit.converters.append(
            Converter(plus, minus, out, minus, self.amount(4.9, 5.2), 0.03, 1.0,
                      self.rng.choice([3.0, np.inf]), efficiency, 0.01)
        )  # fmt: skip
        return out, minus

    def behind(self, pair: Pair) -> Pair:
        """What lies behind a diode: of silicon, a Schottky or one with a transistor's slope."""
        saturation, slope = self.rng.choice([(1e-9, 0.05), (1e-4, 0.027), (1e-3, 0.002)])
        middle = self.node()
        self.circuit.diodes.append(Junction(pair[0], middle, saturation, slope))
        return self.wire(middle, 1e-2, 6e-2), pair[1]

    def rail(self, supplies: list[Pair]) -> None:
        """A receiver's rail on one supply or two, some behind diodes; servos and a lamp on it."""
        rail = self.node(), self.node()
        for supply in supplies:
            fed = self.behind(supply) if self.rng.random() < 0.4 else supply
            for end, to in zip(self.run(fed), rail, strict=True):
                self.circuit.resistors.append(Resistor(end, to, 0.015))
        for _ in range(self.rng.randint(1, 3)):
            where = self.run(rail, 1e-2, 6e-2)
            amps, siemens = self.amount(0, 0.4), self.amount(0, 0.08)
            self.circuit.consumers.append(Consumer(*where, amps, siemens))


def flows(solution: Solution) -> list[tuple[Node, Node, Array]]:
    """Every element's current through it, from the first node to the second, by draw."""
    c, raw = solution.circuit, solution.raw
    found = [(r.a, r.b, solution.resistor[:, n]) for n, r in enumerate(c.resistors)]
    found += [(s.low, s.high, raw.source[:, n]) for n, s in enumerate(c.sources)]
    found += [(d.plus, d.minus, raw.consumer[:, n]) for n, d in enumerate(c.consumers)]
    found += [(d.a, d.b, raw.diode[:, n]) for n, d in enumerate(c.diodes)]
    for n, made in enumerate(c.converters):
        found.append((made.out_minus, made.out_plus, raw.given[:, n]))
        found.append((made.in_plus, made.in_minus, raw.taken[:, n]))
    return found


def unbalance(solution: Solution) -> float:
    """The worst sum of currents at a node, of all draws with an answer, as a share of rounding.

    Allowed are 1e-8 of the largest current at the node, and 1e-11 A: volts of 16 V are known to
    4e-15 V, and a contact of half a milliohm makes 7e-12 A of that.
    """
    total: dict[Node, Array] = {}
    most: dict[Node, Array] = {}
    zero = np.zeros(solution.circuit.draws)
    for a, b, amps in flows(solution):
        total[a], total[b] = total.get(a, zero) - amps, total.get(b, zero) + amps
        for node in (a, b):
            most[node] = np.maximum(most.get(node, zero), np.abs(amps))
    good = [draw for draw in range(solution.circuit.draws) if draw not in solution.trouble]
    each = (np.abs(total[n]) / (1e-8 * most[n] + 1e-11) for n in total)
    return max((float(np.max(share[good], initial=0.0)) for share in each), default=0.0)


def power(solution: Solution) -> tuple[Array, dict[str, Array]]:
    """Watts of the sources' volts, and the watts lost in every kind of element, by draw."""
    c, raw, volts = solution.circuit, solution.raw, solution.between
    zero = np.zeros(c.draws)
    given = sum((np.asarray(s.volts) * raw.source[:, n] for n, s in enumerate(c.sources)), zero)
    lost = {
        "cells": [np.asarray(s.ohms) * raw.source[:, n] ** 2 for n, s in enumerate(c.sources)],
        "copper": [volts(r.a, r.b) * solution.resistor[:, n] for n, r in enumerate(c.resistors)],
        "drawn": [volts(d.plus, d.minus) * raw.consumer[:, n] for n, d in enumerate(c.consumers)],
        "diodes": [volts(d.a, d.b) * raw.diode[:, n] for n, d in enumerate(c.diodes)],
        "converters": [
            volts(d.in_plus, d.in_minus) * raw.taken[:, n]
            - volts(d.out_plus, d.out_minus) * raw.given[:, n]
            for n, d in enumerate(c.converters)
        ],
    }
    return given, {kind: sum(parts, zero) for kind, parts in lost.items()}
