"""Fed or not: what the graph says, and what the solved network says, of random supplies.

The two are made apart: `harness.wiring.live` walks from the packs outward, the solver balances
currents (and is itself held to ngspice). Every consumer and every supply's input is compared.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

import pytest
import yaml
from facts_support import Supplies
from support import plan_of

from harness.base.finding import Severity
from harness.electrics.cases import built_in
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.solver.circuit import NotSolved
from harness.facts.fed import BATTERY, SUPPLY, Need, faults, needs, starved
from harness.facts.poles import poles_right
from harness.rules.run import check
from harness.wiring.build import Wiring, build
from harness.wiring.live import live
from harness.wiring.opens import closed

VOLTS = 0.05
"""V; the least of these supplies gives 5 V and a part draws milliamperes: less is a leak."""
SEEDS = range(150)
REFUSED = 2
"""Networks without a solution, one in a hundred: they say nothing of either."""


@cache
def wiring_of(seed: int) -> Wiring:
    return build(plan_of(yaml.safe_dump(Supplies(seed, seed % 4).plan, sort_keys=False)))


def fed_by_solver(outcome: Outcome, need: Need) -> bool:
    assert need.poles is not None
    volts = float(outcome.volts(need.poles[1], need.poles[0])[0])
    return need.part.id not in outcome.net.unfed and volts > VOLTS


@cache
def as_built(seed: int) -> Outcome | None:
    return at_rest(wiring_of(seed))


def at_rest(wiring: Wiring) -> Outcome | None:
    """Return the network with everything at rest; None without a solution."""
    (case,) = [case for case in built_in(wiring.plan) if case.name == "radio-on"]
    try:
        outcome = outcome_of(wiring, [case])
    except NotSolved:
        return None
    return None if outcome.trouble else outcome


@pytest.mark.parametrize("faults", [2, 3])
def test_a_supply_with_diodes_in_a_ring_is_solved_in_every_case(faults: int) -> None:
    plan = plan_of(yaml.safe_dump(Supplies(233, faults).plan, sort_keys=False))
    assert outcome_of(build(plan)).trouble == {}


def of_supply(wanted: Iterable[Need]) -> list[Need]:
    return [need for need in wanted if need.what in {SUPPLY, BATTERY}]


def test_the_graph_and_the_solver_agree() -> None:
    seen, refused = {True: 0, False: 0}, 0
    for seed in SEEDS:
        wiring = wiring_of(seed)
        outcome, alive = as_built(seed), live(wiring)
        refused += outcome is None
        for need in of_supply(needs(wiring)) if outcome is not None else ():
            seen[need.met(alive)] += 1
            assert need.met(alive) == fed_by_solver(outcome, need), (seed, need.part.id, need.what)
    assert refused <= REFUSED
    assert min(seen.values()) > 250, "too few of one kind to prove anything"


def test_closing_what_is_named_feeds_all_that_is_named_and_no_place_is_named_in_vain() -> None:
    """By the solver: with all but one of the places closed something of the fault is still dead."""
    told = several = 0
    for seed in SEEDS:
        wiring, shut = poles_right(wiring_of(seed)), []
        for fault in faults(wiring):
            dead = of_supply(fault.dead)
            if not dead:
                shut += fault.opens
                continue
            told, several = told + 1, several + (len(fault.opens) > 1)
            whole = at_rest(closed(wiring, [*shut, *fault.opens]))
            assert whole is None or all(fed_by_solver(whole, need) for need in dead), seed
            for place in fault.opens:
                others = [other for other in fault.opens if other is not place]
                left = at_rest(closed(wiring, [*shut, *others]))
                assert left is None or not all(fed_by_solver(left, n) for n in dead), seed
            shut += fault.opens
    assert told > 50
    assert several > 1


def test_every_dead_part_is_told_once_and_no_other() -> None:
    """What the solver leaves without volts is what the findings name."""
    for seed in SEEDS:
        wiring, outcome = wiring_of(seed), as_built(seed)
        if outcome is None:
            continue
        every = of_supply(needs(wiring))
        dead = {(n.part.id, n.what) for n in every if not fed_by_solver(outcome, n)}
        lacks = [need for fault in faults(wiring) for need in fault.dead]
        lacks += [need for group in starved(wiring) for need in group]
        ours = [(need.part.id, need.what) for need in of_supply(lacks)]
        assert len(ours) == len(set(ours)), seed
        assert set(ours) == dead, seed
        found = [f for f in check(wiring.plan, wiring).findings if f.severity >= Severity.ERROR]
        told = {part for f in found if f.rule in {"no-source", "stray-return"} for part in f.parts}
        assert told >= {part for part, _ in dead}, seed
        assert bool(told) == bool(dead or any(fault.astray for fault in faults(wiring))), seed
