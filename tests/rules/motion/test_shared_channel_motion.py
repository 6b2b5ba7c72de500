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
