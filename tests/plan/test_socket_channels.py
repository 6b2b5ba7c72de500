"""Which channel a socket gives out: by count, by its place in a list, or as stated.

That names are printed in the order of the channels, and that supply and bind sockets give none,
is common practice without a source.
"""

from __future__ import annotations

import pytest
from support import plan_of, report_of, rules_of

from harness.base.finding import Severity
from harness.bench.workbench import Bench
from harness.documents.transmitter.rows import free_of, rows_of
from harness.facts.signals import by_signal, channel_key, drives
from harness.parts.receiver import Receiver
from harness.planner.hosts import hosts_of
from harness.reading.problems import PlanError
from harness.wiring.build import build
from harness.wiring.codes import codes_of

NAMES = "[aile, elev, thro, rudd, gear, aux1]"


def receiver(sockets: str, more: str = "") -> Receiver:
    (part,) = plan_of(f"receivers: {{rx: {{sockets: {sockets}}}}}\n{more}").of(Receiver)
    return part


@pytest.mark.parametrize(
    ("sockets", "channels"),
    [
        ("3", {"1": "1", "2": "2", "3": "3"}),
        ("[aile, elev, thro]", {"aile": "1", "elev": "2", "thro": "3"}),
        ("[THRO, AILE]", {"THRO": "1", "AILE": "2"}),
        ("[batt, thro, aile, bind]", {"thro": "1", "aile": "2"}),
        ("[1, 2, 3, 4, gear, flap]",
         {"1": "1", "2": "2", "3": "3", "4": "4", "gear": "5", "flap": "6"}),
        ("{thro: 3, aile: 1}", {"thro": "3", "aile": "1"}),
        ("{a: 1, b: 1}", {"a": "1", "b": "1"}),
    ],
)  # fmt: skip
def test_each_socket_gives_a_channel(sockets: str, channels: dict[str, str]) -> None:
    assert dict(receiver(sockets).channels) == channels


def test_a_printed_supply_socket_takes_a_pack_and_drives_nothing() -> None:
    text = "receivers: {rx: {sockets: [batt, aile, elev]}}\nservos: {a: {plug: rx.aile}}\n"
    pack = "packs: {p: {chemistry: nimh, cells: 4, plug: rx.batt}}\n"
    assert "no-source" not in rules_of(text + pack)
    assert "wrong-socket-kind" in rules_of(text.replace("rx.aile", "rx.batt"))


@pytest.mark.parametrize("sockets", ["[gear, 1]", "[aile, elev, 2]"])
def test_a_place_that_is_another_s_number_is_refused(sockets: str) -> None:
    with pytest.raises(PlanError) as refused:
        receiver(sockets)
    (problem,) = refused.value.problems
    assert "would give channel" in problem.message
    assert "sockets: {" in problem.help


@pytest.mark.parametrize("sockets", ["{aile: 0}", "{aile: one}", "{aile: 65}", "{}"])
def test_what_is_no_channel_is_refused_on_its_line(sockets: str) -> None:
    with pytest.raises(PlanError) as refused:
        receiver(sockets)
    assert [p.span.line for p in refused.value.problems] == [3]


def test_channels_may_stand_under_the_names_of_sockets() -> None:
    plan = plan_of(f"channels: {{thro: throttle, 1: aileron}}\n"
                   f"receivers: {{rx: {{sockets: {NAMES}}}}}")  # fmt: skip
    assert {n: c.function for n, c in plan.channels.items()} == {"3": "throttle", "1": "aileron"}
    with pytest.raises(PlanError) as refused:
        plan_of(f"channels: {{thro: throttle, 3: hook}}\nreceivers: {{rx: {{sockets: {NAMES}}}}}")
    assert 'twice: "thro" and "3"' in refused.value.problems[0].message


def test_a_print_says_the_function_where_the_channels_do_not() -> None:
    text = (
        f"receivers: {{rx: {{sockets: {NAMES}}}}}\nservos: {{e: {{moves: elevator, plug: rx.elev}},"
        " h: {moves: hook, plug: rx.aux1}}"
    )
    assert {n: c.function for n, c in plan_of(text).channels.items()} == {"2": "elevator"}
    wrong = text.replace("moves: elevator", "moves: throttle")
    assert "wrong-channel" in rules_of(wrong)


NAMED = f"""
channels: {{1: aileron, 3: {{function: throttle, failsafe: off}}}}
transmitter: {{order: AETR, channels: 8}}
receivers: {{rx: {{sockets: {NAMES}}}, two: {{sockets: 4}}}}
servos:
  a: {{moves: aileron, plug: rx.aile}}
  b: {{moves: aileron, plug: two.1}}
"""


def test_one_channel_of_two_receivers_is_one_signal_whatever_is_printed() -> None:
    wiring = build(plan_of(NAMED))
    assert {channel_key(drive) for drive in drives(wiring)} == {("", "1")}
    assert [len(group) for group in by_signal(wiring).values()] == [2]


def test_sheet_free_channels_planner_and_codes_follow_the_numbers() -> None:
    plan = plan_of(NAMED.replace("aileron, plug: rx.aile", "aileron, plug: y.1") +
                   "leads: {y: {kind: y, plug: rx.aile}}\n")  # fmt: skip
    wiring = build(plan)
    bench = Bench(wiring)
    rows = rows_of(bench)
    assert [row.label for row in rows] == ["1 (aile)", "3 (thro)"]
    assert free_of(plan, rows) == (["2", "4", "5", "6", "7", "8"], ["2", "4", "5", "6"])
    hosts = {host.id: host for host in hosts_of(plan, wiring)}
    assert (hosts["rx.thro"].channel, hosts["rx.thro"].function) == ("3", "throttle")
    assert hosts["rx.gear"].channel == "5"
    assert codes_of(wiring)["y", "plug"].startswith("AIL")


def test_an_esc_by_the_print_of_another_maker_s_order_is_a_danger() -> None:
    """TAER printed, AETR sent: half throttle at the centre of the aileron stick."""
    text = (
        "transmitter: {order: AETR}\nreceivers: {rx: {sockets: [thro, aile, elev, rudd]}}\n"
        "channels: {thro: {function: throttle, failsafe: off}, aile: aileron, elev: elevator}\n"
        "escs: {esc: {bec: none, plug: rx.thro}}\n"
    )
    (found,) = [f for f in report_of(text).findings if f.rule == "channel-order"]
    assert found.severity is Severity.DANGER
    assert "which channel each socket gives" in found.help
    assert "channel-order" not in rules_of(text.replace("AETR", "TAER"))
    mended = text.replace("[thro, aile, elev, rudd]", "{thro: 3, aile: 1, elev: 2, rudd: 4}")
    assert "channel-order" not in rules_of(mended)


def test_a_number_for_a_named_socket_is_told_its_name() -> None:
    text = f"receivers: {{rx: {{sockets: {NAMES}}}}}\nservos: {{a: {{plug: rx.3}}}}"
    (found,) = [f for f in report_of(text).findings if f.rule == "no-such-socket"]
    assert found.help == "channel 3 comes out of rx.thro"
