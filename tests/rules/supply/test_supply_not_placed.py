"""Current comes from somewhere: the thing itself, no source."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity

RULE = "supply-not-placed"
RX = "receivers: {rx: {sockets: 4}}\n"
DRIVE = "packs: {main: {chemistry: lipo, cells: 3}}\n"
PACK = DRIVE.replace("}}", "}, radio: {chemistry: nimh, cells: 4, plug: rx.batt}}")


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("escs: {esc: {bec: none, plug: rx.3}}", ["esc"]),
        ("escs: {esc: {bec: none, supply: main}}", []),
        ("regulators: {reg: {volts: 5 V, plug: rx.1}}", ["reg"]),
        ("fuses: {fuse: {rated: 30 A}}", ["fuse"]),
        ("power-leads: {lead: {kind: extension}}", ["lead"]),
        ("power-leads: {lead: {kind: jumper}}", []),
        ("escs: {a: {bec: none, plug: rx.3}, b: {like: a, plug: rx.4}}", ["a", "b"]),
        ("escs: {a: {bec: none}}\nregulators: {reg: {volts: 5 V}}", []),
    ],
)
def test_what_is_fed_from_nowhere(text: str, parts: list[str]) -> None:
    found = [f.parts[0] for f in report_of(f"{text}\n{RX}{PACK}").findings if f.rule == RULE]
    assert sorted(found) == parts


@pytest.mark.parametrize(
    "packs", ["", "packs: {radio: {chemistry: nimh, cells: 4, plug: rx.batt}}\n"]
)
def test_without_a_drive_pack_it_is_not_known(packs: str) -> None:
    text = f"receivers: {{rx: {{sockets: 4}}}}\nescs: {{esc: {{bec: none, plug: rx.3}}}}\n{packs}"
    report = report_of(text)
    assert [f for f in report.findings if f.rule == RULE] == []
    assert [u.part for u in report.unknown if u.rule == RULE] == ["esc"]


@pytest.mark.parametrize("on", ["power-leads: {x: {kind: extension}}", "fuses: {x: {rated: 30 A}}"])
def test_what_others_go_dead_by_is_told_once_with_all_of_them(on: str) -> None:
    radio = "receivers: {rx: {sockets: 4}}\nescs: {esc: {bec: {volts: 5 V}, plug: rx.3, supply: x}}"
    told = [f for f in report_of(f"{radio}\n{on}\n{DRIVE}").findings if "x" in f.parts]
    assert [f.rule for f in told] == ["no-source"]
    assert {"esc", "rx"} <= set(told[0].parts)


def test_a_bec_that_nothing_feeds_gives_nothing() -> None:
    radio = "receivers: {rx: {sockets: 4}}\nservos: {s: {class: 9g-analogue, plug: rx.1}}\n"
    text = f"{radio}escs: {{esc: {{bec: {{volts: 5 V}}, plug: rx.3}}}}\n{DRIVE}"
    (told,) = [f for f in report_of(text).findings if f.severity > Severity.NOTE]
    assert told.rule == "no-source" and set(told.parts) == {"esc", "rx", "s"}
    assert told.severity is Severity.ERROR


def test_one_that_nothing_feeds_fights_with_nobody() -> None:
    text = "receivers: {rx: {sockets: 4}}\nregulators: {reg: {volts: 6 V, plug: rx.batt}}\n"
    text += f"escs: {{esc: {{bec: {{volts: 5 V}}, plug: rx.3, supply: main}}}}\n{DRIVE}"
    found = [f.rule for f in report_of(text).findings if "reg" in f.parts]
    assert found == ["supply-not-placed"]
    fed = text.replace("plug: rx.batt", "plug: rx.batt, supply: y.1").replace(
        "supply: main}}", "supply: y.2}}"
    )
    fed += "power-leads: {y: {kind: parallel, ways: 2, supply: main}}\n"
    assert "several-sources" in [f.rule for f in report_of(fed).findings]


def test_what_is_not_planned_yet_is_said_once() -> None:
    text = f"receivers: {{rx: {{sockets: 4}}}}\nescs: {{esc: {{bec: {{volts: 5 V}}}}}}\n{DRIVE}"
    report = report_of(text)
    assert [f.rule for f in report.findings if f.severity > Severity.NOTE] == ["plug-not-placed"]
    assert [u.part for u in report.unknown if u.rule == "no-source"] == ["rx"]
