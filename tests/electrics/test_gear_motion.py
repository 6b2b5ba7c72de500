"""Where servos and legs are, against a simulation that goes on by a twentieth of a second.

Kinematics: a servo goes straight from where it is to its goal while its step lasts; a leg goes at
its own pace, a bare motor while it is driven. What comes later takes over at once.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import pytest
from support import plan_of

from harness.electrics.gear.motion import STOP_TIME, Mover, Pace, Track, movers_of, track_of
from harness.wiring.build import build

PLAN = """
channels: {{5: {{function: gear, failsafe: hold}}}}
receivers: {{rx: {{sockets: 8}}}}
servos: {{door: {{moves: gear-door, plug: box.doors}}}}
retracts:
  own: {{kind: self-contained, travel: {travel} s, plug: box.legs}}
  bare: {{kind: bare-motor, travel: {travel} s, plug: box.motors}}
sequencers:
  box: {{outlets: [doors, legs, motors], motor-outlets: [motors], plug: rx.5, steps: {{{steps}}}}}
"""
OUTLETS = {"door": "doors", "own": "legs", "bare": "motors"}
TICK = Fraction(1, 20)
GOALS = {"down": 1, "up": 0, "50 %": Fraction(1, 2), "30 %": Fraction(3, 10)}


@dataclass
class Order:
    start: Fraction
    end: Fraction
    goal: Fraction


def simulated(kind: str, orders: list[Order], rest: Fraction, travel: Fraction) -> list[tuple]:  # type: ignore[type-arg]
    """Position at each tick, and what is done in the tick that begins there."""
    at, pushed, moved, found = rest, Fraction(0), False, []
    current: Order | None = None
    for n in range(300):
        now = n * TICK
        for order in orders:
            if order.start == now:
                current, pushed, moved = order, Fraction(0), False
                left = order.end - now
                rate = (order.goal - at) / left if left else Fraction(0)
        before, state = at, "still"
        if current and kind == "door" and now < current.end and current.goal != at:
            at, state = at + rate * TICK, "moving"
        elif current and kind != "door" and (kind == "own" or now < current.end):
            if at != current.goal:
                step = min(TICK / travel, abs(current.goal - at))
                at += step if current.goal > at else -step
                state, moved = "moving", True
            elif kind == "bare" or (moved and pushed < Fraction(str(STOP_TIME))):
                state, pushed = "stalled", pushed + TICK
        found.append((before, state))
    return found


def agree(track: Track, told: list[tuple]) -> None:  # type: ignore[type-arg]
    times = np.arange(len(told)) * float(TICK)
    assert track.position(times) == pytest.approx(np.array([float(at) for at, _ in told]), abs=1e-8)
    for stretch in track.stretches:  # from a moment on
        assert track.state(stretch.start) == stretch.state
    assert not track.stretches or track.state(track.stretches[-1].end) == "still"
    for n in range(1, len(told) - 1):
        if told[n - 1][1] == told[n][1] == told[n + 1][1]:  # no change within the tick
            assert track.state(times[n] + 0.02) == told[n][1], times[n]


@pytest.mark.parametrize("seed", range(30))
def test_positions_and_states_in_random_programmes(seed: int) -> None:
    chance = random.Random(seed)
    travel = Fraction(chance.choice([1, 2, 3, 5]))
    made: dict[str, list[Order]] = {}
    lines = []
    for name, outlet in OUTLETS.items():
        starts = sorted(chance.sample(range(0, 80, 5), chance.randint(1, 3)))
        for start in starts:
            end, word = start + chance.choice([5, 10, 20, 30, 60]), chance.choice(list(GOALS))
            if name != "door" and chance.random() < 0.7:
                word = chance.choice(["down", "up"])
            order = Order(Fraction(start, 10), Fraction(end, 10), Fraction(GOALS[word]))
            made.setdefault(name, []).append(order)
            seconds = f"start: {start / 10} s, end: {end / 10} s"
            lines.append(f"{{outlet: {outlet}, {seconds}, to: {word}}}")
    chance.shuffle(lines)
    text = PLAN.format(travel=travel, steps=f"down: [{', '.join(lines)}]")
    movers = {m.part.id: m for m in movers_of(build(plan_of(text)), "gear")}
    pace = Pace({"own": float(travel), "bare": float(travel)})
    for name, mover in movers.items():
        for stands, rest in (("up", 0), ("down", 1)):
            track = track_of(mover, "down", stands, pace)
            left = max(made[name], key=lambda o: o.end).goal  # where its last step left a door
            begins = left if name == "door" else Fraction(rest)
            agree(track, simulated(name, made[name], begins, travel))
            assert track_of(mover, "", stands, pace).stretches == ()
        turned = Mover(mover.part, mover.box, mover.outlet, backwards=True)
        against = [Order(o.start, o.end, 1 - o.goal) for o in made[name]]
        if name == "bare":
            agree(
                track_of(turned, "down", "up", pace), simulated(name, against, Fraction(0), travel)
            )


DOWN = ", ".join(
    f"{{outlet: {name}, start: 1 s, end: 6 s, to: {goal}}}"
    for name, goal in (("legs", "down"), ("motors", "down"), ("doors", "open"))
)
STEP = f"down: [{DOWN}], up: [{{outlet: doors, start: 0 s, end: 1 s, to: closed}}]"


@pytest.mark.parametrize(
    ("name", "end", "lasting"),
    # held fast: a bare motor is driven until its step ends, nothing stops the others
    [("bare", 6.0, False), ("own", 9.0, True), ("door", 9.0, True)],
)
def test_what_is_held_fast_draws_until_it_is_switched_off(
    name: str, end: float, lasting: bool
) -> None:
    wiring = build(plan_of(PLAN.format(travel=2, steps=STEP)))
    mover = next(m for m in movers_of(wiring, "gear") if m.part.id == name)
    track = track_of(mover, "down", "up", Pace({"own": 2, "bare": 2}, name, 9.0))
    assert [(s.start, s.end, s.begin, s.goal, s.state) for s in track.stretches] == [
        (1.0, end, 0.0, 0.0, "stalled")
    ]
    assert (track.jammed, track.lasting) == (True, lasting)
    assert track.state(8.9) == ("stalled" if lasting else "still")
    assert track.state(20.0) == ("stalled" if lasting else "still")
    there = track_of(mover, "down", "down", Pace({"own": 2, "bare": 2}, name, 9.0))
    assert name == "door" or not there.stretches  # it need not move at all
    other = track_of(mover, "down", "up", Pace({"own": 2, "bare": 2}, "else", 9.0))
    assert not other.jammed and {s.state for s in other.stretches} >= {"moving"}


def test_without_a_box_a_leg_of_any_kind_stops_by_itself() -> None:
    """Nobody says how long it is driven: no run lasts for ever."""
    text = "receivers: {rx: {sockets: 4}}\nretracts:\n" + "".join(
        f"  {kind}: {{kind: {kind}, travel: 3 s, plug: rx.{n}}}\n"
        for n, kind in ((1, "self-contained"), (2, "bare-motor"))
    )
    for mover in movers_of(build(plan_of(text)), "gear"):
        pace = Pace({"self-contained": 3.0, "bare-motor": 3.0})
        track = track_of(mover, "down", "up", pace)
        assert [(s.start, s.end, s.state) for s in track.stretches] == [
            (0.0, 3.0, "moving"), (3.0, 3.2, "stalled"),
        ]  # fmt: skip
