"""What the picture shows of a solved harness: amps and share at leads, volts at parts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property, reduce

import numpy as np

from harness.base.colours import volts_text
from harness.base.data import dataclass, replace
from harness.base.near import hint
from harness.base.refusal import Refusal
from harness.electrics.cases import OperatingCase, cases_of
from harness.electrics.flow import LEAST_TOLD
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.rows import LoadRow, rows_of
from harness.electrics.solver.circuit import Array
from harness.facts.currents import currents
from harness.facts.mend_first import as_if_words, refuse_before
from harness.parts.bec import Bec
from harness.parts.contacts import Form
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.build import Mate, PortId, Wiring
from harness.wiring.leads import leads_of

WORST = "worst"
"""The wish for the worst case of each thing by itself."""


@dataclass(frozen=True, slots=True)
class CurrentReading:
    """The current of a mated pair, A, its share of what the pair bears, and the case it is of."""

    amps: float
    share: float
    case: str


class Currents:
    """The figures of one operating case, or of the worst case of each thing.

    Raises Refusal for a case the plan does not have, for one without a solution, and where
    something must be mended first.
    """

    def __init__(self, wiring: Wiring, case: str) -> None:
        self.wiring, self.case, self.warning = wiring, case, as_if_words(wiring)
        refuse_before(wiring)
        self.outcome = outcome_of(currents(wiring).wiring, chosen_cases(wiring.plan, case))
        refuse_unsolved(self.outcome)

    @property
    def about(self) -> str:
        """What must be known of the figures first, and what the case means."""
        worst = "each lead in the case worst for it; each part's lowest volts of all cases"
        case = worst if self.case == WORST else self.outcome.cases[0].about
        return "; ".join(filter(None, (self.warning, case)))

    @cached_property
    def rows(self) -> tuple[LoadRow, ...]:
        """The rows of the load table."""
        return rows_of(self.outcome)

    def at(self, mate: Mate) -> CurrentReading | None:
        """Return what a mated pair carries; None for next to nothing and for motor wires."""
        if mate.plug.form is Form.MOTOR or mate.socket is None:
            return None
        amps = self.outcome.through(mate.plug)
        share = self._share(mate, amps)
        ranked = share if np.isfinite(share).any() else amps
        worst = int(np.argmax(np.nan_to_num(ranked, nan=-1.0)))
        if amps[worst] < LEAST_TOLD:
            return None
        name = self.outcome.cases[worst].name
        return CurrentReading(float(amps[worst]), float(share[worst]), name)

    def _share(self, mate: Mate, amps: Array) -> Array:
        """The pair's current against what its plug, and the leads that end in it, bear."""
        assert mate.socket is not None
        found = [
            *self._by_plug[mate.plug.id],
            *self._by_trunk[mate.plug.id],
            *self._by_trunk[mate.socket.id],
        ]
        shares = [replace(row, amps=amps).share for row in found]
        return reduce(np.fmax, shares, np.full_like(amps, np.nan))

    @cached_property
    def _by_plug(self) -> Mapping[PortId, list[LoadRow]]:
        return _grouped(self.rows, "plug", lambda row: [(row.part, row.port)])

    @cached_property
    def _by_trunk(self) -> Mapping[PortId, list[LoadRow]]:
        """The rows of leads, by the ports where all of a lead's current passes."""
        trunks = {lead.key: [port.id for port in lead.trunk] for lead in leads_of(self.wiring)}
        return _grouped(self.rows, "lead", lambda row: trunks[row.part, row.port])

    def lines(self, part: Part) -> tuple[str, ...]:
        """Return the line under a part's name: the volts it gets or gives; () for neither."""
        got, given, own = (self._volts[k].get(part.id) for k in ("part", "supply", "pack"))
        found: list[str] = []
        if got is not None:
            word = "rail " if part.has_channels else ""
            found.append(word + volts_text(got))
        if given is not None and part.drives:
            used = np.max(np.abs(self.outcome.given(part.id))) >= LEAST_TOLD
            found += [f"BEC {volts_text(given)}"] if used and isinstance(part.bec, Bec) else []
        elif given is not None and part.regulates:
            found.append(f"gives {volts_text(given)}")
        found += [] if own is None else [volts_text(own)]
        return (", ".join(found),) if found else ()

    @cached_property
    def _volts(self) -> Mapping[str, Mapping[str, float]]:
        """The lowest volts of each part, by the kind of row they stand in."""
        found: dict[str, dict[str, float]] = defaultdict(dict)
        for row in self.rows:
            if row.volts is not None and row.kind in {"pack", "supply", "part"}:
                found[row.kind][row.part] = float(np.min(row.volts))
        return found

    def said(self, plan: Plan) -> dict[str, tuple[str, ...]]:
        """Return the lines of every part that has volts; motors have none of theirs."""
        lines = {part.id: self.lines(part) for part in plan.parts.values()}
        return {name: said for name, said in lines.items() if said or plan.parts[name].spins}


def _grouped(
    rows: Sequence[LoadRow], kind: str, ports: Callable[[LoadRow], Sequence[PortId]]
) -> Mapping[PortId, list[LoadRow]]:
    found: dict[PortId, list[LoadRow]] = defaultdict(list)
    for row in rows:
        for port in ports(row) if row.kind == kind else ():
            found[port].append(row)
    return found


def chosen_cases(plan: Plan, name: str) -> list[OperatingCase]:
    """Return the case of a name, all for "worst"; raises Refusal for a name the plan lacks."""
    every = cases_of(plan)
    found = [case for case in every if name in (case.name, WORST)]
    if not found:
        names = [WORST, *(case.name for case in every)]
        raise Refusal(f'no case "{name}"; {hint(name, names, most=30)}'.rstrip("; "))
    return found


def refuse_unsolved(outcome: Outcome) -> None:
    """Raise Refusal for a case without a solution: a picture of it would show no numbers."""
    for name, why in outcome.trouble.items():
        raise Refusal(f'case "{name}" has no solution, so there is nothing to draw: {why}')
