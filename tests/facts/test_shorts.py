"""Loops of copper whose packs do not add up to nothing, against linear algebra.

Kirchhoff's law of voltages: a harness has such a loop if and only if no volts can be given to its
contacts so that copper is level and each pack stands by its own volts (numpy's least squares).
"""

from __future__ import annotations

import random

import numpy as np
import pytest
from support import plan_of, report_of

from harness.electrics.flows import flows_of
from harness.facts.fed import faults, needs, put_right, starved, unmet
from harness.facts.shorts import shorts
from harness.parts.contacts import COPPER, LinkKind
from harness.wiring.build import Wiring, build
from harness.wiring.live import live

CELL = 3.7  # V, nominal (PX4 user guide)


def random_joins(seed: int) -> str:
    """A few packs, and leads of every kind plugged into whatever is free."""
    chance = random.Random(seed)
    cells = {f"p{n}": chance.choice([2, 3, 3, 4]) for n in range(chance.randint(1, 4))}
    free, leads = list(cells), list[str]()
    for n in range(chance.randint(1, 4)):
        kinds = ["parallel", "series", "parallel", "jumper"]
        kind = chance.choice(kinds if len(free) > 1 else ["parallel", "jumper"])
        count = 1 if kind == "jumper" else 2 if kind == "series" else chance.randint(1, 2)
        taken = [free.pop(chance.randrange(len(free))) for _ in range(min(count, len(free)))]
        ways = 2 if kind == "parallel" and len(taken) == 1 else 1
        ends = ", ".join(f"{{into: {end}, poles: straight}}" for end in taken)
        more = f"ways: {ways}, " if kind == "parallel" else ""
        leads.append(f"  l{n}: {{kind: {kind}, {more}supply: [{ends}]}}\n")
        free += [f"l{n}.{way + 1}" for way in range(ways)] if kind != "jumper" else []
        if not free:
            break
    packs = "".join(f"  {p}: {{chemistry: lipo, cells: {c}}}\n" for p, c in cells.items())
    return f"packs:\n{packs}power-leads:\n{''.join(leads)}"


def left_over(wiring: Wiring) -> float:
    """By how many volts the best potentials miss: 0 where every loop adds up to nothing."""
    packs = {p.id: p for p in wiring.plan.parts.values() if p.holds_cells}
    links = [k for k in wiring.links if k.kind in COPPER
             or (k.kind is LinkKind.SOURCE and k.owner in packs)]  # fmt: skip
    places = {c: n for n, c in enumerate(dict.fromkeys(c for k in links for c in (k.a, k.b)))}
    rises = [CELL * getattr(packs[k.owner], "cells", 0) if k.kind is LinkKind.SOURCE else 0.0
             for k in links]  # fmt: skip
    matrix = np.zeros((len(links), len(places)))
    for n, link in enumerate(links):
        matrix[n, places[link.a]] -= 1
        matrix[n, places[link.b]] += 1
    best = np.linalg.lstsq(matrix, np.array(rises), rcond=None)[0]
    return float(np.abs(matrix @ best - rises).max())


def test_a_loop_with_volts_left_over_is_found_where_no_potentials_exist() -> None:
    seen = {True: 0, False: 0}
    for seed in range(120):
        wiring = put_right(build(plan_of(random_joins(seed))))
        found = shorts(wiring)
        bad = left_over(wiring) > 1e-6
        assert bool(found) == bad, (seed, random_joins(seed))
        assert flows_of(wiring).shorted == bad, seed
        seen[bad] += 1
        for short in found:
            _is_a_loop(short.steps)
            first = short.steps[0]  # it leaves a pack by its plus: from the link's low end, a
            assert first.link.kind is LinkKind.SOURCE and first.start == first.link.a
            packs = [step for step in short.steps if step.link.kind is LinkKind.SOURCE]
            volts = [CELL * getattr(wiring.plan.parts[s.link.owner], "cells", 0) *
                     (1 if s.start == s.link.a else -1) for s in packs]  # fmt: skip
            assert short.volts == pytest.approx(sum(volts)) and short.volts > 1
            assert short.opposed == (min(volts) < 0)
            assert {p.id for p in short.packs} == {s.link.owner for s in packs}
    assert min(seen.values()) > 20


def _is_a_loop(steps: tuple) -> None:  # type: ignore[type-arg]
    """Each step begins where the one before ended, and none is walked twice."""
    ends = [s.link.b if s.start == s.link.a else s.link.a for s in steps]
    assert [s.start for s in steps] == [ends[-1], *ends[:-1]]
    assert len({s.link for s in steps}) == len(steps)


SHORTED = """
packs:
  a: {chemistry: lipo, cells: 3, capacity: 2 Ah}
power-leads:
  split: {kind: parallel, ways: 3, supply: {into: a, poles: straight}}
  bridge: {kind: jumper, supply: {into: split.3, poles: straight}}
escs: {esc: {rated: 30 A, bec: {volts: 5 V, rated: 3 A}, supply: split.1, plug: rx.1}}
loads: {lamp: {current: 1 A, supply: split.2}}
receivers: {rx: {sockets: 4}}
"""


def test_a_short_is_no_open_place() -> None:
    """What stands across a bridge of copper is connected: one fault is told, and not "no supply".

    That copper from pole to pole shorts a pack is Ohm's law.
    """
    wiring = build(plan_of(SHORTED))
    for need in needs(wiring):
        assert need.met(live(wiring)), (need.part.id, need.what)
        if need.part.id in {"esc", "lamp"} and need.poles:
            there = need.what != "supply" or need.part.id == "lamp"
            assert live(wiring).shorted(*need.poles) == there, need.what
    assert (faults(wiring), unmet(wiring), starved(wiring)) == ((), (), ())
    rules = {f.rule for f in report_of(SHORTED).findings if f.severity > 1}
    assert rules == {"jumper-short"}
    # the same with the bridge out, and then with the lamp's red wire out as well
    whole = build(plan_of(SHORTED.replace("supply: {into: split.3, poles: straight}", "")))
    assert not any(live(whole).shorted(*n.poles) for n in needs(whole) if n.poles)
    cut = SHORTED.replace("supply: split.2", "supply: {into: split.2, pulled: positive}")
    for text in (cut, cut.replace("supply: {into: split.3, poles: straight}", "")):
        lacks = [need.part.id for fault in faults(build(plan_of(text))) for need in fault.dead]
        assert lacks == ["lamp"]
