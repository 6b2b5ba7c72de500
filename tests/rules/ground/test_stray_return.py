"""An open main negative: all of the motor current returns by the signal ground.

ArduPilot, ESC grounding page: the current divides by resistance; with one way gone, by the other.
"""

from __future__ import annotations

import re

import pytest
from support import report_of

from harness.base.finding import Finding, Severity
from harness.electrics.cases import cases_of
from harness.electrics.outcome import outcome_of
from harness.reading.problems import PlanError
from harness.wiring.build import build

PLAN = """
receivers: {rx: {sockets: 6}}
packs: {main: {chemistry: lipo, cells: 4, capacity: 6 Ah, connector: AS150}}
power-leads: {split: {kind: parallel, ways: 3, supply: %s, wire: 10 AWG, length: 50 mm}}
escs:
  left: {bec: {volts: 5 V}, plug: rx.1, supply: %s, wire: 12 AWG, length: 100 mm,
    lead-wire: 16 AWG, lead-length: 50 mm}
  right: {like: left, bec: none, plug: rx.2, supply: %s}
motors:
  one: {full-throttle: 6 A, plug: left}
  two: {full-throttle: 6 A, plug: right}
"""
SOUND = ("main", "split.1", "split.2")
OTHERS = {"ground-loop-share", "wire-load", "lead-load", "plug-load", "thin-lead", "no-source",
          "signal-without-ground", "supply-breaks-down"}  # fmt: skip


def told(text: str) -> list[Finding]:
    found = report_of(text).findings
    assert [f.message for f in found if f.rule in OTHERS] == []
    return [f for f in found if f.rule == "stray-return"]


@pytest.mark.parametrize(
    ("joins", "fact"),
    [
        (("main", "split.1", "{into: split.2, pulled: negative}"), ""),
        (SOUND, "as-found: [{end: right.supply, wire: negative, fact: open}]"),
        (SOUND, "as-found: [{end: split.2, wire: negative, fact: open}]"),
    ],
)
def test_motor_current_in_a_signal_ground_is_a_danger(joins: tuple[str, ...], fact: str) -> None:
    (only,) = told(PLAN % joins + fact)
    assert only.severity is Severity.DANGER
    assert only.parts[-1] == "right"
    assert 'the current of ESC "right" goes by signal leads' in only.message
    assert "black" in only.message
    assert "before a pack is connected" in only.help
    assert "thicker leads are no cure" in only.help


def test_the_amperes_are_those_of_the_open_network() -> None:
    plan = report_of(PLAN % ("main", "split.1", "{into: split.2, pulled: negative}")).plan
    outcome = outcome_of(build(plan), cases_of(plan))
    stray = abs(outcome.stray("right", "plug"))
    (only,) = told(PLAN % ("main", "split.1", "{into: split.2, pulled: negative}"))
    case = [c.name for c in outcome.cases].index(only.numbers[0][0].removeprefix("in "))
    # all that the right ESC draws comes by its red wire and goes by its signal lead
    assert stray[case] == pytest.approx(outcome.drawn("right")[case], rel=0.02)
    assert f"{stray[case]:.3g} A by the lead of ESC" in only.message


@pytest.mark.parametrize("joins", [SOUND, ("main", "split.1", "{into: split.2, pulled: positive}")])
def test_a_sound_lead_or_a_dead_esc_sends_nothing_astray(joins: tuple[str, ...]) -> None:
    found = report_of(PLAN % joins).findings
    assert [f for f in found if f.rule == "stray-return"] == []


def test_an_isolated_esc_is_dead_and_sends_nothing_back() -> None:
    text = PLAN.replace(
        "right: {like: left, bec: none,", "right: {like: left, bec: none, isolated: yes,"
    )
    text %= ("main", "split.1", "{into: split.2, pulled: negative}")
    assert [f.rule for f in report_of(text).findings if f.severity > 2] == ["no-source"]


def test_the_whole_stem_open_sends_all_of_it_by_a_regulator() -> None:
    """Two ESCs on a lead without its black wire: both go home by the radio's own supply."""
    text = PLAN % SOUND + "regulators: {reg: {volts: 5 V, supply: main.balance}}\n"
    text = text.replace("supply: main.balance", "supply: fork.2, plug: rx.batt")
    text = text.replace("{volts: 5 V}", "none").replace("supply: main,", "supply: fork.1,")
    text = text.replace(
        "power-leads: {", "power-leads: {fork: {kind: parallel, ways: 2, supply: main}, "
    )
    text += "as-found: [{end: split, wire: negative, fact: open}]\n"
    (only,) = [f for f in report_of(text).findings if f.rule == "stray-return"]
    assert only.severity is Severity.DANGER
    assert {"left", "right"} <= set(only.parts)
    assert 'by the lead of regulator "reg"' in only.message


def test_a_regulator_whose_black_wire_is_open_is_an_error() -> None:
    text = PLAN % SOUND + "regulators: {reg: {volts: 5 V, plug: rx.batt, supply: %s}}\n"
    text = text.replace("{volts: 5 V}", "none")
    found = told(text % "{into: split.3, pulled: negative}")
    assert [(f.severity, f.parts[-1]) for f in found] == [(Severity.ERROR, "reg")]
    assert told(text % "split.3") == []


def test_a_box_with_its_own_supply_takes_its_current_from_the_receiver() -> None:
    text = PLAN % SOUND + (
        "sequencers: {box: {plug: rx.5, supply: {into: reg.out, pulled: %s}, outlets: [leg]}}\n"
        "retracts: {leg: {kind: self-contained, plug: box.leg}}\n"
        "regulators: {reg: {volts: 5 V, supply: split.3}}\n"
    )
    for pin in ("positive", "negative"):
        (only,) = [f for f in report_of(text % pin).findings if f.rule == "stray-return"]
        assert (only.severity, only.parts[-1]) == (Severity.ERROR, "box")


