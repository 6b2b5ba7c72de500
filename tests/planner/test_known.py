"""Answers that builders know, and what must hold of every proposal."""

from __future__ import annotations

import random

import pytest
import yaml
from support import plan_of

from harness.base.finding import Severity
from harness.base.span import Source
from harness.documents.proposal import clash_text, proposal_data, proposal_text
from harness.plan.load import parse_plan
from harness.plan.plan import Plan
from harness.planner.propose import NoPlan, Proposal, propose
from harness.rules.run import check
from harness.wiring.build import build

SIX = """
transmitter: {order: AETR, channels: 8}
receivers: {rx: {sockets: 6}}
kit:
  - {kind: y, count: 2, length: 300 mm, wire: 22 AWG}
servos:
  aileron-left: {class: 9g-analogue, moves: aileron, shaft: left}
  aileron-right: {class: 9g-analogue, moves: aileron, shaft: right}
  flap-left: {class: 9g-analogue, moves: flap, shaft: left}
  flap-right: {class: 9g-analogue, moves: flap, shaft: left}
  elevator: {class: 9g-analogue, moves: elevator}
  rudder: {class: 9g-analogue, moves: rudder}
retracts:
  leg-left: {kind: self-contained, class: small}
  leg-right: {kind: self-contained, class: small}
escs:
  esc: {rated: 30 A, bec: {kind: switching, volts: 5 V, rated: 5 A}, supply: pack}
packs: {pack: {chemistry: lipo, cells: 3, capacity: 2.2 Ah, rate: 25 C}}
motors: {motor: {full-throttle: 18 A, plug: esc}}
"""


def answered(text: str) -> Proposal:
    answer = propose(plan_of(text))
    assert isinstance(answer, Proposal), clash_text(answer)
    return answer


def written(answer: Proposal) -> Plan:
    return parse_plan(Source("plan.yaml", answer.text))


def drivers(answer: Proposal) -> dict[str, str]:
    """Each device's socket on the receiver or sequencer, as the wiring graph of the text has it."""
    plan = written(answer)
    wiring = build(plan)
    words = {"servo", "ESC", "retract leg", "sequencer"}
    found = {}
    for part in plan.parts.values():
        if part.word in words:
            chain = wiring.upstream(part.id)
            found[part.id] = chain[-1].socket.short if chain and chain[-1].socket else ""
    return found


def test_six_channels_two_ailerons_two_flaps_and_retracts() -> None:
    """Common practice: six do it with three Y-leads, in the order AETR, gear on 5, flap on 6."""
    answer = answered(SIX)
    assert drivers(answer) == {
        "aileron-left": "rx.1",
        "aileron-right": "rx.1",
        "elevator": "rx.2",
        "esc": "rx.3",
        "rudder": "rx.4",
        "leg-left": "rx.5",
        "leg-right": "rx.5",
        "flap-left": "rx.6",
        "flap-right": "rx.6",
    }
    assert [(w.kind, w.count) for w in answer.bought] == [("y", 1)]
    assert "one more socket would give each flap its own trim" in proposal_text(answer)


@pytest.mark.parametrize(("shafts", "mends"), [(("left", "right"), 0), (("left", "left"), 1)])
def test_mirrored_servos_on_a_plain_y(shafts: tuple[str, str], mends: int) -> None:
    """Mirrored servos on a Y are right for ailerons and wrong for flaps (common practice)."""
    text = "receivers: {rx: {sockets: 1}}\nservos:\n"
    for function, wrong in (("aileron", mends), ("flap", 1 - mends)):
        servos = "".join(
            f"  {function}-{side}: {{moves: {function}, shaft: {shaft}}}\n"
            for side, shaft in zip(("left", "right"), shafts, strict=True)
        )
        turned = [c.what for c in answered(text + servos).choices if c.what.startswith("turn ")]
        assert len(turned) == wrong


@pytest.mark.parametrize(
    ("facts", "word"),
    [("programmable: yes", "programme"), ("fixed: no", "turn"), ("fixed: yes", "reverser")],
)
def test_the_order_of_mends(facts: str, word: str) -> None:
    text = (
        "receivers: {rx: {sockets: 1}}\nkit: [{kind: y}, {kind: reverser}]\nservos:\n"
        f"  flap-left: {{moves: flap, shaft: left, {facts}}}\n"
        f"  flap-right: {{moves: flap, shaft: right, {facts}}}\n"
    )
    answer = answered(text)
    assert [word in choice.what for choice in answer.choices] == [False, True]
    assert not answer.bought


