"""Parity: relation = shafts * arms * horns * reversals (common practice, no source)."""

from __future__ import annotations

import itertools

import pytest
from control_support import found, missing

RULE = "shared-channel-motion"
LEADS = "leads: {y: {kind: n-way, ways: 3, plug: rx.1}, r: {kind: reverser, plug: y.3}}\n"
# wanted, as builders say it: ailerons -1; flaps, split elevator, spoilers, twin rudders +1;
# left and right gear doors -1
WANTED = {"aileron": -1, "flap": 1, "elevator": 1, "spoiler": 1, "rudder": 1, "gear-door": -1}


def pair(moves: str, left: str, right: str, lead: str = "y.2") -> str:
    return (
        f"servos: {{s-left: {{moves: {moves}, {left}, plug: y.1}},"
        f" s-right: {{moves: {moves}, {right}, plug: {lead}}}}}\n{LEADS}"
    )


@pytest.mark.parametrize("moves", WANTED)
@pytest.mark.parametrize("flips", list(itertools.product((1, -1), repeat=5)))
def test_every_pair_by_its_parity(moves: str, flips: tuple[int, ...]) -> None:
    shaft, arm, horn, turned, lead = flips
    right = f"shaft: {'left' if shaft > 0 else 'right'}, arm: {'up' if arm > 0 else 'down'}, "
    right += f"horn: {'top' if horn > 0 else 'bottom'}, reversed: {'no' if turned > 0 else 'yes'}"
    text = pair(moves, "shaft: left, arm: up, horn: top", right, "y.2" if lead > 0 else "r.1")
    relation = shaft * arm * horn * turned * lead
    assert len(found(RULE, text)) == (relation != WANTED[moves])


@pytest.mark.parametrize(
    ("moves", "left", "right", "faults"),
    [
        # both surfaces rise on a longer pulse: right for flaps, wrong for ailerons
        ("flap", "measured: up", "measured: up", 0),
        ("aileron", "measured: up", "measured: up", 1),
        ("aileron", "measured: up", "measured: down", 0),
        ("gear-door", "measured: open", "measured: open", 0),
        ("gear-door", "measured: open", "measured: closed", 1),
        ("rudder", "measured: left", "measured: left", 0),
        # what was seen overrides shafts, arms, horns and reversals
        ("flap", "measured: up, shaft: left", "measured: up, shaft: right", 0),
        ("flap", "measured: up, shaft: left", "measured: up, shaft: left, reversed: yes", 0),
        ("flap", "measured: up, shaft: left", "measured: down, shaft: left", 1),
    ],
)
def test_measured_facts_decide(moves: str, left: str, right: str, faults: int) -> None:
    assert len(found(RULE, pair(moves, left, right))) == faults


def test_a_reverser_turns_what_was_measured_at_the_servo() -> None:
    assert len(found(RULE, pair("flap", "measured: up", "measured: up", "r.1"))) == 1


@pytest.mark.parametrize(
    ("left", "right", "who"),
    [
        ("shaft: left", "moves: flap", {"s-right"}),
        ("reversed: yes", "reversed: no", {"s-left", "s-right"}),
        ("measured: up", "shaft: left", {"s-left"}),
        ("shaft: left, arm: up", "shaft: left", {"s-right"}),
        ("shaft: left", "shaft: up", {"s-right"}),
    ],
)
def test_what_is_missing_is_not_known(left: str, right: str, who: set[str]) -> None:
    text = pair("flap", left, right).replace("moves: flap, moves: flap", "moves: flap")
    assert found(RULE, text) == []
    assert len(missing(RULE, text)) == len(who)


def test_ailerons_without_sides_are_not_known() -> None:
    text = pair("aileron", "shaft: left", "shaft: right")
    text = text.replace("s-left", "one").replace("s-right", "two")
    assert found(RULE, text) == []
    assert [one.part for one in missing(RULE, text)] == ["one", "two"]


@pytest.mark.parametrize(
    ("shafts", "odd"),
    # the one against three; two against two: a right-hand one is marked
    [("LLLL", set()), ("LLLR", {"f4"}), ("LRLL", {"f2"}), ("RLLL", {"f1"}), ("LLRR", {"f3", "f4"})],
)
def test_four_flaps_on_one_lead(shafts: str, odd: set[str]) -> None:
    servos = ", ".join(
        f"f{n}: {{moves: flap-{'left' if n < 3 else 'right'},"
        f" shaft: {'left' if s == 'L' else 'right'}, plug: n.{n}}}"
        for n, s in enumerate(shafts, 1)
    )
    text = f"servos: {{{servos}}}\nleads: {{n: {{kind: n-way, ways: 4, plug: rx.1}}}}"
    findings = found(RULE, text)
    assert len(findings) == bool(odd)
    assert {finding.parts[0] for finding in findings} <= odd


