"""What is advised can be done with the parts this builder has, and is one line."""

from __future__ import annotations

from pathlib import Path

import pytest
from support import report_of

ROOT = Path(__file__).parents[2] / "examples"
FLAPS = (ROOT / "broken" / "flaps-mirrored-on-y.yaml").read_text("utf-8")
TWICE = (ROOT / "broken" / "socket-used-twice.yaml").read_text("utf-8")
KIT = "kit:\n  - {kind: y, length: 300 mm}\n  - {kind: y, length: 300 mm, spare: yes}\n"


def help_of(text: str, rule: str) -> str:
    (found,) = (f for f in report_of(text).findings if f.rule == rule)
    return found.help


@pytest.mark.parametrize(
    ("said", "begins"),
    [
        ("", 'programme servo "flap-right" reversed, if that can be done, put an in-line'),
        ("programmable: yes, ", 'programme servo "flap-right" reversed, put an in-line reverser'),
        ("programmable: no, ", 'put an in-line reverser in the lead of servo "flap-right"'),
        ("class: 9g-analogue, ", 'put an in-line reverser in the lead of servo "flap-right"'),
    ],
)
def test_a_servo_is_told_to_be_programmed_only_where_it_can_be(said: str, begins: str) -> None:
    """An analogue servo has nothing to programme: common practice, no source."""
    right = "flap-right: {class: 13g-metal-gear, "
    assert right in FLAPS
    told = said if "class" in said else f"class: 13g-metal-gear, {said}"
    text = FLAPS.replace(right, f"flap-right: {{{told}")
    assert help_of(text, "shared-channel-motion").startswith(begins)


def test_a_spare_lead_of_the_kit_is_named() -> None:
    assert "join them with a Y-lead" in help_of(TWICE, "socket-used-twice")
    line = (TWICE + KIT).count("\n") - 1
    for kit, named in ((KIT, f" (the kit of plan line {line} has one to spare)"), ("", "")):
        text = help_of(TWICE + kit, "socket-used-twice")
        assert text.partition("a Y-lead")[2] == named


def test_a_reverser_of_the_kit_is_named() -> None:
    text = FLAPS + "kit: [{kind: reverser, count: 1}]\n"
    line = text.count("\n")
    assert f"an in-line reverser (the kit of plan line {line} has one to spare) in its lead" in (
        help_of(text, "shared-channel-motion")
    )


@pytest.mark.parametrize("path", sorted(ROOT.glob("broken/*.yaml")), ids=lambda path: path.stem)
def test_every_finding_says_in_one_line_what_to_do(path: Path) -> None:
    for found in report_of(path.read_text("utf-8")).findings:
        assert found.help and "\n" not in found.help, found.rule
