"""One question has one answer in the papers too: what is told of sockets, leads, gear, findings.

Transmitter sheet, steps, protocol, traces, kit, labels, time line and the messages of the findings
are read as they are printed (or as JSON, which has the same words) and held against each other.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from documents.test_one_voice import EXAMPLES, Pair, amps, worst
from kept import report_at

from harness.base.finding import Finding
from harness.base.refusal import Refusal
from harness.base.units import VOLTAGE, format_quantity
from harness.documents import reckoning
from harness.documents.figures.load import solved_of
from harness.documents.figures.solved import SolvedPlan
from harness.documents.kit import kit_csv
from harness.documents.leads import lead_list
from harness.documents.plan_labels import labels_for
from harness.documents.protocol import protocol_json
from harness.documents.steps import steps_json
from harness.documents.trace import trace_text
from harness.documents.transmitter import transmitter_json
from harness.electrics.flows import flows_of
from harness.electrics.solver.circuit import NotSolved
from harness.facts.mend_first import as_if_words
from harness.rules.run import Report

OBEYS = re.compile(r"so it obeys channel (\S+): (.+?)(?:, failsafe (.+))?$", re.M)
GOES = re.compile(
    r"^ *(?:\d+\. )?([^\s:][^():\n]*?) \([^\n]*?\) goes into "
    r"(?:socket (\S+) of )?(?:.*?)\"([^\"]+)\"",
    re.M,
)
PLUGS = re.compile(r"into (?:socket (\S+) of )?[^\"]*\"([^\"]+)\"")
CARRIES = re.compile(r"carries (\S+ m?A) continuously(?:, (\S+ m?A) for seconds)?")
AMPERES = re.compile(
    r"(?<!bears )(?<![\w.])([\d.]+ m?A)(?: (?:continuously|at once|flow through it"
    r"|with fresh packs)\b| \(in ([\w-]+)\)| in ([\w-]+)\))"
)
VOLTS = re.compile(r"(?:gets|sags to|fall to) (\S+ m?V)( each)?(?: at \S+ m?A)? \(in ([\w-]+)\)")


@cache
def traces(path: Path) -> dict[str, str]:
    wiring = report_at(path).wiring
    return {part: trace_text(wiring, part) for part in wiring.plan.parts}


@cache
def sheet(path: Path) -> dict[str, Any]:
    return json.loads(transmitter_json(report_at(path)))  # type: ignore[no-any-return]


@cache
def protocol(path: Path) -> list[dict[str, Any]]:
    return json.loads(protocol_json(report_at(path)))["tests"]  # type: ignore[no-any-return]


@cache
def steps(path: Path) -> list[dict[str, Any]]:
    return json.loads(steps_json(report_at(path)))["steps"]  # type: ignore[no-any-return]


def controls(path: Path) -> Iterator[Pair]:
    """Which channel drives what, and its failsafe: trace, transmitter sheet, protocol."""
    channels = {row["channel"]: row for row in sheet(path)["channels"]}
    for part, text in traces(path).items():
        for number, function, failsafe in OBEYS.findall(text):
            row = channels[number]
            boxes = {d["part"] for d in row["devices"]}
            if part in boxes:
                yield Pair(f"channel of {part}, function", function, row["function"])
            yield Pair(f"channel of {part}, failsafe", failsafe or None, row["failsafe"])
    for test in protocol(path):
        kind, _, number = test["id"].partition(".")
        if kind == "failsafe" and number in channels and channels[number]["failsafe"]:
            yield Pair(f"failsafe {number}", test["expected"], channels[number]["failsafe"])


def directions(path: Path) -> Iterator[Pair]:
    """Which way each surface goes: transmitter sheet and protocol."""
    asked = {test["test"]: test["expected"] for test in protocol(path)}
    for turn in sheet(path)["directions"]:
        for move in turn["moves"]:
            way, _, where = move["goes"].partition(" ")
            title = f"{turn['stick']}: {move['part']} goes{where and f' {where}'}"
            if title in asked:
                yield Pair(f"direction {title}", asked[title], way)


def sockets(path: Path) -> Iterator[Pair]:
    """What plugs in where, with which pins pulled: lead list, trace and steps."""
    rows: dict[str, set[tuple[str, str]]] = {}
    pulled: dict[str, str] = {}
    two_plugs: set[str] = set()
    for row in lead_list(report_at(path).wiring).rows:
        part = report_at(path).plan.parts[row["lead"]]
        two_plugs |= {row["label"]} if part.kind == "two-plug" else set()
        for end in "AB" if part.kind == "two-plug" else "A":
            ends = zip(row[f"{end} part"].split("; "), row[f"{end} socket"].split("; "),
                       strict=False)  # fmt: skip
            rows.setdefault(row["label"], set()).update(ends)
        pulled[row["label"]] = pulled.get(row["label"], "") + row["A pulled"]
    for name, text in traces(path).items():
        for code, socket, into in GOES.findall(text):
            yield from _same_socket(f"plug {code} in the trace of {name}", socket, into, rows[code])
    for step in steps(path):
        if step["plug"] and (told := PLUGS.search(step["text"])):
            code = step["labels"][0]
            yield from _same_socket(f"plug {code} in the steps", *told.groups(), rows[code])
            if "found" not in " ".join(step["details"]) and code not in two_plugs:
                yield Pair(f"plug {code} pulled", any("pulled" in d for d in step["details"]),
                           bool(pulled[code]))  # fmt: skip


def _same_socket(what: str, socket: str, into: str, ends: set[tuple[str, str]]) -> Iterator[Pair]:
    found = [end for end in ends if end[0] == into and socket in {"", None, end[1]}]
    yield Pair(what, (into, socket), (into, socket) if found else ends)


def leads(path: Path) -> Iterator[Pair]:
    """Gauge and current of each lead: trace, lead list and shopping list."""
    rows = {row["label"]: row for row in lead_list(report_at(path).wiring).rows}
    of_part: dict[str, set[str]] = {}
    for row in rows.values():
        of_part.setdefault(row["lead"], set()).add(row["gauge"])
    for text in traces(path).values():
        own = text.partition("Its leads\n")[2].split("\n  Figures")[0]
        for block in re.split(r"\n {4}(?=\S+: )", "\n" + own)[1:]:
            code, _, rest = block.partition(": ")
            if code not in rows:
                continue
            gauge = re.search(r", (\S+ (?:AWG|mm2))", rest.splitlines()[0])
            yield Pair(f"lead {code} gauge", gauge[1] if gauge else "", rows[code]["gauge"])
            if told := CARRIES.search(rest):
                yield Pair(f"lead {code} lasting", told[1], rows[code]["load"])
                yield Pair(f"lead {code} seconds", told[2] or told[1], rows[code]["load short"])
    for row in csv.DictReader(io.StringIO(kit_csv(report_at(path).wiring))):
        for part in row["for"].split("; ") if row["status"] == "buy" else ():
            if part in of_part and re.fullmatch(r"\S+ (AWG|mm2)", row["wire"]):
                yield Pair(f"kit {part} gauge", {row["wire"]}, of_part[part])


def codes(path: Path) -> Iterator[Pair]:
    """The label codes: labels, lead list, and all that is told by a code."""
    wiring = report_at(path).wiring
    known = {row["label"] for row in lead_list(wiring).rows}
    yield Pair("codes of the labels", {label.code for label in labels_for(wiring)} - known, set())
    for what, rows in (("steps", steps(path)), ("protocol", protocol(path))):
        for row in rows:
            yield Pair(f"codes in {what} {row.get('id', row.get('key'))}",
                       set(row["labels"]) - known, set())  # fmt: skip
    for row in sheet(path)["channels"]:
        for device in row["devices"]:
            told = set((device["labels"] or "").split(", ")) - {""}
            yield Pair(f"codes of {device['part']}, transmitter", told - known, set())


def gear(path: Path) -> Iterator[Pair]:
    """When each part has arrived: time line, transmitter sheet and protocol."""
    try:
        lines = {
            one.stem: one.figures().data for one in reckoning.timelines(report_at(path).wiring)
        }
    except (Refusal, NotSolved):
        return
    for data in lines.values():
        events = {(run["name"], e["part"], e["what"]): e["time_seconds"]
                  for run in data["runs"] for e in run["events"]}  # fmt: skip
        for test in protocol(path):
            found = re.match(r"gear-time\.(\S+?)\.(up|down)\.", test["id"])
            if found is None or test["least"] is None:
                continue
            state = "up" if " up after" in test["test"] else "down"
            times = [t for (run, part, what), t in events.items()
                     if run == found[2] and what == f"is {state}"
                     and part in test["parts"]]  # fmt: skip
            if times:
                last = max(times)
                yield Pair(f"gear {test['id']}", True, test["least"] <= last <= test["most"])


def findings(path: Path) -> Iterator[Pair]:
    """The amperes and volts in the messages of the findings: they stand in the load table."""
    report = report_at(path)
    try:
        solved = solved_of(report.wiring)
    except (Refusal, NotSolved):
        return
    if not solved.outcome.trouble:
        names = {case.name: n for n, case in enumerate(solved.outcome.cases)}
        for finding in report.findings:
            yield from _told_amps(report, solved, finding, names)
            yield from _told_volts(report, solved, finding, names)


def _told_amps(
    report: Report, solved: SolvedPlan, finding: Finding, names: dict[str, int]
) -> Iterator[Pair]:
    """What a supply is asked for and does not give stands in the table's first sentences."""
    rows = [row for row in solved.rows if row.part in finding.parts]
    known = {text for row in rows for text in worst(solved, row)}
    if flows_of(solved.outcome.wiring).outcome is not solved.outcome:
        points = reckoning.load(report.wiring).figures().sheet.points
        known |= {a for p in points for a in re.findall(r"asked for (\S+ A) in", p.text)}
        if finding.rule != "bec-load":
            return
    for said, *cases in AMPERES.findall(finding.message):
        case = next(filter(None, cases), "")
        there = {amps(abs(float(row.amps[names[case]]))) for row in rows} if case else known
        yield Pair(f"{finding.rule} of {finding.parts}, {case or 'amperes'}",
                   said, said if said in there else sorted(there))  # fmt: skip


