"""A satellite receiver: what its lead brings, and what is lost when it is open.

That a main receiver goes on alone is common practice, no published source.
"""

from __future__ import annotations

import pytest
from support import plan_of, rules_of

from harness.electrics.cases import built_in
from harness.electrics.outcome import outcome_of
from harness.facts.signals import free_sockets
from harness.wiring.build import build

PLAN = """
receivers: {rx: {sockets: 4, satellite-sockets: 2}}
satellites: {tail: {plug: %s, current: 30 mA}}
packs: {radio: {chemistry: nimh, cells: 5, capacity: 2 Ah, rate: 5 C, plug: rx.batt}}
"""


def test_a_sound_one_is_silent_and_draws_through_its_main_receiver() -> None:
    assert rules_of(PLAN % "rx.sat-1") == []
    outcome = outcome_of(
        build(plan_of(PLAN % "rx.sat-1")), built_in(plan_of(PLAN % "rx.sat-1"))[:2]
    )
    for pin, sign in (("positive", 1), ("negative", -1)):
        assert outcome.into("tail", "plug", pin) * sign == pytest.approx(0.030, rel=1e-6)


def test_no_channel_socket_feeds_it_and_its_socket_moves_no_servo() -> None:
    assert rules_of(PLAN % "rx.3") == ["wrong-socket-kind"]
    servo = "channels: {1: rudder}\nservos: {s: {moves: rudder, plug: rx.sat-2}}"
    assert rules_of(PLAN % "rx.sat-1" + servo) == ["wrong-socket-kind"]


def test_its_sockets_are_offered_to_nobody_else() -> None:
    plan = plan_of(PLAN % "rx.sat-1" + "servos: {s: {moves: rudder, plug: rx.1}}")
    wiring = build(plan)
    assert free_sockets(wiring, "rx", wiring.ports["s", "plug"]) == ["2", "3", "4"]
    assert free_sockets(wiring, "rx", wiring.ports["tail", "plug"]) == ["sat-2"]
    assert set(plan.parts["rx"].channels) == {"1", "2", "3", "4"}