TWIN = """
receivers: {rx: {sockets: 3}}
escs:
  esc-left: {rated: 30 A, bec: {kind: switching, volts: 5 V, rated: 3 A}, supply: pack-y.1}
  esc-right: {rated: 30 A, bec: {kind: switching, volts: 5 V, rated: RATED}, supply: pack-y.2}
packs: {pack: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 30 C}}
power-leads: {pack-y: {kind: parallel, ways: 3, supply: pack}}
"""


@pytest.mark.parametrize(("rated", "pulled"), [("3 A", "esc-right"), ("5 A", "esc-left")])
def test_which_red_is_pulled(rated: str, pulled: str) -> None:
    """All but one BEC loses its red pin (PX4 documentation); the stronger one stays in."""
    plan = written(answered(TWIN.replace("RATED", rated)))
    reds = [e.id for e in plan.parts.values() if getattr(getattr(e, "plug", None), "pulled", ())]
    assert reds == [pulled]


def test_a_regulator_goes_before_a_bec() -> None:
    text = TWIN.replace("RATED", "9 A")
    text += "regulators: {reg: {kind: switching, volts: 5 V, rated: 5 A, supply: pack-y.3}}\n"
    plan = written(answered(text))
    assert [join.into for join in plan.parts["reg"].plug] == ["rx.batt"]
    assert all(plan.parts[e].plug.pulled == ("positive",) for e in ("esc-left", "esc-right"))


def test_the_rules_put_out_a_hot_bec() -> None:
    """A linear BEC on 4S is never the feed (common practice: not used at 4S and above)."""
    text = TWIN.replace("RATED", "9 A").replace("cells: 3", "cells: 4")
    text = text.replace(
        "kind: switching, volts: 5 V, rated: 9 A", "kind: linear, volts: 5 V, rated: 9 A"
    )
    text += "servos: {rudder: {moves: rudder, class: 9g-analogue}}\n"
    answer = answered(text)
    assert 'BEC of ESC "esc-left" feeds' in proposal_text(answer)
    assert answer.proven
    assert not answer.faults


def test_steering_shares_with_the_rudder_only_without_retracts() -> None:
    text = (
        "receivers: {rx: {sockets: SOCKETS}}\nwishes: [{wish: own-trim, of: elevator}]\n"
        "servos:\n  elevator: {moves: elevator}\n  rudder: {moves: rudder}\n"
        "  steering: {moves: steering}\n"
    )
    shared = drivers(answered(text.replace("SOCKETS", "2")))
    assert shared["rudder"] == shared["steering"]
    leg = "retracts: {leg: {kind: self-contained, steered-by: steering}}\n"
    apart = drivers(answered(text.replace("SOCKETS", "4") + leg))
    assert apart["rudder"] != apart["steering"]
    jams = propose(plan_of(text.replace("SOCKETS", "3") + leg))
    assert isinstance(jams, NoPlan) or [f.rule for f in jams.faults] == ["steering-while-retracted"]


# what moves for two sticks: common practice, no source
@pytest.mark.parametrize("moves", ["v-tail", "elevon", "taileron", "flaperon", "spoileron"])
def test_surfaces_of_two_sticks_never_share(moves: str) -> None:
    text = "receivers: {rx: {sockets: 1}}\nservos:\n"
    text += "".join(f"  s-{side}: {{moves: {moves}}}\n" for side in ("left", "right"))
    answer = propose(plan_of(text))
    assert isinstance(answer, NoPlan)
    assert [[limit.name for limit in way] for way in answer.ways] == [["sockets"]]
    two = answered(text.replace("sockets: 1", "sockets: 2"))
    assert sorted(drivers(two).values()) == ["rx.1", "rx.2"]


def test_a_surface_goes_to_the_outlet_that_is_steadied_for_it() -> None:
    text = """
channels: {1: aileron, 2: elevator}
receivers: {rx: {sockets: 4}}
stabilisers: {gyro: {plugs: {a: rx.1, b: rx.2}, axes: {a: aileron, b: elevator}}}
servos: {pitch-servo: {moves: elevator}, roll-servo: {moves: aileron}}
"""
    plan = written(answered(text))
    assert {p.id: str(p.plug.into) for p in plan.parts.values() if p.swings} == {
        "pitch-servo": "gyro.b", "roll-servo": "gyro.a",
    }  # fmt: skip


