"""What the radio sends: which sockets are of use, which stick comes on which channel.

Four orders and the customs (gear on 5, flap or second aileron on 6): common practice, no source.
A channel beyond what the transmitter sends gives nothing: the thing itself.
"""

from __future__ import annotations

from itertools import permutations

import pytest
from support import plan_of

from harness.planner.failsafes import setups_of
from harness.planner.hosts import LIMITS_SENT, expected, expected_stick, hosts_of, second_aileron
from harness.planner.propose import NoPlan, Proposal, propose
from harness.planner.search import fresh
from harness.planner.space import space_of
from harness.wiring.build import build

NAMES = {"A": "aileron", "E": "elevator", "T": "throttle", "R": "rudder"}
TWO = """
transmitter: {{channels: {sent}}}
receivers:
  one: {{sockets: 7}}
  two: {{sockets: {{aux2: 9, aile: 1, gear: 5, aux1: 6, flap: 8}}}}
"""
FLOWN = """
transmitter: {{channels: {sent}}}
receivers: {{rx: {{sockets: 4, plug: fc.rc}}}}
autopilots: {{fc: {{sockets: 8, outputs: {{1: aileron, 2: elevator, 7: rudder, 8: flap}}}}}}
"""


@pytest.mark.parametrize("sent", [4, 5, 6, 7, 8, 9, 12])
def test_a_socket_is_of_use_as_far_as_the_radio_sends(sent: int) -> None:
    plan = plan_of(TWO.format(sent=sent))
    found = {h.id: (int(h.channel), LIMITS_SENT in h.blocked) for h in hosts_of(plan, build(plan))}
    numbers = {f"one.{n}": n for n in range(1, 8)}
    numbers |= {"two.aux2": 9, "two.aile": 1, "two.gear": 5, "two.aux1": 6, "two.flap": 8}
    assert found == {name: (n, n > sent) for name, n in numbers.items()}
    # what an autopilot gives out it makes itself
    flown = plan_of(FLOWN.format(sent=sent))
    outputs = [h for h in hosts_of(flown, build(flown)) if h.box == "fc"]
    assert {h.channel for h in outputs} >= {"1", "2", "7", "8"}
    assert not any(h.blocked for h in outputs)


@pytest.mark.parametrize("sent", [4, 7, 8, 9])
def test_the_next_sockets_come_after_the_last_and_are_of_use_as_far(sent: int) -> None:
    space = space_of(plan_of(
        f"transmitter: {{channels: {sent}}}\nchannels: {{8: hook}}\n"
        "receivers: {rx: {sockets: 6}}\nservos: {s: {moves: rudder}}\n"
    ))  # fmt: skip
    found = [(h.channel, h.function, bool(h.blocked)) for h in fresh(space, 3)]
    assert found == [("7", "", sent < 7), ("8", "hook", sent < 8), ("9", "", sent < 9)]


SERVOS = ["aileron", "elevator", "rudder", "flap", "hook", "camera", "brake"]


@pytest.mark.parametrize(("sockets", "sent"), [(7, 5), (8, 6), (9, 4), (7, 7), (9, 7), (8, None)])
def test_seven_things_of_their_own_ask_for_seven_channels(sockets: int, sent: int | None) -> None:
    """A pulse each: the radio has to send seven, whatever the receiver could give."""
    radio = f"transmitter: {{channels: {sent}}}\n" if sent else ""
    servos = "".join(f"  {n}: {{moves: {n}}}\n" for n in SERVOS)
    text = f"{radio}receivers: {{rx: {{sockets: {sockets}}}}}\nservos:\n{servos}"
    answer = propose(plan_of(text))
    if sent is None or sent >= len(SERVOS):
        assert isinstance(answer, Proposal)
        return
    assert isinstance(answer, NoPlan)
    ((limit,),) = answer.ways
    assert (limit.name, limit.enough) == (LIMITS_SENT, "7 channels would be enough")