def _told_volts(
    report: Report, solved: SolvedPlan, finding: Finding, names: dict[str, int]
) -> Iterator[Pair]:
    for said, each, case in VOLTS.findall(finding.message):
        part = report.plan.parts[finding.parts[0]]
        rows = [r.volts for r in solved.rows if r.part == part.id and r.volts is not None]
        rows += [solved.outcome.volts_in(part.id, inside) for inside in part.rails]
        cells = getattr(part, "cells", 1) if each else 1
        known = {format_quantity(round(float(volts[names[case]]) / cells, 2), VOLTAGE)
                 for volts in rows}  # fmt: skip
        yield Pair(f"volts of {part.id}, {case}", said, said if said in known else sorted(known))


def packs(path: Path) -> Iterator[Pair]:
    """What is on board, and which packs are joined: endurance, packs joined, findings."""
    report = report_at(path)
    try:
        joined = bool(reckoning.equalise(report.wiring).charts)
    except (Refusal, NotSolved):
        return
    for finding in report.findings:
        if told := re.search(r"holds (\S+ Wh)", finding.message):
            (pack,) = finding.parts
            flown = reckoning.endurance(report.wiring).figures().data["energies"]
            held = {e["pack"]: f"{e['watt_hours']:.0f} Wh" for e in flown}
            yield Pair(f"energy of {pack}", told[1], held[pack])
        if finding.rule == "unlike-parallel-packs":
            yield Pair("joined packs", True, joined)


def feeds(path: Path) -> Iterator[Pair]:
    """Which source feeds what: said by the source, and by each part."""
    told = {} if as_if_words(report_at(path).wiring) else traces(path)
    for name, text in told.items():
        for parts in re.findall(r"gives \S+ m?A .*\(for (.+)\)$", text, re.M):
            for part in re.split(r", | and ", parts):
                if part in told:
                    yield Pair(f"fed {part} by {name}", True, f'"{name}"' in told[part])


EVERY = (controls, directions, sockets, leads, codes, gear, findings, packs, feeds)


@cache
def every_pair(path: Path) -> tuple[Pair, ...]:
    return tuple(pair for compared in EVERY for pair in compared(path))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_papers_agree(path: Path) -> None:
    pairs = every_pair(path)
    assert [pair for pair in pairs if pair.one != pair.other] == []


def test_enough_is_compared() -> None:
    pairs = [pair for path in EXAMPLES for pair in every_pair(path)]
    kinds = {pair.what.split()[0] for pair in pairs}
    assert {"channel", "failsafe", "direction", "plug", "lead", "kit", "codes", "gear", "volts",
            "wire-load", "bec-load", "energy", "joined", "fed"} <= kinds  # fmt: skip
    assert len(pairs) > 10000
