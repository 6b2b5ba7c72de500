"""What the makers of tests share: the plan and its wiring, its codes, its solved figures."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from harness.bench.bench_cases import Solved, solved_of
from harness.electrics.solver.circuit import NotSolved
from harness.facts.signals import Drive, drives
from harness.parts.figure import Figure, rule_figure
from harness.parts.part import PartT
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.codes import codes_by_part


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
