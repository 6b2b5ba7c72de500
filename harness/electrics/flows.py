"""What flows where, for good and for seconds: the worst of all operating cases, by port and source.

These are the figures the rules and the lead list judge by. BECs are taken to give what is asked
of them, so that what is asked can be laid against what they give. The moment of joining the packs
is left out: it is a matter of its own.

Whose current it is follows by superposition. At one operating point every consumer is a current
source (substitution theorem) and the rest of the network is linear; so the current of a branch is
the sum of what each consumer alone sends through it, and what sources exchange among themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property
from typing import Any

import numpy as np

from harness.electrics.cases import OperatingCase
from harness.electrics.flow import Amounts, Flow, larger
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.solver.circuit import LEAK, Array, Index, Node, NotSolved, sure
from harness.electrics.solver.newton import DENSE
from harness.electrics.supplies import seconds_of
from harness.parts.contacts import POLE_PINS, Contact, Form
from harness.parts.figure import Draw, rule_figure
from harness.wiring.build import PortId, Wiring
from harness.wiring.fact import fact
from harness.wiring.nets import pack_nets

LEAST = 1e-6
"""A; less is what the solver puts beside every device, not a current."""

JOINED = "joined"
"""The case of the packs just joined."""

LEAST_SHARE = 1e-3
"""A part that sends less of its current than this through a wire is not named there."""

LEAST_AMPS = 1e-6
"""A, or V: what the leaks beside the devices make."""

LEAST_VOLTS = 1e-3
"""V; with less between its poles a part is not fed."""

Branch = tuple[Node, Node, float]
"""Two nodes and the conductance in S between them."""


class Shares:
    """The network of an outcome as it is in one of its draws."""

    def __init__(self, outcome: Outcome, draw: int) -> None:
        self.outcome, self.draw = outcome, draw
        self.net, self.circuit = outcome.net, outcome.net.circuit
        self.index = outcome.solution.layout.index

    def _amount(self, value: Any) -> float:
        return float(np.broadcast_to(value, (self.circuit.draws,))[self.draw])

    @cached_property
    def chains(self) -> list[Branch]:
        """The conductance of each chain of resistors."""
        layout = self.outcome.solution.layout
        pairs = zip(layout.condensed.chains, layout.ohms, strict=True)
        return [(chain.start, chain.end, 1 / self._amount(ohms)) for chain, ohms in pairs]

    @cached_property
    def chain_of(self) -> dict[int, tuple[int, bool]]:
        """Which chain each resistor is in, and whether the same way round."""
        chains = self.outcome.solution.layout.condensed.chains
        return {n: (at, same) for at, chain in enumerate(chains) for n, same in chain.steps}

    def source(self, name: str) -> Branch | None:
        """Return the branch of a pack, BEC or regulator; None for a supply others hold up."""
        if name in self.net.sources:
            pack = self.circuit.sources[self.net.sources[name]]
            return (pack.low, pack.high, 1 / self._amount(pack.ohms))
        made = self.circuit.converters[self.net.converters[name]]
        idle = float(self.outcome.given(name)[self.draw]) <= LEAST_AMPS
        out = float(self.outcome.solution.between(made.out_plus, made.out_minus)[self.draw])
        if idle and out > self._amount(made.volts) + LEAST_AMPS:
            return None
        return (made.out_minus, made.out_plus, 1 / self._amount(made.ohms))

    def _branches(self) -> list[Branch]:
        found = list(self.chains)
        names = [*self.net.sources, *self.net.converters]
        found += [branch for name in names if (branch := self.source(name)) is not None]
        raw = self.outcome.solution.raw
        for number, diode in enumerate(self.circuit.diodes):
            volts = float(self.outcome.solution.between(diode.a, diode.b)[self.draw])
            amps = float(raw.diode[self.draw, number])
            chord = amps / volts if abs(volts) > 1e-12 and amps / volts > LEAK else LEAK
            found.append((diode.a, diode.b, chord))
        return found

    @cached_property
    def _solver(self) -> Any:
        """Factor the network of branches; consumers are open, each piece is pinned to 0 V."""
        rows, cols, values = [], [], []
        for a, b, g in self._branches():
            i, j = self.index[a], self.index[b]
            rows += [i, j, i, j]
            cols += [i, j, j, i]
            values += [g, g, -g, -g]
        size = len(self.index)
        # nodes that hang on consumers alone would have no volts: a leak to ground holds them
        rows += range(size)
        cols += range(size)
        pins = np.full(size, LEAK)
        pins[self.outcome.solution.layout.references] = 1.0
        every = np.array([*values, *pins])
        if size <= DENSE:
            matrix = np.zeros((size, size))
            np.add.at(matrix, (rows, cols), every)
            inverse = np.linalg.inv(matrix)
            return lambda right: inverse @ right
        from scipy.sparse import coo_matrix
        from scipy.sparse.linalg import splu

        return splu(coo_matrix((every, (rows, cols)), (size, size)).tocsc()).solve

    def of_branch(self, branch: Branch) -> Array:
        """Return, for each consumer and then each converter's input, its share of a branch."""
        a, b, siemens = branch
        right = np.zeros(len(self.index))
        right[self.index[a]] += siemens
        right[self.index[b]] -= siemens
        answer = self._solver(right)
        plus, minus = self._taps
        return sure(answer[minus] - answer[plus])

    @cached_property
    def _ends(self) -> list[tuple[Node, Node]]:
        """The plus and minus of each consumer, then of each converter's input."""
        ends = [(c.plus, c.minus) for c in self.circuit.consumers]
        return ends + [(c.in_plus, c.in_minus) for c in self.circuit.converters]

    @cached_property
    def _taps(self) -> Index:
        """The same by number, two rows."""
        pairs = [(self.index[plus], self.index[minus]) for plus, minus in self._ends]
        return np.array(pairs, dtype=int).reshape(-1, 2).T

    @cached_property
    def draws(self) -> list[tuple[Draw, float]]:
        """What is drawn: by each consumer, then by each converter for what it feeds, in A."""
        found = [
            (demand.draw, float(self.outcome.drawn(demand.part.id)[self.draw]))
            for demand in self.net.demands
        ]
        for name in self.net.converters:
            amps = float(self.outcome.taken(name)[self.draw])
            part = self.outcome.plan.parts[name]
            says = "the sum of what it feeds"
            found.append((Draw(part, "battery", amps, amps, amps, says), amps))
        return found

    def of_link(self, number: int) -> dict[Draw, float]:
        """Return what each draw adds to the current of a link from its a to its b, in A."""
        at = self.net.resistor.get(number)
        chain = self.chain_of.get(at) if at is not None else None
        if chain is None:
            return {}
        return self._told(self.of_branch(self.chains[chain[0]]), 1.0 if chain[1] else -1.0)

    def of_source(self, name: str) -> dict[Draw, float]:
        """Return what each draw adds to the current that a source gives, in A."""
        branch = self.source(name)
        return {} if branch is None else self._told(self.of_branch(branch), 1.0)

    @cached_property
    def _fed(self) -> list[bool]:
        """Which of the draws have volts at all: the current of what hangs loose is no question."""
        between = self.outcome.solution.between
        return [abs(float(between(a, b)[self.draw])) > LEAST_VOLTS for a, b in self._ends]

    def _told(self, shares: Array, sign: float) -> dict[Draw, float]:
        return {
            draw: amps * float(share)
            for (draw, amps), share, fed in zip(self.draws, shares * sign, self._fed, strict=True)
            if fed and abs(share) > LEAST_SHARE
        }


