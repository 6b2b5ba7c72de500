"""The transmitter sheet: every channel once, what is stated and what is left to write in."""

from __future__ import annotations

import csv
import io
import json
from typing import Any

import pytest
from bench.bench_plan import PLAN
from documents.plans import EXAMPLES
from kept import report_at
from support import report_of

from harness.bench.workbench import Bench
from harness.documents.transmitter import (
    transmitter_chapter,
    transmitter_csv,
    transmitter_json,
    transmitter_paper,
)
from harness.documents.transmitter.rows import rows_of
from harness.paper import render
from harness.paper.sheet import Table
from harness.rules.run import Report

GOOD = {path.stem: path for path in EXAMPLES}


def report(stem: str) -> Report:
    return report_at(GOOD[stem])


def data(given: Report) -> Any:
    return json.loads(transmitter_json(given))


def table(given: Report, title: str) -> Table:
    blocks = transmitter_chapter(given).blocks
    return next(b for b in blocks if isinstance(b, Table) and b.title == title)


@pytest.mark.parametrize("stem", sorted(GOOD))
def test_every_channel_of_the_plan_stands_once_in_every_form(stem: str) -> None:
    found = report(stem)
    names = list(found.plan.channels)
    assert [row["channel"] for row in data(found)["channels"]][: len(names)] == names
    rows = list(csv.DictReader(io.StringIO(transmitter_csv(found))))
    assert [row["channel"] for row in rows][: len(names)] == names
    text = render(transmitter_paper(found), "text")
    assert isinstance(text, str)
    assert all(channel.function in text for channel in found.plan.channels.values())
    assert found.plan.revision in text


def test_what_is_stated_is_printed_and_what_is_not_is_room_to_write() -> None:
    stated = PLAN.replace("{function: aileron,", "{function: aileron, direction: reversed,")
    first, second = table(report_of(stated), "Settings").groups[0].rows
    assert (first[2].text, first[2].tone) == ("reversed", "")
    assert [cell.tone for cell in first[3:]] == ["blank"] * 3
    assert [cell.tone for cell in second[2:]] == ["blank"] * 4


def test_pulses_are_the_published_ones() -> None:
    """1000, 1500, 2000 us: ArduPilot SRV_Channel, Arduino Servo."""
    about = table(report_of(PLAN), "Settings").about
    assert "1000 us low, 1500 us at the centre, 2000 us high" in about


def test_devices_with_their_label_codes() -> None:
    aileron = data(report_of(PLAN))["channels"][0]
    assert aileron["devices"] == [
        {"part": "aileron-left", "labels": "AIL-L"},
        {"part": "aileron-right", "labels": "AIL-R"},
    ]


def test_mixes_in_words() -> None:
    """Crow: ailerons up, flaps down (common practice)."""
    words = data(report("marram-26"))["mixes"]
    assert words[0].startswith("crow: ailerons up while flaps go down")
    assert words[0].endswith("made in the transmitter")


def test_directions_left_and_right() -> None:
    """Stick to the right: left aileron down, right aileron up (common practice)."""
    roll = data(report("saltmarsh-19"))["directions"][0]
    assert roll["moves"] == [
        {"part": "aileron-left", "goes": "down"},
        {"part": "aileron-right", "goes": "up"},
    ]


def test_delay_of_channel_and_sequencer() -> None:
    """The plan's flaps take 2 s; the last step of its gear box ends at 9.5 s either way."""
    rows = {row["function"]: row["delay"] for row in data(report("saltmarsh-19"))["channels"]}
    assert rows["flap"] == "2 s, in the transmitter"
    assert rows["gear"] == "gear-box takes 9.5 s down; gear-box takes 9.5 s up"
    assert rows["aileron"] is None


def test_free_channels() -> None:
    """Eight channels and eight sockets, seven used; then six sockets, channels 1 and 3 used."""
    assert data(report("saltmarsh-19"))["free_channels"] == ["8"]
    assert data(report_of(PLAN))["free_channels"] == ["2", "4", "5", "6"]


