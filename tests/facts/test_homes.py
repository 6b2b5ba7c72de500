"""Where a plug can go: the first four channels are the sticks' in the radio's order.

AETR and the like: common practice, no source. A channel that the radio does not send is none.
"""

from __future__ import annotations

from itertools import permutations

import pytest
from support import plan_of

from harness.facts.homes import open_channels, stick_on
from harness.wiring.build import Wiring, build

NAMES = {"A": "aileron", "E": "elevator", "T": "throttle", "R": "rudder"}


def wiring(order: str, sent: int | None, channels: str) -> Wiring:
    said = [f"order: {order}"] if order else []
    said += [f"channels: {sent}"] if sent else []
    radio = f"transmitter: {{{', '.join(said)}}}\n" if said else ""
    return build(plan_of(
        f"{radio}channels: {{{channels}}}\nreceivers: {{rx: {{sockets: 8}}}}\n"
        "servos: {s: {moves: flap, plug: rx.7}}\n"
    ))  # fmt: skip


@pytest.mark.parametrize("order", ["AETR", "TAER", "RTEA", "ETRA"])
@pytest.mark.parametrize("sent", [None, 5, 6, 8])
def test_a_stick_has_its_own_channel_and_all_else_what_is_left(
    order: str, sent: int | None
) -> None:
    there = wiring(order, sent, "5: gear")
    free = [str(n) for n in (6, 8) if n <= (sent or 8)]  # 5 is gear's, 7 is taken
    for number, letter in enumerate(order, 1):
        assert open_channels(there, NAMES[letter]) == [str(number), *free]
    for function in ("flap", "hook", "gear"):
        assert open_channels(there, function) == free


@pytest.mark.parametrize("order", [*map("".join, permutations("AETR"))])
def test_what_comes_on_a_socket(order: str) -> None:
    there = wiring(order, 8, "")
    said = [stick_on(there.plan, there.ports["rx", str(n)]) for n in range(1, 9)]
    assert said == [*(NAMES[letter] for letter in order), "", "", "", ""]


def test_without_an_order_a_stick_goes_where_no_other_is() -> None:
    """Aileron is named on 2: 1, 3 and 4 are elevator's, throttle's or rudder's."""
    there = wiring("", None, "2: aileron")
    beyond = ["5", "6", "8"]
    assert open_channels(there, "aileron") == open_channels(there, "flap") == beyond
    for stick in ("elevator", "throttle", "rudder"):
        assert open_channels(there, stick) == ["1", "3", "4", *beyond]
