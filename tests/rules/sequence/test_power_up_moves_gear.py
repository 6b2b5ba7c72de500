"""What moves when the supply comes on, told alike everywhere: common practice, no source."""

from __future__ import annotations

import pytest
from support import plan_of, report_of

from harness.base.finding import Severity
from harness.bench.build import protocol_of
from harness.bench.workbench import Bench
from harness.documents.transmitter import powered_lines
from harness.electrics.gear.power_up import power_up_warning, wakings
from harness.electrics.gear.timeline import timeline
from harness.wiring.build import build

RULE = "power-up-moves-gear"
PLAN = """
channels: {5: {function: gear, failsafe: hold}}
receivers: {rx: {sockets: 6}}
packs: {radio: {chemistry: nimh, cells: 5, capacity: 2 Ah, plug: rx.batt}}
servos: {door: {class: 9g-analogue, moves: gear-door, plug: box.doors}}
retracts: {leg: {kind: self-contained, class: small, travel: 2 s, plug: box.legs}}
sequencers:
  box:
    plug: rx.5
    outlets: [doors, legs]
    power-up: %s
    steps:
      down: [{outlet: doors, start: 0 s, end: 1 s, to: open}, {outlet: legs, start: 2 s, end: 6 s, to: down}]
      up: [{outlet: legs, start: 0 s, end: 4 s, to: up}, {outlet: doors, start: 5 s, end: 6 s, to: closed}]
"""  # noqa: E501


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ("follows", ["runs to where its switch stands", "leg folds", "with the switch up"]),
        ("up", ["raises the gear", "leg folds under a standing aeroplane"]),
        ("down", ["lowers the gear"]),
    ],
)
def test_a_box_that_moves_gear_by_itself_is_told_with_what_moves(
    state: str, words: list[str]
) -> None:
    (found,) = [f for f in report_of(PLAN % state).findings if f.rule == RULE]
    assert found.severity is Severity.WARNING
    assert {"box", "leg", "door"} <= set(found.parts)
    assert all(word in found.message for word in words)
    assert ("folds" in found.message) is (state != "down")


@pytest.mark.parametrize("state", ["holds", ""])
def test_one_that_holds_or_is_not_told_moves_nothing_known(state: str) -> None:
    text = PLAN % state if state else PLAN.replace("    power-up: %s\n", "")
    assert RULE not in [f.rule for f in report_of(text).findings]
    assert wakings(build(plan_of(text))) == ()
    runs = [run.name for run in timeline(build(plan_of(text)), "gear").runs]
    assert any(name.startswith("power-up") for name in runs) is (state == "holds")


def test_without_steps_whatever_hangs_on_it_may_move() -> None:
    text = (PLAN % "follows").split("    steps:")[0]
    (waking,) = wakings(build(plan_of(text)))
    assert {part.id for part in waking.parts} == {"leg", "door"}
    assert [leg.id for leg in waking.folding] == ["leg"]


@pytest.mark.parametrize("state", ["follows", "up", "down", "holds"])
def test_every_document_assumes_the_same(state: str) -> None:
    """Whether the gear moves as the supply comes on: rule, time line, protocol, sheet, steps."""
    wiring = build(plan_of(PLAN % state))
    line = timeline(wiring, "gear")
    moves = any(run.events for run in line.runs if run.name.startswith("power-up"))
    assert moves is (state != "holds")
    assert bool(wakings(wiring)) is moves
    assert bool(power_up_warning(wiring)) is moves
    assert (
        any("when the supply comes on" in text for text in powered_lines(Bench(wiring), line))
        is moves
    )
    tests = [t for s in protocol_of(wiring).sections for t in s.tests
             if t.id.startswith("gear-power-up")]  # fmt: skip
    assert len(tests) == 4
    expected = {test.expected.text for test in tests}
    assert (expected != {"stays"}) is moves


def test_a_leg_without_a_box_runs_to_the_switch() -> None:
    text = (
        PLAN.replace("plug: box.legs", "plug: rx.6").replace(
            "5: {function: gear,", "6: {function: gear, failsafe: hold}, 5: {function: gear,"
        )
        % "holds"
    )
    (waking,) = wakings(build(plan_of(text)))
    assert waking.box is None
    assert "runs at once to where the gear switch stands" in waking.words
