"""Long flat leads beside motor wires are worth a note: common practice, no published source."""

from __future__ import annotations

from pathlib import Path

import pytest
from support import plan_of, report_of

from harness.airframe.kit.fit import misfits, need_of
from harness.diagram.lead_ribbons import gauge_of
from harness.drawing.ribbon import CONTROL, TWISTED
from harness.wiring.build import build

FILE = Path(__file__).parents[3] / "examples/broken/flat-lead-beside-motor-wires.yaml"
TEXT = FILE.read_text("utf-8")


def notes(old: str, new: str) -> list[str]:
    assert old in TEXT
    return [f.message for f in report_of(TEXT.replace(old, new)).findings if f.rule == "flat-lead"]


def test_the_flat_one_is_named_with_its_length() -> None:
    (one,) = notes("plan: 1", "plan: 1")
    assert 'extension "ext"' in one
    assert "for 700 mm" in one  # from fuselage to wing; in the wing the motor is at once


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("wires: flat", "wires: twisted"),
        (", wires: flat", ""),
        # The motor beside its ESC: its wires pass no joint.
        ("motor: {plug: esc, place: wing, at: {aft: 400 mm, out: 700 mm}",
         "motor: {plug: esc, place: fuselage, at: 300 mm"),
        # Half of the way: 350 mm are not long.
        ("out: 700 mm", "out: 350 mm"),
    ],
)  # fmt: skip
def test_others_are_not(old: str, new: str) -> None:
    assert notes(old, new) == []


def test_the_kit_keeps_the_two_apart_and_the_picture_shows_it() -> None:
    kit = "kit: [{kind: extension, length: 900 mm, wire: 22 AWG, wires: twisted}]\n"
    plan = plan_of(TEXT + kit)
    need = need_of(plan.parts["ext"])
    assert need is not None
    assert list(misfits(need, plan.kit[0])) == ["its wires are twisted, the plan wants them flat"]
    for way, gauge in (("flat", CONTROL), ("twisted", TWISTED)):
        wiring = build(plan_of(TEXT.replace("wires: flat", f"wires: {way}")))
        assert gauge_of(wiring.by_plug["ext", "plug"]) == gauge