@pytest.mark.parametrize(
    ("sockets", "sent", "ways"),
    [
        (4, 5, {"sockets": "4 more sockets", LIMITS_SENT: "8 channels"}),
        (7, 7, {"sockets": "1 more socket", LIMITS_SENT: "8 channels"}),
        (4, 8, {"sockets": "4 more sockets"}),
        (5, None, {"sockets": "3 more sockets"}),
    ],
)
def test_more_sockets_than_the_radio_sends_channels_are_of_no_use(
    sockets: int, sent: int | None, ways: dict[str, str]
) -> None:
    """Seven things and a sequencer; its outlets are no sockets of the receiver."""
    radio = f"transmitter: {{channels: {sent}}}\n" if sent else ""
    servos = "".join(f"  {n}: {{moves: {n}}}\n" for n in SERVOS)
    answer = propose(plan_of(f"{radio}receivers: {{rx: {{sockets: {sockets}}}}}\nservos:\n{servos}"
                             "sequencers: {box: {outlets: [a, b]}}\n"))  # fmt: skip
    assert isinstance(answer, NoPlan)
    (way,) = answer.ways
    assert {x.name: x.enough for x in way} == {n: f"{w} would be enough" for n, w in ways.items()}


@pytest.mark.parametrize("letters", [*map("".join, permutations("AETR")), ""])
def test_each_stick_comes_on_the_channel_of_its_letter(letters: str) -> None:
    order = f"order: {letters}, " if letters else ""
    plan = plan_of(f"transmitter: {{{order}channels: 8}}\nreceivers: {{rx: {{sockets: 8}}}}\n")
    where = {NAMES[letter]: str(n) for n, letter in enumerate(letters or "AETR", 1)}
    assert expected(plan) == {**where, "gear": "5", "flap": "6"}
    said = {n: name for name, n in where.items()} if letters else {}
    for channel in ("0", "1", "2", "3", "4", "5", "6", "mode"):
        assert expected_stick(plan, channel) == said.get(channel, "")
    assert second_aileron(plan) == "6"


def test_what_the_radio_says_goes_before_the_print_and_that_before_custom() -> None:
    print_ = "receivers: {rx: {sockets: {thro: 1, aile: 2, elev: 3, rudd: 4, gear: 6, flap: 7}}}\n"
    plan = plan_of(print_)
    assert expected(plan) == {
        "throttle": "1", "aileron": "2", "elevator": "3", "rudder": "4", "gear": "6", "flap": "7",
    }  # fmt: skip
    assert second_aileron(plan) == ""
    told = plan_of("transmitter: {order: AETR, channels: 8}\n" + print_)
    assert expected(told) == {
        "aileron": "1", "elevator": "2", "throttle": "3", "rudder": "4", "gear": "6", "flap": "7",
    }  # fmt: skip


@pytest.mark.parametrize("letters", ["AETR", "TAER", ""])
def test_by_a_bus_the_channels_are_those_that_the_radio_sends(letters: str) -> None:
    """The open autopilots' own order is AETR (ArduPilot four-channel plane guide)."""
    radio = f"transmitter: {{order: {letters}}}\n" if letters else ""
    text = radio + FLOWN.format(sent=8).replace("transmitter: {channels: 8}\n", "")
    found = {s.channel: s.function for s in setups_of(build(plan_of(text)), {})}
    assert found == {str(n): NAMES[letter] for n, letter in enumerate(letters or "AETR", 1)}
    named = setups_of(build(plan_of(text + "channels: {6: mode}\n")), {})
    assert [s.channel for s in named] == ["6"]


@pytest.mark.parametrize("box", [False, True])
@pytest.mark.parametrize(("lacks", "sends"), [(1, -1), (1, 0), (1, 2), (0, -1), (-3, -1)], ids=str)
def test_what_a_wish_lacks_is_sockets_or_a_radio_that_sends_more(
    lacks: int, sends: int, box: bool
) -> None:
    """A pulse each for two elevators and three things more, and one for a sequencer."""
    need = 5 + box
    text = f"transmitter: {{channels: {need + sends}}}\n"
    text += f"receivers: {{rx: {{sockets: {need - lacks}}}}}\n"
    text += "wishes: [{wish: own-trim, of: elevator}]\nservos:\n"
    text += "".join(f"  e-{side}: {{moves: elevator, shaft: left}}\n" for side in ("left", "right"))
    text += "".join(f"  {name}: {{moves: {name}}}\n" for name in SERVOS[3:6])
    text += "sequencers: {box: {outlets: [a, b]}}\n" if box else ""
    answer = propose(plan_of(text))
    assert isinstance(answer, Proposal)
    (wish,) = [w for w in answer.wishes if w.name == "own trim for each elevator"]
    assert wish.granted == (lacks <= 0 <= sends)
    radio = f"a radio that sends more than {need + sends} channels"
    why = "would give each elevator its own trim"
    told = f"one more socket {why}" if lacks > 0 else f"{radio} {why}"
    assert wish.granted or wish.why == told + (f", on {radio}" if lacks > 0 > sends else "")