def test_gear_positions_in_order_of_time() -> None:
    (gear,) = data(report("saltmarsh-19"))["gear"]
    down = next(p for p in gear["positions"] if p["switch"] == "down")["events"]
    arrived = {e["part"]: e["time_seconds"] for e in down if e["what"] in {"is down", "is open"}}
    assert arrived["door-left"] == 1.5  # the plan's step
    assert arrived["leg-left"] == 2 + 4  # its step's start and the leg's travel


def test_something_plugged_into_a_channel_without_a_name_is_listed() -> None:
    more = PLAN.replace("servos:", "servos:\n  a: {class: 9g-analogue, plug: rx.6}")
    last = data(report_of(more))["channels"][-1]
    assert (last["channel"], last["function"], last["devices"][0]["part"]) == ("6", None, "a")
    assert table(report_of(more), "Channels").groups[0].rows[-1][1].tone == "blank"


def test_outputs_of_an_autopilot() -> None:
    rows = {row["channel"]: row["function"] for row in data(report("sandbar-5"))["outputs"]}
    assert rows["autopilot.3"] == "throttle"
    assert rows["autopilot.9"] == "aileron-right"


def test_a_formula_is_no_formula_in_a_spreadsheet() -> None:
    """CWE-1236."""
    sly = PLAN.replace("{function: aileron,", '{function: aileron, switch: "=1+1",')
    assert "'=1+1" in transmitter_csv(report_of(sly))


STICKS = """channels: {1: aileron, 2: elevator}
receivers: {rx: {sockets: 8}}
servos:
  elevon-left: {moves: elevon, plug: rx.1}
  elevon-right: {moves: elevon, plug: rx.2}
"""


def test_a_channel_is_flown_with_all_the_sticks_of_what_hangs_on_it() -> None:
    rows = table(report_of(STICKS), "Channels").groups[0].rows
    assert [row[3].text for row in rows] == ["aileron and elevator sticks"] * 2


def test_no_more_channels_are_free_than_the_radio_sends() -> None:
    sent = "transmitter: {channels: 6}\n"
    assert data(report_of(sent + STICKS))["free_channels"] == ["3", "4", "5", "6"]


def test_an_order_that_the_plan_contradicts_is_not_told_as_set() -> None:
    def heads(order: str) -> str:
        blocks = transmitter_chapter(report_of(f"transmitter: {{order: {order}}}\n{STICKS}")).blocks
        return " ".join(str(block) for block in blocks[:2])

    assert "channel order AETR" in heads("AETR")
    assert "channel order TAER" not in heads("TAER")
    assert "TAER puts throttle on channel 1, the plan aileron" in heads("TAER")


def test_motors_that_steer_are_told_with_the_rudder_stick() -> None:
    """Nose to the right: the left one pulls more; common practice."""
    text = """mixes: [{kind: differential-thrust}]
channels: {3: {function: throttle-left, failsafe: off}, 5: {function: throttle-right}}
receivers: {rx: {sockets: 8}}
escs: {esc-left: {plug: rx.3}, esc-right: {plug: rx.5}}
"""
    given = report_of(text)
    assert table(given, "Channels").groups[0].rows[0][3].text == "throttle and rudder sticks"
    (turn,) = data(given)["directions"]
    assert turn["moves"] == [
        {"part": "esc-left", "goes": "faster"}, {"part": "esc-right", "goes": "slower"},
    ]  # fmt: skip


def test_a_supply_in_a_channel_socket_is_no_device() -> None:
    """Nor is the wing plug that a lead goes through: the servo behind it is."""
    given = report_of(
        "channels: {1: aileron}\nreceivers: {rx: {sockets: 6}}\n"
        "servos: {one: {moves: aileron, plug: root.a}}\n"
        "wing-plugs: {root: {contacts: 3, plugs: {a: rx.1},"
        " circuits: {a: {signal: 1, positive: 2, negative: 3}}}}\n"
        "regulators: {reg: {volts: 5 V, plug: [rx.batt, rx.6]}}\n"
    )
    rows = rows_of(Bench(given.wiring))
    assert [(row.name, row.devices) for row in rows] == [("1", ("one",))]
