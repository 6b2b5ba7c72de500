"""Time lines held to kinematics by hand, Ohm's and Kirchhoff's laws, and the trade's door times.

Positions: a straight line from the moment a thing starts to the moment it arrives. Door times: open
half a second before, closed after the slowest leg and 30 % (common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from control_support import found
from support import plan_of

from harness.base.refusal import Refusal
from harness.electrics.cases import Activity, built_in
from harness.electrics.gear.timeline import TimeLine, timeline
from harness.electrics.network import network_of
from harness.electrics.outcome import Outcome
from harness.electrics.packs import reserve_of
from harness.electrics.solver.circuit import NotSolved
from harness.electrics.solver.solution import solve
from harness.parts.pack import Pack
from harness.plan.load import load_plan
from harness.wiring.build import build

PLAN = """
channels: {{5: {{function: gear, failsafe: hold}}, 6: flap}}
receivers: {{rx: {{sockets: 8, supply-sockets: 2}}}}
servos:
  door: {{moves: gear-door, class: 9g-analogue, plug: box.doors}}
  flap: {{moves: flap, class: 9g-analogue, plug: rx.6}}
retracts:
  fast: {{kind: {kind}, travel: 3 s, running: 0.5 A, stop: 1.5 A, plug: {fast}}}
  slow: {{kind: {kind}, travel: 5 s, running: 0.4 A, stop: 1.2 A, {slow}, plug: {plug}}}
leads: {{y: {{kind: y, plug: box.legs, length: 300 mm, wire: 22 AWG}}}}
regulators: {{supply: {{kind: switching, volts: 6 V, rated: 10 A, supply: main, plug: rx.batt-1}}}}
packs: {{main: {{chemistry: lipo, cells: 3, capacity: 2 Ah}}}}
sequencers:
  box:
    outlets: [doors, legs, other]
    motor-outlets: [{motors}]
    plug: rx.5
    power-up: {power}
    steps:
      down: [{down}]
      up: [{up}]
