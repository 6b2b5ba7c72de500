"""What flows where, for good and for seconds: the worst of all operating cases, by port and source.

These are the figures the rules and the lead list judge by. BECs are taken to give what is asked
of them, so that what is asked can be laid against what they give.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from harness.electrics.circuit import Array
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.shares import Shares
from harness.wiring.build import Wiring
from harness.wiring.draws import Draw

Amounts = dict[Draw, float]
SHORT = 1.0
"""V of surplus round a loop of copper from which on nothing but the short is worth saying."""


@dataclass
class Flow:
    """The current through one thing, in A: the worst case for good, and the worst for seconds.

    `steady_case` and `burst_case` name the operating cases.
    """

    steady: float = 0.0
    burst: float = 0.0
    steady_case: str = ""
    burst_case: str = ""
    _steadies: Callable[[], Amounts] = field(default=dict, repr=False)
    _peaks: Callable[[], Amounts] = field(default=dict, repr=False)

    @cached_property
    def steadies(self) -> Amounts:
        """What each draw adds to `steady`."""
        return self._steadies()

    @cached_property
    def peaks(self) -> Amounts:
        """What each draw adds to `burst`."""
        return self._peaks()

    @property
    def draws(self) -> list[Draw]:
        """The draws that are fed through here, known or not."""
        return list(self.steadies)

    @property
    def parts(self) -> list[str]:
        """The ids of what draws."""
        return sorted({draw.part.id for draw in self.draws})

    @property
    def missing(self) -> list[Draw]:
        """The draws that nobody knows."""
        return [draw for draw in self.draws if draw.missing]

    def __add__(self, other: Flow) -> Flow:
        """Return both together, as if one way carried them."""
        return Flow(
            self.steady + other.steady,
            self.burst + other.burst,
            self.steady_case or other.steady_case,
            self.burst_case or other.burst_case,
            lambda: _sum(self.steadies, other.steadies),
            lambda: _sum(self.peaks, other.peaks),
        )


def _sum(one: Amounts, other: Amounts) -> Amounts:
    return {draw: one.get(draw, 0.0) + other.get(draw, 0.0) for draw in {**one, **other}}


class Flows:
    """The flows of one wiring. `shorted`: sources are joined by bare copper, nothing is judged."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring
        self.shorted = any(abs(loop.surplus) > SHORT for loop in wiring.nets.loops)
        self._shares: dict[int, Shares] = {}
        self._ports: dict[tuple[str, str], Flow] = {}

    @cached_property
    def outcome(self) -> Outcome:
        """The solved operating cases."""
        return outcome_of(self.wiring, limited=False)

    @property
    def unfed(self) -> tuple[str, ...]:
        """The ids of parts that draw current and have no source."""
        return self.outcome.net.unfed

    def port(self, part: str, port: str) -> Flow:
        """Return the current through the positive contact of a plug or socket."""
        if (part, port) not in self._ports:
            self._ports[part, port] = self._port(part, port)
        return self._ports[part, port]

    def _port(self, part: str, port: str) -> Flow:
        from harness.wiring.model import Contact

        number = self.outcome.mated.get(Contact(part, port, "positive"))
        if self.shorted or number is None:
            return Flow()
        return self._worst(self.outcome.link(number), lambda shares: shares.of_link(number))

    def inward(self, part: str, port: str) -> bool:
        """Say whether current comes into a part through a plug or socket, in the worst case."""
        amps = np.nan_to_num(self.outcome.into(part, port))
        return bool(amps[np.argmax(np.abs(amps))] > 0)

    @cached_property
    def by_source(self) -> dict[str, Flow]:
        """What each pack, BEC and regulator gives, by part id."""
        net = self.outcome.net
        return {name: self._source(name) for name in sorted({*net.sources, *net.converters})}

    def _source(self, name: str) -> Flow:
        if self.shorted:
            return Flow()
        return self._worst(self.outcome.given(name), lambda shares: shares.of_source(name))

    def through(self, part: str) -> Flow:
        """Return what comes into a box by all its plugs and sockets and leaves or is used again."""
        ports = [port for port in self.wiring.by_part[part] if self.inward(part, port.name)]
        total = Flow()
        for port in ports:
            total = total + self.port(part, port.name)
        return total

    def _worst(self, amps: Array, of: Callable[[Shares], Amounts]) -> Flow:
        """Pick the worst lasting case and the worst of all, and say later what adds up to them."""
        size = np.nan_to_num(np.abs(amps))
        cases = self.outcome.cases
        lasting = np.array([case.lasting for case in cases])
        steady, burst = int(np.argmax(np.where(lasting, size, -1.0))), int(np.argmax(size))
        return Flow(
            float(size[steady]),
            float(size[burst]),
            cases[steady].name,
            cases[burst].name,
            lambda: self._signed(of(self._at(steady)), amps[steady]),
            lambda: self._signed(of(self._at(burst)), amps[burst]),
        )

    def _at(self, draw: int) -> Shares:
        if draw not in self._shares:
            self._shares[draw] = Shares(self.outcome, draw)
        return self._shares[draw]

    @staticmethod
    def _signed(amounts: Amounts, total: float) -> Amounts:
        return amounts if total >= 0 else {draw: -amps for draw, amps in amounts.items()}


def flows_of(wiring: Wiring) -> Flows:
    """Return the flows of a wiring; solved when the first one is asked for."""
    return Flows(wiring)
