"""A solved harness by the names of its wiring: currents and volts at every plug, part and source.

Every array has one value a draw: an operating case, and within it a draw of a tolerance run. Where
a case has no solution its values are not a number, and `trouble` says why. What the solver found
comes out of here by `_read` alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from harness.base.refusal import SOLVE_WORK
from harness.electrics.cases import OperatingCase, cases_of
from harness.electrics.network import NONE, Network, Spread, network_of
from harness.electrics.solver.circuit import Array, NotSolved, sure
from harness.electrics.solver.solution import Solution
from harness.electrics.warm import solved
from harness.parts.contacts import Contact, LinkKind, Port
from harness.wiring.build import PortId, Wiring
from harness.wiring.ratings import motors_on

if TYPE_CHECKING:
    from harness.electrics.drops import Ways


class Outcome:
    """What flows through a harness in its operating cases."""

    def __init__(self, net: Network, solution: Solution) -> None:
        self.net, self.solution = net, solution
        self.wiring, self.plan = net.wiring, net.wiring.plan
        bad = np.zeros(net.circuit.draws, dtype=bool)
        bad[list(solution.trouble)] = True
        self._blank = np.where(bad, np.nan, 1.0)

    @property
    def cases(self) -> tuple[OperatingCase, ...]:
        """The operating cases, in the order of the draws."""
        return self.net.cases

    @cached_property
    def lasting(self) -> Array:
        """1 for each case that is judged by what things bear continuously, else 0."""
        return np.array([float(case.lasting) for case in self.cases])

    @cached_property
    def trouble(self) -> dict[str, NotSolved]:
        """Why a case has no solution, by its name."""
        each = self.net.spread.draws
        return {self.cases[n // each].name: why for n, why in self.solution.trouble.items()}

    @cached_property
    def ways(self) -> Ways:
        """The ways of the current, each found once, whoever asks."""
        from harness.electrics.drops import Ways

        return Ways(self)

    @cached_property
    def mated(self) -> dict[Contact, int]:
        """The number of the link of a mated pair, by either contact."""
        found: dict[Contact, int] = {}
        for number, link in enumerate(self.wiring.links):
            if link.kind is LinkKind.MATE:
                found[link.a] = found[link.b] = number
        return found

    def _read(self, found: Array) -> Array:
        return self._blank * sure(found)

    @cached_property
    def _links(self) -> Array:
        return self._read(self.solution.resistor.T).T

    def link(self, number: int) -> Array:
        """Return the current of a link from its a to its b, A; 0 where it is no wire."""
        at = self.net.resistor.get(number)
        if at is None:
            return self._blank * 0.0
        return self._links[:, at]

    def into(self, part: str, port: str, pin: str = "positive") -> Array:
        """Return the current that flows through a plug or socket into its part, A."""
        contact = Contact(part, port, pin)
        number = self.mated.get(contact)
        if number is None:
            return self._blank * 0.0
        amps = self.link(number)
        return amps if self.wiring.links[number].b == contact else -amps

    def through(self, port: Port | PortId) -> Array:
        """Return the largest current of any pin of a plug or socket, A, 0 or more."""
        part, name = port if isinstance(port, tuple) else port.id
        pins = self.wiring.ports[part, name].order
        amps = [np.abs(self.into(part, name, pin)) for pin in pins]
        return np.asarray(np.max(amps, axis=0))

    def stray(self, part: str, port: str) -> Array:
        """Return the current that comes by a plug's wires and does not go back by them, A.

        What a device takes by one wire of its lead it gives back by another; anything left over
        is current of other parts on its way through the lead: a ground loop.
        """
        pins = self.wiring.ports[part, port].order
        return np.asarray(np.sum([self.into(part, port, pin) for pin in pins], axis=0))

    def volts(self, plus: Contact, minus: Contact) -> Array:
        """Return the volts of one contact above another on the same piece of network."""
        node = self.net.node
        return self._read(self.solution.between(node.get(plus, plus), node.get(minus, minus)))

    def volts_in(self, part: str, inside: str) -> Array:
        """Return the volts between the poles inside a part: body, rail, battery, cells."""
        return self.volts(Contact(part, inside, "positive"), Contact(part, inside, "negative"))

    def drawn(self, part: str) -> Array:
        """Return what a consumer draws (an ESC: for its motors), A."""
        at = self.net.consumers.get(part)
        none: Array = np.zeros(())
        return self._read(none if at is None else self.solution.raw.consumer[:, at])

    def through_motor(self, motor: str) -> Array:
        """Return the current in the wires of a motor, A: two of three carry it at a time.

        What the pack gives is its share of the time of it (`motor_law`).
        """
        mate = self.wiring.by_plug.get((motor, "plug"))
        esc = mate.socket.part if mate is not None and mate.socket is not None else None
        at = self.net.consumers.get(esc.id) if esc is not None else None
        if esc is None or at is None:
            return self._blank * 0.0
        one = self.net.circuit.consumers[at]
        duty = np.asarray(one.duty)
        share = duty + np.asarray(one.switching) * (1 - duty)
        amps = np.where(share > 0, self.drawn(esc.id) / np.where(share > 0, share, 1.0), 0.0)
        each = {m.id: full.number for m in motors_on(self.wiring, esc) if (full := m.full())}
        return amps * (each.get(motor, 0.0) / (sum(each.values()) or 1.0))

    def fed(self, part: str) -> Array:
        """Return the volts that a consumer sees."""
        consumer = self.net.circuit.consumers[self.net.consumers[part]]
        return self._read(self.solution.between(consumer.plus, consumer.minus))

    def given(self, source: str) -> Array:
        """Return what a pack, BEC or regulator gives, A; below 0 a pack is being charged."""
        if source in self.net.sources:
            return self._read(self.solution.raw.source[:, self.net.sources[source]])
        return self._read(self.solution.raw.given[:, self.net.converters[source]])

    def taken(self, supply: str) -> Array:
        """Return what a BEC or regulator takes from its battery side, A."""
        return self._read(self.solution.raw.taken[:, self.net.converters[supply]])

    def at_limit(self, supply: str) -> Array:
        """Return 1 where a BEC or regulator gives all it can, else 0."""
        return self._blank * self.solution.raw.limited[:, self.net.converters[supply]]


def outcome_of(
    wiring: Wiring,
    cases: Sequence[OperatingCase] | None = None,
    *,
    limited: bool = True,
    spread: Spread = NONE,
) -> Outcome:
    """Solve a harness in its operating cases: all of the plan's when none are given."""
    chosen = cases_of(wiring.plan) if cases is None else cases
    if len(wiring.links) * len(chosen) * spread.draws > SOLVE_WORK:
        why = f"{len(wiring.links)} links in {len(chosen)} cases are too many to be solved"
        raise NotSolved("the network", why, unknown=True)
    net = network_of(wiring, chosen, limited=limited, spread=spread)
    return Outcome(net, solved(net))
