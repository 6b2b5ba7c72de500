"""A pack cannot give the current that is asked of it: its volts break down.

What it looks for
    An operating case in which the cells of a pack fall below the volts that damage them: one that
    lasts is an error, one for seconds a warning. And a network for which there are no volts at all
    at which everything on it agrees: a danger. Where none are found it says so, and what is then
    not judged.

Why it matters
    Cells drawn so low are spoilt, get hot and puff up. Well before that the ESC cuts out, or a BEC
    in it takes the receiver down with it: at full throttle, at take-off or with the pack nearly
    empty.

An example that fails
    escs:
      esc: {rated: 200 A, supply: main, bec: none, connector: AS150, wire: 8 AWG, length: 100 mm}
    motors:
      motor: {full-throttle: 90 A, plug: esc}
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 4 Ah, rate: 100 C, connector: AS150,
        cell-resistance: 15 mohm}

The same, mended
    packs:
      main: {cells: 3, chemistry: lipo, capacity: 4 Ah, rate: 100 C, connector: AS150,
        cell-resistance: 2 mohm}

Where it comes from
    3.0 V of a lithium cell is damage: PX4 user guide, battery page; the other chemistries as the
    catalogue says. What a motor draws as the volts fall: the first-order law of motor and
    propeller, `harness/electrics/solver/motor_law.py`.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.base.span import START, Span
from harness.electrics.packs import motor_packs
from harness.facts.battery import packs_of
from harness.facts.cell_volts import CellSag, damaged_packs
from harness.facts.currents import amps, case_numbers, currents, when
from harness.facts.motion import turning
from harness.facts.rails import name_of
from harness.facts.stronger import packs_for
from harness.facts.wording import volts, volts_line
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.ratings import motors_on

if TYPE_CHECKING:
    from harness.electrics.solver.circuit import NotSolved


@rule(Severity.DANGER, Severity.ERROR, Severity.WARNING, solved=True)
def check(desk: Desk) -> Findings:
    """Report each part that asks too much once, with the cases; and each pack that sags."""
    from harness.electrics.flows import held

    for sag in damaged_packs(desk.wiring):
        yield _sagging(desk, sag)
    flows, cases = currents(desk.wiring), defaultdict[tuple[str, bool], list[str]](list)
    if flows.unsolved is not None:
        yield _unjudged(desk, flows.unsolved, [])
    found = flows.trouble
    lacking = {} if flows.shorted else held(flows.wiring).trouble
    found = {**{case: why for case, why in lacking.items() if why.unknown}, **found}
    for case, failure in found.items():
        cases[failure.element, failure.unknown].append(case)
    for (element, unknown), names in cases.items():
        if unknown:
            yield _unjudged(desk, found[names[0]], names)
        else:
            yield _finding(desk, desk.plan.parts.get(element), names)


def _unjudged(desk: Desk, why: NotSolved, names: list[str]) -> Finding:
    """Say what nothing is known of: that no rule reports it does not make it sound."""
    from harness.electrics.network import part_of

    part = part_of(desk.plan, why.element)
    where = f" in {spoken(names)}" if names else ""
    return check.finding(
        f"the currents{where} could not be worked out ({part.named() if part else why.element}:"
        f" {why.why}): no load, no volts and no heat are judged there",
        part.span if part else START,
        *([part] if part else []),
        help="mend what else is reported, then check again; what stays must be measured",
        numbers=case_numbers(desk.wiring, *names),
    )


def _finding(desk: Desk, part: Part | None, names: list[str]) -> Finding:
    parts: list[Part] = []
    about = "the network has no solution"
    if part is not None:
        sources = packs_of(currents(desk.wiring).wiring, part)
        giver = spoken(name_of(source) for source in sources) or "what feeds it"
        about = f"{giver} cannot give what {part.named()} asks for"
        parts = [part, *sources]
    return check.finding(
        f"{about} in {spoken(names)}: {currents(desk.wiring).trouble[names[0]].why}",
        _span(desk, part),
        *parts,
        help="take a pack of more capacity or of less resistance, shorter or thicker battery"
        f" wires, or a smaller {turning(desk.plan).one}",
        numbers=case_numbers(desk.wiring, *names),
    )


def _sagging(desk: Desk, sag: CellSag) -> Finding:
    cell, least = sag.volts / sag.cells, sag.limit.number / sag.cells
    driven = [esc for esc, packs in motor_packs(desk.wiring).items() if sag.part.id in packs]
    escs = [desk.plan.parts[name] for name in driven]
    word = turning(desk.plan).one
    larger = packs_for(
        desk.wiring,
        sag.packs,
        lambda after: all(s.part.id != sag.part.id for s in damaged_packs(after)),
    )
    smaller = f", or a smaller {word}" if escs else ", or less that draws from it"
    return check.finding(
        f"the cells of {sag.part.named()} fall to {volts(round(cell, 2))} each at"
        f" {amps(round(sag.amps, 1))}{when(sag.case)}; below {volts(least)} they take damage",
        _span(desk, escs[0]) if escs else sag.part.span,
        sag.part,
        *escs,
        severity=Severity.ERROR if sag.lasting else Severity.WARNING,
        help=f"take {larger or 'a pack of more capacity or of less resistance'}{smaller}",
        numbers=(volts_line("damage, whole pack", sag.limit), *case_numbers(desk.wiring, sag.case)),
    )


def _span(desk: Desk, part: Part | None) -> Span:
    """The current that was stated for its motor, else the part."""
    if part is None:
        return START
    driven = motors_on(desk.wiring, part)
    asked = [m.full_at() for m in driven if m.full() is not None]
    return asked[0] if asked else part.span
