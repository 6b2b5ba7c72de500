"""Advice on other aeroplanes: a sound one gets one fault; followed, it is sound again."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import permutations
from pathlib import Path

import pytest

from harness.base.finding import Finding, Severity
from harness.base.span import Source
from harness.parts.servo import Servo
from harness.plan.load import load_plan, parse_plan
from harness.plan.plan import Plan
from harness.plan.rewrite import SetKey, apply
from harness.rules.run import check

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
SOUND = [path for path in EXAMPLES if "." not in path.stem]
INTO = re.compile(r'(?:plug|put) (?:servo "(?P<part>[\w-]+)"|it) into (?P<into>[\w-]+\.[\w-]+)')
AND = re.compile(r'and servo "(?P<part>[\w-]+)", which is there, into (?P<into>[\w-]+\.[\w-]+)')


def direct(plan: Plan) -> dict[str, str]:
    """Return the servos that sit in a receiver's socket, and which."""
    boxes = {part.id for part in plan.parts.values() if part.is_radio}
    plugs = {servo.id: servo.plug for servo in plan.of(Servo) if servo.plug is not None}
    return {name: join.into for name, join in plugs.items() if join.into.split(".")[0] in boxes}


def replugged(plan: Plan, plugs: dict[str, str]) -> Plan:
    text = apply(plan, [SetKey(part, "plug", into) for part, into in plugs.items()])
    return parse_plan(Source("plan.yaml", text))


def faults() -> Iterator[tuple[Path, str, dict[str, str]]]:
    """Yield plans, the rule that must speak, and where some servos are plugged wrongly."""
    for path in SOUND:
        plan = load_plan(str(path))
        there, does = direct(plan), {servo.id: servo.does for servo in plan.of(Servo)}
        pairs = [(a, b) for a, b in permutations(sorted(there), 2)
                 if there[a].split(".")[0] == there[b].split(".")[0] and does[a] != does[b]
                 and {does[a], does[b]} != {"rudder", "steering"}]  # fmt: skip
        for one, other in pairs[:4]:
            yield path, "socket-used-twice", {one: there[other]}
            if len({socket.split(".")[0] for socket in there.values()}) == 1:
                yield path, "wrong-channel", {one: there[other], other: there[one]}
        for one in sorted(there)[:2]:
            yield path, "no-such-socket", {one: f"{there[one].split('.')[0]}.99"}


FAULTS = list(faults())


def test_there_are_faults_of_each_sort() -> None:
    assert {rule for _, rule, _ in FAULTS} == {
        "socket-used-twice", "wrong-channel", "no-such-socket"
    }  # fmt: skip


def bad(plan: Plan) -> list[Finding]:
    return [f for f in check(plan).findings if f.severity >= Severity.WARNING]


@pytest.mark.parametrize(("path", "rule", "plugs"), FAULTS, ids=str)
def test_what_is_plugged_wrong_is_sent_home(path: Path, rule: str, plugs: dict[str, str]) -> None:
    plan = load_plan(str(path))
    assert bad(plan) == []
    wrong = replugged(plan, plugs)
    found = [f for f in bad(wrong) if f.rule == rule]
    assert found
    edits: dict[str, str] = {}
    for finding in found[:1]:
        for match in (INTO.search(finding.help), AND.search(finding.help)):
            if match is not None:
                edits[match["part"] or finding.parts[0]] = match["into"]
    assert edits, found[0].help
    assert [f.message for f in bad(replugged(wrong, edits))] == []
