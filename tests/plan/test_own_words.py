"""Words of a plan's own for functions and sides."""

from __future__ import annotations

import pytest
from control_support import found, missing
from support import plan_of, rules_of

from harness.reading.problems import PlanError
from harness.wiring.build import build
from harness.wiring.codes import codes_of

OWN = "functions: {querruder: aileron, links: {side: left}, rechts: {side: right}}\n"
PAIR = (
    "channels: {1: querruder}\n"
    "receivers: {rx: {sockets: 8}}\n"
    "servos: {querruder-links: {moves: querruder, shaft: left, plug: y.1},"
    " querruder-rechts: {moves: querruder, shaft: left, plug: y.2}}\n"
    "leads: {y: {kind: y, plug: rx.1}}\n"
)


def test_a_word_of_the_plan_is_judged_as_what_it_means() -> None:
    (finding,) = found("shared-channel-motion", OWN + PAIR)
    assert "ailerons must move opposite ways" in finding.message
    assert found("shared-channel-motion", PAIR) == []
    (gap,) = missing("shared-channel-motion", PAIR)
    assert gap.part == "querruder-links"


def test_sides_and_label_codes_follow() -> None:
    plan = plan_of(OWN + PAIR)
    assert [plan.side(part) for part in plan.parts.values() if part.swings] == ["left", "right"]
    assert {code for (part, _), code in codes_of(build(plan)).items() if "quer" in part} == {
        "AIL-L", "AIL-R",
    }  # fmt: skip


def test_a_word_may_stand_for_a_function_and_its_side() -> None:
    words = plan_of("functions: {backbord: aileron-left}").words
    assert (words.base("backbord"), words.side("backbord")) == ("aileron", "left")


@pytest.mark.parametrize(
    ("own", "rule"),
    [
        ("wedge: {mixes: [elevator, aileron]}", "mix-needs-own-channel"),
        ("wedge: {pair: own}", "mix-needs-own-channel"),
        ("wedge: {pair: same}", "shared-channel-motion"),
        ("wedge: {pair: any}", ""),
        ("wedge: {means: flap}", "shared-channel-motion"),
        ("wedge: {means: aileron}", ""),
    ],
)
def test_what_a_word_says_for_itself(own: str, rule: str) -> None:
    text = (
        f"functions: {{{own}}}\nchannels: {{1: wedge}}\nreceivers: {{rx: {{sockets: 6}}}}\n"
        "servos: {w-left: {moves: wedge, shaft: left, plug: y.1},"
        " w-right: {moves: wedge, shaft: right, plug: y.2}}\nleads: {y: {kind: y, plug: rx.1}}\n"
    )
    assert rules_of(text) == ([rule] if rule else [])
    assert missing("shared-channel-motion", text) == []


def test_a_word_of_the_table_can_be_given_another_meaning() -> None:
    assert plan_of("functions: {hook: {pair: same}}").words.pair("tow-hook") == "same"
    assert plan_of("functions: {chute: {pair: any}}").words.pair("chute") == "any"
    assert plan_of("functions: {}").words.pair("hook") == "seen"


def test_a_word_hangs_on_the_channel_it_says() -> None:
    servo = "channels: {4: rudder}\nservos: {s: {moves: keel, plug: rx.4}}\n"
    assert "wrong-channel" in rules_of("receivers: {rx: {sockets: 6}}\n" + servo)
    own = "functions: {keel: {on: rudder}}\nreceivers: {rx: {sockets: 6}}\n"
    assert "wrong-channel" not in rules_of(own + servo)


@pytest.mark.parametrize(
    ("own", "message"),
    [
        ("a: elevatr", 'there is no function "elevatr"'),
        ("a: {mixes: [aileron, foo]}", 'there is no function "foo"'),
        ("a: {on: foo}", 'there is no function "foo"'),
        ("a: {means: flap, pair: same}", "`means`, which tells all"),
        ("a: {side: left, pair: same}", "`side`, which tells all"),
        ("a: b, b: a", 'there is no function "b"'),
        ("a: {pair: sideways}", "sideways"),
        ("a: {side: top}", "top"),
    ],
)
def test_what_cannot_be_meant_is_refused(own: str, message: str) -> None:
    with pytest.raises(PlanError) as refused:
        plan_of(f"functions: {{{own}}}")
    assert any(message in problem.message for problem in refused.value.problems)
