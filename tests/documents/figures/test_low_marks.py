"""What `load` marks LOW, `check` says, and the other way round: over examples and random plans."""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path

import pytest
from kept import FOLDER, report_at
from support import report_of, seeds

from harness.base.finding import Severity
from harness.base.refusal import Refusal
from harness.documents.figures.load import load, solved_of
from harness.documents.figures.way import passed
from harness.rules.run import Report
from harness.wiring.build import Wiring

FILES = [p for p in sorted(FOLDER.rglob("*.yaml")) if "results" not in p.name]
SAY_SO = frozenset({
    "volts-lost", "rail-sags", "under-voltage", "bec-load", "logic-rail-overloaded", "pack-load",
    "lead-load", "one-supply-plug", "switch-load", "supply-breaks-down", "esc-cuts-off",
})  # fmt: skip
"""The rules that report what leaves too few volts."""


def marked(wiring: Wiring) -> set[str]:
    """Return the parts with LOW in the table; none where nothing is shown."""
    try:
        sheet = load(solved_of(wiring)).sheet
    except Refusal:
        return set()
    names = {part.named(): part.id for part in wiring.plan.parts.values()}
    rows = [row for table in sheet.tables for group in table.groups for row in group.rows]
    low = [row[0].text for row in rows if any(cell.text.startswith("LOW ") for cell in row)]
    return {names[name] for name in low}


def said(report: Report) -> tuple[set[str], set[str], bool]:
    """Return the parts of `volts-lost`, those of every rule about volts, and if a danger stands."""
    found = report.findings
    lost = {p for f in found if f.rule == "volts-lost" for p in f.parts}
    every = {p for f in found if f.rule in SAY_SO and f.severity > Severity.NOTE for p in f.parts}
    return lost, every, any(f.severity is Severity.DANGER for f in found)


def disagreements(report: Report) -> list[str]:
    """Return what is marked and not said, on its way either, and what is said and not marked."""
    wiring, parts = report.wiring, report.plan.parts
    low, (lost, every, danger) = marked(wiring), said(report)
    if danger:
        return []  # goes first: the volts are those of another wiring
    silent = [p for p in sorted(low) if not every & {p, *passed(wiring, parts[p])[1]}]
    takes = {p for p in lost if parts[p].fed_at}
    return [*(f"marked, not said: {p}" for p in silent),
            *(f"said, not marked: {p}" for p in sorted(takes - low))]  # fmt: skip


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_examples(path: Path) -> None:
    assert disagreements(report_at(path)) == []


CLASSES = ["9g-analogue", "13g-metal-gear", "17g-digital", "standard-high-torque", "mini-25g"]
FUNCTIONS = ["aileron", "elevator", "rudder", "flap"]
GAUGES = ["20 AWG", "22 AWG", "24 AWG", "26 AWG", "28 AWG"]


def random_plan(seed: int) -> str:
    """A radio on a BEC, a regulator or a pack, with switch, diode, extensions and Y-leads."""
    rng = random.Random(seed)

    def wire(most: int) -> str:
        said = f", wire: {rng.choice(GAUGES)}, length: {rng.randrange(50, most, 50)} mm"
        return said if rng.random() < 0.9 else ""

    volts = rng.choice(["4.8 V", "5 V", "5.2 V", "6 V"])
    burst = rng.choice(["", ", burst: 3 A", ", burst: 12 A"])
    into, lines = "rx.batt", ["receivers: {rx: {sockets: 8}}"]
    if rng.random() < 0.4:
        lines.append(f"switches: {{sw: {{plug: {into}{wire(200)}}}}}")
        into = "sw.1"
    if rng.random() < 0.3:
        kind = rng.choice(["schottky", "silicon", "ideal"])
        lines.append(f"diodes: {{guard: {{kind: {kind}, plug: {into}{wire(200)}}}}}")
        into = "guard.1"
    pick = rng.random()
    if pick < 0.3:
        cells = f"cells: {rng.choice([4, 5])}, capacity: 2 Ah, rate: 10 C"
        lines.append(f"packs: {{radio: {{chemistry: nimh, {cells}, plug: {into}}}}}")
    else:
        lines.append(f"regulators: {{reg: {{volts: {volts}, rated: {rng.choice([2, 5, 10])} A"
                     f"{burst}, plug: {into}{wire(1500)}}}}}")  # fmt: skip
    servos, leads = [], []
    for n in range(1, rng.randrange(2, 7)):
        plug = f"rx.{n}"
        if rng.random() < 0.6:
            kind, ends = rng.choice([("extension", 1), ("y", 2)])
            leads.append(f"  lead{n}: {{kind: {kind}, plug: {plug}{wire(4000)}}}")
            plugs = [f"lead{n}.{end + 1}" for end in range(ends)]
        else:
            plugs = [plug]
        for end, at in enumerate(plugs):
            what = f"class: {rng.choice(CLASSES)}, moves: {rng.choice(FUNCTIONS)}"
            servos.append(f"  s{n}{'ab'[end]}: {{{what}, plug: {at}{wire(600)}}}")
    lines += ["servos:", *servos, *(["leads:", *leads] if leads else [])]
    return "\n".join(lines) + "\n"


@cache
def looked_at(seed: int) -> tuple[list[str], bool]:
    """Return the disagreements over a random plan, and whether anything is marked in it."""
    report = report_of(random_plan(seed))
    return disagreements(report), bool(marked(report.wiring))


@pytest.mark.parametrize("start", seeds(100)[::20])
def test_random_supplies(start: int) -> None:
    for seed in range(start, start + 20):
        assert looked_at(seed)[0] == [], random_plan(seed)


def test_the_random_plans_have_both_kinds() -> None:
    assert 5 < sum(looked_at(seed)[1] for seed in range(40)) < 35
