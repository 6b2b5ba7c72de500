"""What came fitted by its maker is plugged and labelled at its free end, and else left as it is.

Common practice: in an almost-ready model the servos are glued in, arms on and rods set.
"""

from __future__ import annotations

import json

import pytest
from support import plan_of, report_of

from harness.airframe.kit import kit_of
from harness.bench.build import protocol_of
from harness.documents.lengths import lengths_figures
from harness.documents.plan_labels import labels_for
from harness.documents.steps import steps_json
from harness.wiring.build import build

PLAN = """
places: {fuselage: {at: 300 mm}, tail: {in: fuselage, at: 1100 mm}}
covers: {skin: {over: tail, kind: for-good}}
channels: {2: elevator, 4: rudder}
receivers: {rx: {sockets: 6, place: fuselage}}
kit: [{kind: servo, class: 9g-analogue}]
servos:
  elevator: {class: 9g-analogue, place: tail, length: 200 mm, moves: elevator, plug: ext.1FITTED}
  rudder: {class: 9g-analogue, place: fuselage, length: 200 mm, moves: rudder, plug: rx.4}
leads: {ext: {kind: extension, plug: rx.2, length: 300 mm, place: tailFITTED}}
"""


def with_fitted(word: str) -> str:
    return PLAN.replace("FITTED", word)


@pytest.fixture(params=["", ", fitted: yes"], ids=["loose", "fitted"])
def plan(request: pytest.FixtureRequest) -> tuple[str, bool]:
    return with_fitted(request.param), bool(request.param)


def test_its_arm_stays_on(plan: tuple[str, bool]) -> None:
    text, fitted = plan
    steps = json.loads(steps_json(report_of(text)))["steps"]
    off = [step["text"] for step in steps if "only then fit their arms" in step["text"]]
    assert sum("rudder" in words for words in off) == 1
    assert sum("elevator" in words for words in off) == (0 if fitted else 1)
    tests = {t.id: t for s in protocol_of(build(plan_of(text))).sections for t in s.tests}
    assert ("elevator" in tests["servos-centred"].parts) is not fitted
    (tried,) = [step for step in steps if 'Centre servo "elevator"' in step["text"]]
    assert ("its arm stays on" in " ".join(tried["details"])) is fitted


def test_a_label_goes_where_a_hand_reaches(plan: tuple[str, bool]) -> None:
    """The plug of a buried servo, both ends of an extension that came with it."""
    text, fitted = plan
    ends = [(label.code, label.end) for label in labels_for(build(plan_of(text)))]
    assert len([1 for code, _ in ends if code == "RUD"]) == 2
    assert [end for code, end in ends if code == "ELE"] == ["to ELE-X"] + ["at servo"] * (
        not fitted
    )
    assert len([1 for code, _ in ends if code == "ELE-X"]) == 2


def test_its_lead_is_not_taken_longer_and_nothing_is_bought_for_it(plan: tuple[str, bool]) -> None:
    text, fitted = plan
    built = build(plan_of(text))
    data = lengths_figures(built).data
    (run,) = [run for run in data["runs"] if run["name"] == "elevator"]
    assert (run["offer"]["instead_of"] is None) is fitted
    assert run["offer"]["extensions_mm"]
    missing = {need.need.part.id for need in kit_of(built.plan).missing}
    assert ("ext" in missing) is not fitted


def test_a_servo_is_not_turned_over() -> None:
    """Flaps on servos of opposite hands move against each other; what is glued in stays so."""
    text = """
channels: {6: flap}
receivers: {rx: {sockets: 6}}
servos:
  flap-left: {fitted: yes, shaft: left, moves: flap, plug: y.1}
  flap-right: {fitted: yes, shaft: right, moves: flap, plug: y.2}
leads: {y: {kind: y, plug: rx.6}}
"""
    (found,) = [f for f in report_of(text).findings if f.rule == "shared-channel-motion"]
    assert "turn the servo over" not in found.help
    tests = [t for s in protocol_of(build(plan_of(text))).sections for t in s.tests]
    assert all("turn the servo over" not in t.mend for t in tests)