@pytest.mark.parametrize("measured", ["", ", measured: up"])
def test_one_measured_flap_is_mended_like_any(measured: str) -> None:
    """Opposite shafts on one pulse: flaps need one mend (parity, common practice)."""
    text = f"""
receivers: {{rx: {{sockets: 1}}}}
kit: [{{kind: y}}]
servos:
  flap-left: {{moves: flap, shaft: left, fixed: yes{measured}}}
  flap-right: {{moves: flap, shaft: right, fixed: no}}
"""
    plan = written(answered(text))
    assert getattr(plan.parts["flap-right"], "shaft", "") == "left"


SEQUENCED = """
receivers: {rx: {sockets: 4}}
servos:
  door-left: {moves: gear-door, shaft: left}
  door-right: {moves: gear-door, shaft: right}
  rudder: {moves: rudder}
retracts:
  leg-left: {kind: self-contained}
  leg-right: {kind: self-contained}
sequencers:
  box:
    outlets: [a, b]
    steps:
      down:
        - {outlet: b, start: 0 s, end: 1 s, to: open}
        - {outlet: a, start: 2 s, end: 9 s, to: down}
      up:
        - {outlet: a, start: 0 s, end: 8 s, to: up}
        - {outlet: b, start: 9 s, end: 10 s, to: closed}
"""


def test_doors_and_legs_hang_on_the_outlets_that_move_them() -> None:
    found = drivers(answered(SEQUENCED))
    plan = written(answered(SEQUENCED))
    leads = {part.id: part.plug.into for part in plan.parts.values() if part.word == "lead"}
    assert sorted(leads.values()) == ["box.a", "box.b"]
    assert plan.parts[plan.parts["leg-left"].plug.part].plug.into == "box.a"
    assert plan.parts[plan.parts["door-left"].plug.part].plug.into == "box.b"
    assert found["box"].startswith("rx.")


def test_what_is_plugged_in_stays_and_free_ends_are_used() -> None:
    text = (
        "channels: {1: aileron, 2: elevator}\nreceivers: {rx: {sockets: 2}}\nservos:\n"
        "  aileron-left: {moves: aileron, shaft: left, plug: aileron-y.1}\n"
        "  aileron-right: {moves: aileron, shaft: right}\n"
        "  elevator: {moves: elevator}\n"
        "leads: {aileron-y: {kind: y, plug: rx.1}}\n"
    )
    plan = written(answered(text))
    assert plan.parts["aileron-left"].plug.into == "aileron-y.1"
    assert plan.parts["aileron-right"].plug.into == "aileron-y.2"
    assert plan.parts["elevator"].plug.into == "rx.2"


def test_a_fault_of_the_plan_is_told_not_looped_on() -> None:
    text = (
        "channels: {9: hook}\nreceivers: {rx: {sockets: 2}}\n"
        "servos: {rudder: {moves: rudder}, elevator: {moves: elevator}}\n"
    )
    answer = answered(text)
    assert [finding.rule for finding in answer.faults] == ["channel-without-socket"]
    assert answer.proven


def test_names_and_order_in_the_file_do_not_matter() -> None:
    top = yaml.safe_load(SIX)
    plain = drivers(answered(SIX))
    rng = random.Random(4)
    for _ in range(5):
        shuffled = {
            group: dict(rng.sample(list(parts.items()), len(parts)))
            if isinstance(parts, dict)
            else parts
            for group, parts in top.items()
        }
        text = yaml.dump(shuffled, sort_keys=False)
        assert drivers(answered(text)) == plain
    renamed = SIX
    for name in plain:
        renamed = renamed.replace(f"  {name}:", f"  p-{name}:").replace(
            f"plug: {name}}}", f"plug: p-{name}}}"
        )
    assert drivers(answered(renamed)) == {f"p-{name}": at for name, at in plain.items()}


def test_nothing_to_decide() -> None:
    answer = answered(
        "channels: {1: {function: rudder, failsafe: neutral}}\n"
        "receivers: {rx: {sockets: 2}}\nservos: {rudder: {moves: rudder, plug: rx.1}}\n"
    )
    assert not answer.edits
    assert "Nothing is left to plug in" in proposal_text(answer)


def test_next_best_plans_differ_in_more_than_leads_and_are_no_better() -> None:
    plan = plan_of(SIX.replace("sockets: 6", "sockets: 8"))
    answer, alone = propose(plan, others=True), propose(plan)
    assert isinstance(answer, Proposal)
    assert isinstance(alone, Proposal)
    assert alone.runners_up is None
    assert (alone.text, alone.costs) == (answer.text, answer.costs)
    assert "next-best" in proposal_text(answer)
    assert "next-best" not in proposal_text(alone)
    assert answer.runners_up is not None
    assert len(answer.runners_up) == 2
    for runner in answer.runners_up:
        assert tuple(dict(runner.levels).values()) >= tuple(dict(answer.costs).values())
        assert runner.differs
    data = proposal_data(answer)
    assert data["proven"] is True
    assert len(data["next_best"]) == 2


