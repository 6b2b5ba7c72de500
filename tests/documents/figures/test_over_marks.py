"""What `load` marks OVER, `check` names: every part over what it bears, over random twins."""

from __future__ import annotations

import random
import re
from functools import cache

import pytest
from documents.figures.test_low_marks import random_plan
from support import report_of, seeds

from harness.base.finding import Finding, Severity
from harness.documents.figures.load import solved_of
from harness.parts.contacts import Form
from harness.rules.run import Report

SAY_SO = {
    "pack": {"pack-load"}, "supply": {"bec-load", "linear-bec-heat"},
    "part": {"esc-load", "switch-load", "fuse-load"},
    "rail": {"socket-rail-load", "logic-rail-overloaded"},
}  # fmt: skip
ON_LEADS = {
    True: {"lead-load", "one-supply-plug", "wire-load", "switch-load", "ground-loop-share"},
    False: {"plug-load", "wire-load", "fuse-load"},
}
"""The rules that name what is over, by the kind of the row; of leads and plugs, if of 3 pins."""


def twin(seed: int) -> str:
    """Two motors on one pack, with wires, plugs and ratings that may be too small."""
    rng = random.Random(seed)
    y_lead = "leads: {ty: {kind: y, plug: rx.3, wire: 22 AWG, length: 200 mm}}"
    lines = ["receivers: {rx: {sockets: 6}}", y_lead, "escs:"]

    def wire() -> str:
        plug = rng.choice(["XT30", "XT60", "XT90", "EC3"])
        gauge = rng.choice(["10 AWG", "12 AWG", "14 AWG", "16 AWG"])
        return f"connector: {plug}, wire: {gauge}, length: {rng.randrange(50, 900, 50)} mm"

    kind, rated = rng.choice(["linear", "switching"]), rng.choice([1, 3])
    bec = f"{{kind: {kind}, volts: 5 V, rated: {rated} A}}"
    for n, side in ((1, "left"), (2, "right")):
        lines.append(
            f"  {side}: {{rated: {rng.choice([30, 40, 60])} A, bec: {bec if n == 1 else 'none'}, "
            f"plug: ty.{n}, lead-wire: 22 AWG, lead-length: 300 mm, supply: share.{n}, {wire()}}}"
        )
    amps = [rng.randrange(20, 50), rng.randrange(20, 50)]
    lines += ["motors:", f"  m-left: {{full-throttle: {amps[0]} A, plug: left}}",
              f"  m-right: {{full-throttle: {amps[1]} A, plug: right}}",
              f"power-leads: {{share: {{kind: parallel, ways: 2, supply: main, {wire()}}}}}",
              "servos:"]  # fmt: skip
    for n, what in ((1, "aileron"), (2, "elevator"), (4, "rudder")):
        size = rng.choice(["9g-analogue", "17g-digital", "standard-high-torque"])
        lead = f"wire: {rng.choice(['26 AWG', '28 AWG'])}, length: 300 mm"
        lines.append(f"  s{n}: {{class: {size}, moves: {what}, plug: rx.{n}, {lead}}}")
    held = f"capacity: {rng.choice([2, 4, 6])} Ah, rate: {rng.choice([20, 35])} C"
    lines.append(f"packs: {{main: {{chemistry: lipo, cells: 3, {held}, connector: XT90}}}}")
    return "\n".join(lines) + "\n"


def holes(text: str, seed: int) -> str:
    """Leave out a quarter of the lengths and gauges: what is not stated is assumed."""
    rng = random.Random(seed)
    stated = r", (lead-)?(length|wire): [^,}]+"
    return re.sub(stated, lambda found: "" if rng.random() < 0.25 else found[0], text)


def unnamed(report: Report) -> tuple[int, list[str]]:
    """Return how many rows are over, and those of which no finding about it names an end."""
    solved = solved_of(report.wiring)
    found = [f for f in report.findings if f.severity > Severity.NOTE]
    over = [row for row in solved.rows if solved.share(row) > 1 + 1e-5]
    silent = []
    for row in over:
        mate = solved.outcome.wiring.by_plug.get((row.part, row.port))
        ends = {row.part, *([mate.socket.part.id] if mate and mate.socket else [])}
        port = solved.outcome.wiring.ports.get((row.part, row.port))
        three = port is not None and port.form is Form.THREE_PIN
        rules = SAY_SO.get(row.kind) or ON_LEADS[three]
        if not any(f.rule in rules and ends & {*f.parts} for f in found):
            silent.append(f"{row.kind} {row.name}: {solved.share(row):.2f}")
    return len(over), silent


@pytest.mark.parametrize("kind", ["twin", "twin with holes", "radio"])
def test_every_part_over_its_limit_is_named(kind: str) -> None:
    texts = map(random_plan if kind == "radio" else twin, seeds(20))
    if kind == "twin with holes":
        texts = map(holes, texts, seeds(20))
    each = [unnamed(report_of(text)) for text in texts]
    assert sum(count for count, _ in each) > 10
    assert [silent for _, silent in each if silent] == []


@pytest.mark.parametrize("seed", [49, 141])
def test_behind_a_weak_supply_what_flows_as_it_is_counts(seed: int) -> None:
    """A thin wire ahead of an overloaded plug, a plug before an overloaded supply: all three."""
    count, silent = unnamed(report_of(random_plan(seed)))
    assert count
    assert silent == []


def hot_twin(seed: int) -> str:
    """The same in hot air and in a bundle, its parallel lead of thin wire but with a rating."""
    rng = random.Random(seed)
    text = twin(seed).replace("ways: 2, supply: main,", "ways: 2, rated: 150 A, supply: main,")
    for thick in ("10 AWG", "12 AWG"):
        text = text.replace(thick, rng.choice([thick, "18 AWG", "20 AWG"]))
    text = text.replace("plug: rx.1,", "plug: rx.1, place: wing,")
    return (
        f"surroundings: {{temperature: {rng.choice([20, 60, 79])} degC}}\n"
        f"places: {{wing: {{bundle: {rng.choice([1, 20])}}}}}\n{text}"
    )


@cache
def hot_and_said(seed: int) -> tuple[set[str], list[Finding]]:
    """What `load` marks OVER in degC, and the findings that say so."""
    report = report_of(hot_twin(seed))
    hot = {row.part for row in solved_of(report.wiring).rows if row.hottest is not None}
    return hot, [f for f in report.findings if "its insulation bears" in f.message]


@pytest.mark.parametrize("seed", seeds(16))
def test_wires_too_hot_are_one_set(seed: int) -> None:
    """What `load` marks OVER in degC, a finding names with its degC, and nothing else."""
    hot, said = hot_and_said(seed)
    assert hot == {f.parts[0] for f in said}
    assert all(f.severity >= Severity.ERROR for f in said)


def test_some_of_these_wires_are_too_hot() -> None:
    marked = [len(hot_and_said(seed)[0]) for seed in seeds(16)]
    assert sum(marked) > 20 and 0 in marked
