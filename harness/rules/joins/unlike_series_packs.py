"""Packs joined end to end are not alike.

What it looks for
    Packs in series that differ in chemistry, capacity or cell count, or in how full they are, as
    far as the plan says it (`volts` at rest, or `charge`): by volts a cell, as of packs side by
    side. Packs side by side on one level of the stack count together.

Why it matters
    The same current passes all of them. The one that holds least is empty first; the others then
    drive current through it the wrong way, which ruins it and may set it on fire.

An example that fails
    packs:
      low: {chemistry: lipo, cells: 6, capacity: 5 Ah}
      high: {chemistry: lipo, cells: 6, capacity: 3.3 Ah}
    power-leads:
      stack: {kind: series, supply: [low, high]}

The same, mended
    packs:
      high: {chemistry: lipo, cells: 6, capacity: 5 Ah}

Where it comes from
    Common practice; no published source: same cells, capacity and age. How far apart volts may
    be is the figure for packs side by side, taken for these as well: our own judgement.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.electrics.packs import known_rest
from harness.facts.battery import PackLevel, standing
from harness.facts.currents import over
from harness.facts.wording import in_plan, parts_named, volts, volts_line
from harness.parts.contacts import Contact
from harness.rules.rule import Desk, Findings, rule

THEN = {
    "capacity": "the smaller is empty first and is then driven the wrong way",
    "chemistry": "they are not empty at the same volts, and one is driven too low",
    "cells": "no charge level fits both, and a low-volts cut-off watches only the sum",
}


@rule(Severity.WARNING, Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each join between two levels once, at its weakest point."""
    told: set[Contact] = set()
    for low, up in standing(desk.wiring):
        if low.high not in told:
            told.add(low.high)
            yield from _pair(desk, low, up)


def _pair(desk: Desk, low: PackLevel, up: PackLevel) -> Findings:
    one, other = low.packs[0], up.packs[0]
    if one.chemistry != other.chemistry:
        yield _finding(low, up, "chemistry", f"{one.chemistry} and {other.chemistry}")
    elif None not in (low.capacity, up.capacity) and low.capacity != up.capacity:
        yield _finding(low, up, "capacity", f"{low.capacity:g} and {up.capacity:g} Ah")
    elif one.cells != other.cells:
        yield _finding(low, up, "cells", f"{one.cells}S and {other.cells}S")
    else:
        yield from _unlike_charge(desk, low, up)
    if low.capacity is None or up.capacity is None:
        silent = next(p for p in (*low.packs, *up.packs) if p.capacity is None)
        desk.not_known(silent, "its capacity", "capacity")


def _unlike_charge(desk: Desk, low: PackLevel, up: PackLevel) -> Findings:
    """Report the emptier of two levels: it is empty long before the other."""
    both = [level.packs[0] for level in (low, up)]
    rests = [(rest, pack) for pack in both if (rest := known_rest(desk.plan, pack))]
    if len(rests) < 2:
        return
    rests.sort(key=lambda pair: pair[0].number)
    weak = rests[0][1]
    each = [rest.number / pack.cells for rest, pack in rests]
    if each[1] - each[0] > desk.figure("parallel", "warning").number * (1 + 1e-9):
        told = " and ".join(volts(round(v, 2)) for v in each)
        yield check.finding(
            f"{parts_named(both)} are joined end to end with {told} a cell: the emptier is empty"
            " first and is then driven the wrong way",
            weak.at("volts" if weak.volts is not None else "charge"),
            weak,
            *both,
            severity=Severity.ERROR
            if over(each[1] - each[0], desk.figure("parallel", "error").number)
            else None,
            help="charge both full before they are joined",
            numbers=tuple(volts_line(pack.id, rest) for rest, pack in rests),
        )


def _strength(level: PackLevel, word: str) -> tuple[float, str, str]:
    """The level that is empty first is the one to mark."""
    first = level.packs[0]
    held = (level.capacity or 0.0) if word == "capacity" else float(first.cells)
    return (held, first.chemistry, first.id)


def _finding(low: PackLevel, up: PackLevel, word: str, words: str) -> Finding:
    weak = min((low, up), key=lambda level: _strength(level, word)).packs[0]
    packs = (*low.packs, *up.packs)
    uneven = len(low.packs) != len(up.packs)
    as_many = "on each level as many " if uneven else ""
    return check.finding(
        f"{parts_named(packs)} are joined end to end but differ, {words}: {THEN[word]}",
        weak.at(word),
        weak,
        *packs,
        severity=None if word == "cells" else Severity.ERROR,
        help=f"use {as_many}packs of the same cells, capacity and age in a stack",
        numbers=tuple((p.id, in_plan(f"{getattr(p, word)}", p.at(word))) for p in packs),
    )
