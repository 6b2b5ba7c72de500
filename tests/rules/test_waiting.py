"""One fact says what must be mended before anything flows; who shows or judges currents asks it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from kept import report_at
from support import plan_of

from harness import check, load_plan
from harness.airframe.access import Access
from harness.airframe.stages import plug_task
from harness.airframe.steps import is_live
from harness.base.finding import Severity
from harness.base.refusal import Refusal
from harness.cli.books import rule_list
from harness.cli.frames import report_lines
from harness.cli.machine import to_json, to_sarif
from harness.diagram.currents import Currents
from harness.documents import reckoning
from harness.documents.leads import lead_list
from harness.documents.protocol import protocol_json
from harness.documents.steps import steps_json
from harness.documents.trace import trace_text
from harness.electrics import flows
from harness.facts.mend_first import first_words, mend_first
from harness.rules.rule import RULES, Desk
from harness.rules.run import Report, all_rules
from harness.wiring.build import build

ROOT = Path(__file__).parents[2]
BROKEN = sorted((ROOT / "examples" / "broken").glob("*.yaml"))
SOUND = sorted(p for p in (ROOT / "examples").glob("*.yaml") if "." not in p.stem)
FAMILIES = {"polarity", "joins"}


def standing() -> Iterator[Report]:
    return (r for path in BROKEN if (r := report_at(path)).first)


@pytest.mark.parametrize("path", [*SOUND, *BROKEN], ids=lambda p: p.stem)
def test_what_goes_first_is_what_the_rules_report(path: Path) -> None:
    report = report_at(path)
    told = {(f.rule, f.span.line) for f in report.findings if f.severity >= Severity.ERROR}
    first = {(f.rule, f.span.line) for f in mend_first(report.wiring)}
    assert first <= told
    grave = {(f.rule, f.span.line) for f in report.findings if f.severity is Severity.DANGER
             and (RULES[f.rule].family in FAMILIES or f.rule == "several-sources")}  # fmt: skip
    assert grave <= first


def test_every_kind_of_it_has_an_example() -> None:
    found = {fault.rule for report in standing() for fault in report.first}
    assert found >= {
        "turned-plug", "pins-swapped", "wing-plug-table", "poles-crossed", "reversed-pack",
        "cancelling-series", "shorted-loop", "jumper-short", "upper-pack-tap",
        "escs-on-different-levels", "several-sources", "stray-return",
    }  # fmt: skip


SIDE_BY_SIDE = """
packs:
  main: {{chemistry: lipo, cells: 4, capacity: 4 Ah, rate: 30 C, volts: 16 V}}
  more: {{chemistry: lipo, cells: {cells}, capacity: 4 Ah, rate: 30 C, volts: {volts} V}}