"""
OPEN = "{outlet: doors, start: 0 s, end: 1 s, to: open}"
LEGS = "{outlet: legs, start: 1.5 s, end: 9 s, to: down}"
CLOSE = "{outlet: doors, start: 9 s, end: 10 s, to: closed}"
DOWN = ", ".join([OPEN, LEGS, CLOSE])
UP = DOWN.replace("to: down", "to: up")


def text(down: str = DOWN, up: str = UP, power: str = "holds", slow: str = "place: hull") -> str:
    return "places: {hull: {}}" + PLAN.format(
        down=down, up=up, power=power, slow=slow, kind="self-contained", fast="y.1", plug="y.2",
        motors="",
    )  # fmt: skip


def bare(end: str) -> str:
    down = f"{{outlet: legs, start: 1 s, end: {end}, to: down}}"
    both = f"{down}, {down.replace('legs', 'other')}"
    return "places: {hull: {}}" + PLAN.format(
        down=both, up=both.replace("to: down", "to: up"), power="holds", slow="place: hull",
        kind="bare-motor", fast="box.legs", plug="box.other", motors="legs, other",
    )  # fmt: skip


def line(plan: str, function: str = "gear") -> TimeLine:
    return timeline(build(plan_of(plan)), function)


def at(run_times: np.ndarray, values: np.ndarray, time: float) -> float:
    """The value at a sampled moment."""
    [n] = np.nonzero(np.abs(run_times - time) < 1e-12)[0]
    return float(values[n])


@pytest.mark.parametrize(
    ("part", "time", "position"),
    # the door: 0 to 1 s; the legs from 1.5 s: 3 s and 5 s long, whatever the step's end
    [("door", 0.25, 0.25), ("door", 5.0, 1.0), ("door", 9.5, 0.5), ("door", 10.0, 0.0),
     ("fast", 1.5, 0.0), ("fast", 3.0, 0.5), ("fast", 4.5, 1.0), ("slow", 4.0, 0.5),
     ("slow", 6.5, 1.0)],
)  # fmt: skip
def test_positions_by_hand(part: str, time: float, position: float) -> None:
    run = line(text()).run("down")
    assert at(run.times, run.positions[part], time) == pytest.approx(position, abs=1e-12)
    up = line(text()).run("up")
    mirrored = position if part == "door" else 1 - position
    assert at(up.times, up.positions[part], time) == pytest.approx(mirrored, abs=1e-12)


@pytest.mark.parametrize(
    ("slow", "arrives"),
    # stated; or 5 s and 30 % more (common practice, no source)
    [("slow: 7 s", 1.5 + 7), ("place: hull", 1.5 + 5 * 1.3)],
)
def test_a_slow_leg_arrives_later(slow: str, arrives: float) -> None:
    events = line(text(slow=slow)).run("slow-down").events
    assert [e.time for e in events if e.part == "slow" and e.what == "is down"] == [arrives]


def test_a_self_contained_leg_pays_no_heed_to_the_end_of_its_step() -> None:
    """The step ends at 4 s; the slow leg (5 s from 1.5 s) is there at 6.5 s all the same."""
    run = line(text(down=DOWN.replace("end: 9 s, to: down", "end: 4 s, to: down"))).run("down")
    assert at(run.times, run.positions["slow"], 6.5) == 1.0
    assert at(run.times, run.positions["slow"], 4.0) == pytest.approx(0.5)
    assert not run.clashes


def test_a_leg_pushes_against_its_end_for_a_moment() -> None:
    run = line(text()).run("down")
    state = dict(zip(run.times.tolist(), run.states["fast"], strict=True))
    assert (state[1.45], state[1.5], state[4.45]) == ("still", "moving", "moving")
    assert (state[4.5], state[4.65], state[4.7]) == ("stalled", "stalled", "still")


def test_a_bare_motor_goes_as_long_as_it_is_driven() -> None:
    # 1 s to 5 s: the fast leg (3 s) is there at 4 s and pushes for 1 s; the slow one gets 4/5 far.
    run = line(bare("5 s")).run("down")
    assert run.positions["fast"][-1] == 1.0
    assert run.positions["slow"][-1] == pytest.approx(4 / 5)
    pushing = run.times[np.array(run.states["fast"]) == "stalled"]
    assert (pushing[0], pushing[-1]) == pytest.approx((4.0, 4.95))
    assert [(c.kind, c.parts, c.start) for c in run.clashes] == [("stops-short", ("slow",), 5.0)]
    assert not line(bare("6 s")).run("down").clashes


@pytest.mark.parametrize("close", ["8 s", "9 s", "7.9 s", "6.6 s", "6.4 s"])
@pytest.mark.parametrize("way", ["down", "up"])
def test_doors_against_the_slowest_leg(way: str, close: str) -> None:
    """Nominal it is there at 6.5 s, slow at 8 s; the rule about doors must say the same."""
    steps = {"down": DOWN, "up": UP}[way].replace("start: 9 s", f"start: {close}")
    plan = text(**{way: steps})
    lines, begins = line(plan), float(close[:-2])
    for name, arrives in ((way, 6.5), (f"slow-{way}", 8.0)):
        early = [c for c in lines.run(name).clashes if c.kind == "doors-close-early"]
        assert bool(early) == (begins < arrives)
        assert [(c.start, c.end) for c in early if "slow" in c.parts] == (
            [(begins, arrives)] if early else []
        )
    assert bool(found("door-timing", plan)) == (begins < 8.0)


@pytest.mark.parametrize(
    ("down", "clash"),
    [
        (DOWN.replace("start: 1.5 s", "start: 0.4 s"), ("door-not-open", 0.4, 1.0)),
        (f"{LEGS}, {CLOSE}", ("door-not-open", 1.5, 6.5)),
        (f"{OPEN}, {LEGS}, {CLOSE.replace('start: 9 s', 'start: 0.5 s')}", ("two-steps", 0.5, 1.0)),
    ],
    ids=["too soon", "never opened", "two steps at once"],
)
def test_clashes_by_hand(down: str, clash: tuple[str, float, float]) -> None:
    kinds = [(c.kind, c.start, c.end) for c in line(text(down=down)).run("down").clashes]
    assert clash in kinds
    assert not line(text()).run("down").clashes


def test_doors_answer_for_the_legs_of_their_own_place() -> None:
    """The door lies in the place of the fast leg, so the slow one may take its time."""
    plan = text(down=DOWN.replace("start: 9 s", "start: 5 s")).replace(
        "{hull: {}}", "{hull: {}, bay: {}}"
    )
    near = plan.replace("door: {", "door: {place: bay, ").replace("fast: {", "fast: {place: bay, ")
    assert {c.parts[0] for c in line(plan).run("down").clashes} == {"slow"}
    assert not line(near).run("down").clashes


@pytest.mark.parametrize(
    ("power", "switch", "stands", "ends", "raised"),
    [
        ("holds", "down", "up", 0.0, False), ("holds", "up", "down", 1.0, False),
        ("follows", "down", "up", 1.0, False), ("follows", "up", "down", 0.0, True),
        ("follows", "down", "down", 1.0, False), ("follows", "up", "up", 0.0, False),
        ("down", "up", "up", 1.0, False), ("down", "up", "down", 1.0, False),
        ("up", "down", "down", 0.0, True), ("up", "down", "up", 0.0, False),
    ],
)  # fmt: skip
def test_power_up(power: str, switch: str, stands: str, ends: float, raised: bool) -> None:
    """What the words of `power-up` mean, for each stand of the switch and of the gear."""
    run = line(text(power=power)).run(f"power-up-{switch}-{stands}")
    starts = 1.0 if stands == "down" else 0.0
    for leg in ("fast", "slow"):
        assert (run.positions[leg][0], run.positions[leg][-1]) == (starts, ends)
        if starts == ends:
            assert set(run.states[leg]) == {"still"}
    assert ("raised-at-power-up" in {c.kind for c in run.clashes}) is raised


def test_all_four_cases_of_power_up_are_there_and_doors_are_looked_at() -> None:
    lines = line(text(down=f"{LEGS}, {CLOSE}", power="follows"))
    names = [run.name for run in lines.runs if run.name.startswith("power-up")]
    assert names == [f"power-up-{a}-{b}" for a in ("down", "up") for b in ("down", "up")]
    assert "door-not-open" in {c.kind for c in lines.run("power-up-down-up").clashes}


def test_an_undeclared_power_up_is_unknown_and_not_taken_to_hold() -> None:
    lines = line(text().replace("    power-up: holds\n", ""))
    assert "box: what it does when the supply comes on (power-up)" in lines.unknown
    assert not any(run.name.startswith("power-up") for run in lines.runs)


def test_a_jammed_leg_draws_its_stop_current_to_the_end() -> None:
    lines = line(text())
    usual, run = lines.run("down"), lines.run("jammed-slow-down")
    assert set(run.positions["slow"]) == {0.0}
    # as long as without: half a second after the last thing has come to rest, the doors at 10 s
    assert (usual.times[-1], run.times[-1]) == pytest.approx((10.5, 10.5))
    assert set(np.array(run.states["slow"])[run.times >= 1.5]) == {"stalled"}
    # at 3 s both legs run: the jammed one draws 1.2 A in place of 0.4 A (stated in the plan)
    more = at(run.times, run.amps["supply"], 3.0) - at(usual.times, usual.amps["supply"], 3.0)
    assert more == pytest.approx(1.2 - 0.4, abs=1e-6)
    assert "doors-close-early" in {c.kind for c in run.clashes}
    assert {r.name for r in lines.runs} >= {
        f"jammed-{x}-{w}" for x in ("fast", "slow") for w in ("down", "up")
    }


@pytest.mark.parametrize(
    ("time", "amps"),
    # Kirchhoff: what the parts on the rail draw on top of rest adds up (constant currents, stated;
    # the door of its class: 0.25 A moving, 0.006 A idle, common practice, no source)
    [(0.5, 0.25 - 0.006), (2.0, 0.5 + 0.4), (4.55, 1.5 + 0.4), (5.5, 0.4), (6.6, 1.2), (8.0, 0.0)],
)
def test_the_supply_gives_what_the_parts_draw(time: float, amps: float) -> None:
    run = line(text()).run("down")
    rest = at(run.times, run.amps["supply"], 1.2)
    assert at(run.times, run.amps["supply"], time) - rest == pytest.approx(amps, abs=1e-6)


def test_volts_at_a_leg_fall_by_ohms_law() -> None:
    """One leg alone: twice the current above rest takes twice the volts."""
    run = line(
        text().replace("running: 0.4 A", "running: 0 A").replace("stop: 1.2 A", "stop: 0 A")
    ).run("down")
    rest, runs, pushes = (at(run.times, run.volts["fast"], t) for t in (1.2, 2.0, 4.55))
    assert (rest - pushes) / (rest - runs) == pytest.approx(1.5 / 0.5, rel=1e-6)
    assert rest - runs > 0.01


def test_a_brown_out_is_found_when_and_where_it_is_deepest() -> None:
    """Two metres of 30 AWG: 2 x 0.68 ohm (ASTM B258) x 1.5 A = 2 V below the rail: under 4 V."""
    thin = text().replace(
        "leads: {", "leads: {ext: {kind: extension, plug: y.1, length: 2000 mm, wire: 30 AWG}, "
    )
    thin = thin.replace("plug: y.1}\n  slow", "plug: ext.1}\n  slow")
    assert not line(text()).run("down").brown_outs
    short = [low for low in line(thin).run("down").brown_outs if low.device == "fast"]
    assert [(low.time, low.limit.number, low.rail) for low in short] == [(4.5, 4.0, False)]
    run = line(thin).run("down")
    assert short[0].volts == pytest.approx(min(run.volts["fast"]))
    stated = text().replace(
        "class: 9g-analogue, plug: rx.6", "stall: 1 A, volts-min: 5.9 V, plug: rx.6"
    )
    short = [low for low in line(stated).run("down").brown_outs if low.device == "flap"]
    assert [(low.limit.number, low.rail) for low in short] == [(5.9, False)]


def test_each_moment_is_as_if_solved_by_itself() -> None:
    """The batch against a network of one case, built by hand for three moments."""
    wiring = build(plan_of(text()))
    run = timeline(wiring, "gear").run("down")
    cruise = next(c for c in built_in(wiring.plan) if c.name == "cruise")
    charges = {p.id: reserve_of(wiring.plan, p).number for p in wiring.plan.of(Pack)}
    both = {"fast": "moving", "slow": "moving"}
    for time, doing in ((0.5, {"door": "moving"}), (2.0, both), (4.6, {**both, "fast": "stalled"})):
        activity = {**cruise.activity, **{part: Activity(state) for part, state in doing.items()}}
        net = network_of(wiring, [replace(cruise, charges=charges, activity=activity)])
        alone = Outcome(net, solve(net.circuit))
        for part in ("rx", "door", "fast", "slow", "box", "flap"):
            assert at(run.times, run.volts[part], time) == pytest.approx(
                alone.fed(part)[0], rel=1e-9
            )


def test_a_function_without_a_sequencer() -> None:
    lines = line(text(), "flap")
    assert (lines.movers, lines.boxes) == (("flap",), ())
    assert [run.name for run in lines.runs] == ["down", "up", "jammed-flap-down", "jammed-flap-up"]
    assert lines.run("down").positions["flap"][-1] == 1.0


def test_a_function_nobody_drives() -> None:
    with pytest.raises(Refusal, match=r'moved by "hook": it can be flap or gear'):
        line(text(), "hook")


def test_trouble_names_part_moment_and_line() -> None:
    """An ESC with its battery wires crossed has no answer: nobody knows what it would draw."""
    motor = """
