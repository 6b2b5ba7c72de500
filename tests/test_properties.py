"""What must hold for any plan and for any text: found by hypothesis, not by us.

HARNESS_EXAMPLES=2000 looks further than the steady hundred of a usual run.
"""

from __future__ import annotations

import json
import os
import random
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from strategies import Data, as_yaml, ids_of, plans, renamed, reordered

from harness.airframe.kit import kit_of
from harness.airframe.steps import is_live
from harness.base.finding import Finding
from harness.base.span import Source
from harness.bench.build import protocol_of
from harness.bench.record import form_text
from harness.documents.changes import all_changes
from harness.documents.kit import kit_paper
from harness.documents.lengths import lengths_figures
from harness.documents.steps import steps_json, steps_paper
from harness.documents.transmitter import transmitter_paper
from harness.paper import render, render_figures
from harness.plan.load import parse_plan
from harness.plan.results import parse_results
from harness.plan.schema import plan_schema
from harness.reading.problems import PlanError
from harness.rules.run import Report, check

ROOT = Path(__file__).parents[1]
COUNT = int(os.environ.get("HARNESS_EXAMPLES", "0"))
STEADY = settings(
    derandomize=not COUNT,
    max_examples=COUNT or 100,
    deadline=None,
    database=None,
    phases=[Phase.generate, Phase.shrink],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
VALIDATOR = jsonschema.Draft202012Validator(plan_schema())


def report_of(data: Data, flow: bool | None = False) -> Report:
    return check(parse_plan(Source("plan.yaml", as_yaml(data, flow))))


def speller(names: dict[str, str] | None) -> Callable[[str], str]:
    """Return what gives a text its old ids back, and takes the places in the file out."""
    back = {new: old for old, new in (names or {}).items()}
    ids = "|".join(sorted(map(re.escape, back), key=len, reverse=True)) or "(?!)"

    def said(text: str) -> str:
        text = re.sub(r"\bline \d+", "line", text)
        return re.sub(rf"(?<![\w-])({ids})(?![\w-])", lambda m: back[m[1]], text)

    return said


def all_findings(report: Report) -> list[Finding]:
    return [*report.findings, *(accepted.finding for accepted in report.accepted)]


def judged(report: Report, names: dict[str, str] | None = None) -> list[Any]:
    """Return all that a report says, with ids renamed back and without places in the file."""
    said = speller(names)
    rows = [
        (f.rule, f.severity.word, said(f.message), said(f.help), [said(p) for p in f.parts],
         [(said(what), said(value)) for what, value in f.numbers])
        for f in all_findings(report)
    ]  # fmt: skip
    return sorted(rows) + sorted((u.rule, said(u.part), said(u.missing)) for u in report.unknown)


def gist(report: Report, names: dict[str, str] | None = None) -> list[Any]:
    """Return what is wrong and by how much, but not where.

    Of two parts alike in all but name, a rule may mark the one that stands first.
    """
    said = speller(names)
    rows = [
        (f.rule, f.severity.word, sorted((said(what), said(value)) for what, value in f.numbers))
        for f in all_findings(report)
    ]
    return sorted(rows) + sorted({(u.rule, said(u.missing)) for u in report.unknown})


@STEADY
@given(plans(), st.sampled_from([True, False, None]))
def test_any_generated_plan_loads_and_is_judged(data: Data, flow: bool | None) -> None:
    report = report_of(data, flow)
    assert list(report.plan.parts) == sorted(
        report.plan.parts, key=lambda name: report.plan.parts[name].span
    )
    assert sorted(report.plan.parts) == sorted(ids_of(data))


@STEADY
@given(plans())
def test_any_generated_plan_is_valid_by_the_schema(data: Data) -> None:
    errors = [e.message for e in VALIDATOR.iter_errors(json.loads(json.dumps(data)))]
    assert errors == []


@STEADY
@given(plans(), st.data())
def test_the_order_of_the_file_changes_no_finding(data: Data, more: st.DataObject) -> None:
    other = reordered(data, more.draw)
    assert gist(report_of(other)) == gist(report_of(data))


@STEADY
@given(plans())
def test_renaming_parts_changes_no_finding(data: Data) -> None:
    """The new names sort as the old ones: of two plugs in one socket the first by name is in."""
    names = {old: f"z{old}" for old in ids_of(data)}
    assert judged(report_of(renamed(data, names)), names) == judged(report_of(data))


@STEADY
@given(plans(once=True), st.randoms(use_true_random=False))
def test_any_other_names_change_no_finding(data: Data, chance: random.Random) -> None:
    """Where no socket is used twice, the names may sort in any way. Sides stay in the names."""
    old = ids_of(data)
    numbers = chance.sample(range(100, 999), len(old))
    sides = [re.search(r"(-left|-right)?$", name) for name in old]
    new = [f"w{n}{side[0] if side else ''}" for n, side in zip(numbers, sides, strict=True)]
    names = dict(zip(old, new, strict=True))
    assert gist(report_of(renamed(data, names)), names) == gist(report_of(data))


def example_texts() -> list[str]:
    return [
        path.read_text("utf-8")
        for path in sorted(ROOT.glob("examples/*.yaml"))
        if "." not in path.stem
    ]


EVERY_KIND = (ROOT / "tests" / "every_kind.yaml").read_text("utf-8")
TOKEN = re.compile(r"[\w.-]+|\s+|[^\w\s]")


@st.composite
def mutations(draw: Any) -> str:
    """Return the text of a plan with some signs, words or lines lost, doubled or swapped."""
    text = draw(st.sampled_from([*example_texts(), EVERY_KIND]))
    for _ in range(draw(st.integers(1, 3))):
        unit = draw(st.sampled_from(["sign", "word", "line"]))
        pieces = {"sign": list, "word": TOKEN.findall, "line": str.splitlines}[unit](text)
        if len(pieces) < 2:
            return str(text)
        one, other = (draw(st.integers(0, len(pieces) - 1)) for _ in range(2))
        change = draw(st.sampled_from(["lose", "double", "swap", "copy"]))
        if change == "lose":
            del pieces[one]
        elif change == "double":
            pieces.insert(one, pieces[one])
        elif change == "copy":
            pieces[one] = pieces[other]
        else:
            pieces[one], pieces[other] = pieces[other], pieces[one]
        text = ("\n" if unit == "line" else "").join(pieces)
    return str(text)


@settings(STEADY, max_examples=COUNT or 200)
@given(mutations())
def test_any_mutation_gives_findings_or_a_clear_error(text: str) -> None:
    source = Source("plan.yaml", text)
    try:
        check(parse_plan(source))
    except PlanError as error:
        lines = text.count("\n") + 1
        assert error.problems
        assert all(1 <= p.span.line <= lines + 1 and p.message for p in error.problems)


@settings(STEADY, max_examples=COUNT or 200)
@given(st.text(st.sampled_from("ab: \n-[]{},&*!|>'\"%@#?0\t~<.\u2028é"), max_size=60))
def test_any_text_gives_a_clear_error(text: str) -> None:
    with pytest.raises(PlanError):
        parse_plan(Source("plan.yaml", text))


def test_every_kind_of_part_stands_in_the_plan_that_is_mutated() -> None:
    from harness.parts.kinds import GROUPS

    plan = parse_plan(Source("every_kind.yaml", EVERY_KIND))
    assert {type(part) for part in plan.parts.values()} == set(GROUPS.values())


OUTPUTS = """
from harness import check, load_plan
from harness.cli.frames import report_lines
from harness.cli.machine import to_json, to_sarif
from harness.cli.plans import plan_paths
paths = plan_paths(["examples", "tests/every_kind.yaml"])
reports = [check(load_plan(path)) for path in paths]
print(*(line for report in reports for line in report_lines(report)), sep="\\n")
print(to_json(reports, ()), to_sarif(reports, ()), sep="\\n")
"""


def outputs(seed: str) -> bytes:
    """Text, JSON and SARIF of every example, also the broken ones, in a process of their own."""
    environment = {**os.environ, "PYTHONHASHSEED": seed}
    command = [sys.executable, "-c", OUTPUTS]
    return subprocess.run(
        command, cwd=ROOT, env=environment, capture_output=True, check=True, timeout=120
    ).stdout


def test_output_does_not_depend_on_the_hash_seed() -> None:
    first, second = outputs("1"), outputs("4242")
    assert len(first) > 100_000
    assert first == second


@settings(STEADY, max_examples=COUNT or 40)
@given(plans())
def test_any_generated_plan_gives_every_document(data: Data) -> None:
    """Work and tests are the plan's: each plug that may be made is one step, each lead one test."""
    report = report_of(data)
    steps = json.loads(steps_json(report))["steps"]
    able = [m for m in report.wiring.mates if m.socket is not None and m.fits and m.first]
    able = [m for m in able if not (report.first and is_live(m))]  # mend what stands first
    assert sorted(s["plug"] for s in steps if s["plug"]) == sorted(
        ".".join(m.plug.id) for m in able
    )
    kit = kit_of(report.plan)
    assert sum(u.count for u in kit.used) + sum(e.count for e in kit.left) == sum(
        piece.count for piece in report.plan.kit
    )
    protocol = protocol_of(report.wiring)
    assert list(parse_results(Source("r.yaml", filled(form_text(protocol)))).tests) == list(
        protocol.tests
    )
    for document in (kit_paper(report.wiring), transmitter_paper(report), steps_paper(report)):
        assert report.plan.aircraft in str(render(document, "text"))
    assert render_figures(lengths_figures(report.wiring), "table")


def filled(form: str) -> str:
    return form.replace("\ndate:", "\ndate: 2026-10-02")


@settings(STEADY, max_examples=COUNT or 40)
@given(plans(), st.data())
def test_the_order_of_the_file_is_no_change(data: Data, more: st.DataObject) -> None:
    one, other = report_of(data), report_of(reordered(data, more.draw))
    assert all_changes(one, other).changes == ()
    assert kit_facts(one) == kit_facts(other)
    assert [s["plug"] for s in json.loads(steps_json(one))["steps"]] == [
        s["plug"] for s in json.loads(steps_json(other))["steps"]
    ]


def kit_facts(report: Report) -> list[Any]:
    kit = kit_of(report.plan)
    used = [(u.piece.kind, u.piece.length, u.part.id, u.count) for u in kit.used]
    return [used, sorted((m.need.part.id, m.count) for m in kit.missing)]