power-leads: {{pair: {{kind: parallel, supply: [main, more]}}}}
"""


def test_packs_side_by_side_go_first_when_they_are_of_unlike_cells() -> None:
    three = check(plan_of(SIDE_BY_SIDE.format(cells=3, volts=12)))
    assert [f.rule for f in three.first] == ["unlike-parallel-packs"]
    assert [f.span.line for f in three.findings if f.rule == "unlike-parallel-packs"] == [6]
    assert [f.span.line for f in three.first] == [6]
    assert not check(plan_of(SIDE_BY_SIDE.format(cells=4, volts=15.8))).first


def test_rules_that_wait_are_named_in_every_form() -> None:
    waiting = {name for name, rule in all_rules().items() if rule.solved}
    for report in standing():
        assert set(report.waiting) == waiting
        assert not waiting & {f.rule for f in report.findings}
        text = "\n".join(report_lines(report))
        assert all(f"{f.rule} on plan line {f.span.line}" in text for f in report.first)
        body = json.loads(to_json([report], []))["plans"][0]["not_judged"]
        log = json.loads(to_sarif([report], []))["runs"][0]["invocations"][0]
        noted = {n["associatedRule"]["id"] for n in log["toolExecutionNotifications"]}
        assert set(body["rules"]) == noted == waiting
        assert all(name in text for name in waiting)
        assert [f["rule"] for f in body["while"]] == [f.rule for f in report.first]


@pytest.mark.parametrize("path", SOUND, ids=lambda p: p.stem)
def test_nothing_waits_where_nothing_must_be_mended(path: Path) -> None:
    report = report_at(path)
    assert not report.waiting
    assert not first_words(report.wiring)


def test_no_document_shows_currents_while_it_stands() -> None:
    for report in standing():
        wiring, words = report.wiring, first_words(report.wiring)
        for make in (reckoning.load, reckoning.equalise, reckoning.endurance):
            with pytest.raises(Refusal, match=re.escape(words)):
                make(wiring)
        with pytest.raises(Refusal, match=re.escape(words)):
            reckoning.load_netlist(wiring, "cruise")
        with pytest.raises(Refusal, match=re.escape(words)):
            Currents(wiring, "worst")
        assert not any(row["load"] or row["load not known"] for row in lead_list(wiring).rows)
        for name in report.plan.parts:
            told = trace_text(wiring, name)
            assert words in told
            assert "carries" not in told
            assert "gives" not in told


def test_no_step_or_test_connects_a_pack_while_it_stands() -> None:
    for report in standing():
        live = {plug_task(m).name for m in Access(report.wiring).mates if is_live(m)}
        for field in (False, True):
            body = json.loads(steps_json(report, field=field))
            assert not live & {step["plug"] for step in body["steps"]}
            assert not {"power-up", "try", "flight"} & {step["stage"] for step in body["steps"]}
            assert all(fault.words in body["mend_first"].lower() for fault in report.first)
        tests = json.loads(protocol_json(report))["tests"]
        assert all(test["propellers"] != "on" for test in tests)
        assert all(test["unit"] != "A" for test in tests)


def test_a_trace_obeys_nothing_through_a_turned_plug() -> None:
    wiring = report_at(ROOT / "examples" / "broken" / "10-plug-turned.yaml").wiring
    told = trace_text(wiring, "rudder")
    assert "obeys channel" not in told
    assert "obeys nothing before turned-plug on plan line" in told


TWO_BECS = """
receivers: {rx: {sockets: 4}}
escs:
  one: {rated: 20 A, bec: {volts: 5 V, rated: 2 A}, plug: rx.1, supply: pack.1}
  two: {rated: 20 A, bec: {volts: 6 V, rated: 2 A}, plug: rx.2, supply: pack.2}
power-leads: {pack: {kind: parallel, ways: 2, supply: main}}
packs: {main: {chemistry: lipo, cells: 3, capacity: 2 Ah, rate: 25 C}}
accepted: [{rule: several-sources, part: two, because: it has always been so}]
"""


def test_accepting_a_fault_mends_nothing() -> None:
    report = check(plan_of(TWO_BECS))
    assert [a.finding.rule for a in report.accepted] == ["several-sources"]
    assert [f.rule for f in report.first] == ["several-sources"]
    assert report.waiting


def own_examples() -> dict[str, list[Path]]:
    found: dict[str, list[Path]] = {name: [SOUND[0]] for name in all_rules()}
    for path in BROKEN:
        expected = path.read_text(encoding="utf-8").split("\n")[0].split(":")[1].split()[0]
        found[expected].append(path)
    return found


def test_rules_that_ask_for_currents_say_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """`solved` is written beside the rule: held against what each asks for. Two rules
    are of those that go first: of packs side by side, and of motor current that goes astray. They
    say themselves what flows. Of connectors only the cure asks: which class bears it."""
    asked: set[str] = set()
    made = flows.Flows.__init__

    def noted(self: flows.Flows, *args: object, **keys: object) -> None:
        asked.add(now)
        made(self, *args, **keys)  # type: ignore[arg-type]

    monkeypatch.setattr(flows.Flows, "__init__", noted)
    for now, paths in own_examples().items():
        for path in paths:
            plan = load_plan(str(path))
            list(RULES[now].check(Desk(plan, build(plan))))
    first = {"unlike-parallel-packs", "stray-return", "connectors-differ"}
    assert asked - first == {n for n, r in all_rules().items() if r.solved}


@pytest.mark.parametrize("name", all_rules())
def test_a_severity_printed_is_a_severity_listed(name: str) -> None:
    """What a module names after its decorator is what its findings can have."""
    rule = RULES[name]
    source = (ROOT / "harness" / "rules" / rule.family / f"{name.replace('-', '_')}.py").read_text()
    named = {Severity[word] for word in re.findall(r"Severity\.([A-Z]+)", source)}
    assert set(rule.severities) == named
    assert len(rule.severities) == len(named)
    assert f"{name} " in rule_list()


def test_every_finding_of_the_examples_has_a_listed_severity() -> None:
    for path in BROKEN:
        for finding in report_at(path).findings:
            assert finding.severity in RULES[finding.rule].severities
            assert finding.severity.word in re.split(" to ", RULES[finding.rule].words) or (
                min(RULES[finding.rule].severities) < finding.severity
            )