motors: {m: {full-throttle: 20 A, plug: esc}}
escs: {esc: {bec: none, supply: main}}
as-found: [{end: esc.supply, fact: crossed}]
"""
    weak = text() + motor
    weak = weak.replace("supply: main, plug: rx", "plug: rx")
    with pytest.raises(NotSolved, match=r"esc: .* at 0 s of down \(plan line \d+\)"):
        line(weak)


def test_missing_facts_are_listed() -> None:
    lines = line(text().replace("moves: flap, class: 9g-analogue", "moves: flap"))
    assert any(words.startswith("flap: its stall current") for words in lines.unknown)
    vague = line(text(down=DOWN.replace(", to: open", "")))
    assert "box: where its down step of doors goes (to)" in vague.unknown


@pytest.mark.parametrize("name", ["saltmarsh-19", "marram-26", "breakwater-12"])
def test_examples_twice_the_same(name: str) -> None:
    wiring = build(load_plan(f"examples/{name}.yaml"))
    try:
        one, two = (timeline(wiring, "gear") for _ in range(2))
    except Refusal as refusal:
        assert "it can be" in str(refusal)
        return
    for a, b in zip(one.runs, two.runs, strict=True):
        assert (a.events, a.clashes, a.lowest) == (b.events, b.clashes, b.lowest)
        assert all(np.array_equal(a.volts[k], b.volts[k]) for k in a.volts)
        assert np.all(np.diff(a.times) > 0)
