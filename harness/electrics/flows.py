"""What flows where, for good and for seconds: the worst of all operating cases, by port and source.

These are the figures the rules and the lead list judge by. BECs are taken to give what is asked
of them, so that what is asked can be laid against what they give. The moment of joining the packs
is left out: it is a matter of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property

import numpy as np

from harness.electrics.cases import OperatingCase
from harness.electrics.flow import Amounts, Flow
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.shares import Shares
from harness.electrics.solver.circuit import Array, NotSolved
from harness.parts.contacts import Contact
from harness.wiring.build import PortId, Wiring
from harness.wiring.fact import fact
from harness.wiring.nets import pack_nets

SHORT = 0.3
"""V of surplus round a loop of copper and packs from which on only the short is worth saying."""

LEAST = 1e-6
"""A; less is what the solver puts beside every device, not a current."""

JOINED = "joined"
"""The case of the packs just joined."""

Term = tuple[Array, Callable[[Shares], Amounts]]
"""A current by case, and what says whose it is in one of them."""


class Flows:
    """The flows of one wiring. `shorted`: packs are joined by bare copper, nothing is judged."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring
        self._shares: dict[int, Shares] = {}
        self._ports: dict[PortId, Flow] = {}

    @cached_property
    def shorted(self) -> bool:
        """Whether packs stand in a loop of copper with volts left over, or no case is solved."""
        if not any(abs(loop.surplus) > LEAST for loop in self.wiring.nets.loops):
            return isinstance(self._tried, NotSolved)
        bare = any(abs(loop.surplus) > SHORT for loop in pack_nets(self.wiring).loops)
        return bare or isinstance(self._tried, NotSolved)

    @cached_property
    def _tried(self) -> Outcome | NotSolved:
        try:
            return outcome_of(self.wiring, limited=False)
        except NotSolved as failure:
            return failure

    @property
    def outcome(self) -> Outcome:
        """The solved operating cases. Raises NotSolved where sources without resistance meet."""
        if isinstance(self._tried, NotSolved):
            raise self._tried
        return self._tried

    @property
    def trouble(self) -> dict[str, NotSolved]:
        """Why a case has no solution, by its name."""
        return {} if self.shorted else self.outcome.trouble

    @property
    def unfed(self) -> tuple[str, ...]:
        """The ids of parts that draw current and have no source."""
        return self.outcome.net.unfed

    def case(self, name: str) -> OperatingCase:
        """Return an operating case by its name."""
        return next(case for case in self.outcome.cases if case.name == name)

    @cached_property
    def unknown(self) -> bool:
        """Whether anything in the plan draws nobody knows what."""
        return any(demand.draw.missing for demand in self.outcome.net.demands)

    def port(self, part: str, port: str) -> Flow:
        """Return the current through the positive contact of a plug or socket."""
        if (part, port) not in self._ports:
            self._ports[part, port] = self._sum(self._into([(part, port)]), lambda amps: amps)
        return self._ports[part, port]

    def through(self, part: str) -> Flow:
        """Return what comes into a box by all its plugs and sockets and leaves or is used again."""
        ports = [port.id for port in self.wiring.by_part[part]]
        return self._sum(self._into(ports), lambda amps: np.maximum(amps, 0.0))

    def out_of(self, ports: Iterable[PortId]) -> Flow:
        """Return what leaves a box by some of its sockets, without what comes in by one."""
        return self._sum(self._into(ports), lambda amps: np.minimum(amps, 0.0))

    def given_by(self, sources: Iterable[str]) -> Flow:
        """Return what packs, BECs and regulators give together, less what they give each other."""
        if self.shorted:
            return Flow()
        return self._sum([self._source(name) for name in sources], lambda amps: amps)

    def inward(self, part: str, port: str) -> bool:
        """Say whether current comes into a part through a plug or socket, in the worst case."""
        if self.shorted:
            return False
        amps = self.judged(self.outcome.into(part, port))
        return bool(amps[np.argmax(np.abs(amps))] > LEAST)

    @cached_property
    def by_source(self) -> dict[str, Flow]:
        """What each pack, BEC and regulator gives, by part id."""
        if self.shorted:
            return {}
        net = self.outcome.net
        return {name: self.given_by([name]) for name in sorted({*net.sources, *net.converters})}

    def _into(self, ports: Iterable[PortId]) -> list[Term]:
        """The current into a part through each mated plug or socket."""
        if self.shorted:
            return []
        out, found = self.outcome, list[Term]()
        for part, port in ports:
            contact = Contact(part, port, "positive")
            number = out.mated.get(contact)
            if number is not None:
                sign = 1.0 if self.wiring.links[number].b == contact else -1.0
                found.append((out.into(part, port), _of_link(number, sign)))
        return found

    def _source(self, name: str) -> Term:
        return self.outcome.given(name), lambda shares: shares.of_source(name)

    def judged(self, amps: Array) -> Array:
        """Return a current with nothing where a case has no solution or is not judged."""
        whole = np.nan_to_num(amps) * self._counts
        return np.asarray(np.where(np.abs(whole) < LEAST, 0.0, whole))

    @cached_property
    def _counts(self) -> Array:
        return np.array([float(self.counts(case)) for case in self.outcome.cases])

    def counts(self, case: OperatingCase) -> bool:
        """Whether a case is judged: the packs just joined are, when the plan says what happens."""
        return case.name != JOINED or case.name in self.wiring.plan.cases

    @cached_property
    def _lasting(self) -> Array:
        return np.array([float(case.lasting) for case in self.outcome.cases])

    def _sum(self, terms: list[Term], pick: Callable[[Array], Array]) -> Flow:
        """Add up what is picked of each term, case by case, and find the worst cases.

        Sums are laid side by side rounded, so that no last bit decides which case is named.
        """
        if not terms:
            return Flow()
        taken = [pick(self.judged(amps)) for amps, _ in terms]
        total = np.sum(taken, axis=0)
        size = np.round(np.abs(total), 6)
        steady, burst = int(np.argmax(size * self._lasting)), int(np.argmax(size))

        def told(case: int) -> Callable[[], Amounts]:
            some = [of for (_, of), amps in zip(terms, taken, strict=True) if amps[case] or not
                    size[case]]  # fmt: skip
            return lambda: self._told(some, case, float(total[case]))

        cases = self.outcome.cases
        return Flow(
            float(abs(total[steady])) * float(self._lasting[steady]),
            float(abs(total[burst])),
            cases[steady].name if size[steady] else "",
            cases[burst].name if size[burst] else "",
            self.unknown,
            told(steady),
            told(burst),
        )

    def _told(self, of: list[Callable[[Shares], Amounts]], case: int, total: float) -> Amounts:
        """Add up what each draw sends through some branches in one case."""
        sign = 1.0 if total >= 0 else -1.0
        found: Amounts = {}
        for branch in of:
            for draw, amps in branch(self.shares(case)).items():
                found[draw] = found.get(draw, 0.0) + sign * amps
        return found

    def shares(self, case: int) -> Shares:
        """Return whose current flows where in one case, by its number."""
        if case not in self._shares:
            self._shares[case] = Shares(self.outcome, case)
        return self._shares[case]


def _of_link(number: int, sign: float) -> Callable[[Shares], Amounts]:
    return lambda shares: {d: sign * amps for d, amps in shares.of_link(number).items()}


@fact
def flows_of(wiring: Wiring) -> Flows:
    """Return the flows of a wiring; solved when the first one is asked for."""
    return Flows(wiring)