Term = tuple[Array, Callable[[Shares], Amounts]]
"""A current by case, and what says whose it is in one of them."""


class Flows:
    """The flows of one wiring. `withheld`: they mean nothing, so none is told and none judged."""

    def __init__(
        self, wiring: Wiring, *, withheld: bool = False, solved: Outcome | None = None
    ) -> None:
        self.wiring, self._withheld, self._given = wiring, withheld, solved
        self._shares: dict[int, Shares] = {}
        self._ports: dict[PortId, Flow] = {}

    @cached_property
    def shorted(self) -> bool:
        """Whether nothing is told: packs in a loop of copper with volts left over, or no case."""
        return self._hushed or isinstance(self._tried, NotSolved)

    @cached_property
    def _hushed(self) -> bool:
        if self._withheld:
            return True
        left_over = any(abs(loop.surplus) > LEAST for loop in self.wiring.nets.loops)
        apart = rule_figure(self.wiring.plan.catalogue, "parallel", "short").number
        return left_over and any(abs(p.surplus) > apart for p in pack_nets(self.wiring).loops)

    @property
    def unsolved(self) -> NotSolved | None:
        """Why there is no case with a solution, where nothing else says why nothing is told."""
        tried = None if self._hushed else self._tried
        return tried if isinstance(tried, NotSolved) else None

    @cached_property
    def _tried(self) -> Outcome | NotSolved:
        if self._given is not None:
            return self._given
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
        """Return the current through a plug or socket, of whichever pole carries more."""
        at = self.wiring.ports.get((part, port))
        if at is not None and at.form is Form.MOTOR and not self.shorted:
            amps = self.outcome.through_motor(part)
            return self._sum([(amps, lambda shares: {})], lambda amps: amps)
        if (part, port) not in self._ports:
            each = [
                self._sum(self._into([(part, port)], pin), lambda amps: amps) for pin in POLE_PINS
            ]
            self._ports[part, port] = larger(*each)
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

    def drawn(self, part: str) -> Flow:
        """Return what an ESC draws for its motors."""
        if self.shorted or part in self.outcome.net.unfed:
            return Flow()
        return self._sum([(self.outcome.drawn(part), lambda shares: {})], lambda amps: amps)

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

    def _into(self, ports: Iterable[PortId], pin: str = "positive") -> list[Term]:
        """The current into a part through one pole of each mated plug or socket."""
        if self.shorted:
            return []
        out, found = self.outcome, list[Term]()
        for part, port in ports:
            contact = Contact(part, port, pin)
            number = out.mated.get(contact)
            if number is not None:
                sign = 1.0 if self.wiring.links[number].b == contact else -1.0
                found.append((out.into(part, port, pin), _of_link(number, sign)))
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

    def _sum(self, terms: list[Term], pick: Callable[[Array], Array]) -> Flow:
        """Add up what is picked of each term, case by case, and find the worst cases.

        Sums are laid side by side rounded, so that no last bit decides which case is named.
        """
        if not terms:
            return Flow()
        taken = [pick(self.judged(amps)) for amps, _ in terms]
        total = np.sum(taken, axis=0)
        size = np.round(np.abs(total), 6)
        steady, burst = int(np.argmax(size * self.outcome.lasting)), int(np.argmax(size))

        def told(case: int) -> Callable[[], Amounts]:
            pairs = zip(terms, taken, strict=True)
            some = [of for (_, of), amps in pairs if amps[case] or not size[case]]
            return lambda: self._told(some, case, float(total[case]))

        cases = self.outcome.cases
        return Flow(
            float(abs(total[steady])) * float(self.outcome.lasting[steady]),
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


@fact
def held(wiring: Wiring) -> Outcome:
    """Return the solved operating cases with BECs held to what they give for seconds.

    Where none is asked for more they are those of `flows_of`. Raises NotSolved.
    """
    free = flows_of(wiring).outcome
    fine = not any(_asked_beyond(free, name) for name in free.net.converters)
    return free if fine else outcome_of(wiring)


def _asked_beyond(outcome: Outcome, supply: str) -> bool:
    most = seconds_of(outcome.plan.parts[supply])
    return most is not None and not (outcome.given(supply) <= most.number).all()