def test_runs_reach_where_positions_are_known() -> None:
    """Hand: 2 m of way asks for 2000 mm + 10 % + 30 mm at the servo; 250 mm are its own lead."""
    text = (
        "places: {nose: {at: 0 mm}, tail: {in: nose, at: 2000 mm}}\n"
        "receivers: {rx: {sockets: 1, place: nose}}\n"
        "servos: {rudder: {moves: rudder, place: tail, length: 250 mm}}\n"
    )
    answer = answered(text)
    lengths = sorted(w.length for w in answer.bought for _ in range(w.count))
    assert sum(lengths) + 250 >= 2230
    assert lengths == [1000, 1000]  # of the stock lengths no two shorter ones reach 1980 mm
    assert not [f for f in answer.report.findings if f.severity >= Severity.ERROR]


@pytest.mark.parametrize(("first", "second"), [("aileron", "flap"), ("flap", "aileron")])
def test_the_earlier_wish_counts_for_more(first: str, second: str) -> None:
    """Three sockets for two pairs: only one pair can have a channel each."""
    wishes = "".join(f"  - {{wish: own-trim, of: {name}}}\n" for name in (first, second))
    servos = "".join(
        f"  {name}-{side}: {{moves: {name}, programmable: yes, shaft: left}}\n"
        for name in (first, second)
        for side in ("left", "right")
    )
    text = f"receivers: {{rx: {{sockets: 3}}}}\nwishes:\n{wishes}servos:\n{servos}"
    answer = answered(text)
    assert [wish.granted for wish in answer.wishes] == [True, False]
    assert answer.wishes[1].why == f"one more socket would give each {second} its own trim"
    found = drivers(answer)
    assert found[f"{first}-left"] != found[f"{first}-right"]
    assert found[f"{second}-left"] == found[f"{second}-right"]


PRINT = (
    "receivers: {rx: {sockets: {thro: 1, aile: 2, elev: 3, rudd: 4, aux1: 5, gear: 6, flap: 7}}}"
)


def test_a_receiver_that_says_its_channels_is_believed_before_custom() -> None:
    """Channel 5 is commonly gear and 6 flap: not where 6 is printed gear and 7 flap."""
    text = SIX.replace("AETR", "TAER").replace("receivers: {rx: {sockets: 6}}", PRINT)
    answer = answered(text)
    found = drivers(answer)
    assert {found[n] for n in ("leg-left", "leg-right")} == {"rx.gear"}
    assert {found[n] for n in ("flap-left", "flap-right")} == {"rx.flap"}
    told = proposal_text(answer)
    assert "channel 6 is gear by the receiver's print" in " ".join(told.split())
    # second ailerons go to channel 6 by custom; this one is printed for something else
    assert found["aileron-right"] != "rx.gear"


def test_a_channel_that_a_stick_works_is_told() -> None:
    text = SIX.replace("  rudder: {class: 9g-analogue, moves: rudder}\n", "  hook: {moves: hook}\n")
    told = " ".join(proposal_text(answered(text)).split())
    assert "the radio sends rudder there: give it a switch in the transmitter" in told


def test_check_and_assign_call_a_second_throttle_alike() -> None:
    """One is plugged in and named already: the other bears its side, whoever proposes it."""
    text = """
transmitter: {order: AETR, channels: 8}
channels: {1: aileron, 2: elevator, 3: {function: throttle, failsafe: off}, 4: rudder}
receivers: {rx: {sockets: 8}}
places: {fuselage: {}, left: {joins: fuselage, side: left}, right: {joins: fuselage, side: right}}
escs:
  esc-left: {rated: 30 A, bec: {kind: switching, volts: 5 V, rated: 5 A}, supply: one, plug: rx.3,
    place: left}
  esc-right: {rated: 30 A, bec: none, supply: two, place: right}
packs:
  one: {chemistry: lipo, cells: 3, capacity: 2.2 Ah, rate: 25 C}
  two: {like: one}
motors: {m: {full-throttle: 18 A, plug: esc-left}, n: {like: m, plug: esc-right}}
"""
    (open_,) = [f for f in check(plan_of(text)).findings if f.rule == "plug-not-placed"]
    assert "add `5: throttle-right` to the channels" in open_.help
    (new,) = [s.function for s in answered(text).channels if s.channel not in {"1", "2", "3", "4"}]
    assert new == "throttle-right"