REGULATED = """
receivers: {rx: {sockets: 4, supply-sockets: 2}}
packs: {main: {chemistry: lipo, cells: 3, capacity: 3 Ah}}
power-leads: {split: {kind: parallel, ways: 2, supply: main}}
servos: {rudder: {class: 9g-analogue, moves: rudder, plug: rx.2}}
escs: {esc: {bec: none, plug: rx.1, supply: split.1}}
regulators: {reg: {volts: 5 V, rated: 5 A, supply: split.2, plug: %s%s}}
"""


@pytest.mark.parametrize(
    ("plug", "more", "rules"),
    [
        ("rx.batt-1", "", []),
        ("{into: rx.batt-1, pulled: negative}", "", ["stray-return"]),
        # another black wire of its own is there
        ("[{into: rx.batt-1, pulled: negative}, rx.batt-2]", "", []),
        ("{into: rx.batt-1, pulled: negative}", ", isolated: yes", ["no-source"]),
        ("{into: rx.batt-1, pulled: [positive, negative]}", "", ["no-source"]),
    ],
)
def test_what_a_regulator_gives_comes_back_by_its_own_black_wire(
    plug: str, more: str, rules: list[str]
) -> None:
    found = [f for f in report_of(REGULATED % (plug, more)).findings if f.severity > 2]
    assert [f.rule for f in found] == rules
    assert [f.severity for f in found] == [Severity.ERROR] * len(rules)


@pytest.mark.parametrize("found", ["{end: iso, fact: dead}", "{end: iso.1, fact: dead}"])
def test_a_second_supply_that_gives_nothing_sends_nothing_astray(found: str) -> None:
    text = REGULATED.replace("bec: none", "bec: {volts: 5 V, rated: 5 A}, fed: no") % ("iso.1", "")
    text += "diodes: {iso: {kind: ideal, plug: rx.batt-1}}\n"
    both = [f.rule for f in report_of(text).findings if f.severity > 2]
    left = [f.rule for f in report_of(text + f"as-found: [{found}]\n").findings if f.severity > 2]
    assert "stray-return" not in both + left


def test_a_regulator_with_two_leads_is_named_once_with_the_current_of_both() -> None:
    """What comes back by the one other way there is, is what its leads carry: Kirchhoff."""
    (found,) = told("""
receivers: {rx: {sockets: 4, supply-sockets: 2}}
packs: {main: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 30 C, connector: XT60}}
power-leads: {split: {kind: parallel, ways: 2, supply: main, connector: XT60, wire: 12 AWG}}
escs: {esc: {rated: 30 A, bec: none, plug: rx.3, supply: split.1, connector: XT60, wire: 12 AWG}}
servos: {elevator: {class: 17g-digital, plug: rx.2}}
regulators:
  reg: {volts: 5 V, rated: 5 A, supply: {into: split.2, pulled: negative}, connector: XT60,
    plug: [rx.batt-1, rx.batt-2]}
""")
    assert found.message.count('regulator "reg"') == 2
    way, amps = found.message.partition("signal leads: ")[2], r"([0-9.]+) A by the "
    one, other = re.findall(amps + "leads?", way)
    assert one == other and 'the leads of regulator "reg"' in way


PLUG = "power-leads: {arm: {kind: arming, supply: split.2, wire: 10 AWG, length: 40 mm%s}, "


def armed(more: str, pulled: str = "") -> str:
    return (PLAN % ("main", "split.1", pulled or "arm")).replace("power-leads: {", PLUG % more)


def test_an_arming_plug_in_the_negative_is_judged_as_it_is_when_it_is_out() -> None:
    """The same network as with the black pin pulled behind it: the same amperes, by Kirchhoff."""
    (only,) = told(armed(", pole: negative"))
    (pulled,) = told(armed("", "{into: arm, pulled: negative}"))
    assert only.severity is Severity.DANGER
    assert only.message.startswith('with arming plug "arm" out its black wire is open, so')
    assert only.message.partition("signal leads: ")[2] == pulled.message.partition("leads: ")[2]
    assert "pole: positive" in only.help
    assert told(armed(", pole: negative, fitted: no"))[0].message == only.message


@pytest.mark.parametrize("pole", ["", ", pole: positive", ", pole: both"])
def test_a_plug_that_opens_the_positive_sends_nothing_astray(pole: str) -> None:
    for fitted in ("", ", fitted: no"):
        found = report_of(armed(pole + fitted)).findings
        assert [f.rule for f in found if f.rule == "stray-return"] == []


def test_one_in_the_negative_of_all_leaves_no_way_back() -> None:
    text = (PLAN % ("arm", "split.1", "split.2")).replace(
        "power-leads: {", "power-leads: {arm: {kind: arming, supply: main, pole: negative}, "
    )
    assert told(text) == []


def test_a_fuse_in_the_negative_of_a_regulator_sends_its_return_by_signal_leads() -> None:
    text = REGULATED % ("rx.batt-1", "") + "fuses: {fuse: {rated: 5 A, supply: split.2%s}}\n"
    text = text.replace("supply: split.2, plug", "supply: fuse, plug")
    assert [f for f in report_of(text % "").findings if f.rule == "stray-return"] == []
    (only,) = [f for f in report_of(text % ", pole: negative").findings if f.severity > 2]
    assert (only.rule, only.severity) == ("stray-return", Severity.ERROR)
    assert 'with fuse "fuse" blown its black wire is open' in only.message
    with pytest.raises(PlanError, match="is not one of positive or negative"):
        report_of(text % ", pole: both")