def test_two_servos_on_one_aileron_move_together() -> None:
    same = pair("aileron-left", "shaft: left", "shaft: left")
    assert found(RULE, same) == []
    assert len(found(RULE, pair("aileron-left", "shaft: left", "shaft: right"))) == 1


@pytest.mark.parametrize(
    "text",
    [
        # rudder and nose steering on one signal are not judged by parity
        "servos: {a: {moves: rudder, shaft: up, plug: y.1},"
        " b: {moves: steering, shaft: down, plug: y.2}}\n" + LEADS,
        "servos: {f-left: {moves: flap, shaft: left, plug: rx.1},"
        " f-right: {moves: flap, shaft: right, plug: rx.2}}",
        "escs: {a-left: {plug: y.1}, b-right: {plug: y.2}}\n" + LEADS,
        # one socket taken twice: that rule speaks
        "servos: {f-left: {moves: flap, shaft: left, plug: rx.1},"
        " f-right: {moves: flap, shaft: right, plug: rx.1}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []


@pytest.mark.parametrize("outlets", ["box.1", "a.2, b.2"])
def test_other_ways_to_share(outlets: str) -> None:
    if "," in outlets:
        text = (
            "receivers: {a: {sockets: 4}, b: {sockets: 4}}\n"
            "servos: {f-left: {moves: flap, shaft: left, plug: a.2},"
            " f-right: {moves: flap, shaft: right, plug: b.2}}"
        )
    else:
        text = (
            pair("gear-door", "shaft: left", "shaft: left").replace("rx.1", outlets)
            + "sequencers: {box: {outlets: 2, plug: rx.5, power-up: holds}}"
        )
    assert len(found(RULE, text)) == 1


def test_one_report_whatever_the_order_of_the_file() -> None:
    one = pair("flap", "shaft: left", "shaft: right")
    two = (
        "servos: {s-right: {moves: flap, shaft: right, plug: y.2},"
        f" s-left: {{moves: flap, shaft: left, plug: y.1}}}}\n{LEADS}"
    )
    (first,), (second,) = found(RULE, one), found(RULE, two)
    assert (first.message, first.parts) == (second.message, second.parts)
    assert first.parts[0] == "s-right"


# Things unlike on one pulse, by mechanics: a surface whose trailing edge goes up is pushed down;
# which way that turns the nose hangs on the side of the centre of gravity. Wheels and slats go by
# the effect that their word names. Which things may share a pulse: common practice.
EFFECT = {"up": -1, "down": 1, "left": -1, "right": 1}
LEVER = {"canard": 1, "elevator": -1, "thrust-vector": -1}


def effect(moves: str, way: str) -> int:
    return EFFECT[way] * LEVER.get(moves, 1)


UNLIKE = [
    ("2: elevator", "canard", "elevator", ("up", "down")),
    ("2: elevator", "thrust-vector", "elevator", ("up", "down")),
    ("2: elevator", "thrust-vector", "canard", ("up", "down")),
    ("4: rudder", "steering", "rudder", ("left", "right")),
    ("4: rudder", "tail-wheel", "rudder", ("left", "right")),
    ("4: rudder", "tail-wheel", "nose-wheel", ("left", "right")),
    ("4: rudder", "nozzle", "rudder", ("left", "right")),
    ("6: flap", "slat", "flap", ("up", "down")),
]


@pytest.mark.parametrize(("channel", "one", "other", "ways"), UNLIKE)
def test_things_unlike_must_do_the_same(
    channel: str, one: str, other: str, ways: tuple[str, str]
) -> None:
    number = channel[0]
    for mine, its in itertools.product(ways, repeat=2):
        text = (
            f"channels: {{{channel}}}\nservos: {{a: {{moves: {one}, measured: {mine}, plug: y.1}},"
            f" b: {{moves: {other}, measured: {its}, plug: y.2}}}}\n"
            f"leads: {{y: {{kind: y, plug: rx.{number}}}}}\n"
        )
        assert len(found(RULE, text)) == (effect(one, mine) != effect(other, its)), (mine, its)


CANARD = """channels: {2: elevator}
servos:
  canard: {moves: canard, KEYS, plug: y.1}
  elevator: {moves: elevator, shaft: left, arm: up, horn: top, plug: y.2}
leads: {y: {kind: y, plug: rx.2}}
"""


@pytest.mark.parametrize("flips", list(itertools.product((1, -1), repeat=4)))
def test_a_canard_turns_against_the_elevator(flips: tuple[int, ...]) -> None:
    shaft, arm, horn, turned = flips
    keys = f"shaft: {'left' if shaft > 0 else 'right'}, arm: {'up' if arm > 0 else 'down'}, "
    keys += f"horn: {'top' if horn > 0 else 'bottom'}, reversed: {'no' if turned > 0 else 'yes'}"
    relation = shaft * arm * horn * turned
    assert len(found(RULE, CANARD.replace("KEYS", keys))) == (relation == 1)


def test_of_things_unlike_nothing_is_taken_for_usual() -> None:
    text = CANARD.replace("KEYS", "shaft: left")
    assert found(RULE, text) == []
    assert "canard" in {one.part for one in missing(RULE, text)}
    bare = text.replace("shaft: left, arm: up, horn: top", "shaft: left")
    assert found(RULE, bare) == []
    assert {one.part for one in missing(RULE, bare)} == {"canard", "elevator"}


def test_a_wheel_is_asked_what_it_was_seen_to_do() -> None:
    text = (
        "channels: {4: rudder}\nservos: {rudder: {moves: rudder, shaft: up, plug: y.1},"
        " wheel: {moves: steering, shaft: up, plug: y.2}}\nleads: {y: {kind: y, plug: rx.4}}\n"
    )
    assert found(RULE, text) == []
    assert {one.part for one in missing(RULE, text)} == {"rudder", "wheel"}


def test_pairs_that_are_wrong_alone_are_told_once() -> None:
    text = """channels: {2: elevator}
servos:
  canard: {moves: canard, measured: up, plug: y.1}
  half-left: {moves: elevator, measured: up, plug: y.2}
  half-right: {moves: elevator, measured: down, plug: y.3}
leads: {y: {kind: n-way, ways: 3, plug: rx.2}}
"""
    (finding,) = found(RULE, text)
    assert set(finding.parts) == {"half-left", "half-right"}


@pytest.mark.parametrize(("channel", "wanted"), [("1: aileron", -1), ("2: elevator", 1)])
@pytest.mark.parametrize("shaft", ["left", "right"])
def test_nozzles_do_what_their_channel_asks(channel: str, wanted: int, shaft: str) -> None:
    text = (
        f"channels: {{{channel}}}\nservos: {{n-left: {{moves: nozzle, shaft: left, plug: y.1}},"
        f" n-right: {{moves: nozzle, shaft: {shaft}, plug: y.2}}}}\n"
        f"leads: {{y: {{kind: y, plug: rx.{channel[0]}}}}}\n"
    )
    relation = 1 if shaft == "left" else -1
    assert len(found(RULE, text)) == (relation != wanted)


def test_a_word_of_the_plan_says_how_it_goes_beside_another() -> None:
    text = CANARD.replace("moves: canard", "moves: wedge").replace("KEYS", "measured: up")
    text = text.replace("shaft: left", "measured: up, shaft: left")
    own = "functions: {wedge: {pair: same, on: elevator%s}}\n"
    assert len(found(RULE, own % ", beside: opposite" + text)) == 1
    assert found(RULE, own % ", beside: same" + text) == []
    (gap,) = missing(RULE, own % "" + text)
    assert "wedge must do on one pulse with elevator" in gap.missing


def test_two_functions_without_a_channel_are_not_passed_in_silence() -> None:
    text = "servos: {a: {moves: rudder, plug: y.1}, b: {moves: flap, plug: y.2}}\n"
    gaps = missing(RULE, text + "leads: {y: {kind: y, plug: rx.4}}\n")
    assert [gap.missing for gap in gaps] == ["what flap and rudder must do on one pulse"]


def test_the_odd_one_is_told_against_the_others() -> None:
    """Flaps with shafts left, left and right: the third goes the other way."""
    text = "servos:\n" + "".join(
        f"  s{n}: {{moves: flap, shaft: {shaft}, plug: y.{n}}}\n"
        for n, shaft in ((1, "left"), (2, "left"), (3, "right"))
    )
    text += "leads: {y: {kind: n-way, ways: 3, plug: rx.1}}\n"
    (finding,) = found(RULE, text)
    assert finding.parts[0] == "s3"
    assert 'servo "s3" moves against "s1" and "s2" on rx.1' in finding.message
