"""No document shows figures as if an open place were closed without a word.

Which places are at fault is said by the findings; that what is not whole must be named is the thing
itself, no source.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from kept import report_at
from support import report_of

from harness.base.refusal import Refusal
from harness.diagram.currents import WORST, Currents
from harness.diagram.dot import dot_files
from harness.diagram.stages import ViewWish
from harness.documents import reckoning
from harness.documents.build_book.chapters import leads_chapter, traces_chapter
from harness.documents.charts import written
from harness.documents.leads import lead_document, lead_list
from harness.documents.protocol import protocol_chapter, protocol_csv
from harness.documents.steps import steps_chapter
from harness.documents.trace import trace_text
from harness.facts.mend_first import as_if_words
from harness.paper.blocks import Say
from harness.rules.run import Report

ROOT = Path(__file__).parents[2] / "examples"
OPEN = {
    "power-lead-one-wire-open": 'the black wire of power lead "ext" was found open (plan line 18)',
    "battery-pin-pulled": "the red pin of esc into ext.1 is pulled (plan line 15)",
    "pulled-signal": "the signal pin of esc-right into throttle-y.2 is pulled (plan line 13)",
    "own-signal-wire-open": 'the signal wire of servo "elevator" was found open (plan line 18)',
    "leg-pin-pulled": "the black pin of leg-nose into nose-ext.1 is pulled (plan line 18)",
}


def at(name: str) -> Report:
    return report_at(ROOT / "broken" / f"{name}.yaml")


@pytest.mark.parametrize("name", OPEN)
def test_every_document_of_figures_begins_with_what_it_takes_to_be_whole(name: str) -> None:
    report = at(name)
    wiring, why = report.wiring, f"though {OPEN[name]}: mend it first"
    made = [
        reckoning.load(wiring), reckoning.load(wiring, tolerance="corners"),
        reckoning.equalise(wiring), reckoning.endurance(wiring), *reckoning.timelines(wiring),
    ]  # fmt: skip
    for one in made:
        figures = one.figures()
        assert why in figures.sheet.points[0].text, one.title
        assert why in figures.data["as_if_whole"]
        assert figures.columns[-1] == "as_if_whole"
        assert all(why in one["as_if_whole"] for one in figures.records)
    assert all(why in one["mend first"] for one in lead_list(wiring).rows)
    tests = list(csv.DictReader(io.StringIO(protocol_csv(report))))
    assert tests
    assert all(why in test["mend_first"] for test in tests)
    assert why in lead_document(wiring).sheet.points[0].text
    assert why in Currents(wiring, WORST).about
    assert why in next(iter(reckoning.load_netlist(wiring, "cruise").values()))
    assert "reckoned as if whole" in dot_files(report, ViewWish(case=WORST)).popitem()[1]
    for chapter in (leads_chapter(wiring), traces_chapter(wiring), steps_chapter(report),
                    protocol_chapter(report)):  # fmt: skip
        first = chapter.blocks[0]
        assert isinstance(first, Say), chapter.title
        assert why in first.text, chapter.title
    assert all(why in trace_text(wiring, part) for part in wiring.plan.parts)


def test_a_chart_says_it_too() -> None:
    (chart,) = reckoning.load(at("battery-pin-pulled").wiring).charts
    drawing = written(chart.draw("A4").scene(), "svg")
    assert isinstance(drawing, str)
    assert "reckoned as if whole, though the red pin of esc into ext.1 is pulled" in drawing


def test_a_time_line_says_it() -> None:
    """And it follows the leg as if it were whole: as told."""
    report = at("leg-pin-pulled")
    (line,) = reckoning.timelines(report.wiring)
    assert "the black pin of leg-nose" in line.figures().sheet.points[0].text


@pytest.mark.parametrize("path", sorted(ROOT.rglob("*.yaml"))[::5], ids=lambda p: p.stem)
def test_it_is_said_where_a_finding_has_an_open_place_and_nowhere_else(path: Path) -> None:
    if "." in path.stem or "results" in path.name:
        return
    report = report_at(path)
    of_opens = {"no-source", "pulled-signal", "stray-return", "esc-needs-feed"}
    words = ("pulled", "found open", "found dead")
    told = [f for f in report.findings if f.rule in of_opens and any(w in f.message for w in words)]
    assert bool(as_if_words(report.wiring)) == bool(told)


def test_a_sound_plan_has_the_columns_too_and_says_nothing_in_them() -> None:
    wiring = report_at(ROOT / "saltmarsh-19.yaml").wiring
    load = reckoning.load(wiring).figures()
    assert {one["as_if_whole"] for one in load.records} == {load.data["as_if_whole"]} == {""}
    assert {one["mend first"] for one in lead_list(wiring).rows} == {""}


def test_motor_current_astray_is_mended_before_anything_is_reckoned() -> None:
    report = at("main-negative-open")
    (danger,) = report.findings
    assert (danger.rule, danger.severity.word) == ("stray-return", "danger")
    assert " A by the lead of " in danger.message
    assert "esc-load" in report.waiting
    for make in (reckoning.load, reckoning.equalise, reckoning.endurance):
        with pytest.raises(Refusal, match="stray-return on plan line 17"):
            make(report.wiring)
    assert {row["load"] for row in lead_document(report.wiring).records} == {""}


ASTRAY = """
receivers: {rx: {sockets: 4}}
packs: {main: {chemistry: lipo, cells: 3}}
power-leads: {y: {kind: parallel, ways: 2, supply: main}}
regulators: {r: {volts: 5 V, supply: y.1, plug: rx.batt}}
sensors: {s: {plug: rx.2, current: 20 mA}}
servos: {x: {plug: rx.1, class: 9g-analogue}}
escs: {esc: {bec: none, plug: rx.3, supply: {into: y.2, pulled: negative}}}
motors: {m: {full-throttle: 20 A, plug: esc}}
"""


def test_a_turned_plug_beside_it_leaves_it_a_danger_without_amperes() -> None:
    """What would flow while another plug sits turned helps nobody; that it is a danger does."""
    (alone,) = [f for f in report_of(ASTRAY).findings if f.rule == "stray-return"]
    both = report_of(ASTRAY.replace("plug: rx.1,", "plug: {into: rx.1, turned: yes},"))
    (beside,) = [f for f in both.findings if f.rule == "stray-return"]
    assert [" A by the lead of" in f.message for f in (alone, beside)] == [True, False]
    assert {alone.severity.word, beside.severity.word} == {"danger"}
    assert {f.rule for f in both.first} == {"stray-return", "turned-plug"}


@pytest.mark.parametrize(
    ("name", "part", "says"),
    [
        ("power-lead-one-wire-open", "elevator", "so it obeys nothing: no supply reaches it"),
        ("power-lead-one-wire-open", "esc", "so it obeys nothing: no supply reaches it"),
        ("power-lead-one-wire-open", "motor", "so it does not run"),
        ("own-signal-wire-open", "elevator", "so no signal reaches it"),
        ("leg-pin-pulled", "leg-nose", "so it obeys nothing: no supply reaches it"),
    ],
)
def test_a_trace_does_not_say_that_it_obeys(name: str, part: str, says: str) -> None:
    text = trace_text(at(name).wiring, part)
    assert says in text
    assert "obeys channel" not in text


@pytest.mark.parametrize("name", ["power-lead-one-wire-open", "battery-pin-pulled"])
def test_a_trace_says_that_there_is_no_supply_before_the_way_as_planned(name: str) -> None:
    for part in ("esc", "elevator", "motor"):
        lines = [line.strip() for line in trace_text(at(name).wiring, part).splitlines()]
        assert lines[lines.index("Supply") + 1].startswith("no supply as it stands: the ")
