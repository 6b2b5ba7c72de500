"""What the makers of tests share: the plan and its wiring, its codes, its solved figures.

The network is solved in the cases of the bench (at rest, sticks stirred, motors at full throttle)
at the corners of a tolerance run: contacts, cells, set-points and servo currents all at the ends
of what their classes spread. What comes out is the band a sound aeroplane lies in.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import cached_property

import numpy as np

from harness.base.data import dataclass, field, replace
from harness.bench.protocol import percent
from harness.catalogue import Catalogue
from harness.electrics.cases import Activity, OperatingCase, built_in, meant
from harness.electrics.network import network_of
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.packs import motor_packs
from harness.electrics.sampling import MEASURED, spread_of
from harness.electrics.solver.circuit import Array, NotSolved
from harness.facts.signals import Drive, drives
from harness.parts.contacts import Contact
from harness.parts.figure import Figure, rule_figure
from harness.parts.part import PartT
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.codes import codes_by_part

REST, STIRRED = "at rest", "sticks stirred"
STICKS = ("flight", "steering")
"""What moves when the sticks are stirred: gear and flaps have switches."""

CORNERS = "the corners of a tolerance run: contacts, cells, set-points and servo currents at the"
CORNERS += " ends of what their classes spread"
FRESH = f"packs from full down to the fresh charge of the catalogue, and {MEASURED.origin}"


@dataclass(frozen=True)
class Solved:
    """The solved cases. `groups`: the ESCs whose motors run together, by function."""

    outcome: Outcome
    groups: Mapping[str, tuple[str, ...]]

    def _at(self, values: Array, *names: str) -> tuple[float, float] | None:
        each = self.outcome.net.spread.draws
        cases = [n for n, case in enumerate(self.outcome.cases) if case.name in names]
        some = np.concatenate([values[n * each : (n + 1) * each] for n in cases])
        if not np.isfinite(some).all():
            return None
        return float(some.min()), float(some.max())

    def trouble(self, *names: str) -> str:
        """Return why one of some cases has no solution; "" where all have one."""
        found = (self.outcome.trouble[name] for name in names if name in self.outcome.trouble)
        return next((f"{why.element}: {why.why}" for why in found), "")

    def volts(self, part: str, inside: str, case: str) -> tuple[float, float] | None:
        """Return the least and most volts inside a part; None where it is fed by nothing."""
        plus = Contact(part, inside, "positive")
        minus = Contact(part, "rail" if inside == "logic" else inside, "negative")
        if part in self.outcome.net.unfed or plus not in self.outcome.wiring.nets.root:
            return None
        found = self._at(self.outcome.volts(plus, minus), case)
        return found if found and found[1] > 0 else None

    def given(self, pack: str, *cases: str) -> tuple[float, float] | None:
        """Return the least and most current a pack gives, A."""
        return self._at(self.outcome.given(pack), *cases)

    def pack_volts(self, pack: str, *cases: str) -> tuple[float, float] | None:
        """Return the least and most volts at a pack's connector."""
        low, high = (Contact(pack, "main", pin) for pin in ("negative", "positive"))
        return self._at(self.outcome.volts(high, low), *cases)

    def drawn(self, esc: str, *cases: str) -> tuple[float, float] | None:
        """Return the least and most current an ESC draws for its motor, A."""
        return self._at(self.outcome.drawn(esc), *cases)

    def fed(self, esc: str, *cases: str) -> tuple[float, float] | None:
        """Return the least and most volts at the battery wires of an ESC."""
        return self._at(self.outcome.fed(esc), *cases)


def running(function: str, throttle: float = 1.0) -> tuple[str, str]:
    """Return the names of the cases with the motors of a function at a throttle."""
    at = f"{function} at {'full' if throttle == 1 else percent(throttle)} throttle, packs"
    return f"{at} full", f"{at} fresh"


def throttles_of(catalogue: Catalogue) -> dict[float, Figure]:
    """Return where current is read, from the least throttle to full, and why there."""
    ends = (rule_figure(catalogue, "power-up", f"part-throttle{end}") for end in ("-low", ""))
    return {figure.number: figure for figure in ends} | {1.0: Figure(1.0, "full throttle")}


def _groups(wiring: Wiring) -> dict[str, tuple[str, ...]]:
    """Return the ESCs that run together, by the function they answer to without its side."""
    found: dict[str, list[str]] = defaultdict(list)
    for name in motor_packs(wiring):
        found[wiring.plan.words.plain(wiring.plan.parts[name].moves)].append(name)
    return {function: tuple(found[function]) for function in sorted(found)}


def bench_cases(plan: Plan, groups: Mapping[str, tuple[str, ...]]) -> tuple[OperatingCase, ...]:
    """Return the cases of the bench: what rests, rests; packs are charged for the test."""
    built = {case.name: case for case in built_in(plan)}
    rest = replace(built["radio-on"], name=REST)
    moving = dict.fromkeys(meant(plan, STICKS), Activity("moving"))
    found = [rest, replace(rest, name=STIRRED, activity=moving)]
    charges = (rest.charge, built["full-throttle"].charge)
    for function, escs in groups.items():
        for throttle in throttles_of(plan.catalogue):
            throttles = dict.fromkeys(escs, throttle)
            for name, charge in zip(running(function, throttle), charges, strict=True):
                found.append(replace(rest, name=name, throttles=throttles, charge=charge))
    return tuple(found)


def solved_of(wiring: Wiring) -> Solved:
    """Solve the cases of the bench at the corners. Raises NotSolved where sources are shorted."""
    groups = _groups(wiring)
    cases = bench_cases(wiring.plan, groups)
    spread = spread_of(network_of(wiring, cases), "corners")
    return Solved(outcome_of(wiring, cases, spread=spread), groups)


@dataclass
class Bench:
    """One plan on the bench. `unknown` gathers what cannot be tested for want of data."""

    wiring: Wiring
    unknown: list[str] = field(default_factory=list)

    @property
    def plan(self) -> Plan:
        """The plan of the wiring."""
        return self.wiring.plan

    def missing(self, text: str) -> None:
        """Note once what cannot be tested for want of a fact."""
        if text not in self.unknown:
            self.unknown.append(text)

    @cached_property
    def drives(self) -> tuple[Drive, ...]:
        """What drives every device, by id."""
        return drives(self.wiring)

    @cached_property
    def _codes(self) -> dict[str, list[str]]:
        return codes_by_part(self.wiring)

    def codes(self, parts: Iterable[str]) -> tuple[str, ...]:
        """Return the label codes of the leads of some parts."""
        return tuple(dict.fromkeys(code for part in parts for code in self._codes.get(part, ())))

    @cached_property
    def solved(self) -> Solved | None:
        """The cases of the bench, solved; None where the network has no solution."""
        try:
            return solved_of(self.wiring)
        except NotSolved as why:
            self.missing(f"volts and currents: the network has no solution ({why.why})")
            return None

    def rule(self, row: str, key: str) -> Figure:
        """Return a figure of the rules' table."""
        return rule_figure(self.plan.catalogue, row, key)


def by_id(parts: Iterable[PartT]) -> list[PartT]:
    """Return parts in the order of their ids."""
    return sorted(parts, key=lambda part: part.id)
