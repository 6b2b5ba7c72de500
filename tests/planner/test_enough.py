"""How many more sockets a wish would need: against plans that have them, one after the other.

Nothing here asks the search how it counts: each plan is proposed with a larger receiver until the
wish is granted.
"""

from __future__ import annotations

import pytest
from support import plan_of

from harness.planner.proposal import Proposal
from harness.planner.propose import propose
from harness.planner.reasons import NUMBERS

ELEVATORS = "elev-l: {moves: elevator, shaft: left}, elev-r: {moves: elevator, shaft: left}"
FLAPS = "flap-l: {moves: flap, shaft: left}, flap-r: {moves: flap, shaft: left}"
STICKS = "{1: aileron, 2: elevator, 3: throttle, 4: rudder"
HEAD = "transmitter: {order: AETR, channels: 12}\n"


def _granted(text: str, wish: str) -> tuple[bool, str]:
    answer = propose(plan_of(text))
    assert isinstance(answer, Proposal)
    (told,) = [w for w in answer.wishes if w.name == wish]
    return told.granted, told.why


@pytest.mark.parametrize(
    ("servos", "of", "sockets", "channels"),
    [
        (ELEVATORS, "elevator", 2, "{2: elevator}"),  # 3, 4: throttle, rudder
        (ELEVATORS, "elevator", 3, "{2: elevator, 3: throttle}"),
        (ELEVATORS, "elevator", 4, "{2: elevator, 3: throttle, 4: rudder}"),
        (ELEVATORS, "elevator", 4, "{2: elevator, 5: gear, 6: tow-hook}"),
        (FLAPS, "flap", 5, f"{STICKS}, 5: flap, 6: gear}}"),
        (FLAPS, "flap", 5, f"{STICKS}, 5: flap}}"),
    ],
)
def test_so_many_more_sockets_grant_it_and_no_fewer(
    servos: str, of: str, sockets: int, channels: str
) -> None:
    wish = f"own trim for each {of}"
    plan = (
        f"{HEAD}channels: {channels}\nwishes: [{{wish: own-trim, of: {of}}}]\n"
        "receivers: {rx: {sockets: %d, supply-sockets: 1}}\n"
        f"servos: {{{servos}}}\n"
        "packs: {p: {chemistry: nimh, cells: 4, plug: rx.batt}}\n"
    )
    granted, why = _granted(plan % sockets, wish)
    assert not granted
    more = next(n for n in range(1, 9) if _granted(plan % (sockets + n), wish)[0])
    assert why.startswith(f"{NUMBERS[more]} more socket"), why
