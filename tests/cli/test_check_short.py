"""What `check` prints for people is short, and nothing of it is lost to programs.

How many lines are short enough was written down before: 40 for a twin jet's plan with its notes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from kept import report_at
from support import plan_of
from support_cli import Run

from harness.base.finding import Finding, Severity
from harness.cli.frames import report_lines
from harness.cli.say import plain
from harness.rules.alike import told_once
from harness.rules.run import Report, check

EXAMPLES = Path(__file__).parents[2] / "examples"
BROKEN = sorted((EXAMPLES / "broken").glob("*.yaml"))
FANS = (EXAMPLES / "phalarope-14.yaml").read_text("utf-8")
MOST_LINES = 40
MOST_COLUMNS = 100


def forgetful(text: str) -> str:
    """Return the twin jet as it is before anybody metered it, its fans twice as strong."""
    for facts in (r"tested: yes", r"metered: [\d.]+ V", r"failsafe: \w+", r"plug: [\w-]+-y\.\d"):
        text = re.sub(f", {facts}", "", text)
    return text.replace("full-throttle: 30 A", "full-throttle: 60 A")


def lines_of(report: Report, why: bool = False) -> list[str]:
    return [plain(line) for line in report_lines(report, why)]


@pytest.fixture(scope="module")
def fans() -> Report:
    return check(plan_of(forgetful(FANS)))


def test_a_twin_jet_with_all_its_notes_takes_forty_lines(fans: Report) -> None:
    at_length, short = lines_of(fans, why=True), lines_of(fans)
    assert len(at_length) > 180, "the plan is no longer the one this is asked of"
    assert len(short) <= MOST_LINES
    assert len(fans.findings) > 25


def test_what_is_plugged_in_nowhere_is_one_list() -> None:
    """The plan as it is typed first: no plug placed, each is told in one line with its socket."""
    bare = re.sub(r", plug: [\w.-]+(?=[,}])", "", forgetful(FANS))
    report = check(plan_of(bare))
    open_ = [f for f in report.findings if f.rule == "plug-not-placed"]
    assert len(open_) > 8, "the plan is no longer the one this is asked of"
    lines = lines_of(report)
    assert len(lines) <= MOST_LINES
    head = next(n for n, line in enumerate(lines) if "these plugs go" in line)
    listed = "\n".join(line for line in lines[head + 1 :] if line.startswith("  line "))
    assert "\n".join(lines).count("[plug-not-placed]") == 1
    for finding in open_:
        assert finding.parts[0] in listed
        first = finding.help.partition(" (`plug: ")[0]
        assert first.split(" into ")[-1].split(",")[0].split(" ")[0] in listed
    assert sum("[plug-not-placed]" in line for line in lines_of(report, why=True)) == len(open_)


def test_left_and_right_are_told_once_with_both_names(fans: Report) -> None:
    text = "\n".join(lines_of(fans))
    for rule in ("esc-load", "plug-load"):
        assert text.count(f"[{rule}]") == 1
    assert 'ESC "esc-left" (and esc-right) is rated 50 A' in text
    assert 'pack "pack-left" (and pack-right)' in text


@pytest.mark.parametrize("path", BROKEN, ids=lambda p: p.stem)
def test_every_broken_example_is_short_and_names_every_part(path: Path) -> None:
    report = report_at(path)
    lines = lines_of(report)
    text = "\n".join(lines)
    assert len(lines) <= MOST_LINES
    for finding in report.findings:
        assert f"[{finding.rule}]" in text
        named = [part for part in finding.parts if f'"{part}"' in finding.message]
        assert all(part in text for part in named)
    told = [int(m[1]) for line in lines if (m := re.match(rf"{re.escape(str(path))}:(\d+):", line))]
    assert told == [f.span.line for f in of_faults(report)]
    at_length = "\n".join(lines_of(report, why=True))
    for finding in report.findings:
        assert all(f"{what}: {value}" in at_length for what, value in finding.numbers)


def of_faults(report: Report) -> Iterator[Finding]:
    """What is told as findings, worst first; the notes that wait for the meter are a list."""
    waits = {"lead-not-tested", "bec-not-metered"}
    judged = [f for f in report.findings if f.rule not in waits]
    found = told_once(report.plan, judged)
    assert [f.severity for f in found] == sorted((f.severity for f in found), reverse=True)
    return iter(found)


def test_what_to_do_takes_two_lines_of_a_terminal() -> None:
    """Of all findings in the broken examples; a sentence that names many plugs may be longer."""
    helps = [
        f"  do: {f.help}"
        for path in BROKEN
        for f in report_at(path).findings
        if f.severity > Severity.NOTE
    ]
    longer = [text for text in helps if len(text) > 2 * MOST_COLUMNS]
    assert len(longer) <= 1, longer


def test_json_and_sarif_hold_every_finding_with_its_figures(
    run: Run, tmp_path: Path, fans: Report
) -> None:
    (tmp_path / "fans.yaml").write_text(forgetful(FANS))
    (plan,) = json.loads(run("check", "fans.yaml", "--format", "json").out)["plans"]
    assert len(plan["findings"]) == len(fans.findings)
    told = sorted((f["rule"], f["message"], f["help"], *f["parts"]) for f in plan["findings"])
    assert told == sorted((f.rule, f.message, f.help, *f.parts) for f in fans.findings)
    log = json.loads(run("check", "fans.yaml", "--format", "sarif").out)
    figures = [
        (r["ruleId"], [(n["what"], n["value"]) for n in r["properties"]["numbers"]])
        for r in log["runs"][0]["results"]
    ]
    assert sorted(figures) == sorted(
        (f["rule"], [(n["what"], n["value"]) for n in f["numbers"]]) for f in plan["findings"]
    )


TWO = """
receivers: {{rx: {{sockets: 8}}}}
leads:
  {one}: {{kind: y, plug: rx.1}}
  {other}: {{{like}plug: rx.2}}
"""
KEY = "kind: y, "


@pytest.mark.parametrize(
    ("one", "other", "like", "told"),
    [
        ("a-left", "a-right", KEY, 1),
        ("a-port", "a-starboard", KEY, 1),
        ("alpha", "beta", "like: alpha, ", 1),
        ("alpha", "beta", KEY, 2),
    ],
)
def test_what_makes_two_findings_one(one: str, other: str, like: str, told: int) -> None:
    """Twins by their sides or by `like:`; two parts that only happen to be alike stay two."""
    text = TWO.format(one=one, other=other, like=like)
    report = check(plan_of(text))
    faults = [f for f in report.findings if f.rule == "lead-not-tested"]
    assert len(faults) == 2
    found = told_once(report.plan, faults)
    assert len(found) == told
    if told == 1:
        assert one in found[0].message
        assert other in found[0].message
        assert {one, other} <= set(found[0].parts)
