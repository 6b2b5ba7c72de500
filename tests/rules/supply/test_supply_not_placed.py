"""Current comes from somewhere: the thing itself, no source."""

from __future__ import annotations

import pytest
from support import report_of

RULE = "supply-not-placed"
PACK = "packs: {main: {chemistry: lipo, cells: 3}}\n"


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("escs: {esc: {bec: none}}", ["esc"]),
        ("escs: {esc: {bec: none, supply: main}}", []),
        ("regulators: {reg: {volts: 5 V}}", ["reg"]),
        ("fuses: {fuse: {rated: 30 A}}", ["fuse"]),
        ("power-leads: {lead: {kind: extension}}", ["lead"]),
        ("power-leads: {lead: {kind: jumper}}", []),
        ("escs: {a: {bec: none}, b: {like: a}}", ["a", "b"]),
    ],
)
def test_what_is_fed_from_nowhere(text: str, parts: list[str]) -> None:
    found = [f.parts[0] for f in report_of(f"{text}\n{PACK}").findings if f.rule == RULE]
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
    told = [f for f in report_of(f"{radio}\n{on}\n{PACK}").findings if "x" in f.parts]
    assert [f.rule for f in told] == ["no-source"]
    assert {"esc", "rx"} <= set(told[0].parts)
