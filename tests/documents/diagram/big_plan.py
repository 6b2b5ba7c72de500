"""A large plan of any number of servos, for pages that cannot hold everything."""

from __future__ import annotations

HEAD = """plan: 1
aircraft: Test {count}
places:
  fuselage: {{}}
  nose: {{in: fuselage}}
  tail: {{in: fuselage}}
  wing-left: {{joins: fuselage, side: left}}
  wing-right: {{joins: fuselage, side: right}}
channels: {{1: aileron, 2: elevator, 3: throttle, 4: rudder, 5: flap, 6: spoiler}}
receivers: {{rx: {{sockets: 6, place: fuselage}}}}
packs: {{main: {{place: nose, chemistry: lipo, cells: 4, capacity: 5 Ah, rate: 35 C}}}}
escs:
  esc: {{place: nose, rated: 60 A, bec: {{kind: switching, volts: 5 V, rated: 8 A}}, plug: rx.3, supply: main}}
motors: {{motor: {{place: nose, full-throttle: 40 A, plug: esc}}}}
leads:
"""
FUNCTIONS = (("aileron", 1), ("elevator", 2), ("rudder", 4), ("flap", 5), ("spoiler", 6))


def big_plan(count: int) -> str:
    """A plan of about `count` parts: servos hanging on n-way leads and extensions."""
    leads, servos = [], ["servos:"]
    pairs = (count - 5) // len(FUNCTIONS) // 2
    for function, socket in FUNCTIONS:
        leads.append(
            f"  {function}-split: {{kind: n-way, ways: {pairs}, plug: rx.{socket}, place: fuselage}}"
        )
        for n in range(1, pairs + 1):
            place = (
                "tail" if function in {"elevator", "rudder"} else f"wing-{('left', 'right')[n % 2]}"
            )
            leads.append(
                f"  {function}-ext-{n}: {{kind: extension, plug: {function}-split.{n}, place: {place}}}"
            )
            servos.append(
                f"  {function}-{n}: {{class: 9g-analogue, moves: {function}, place: {place}, "
                f"plug: {function}-ext-{n}.1}}"
            )
    return HEAD.format(count=count) + "\n".join([*leads, *servos]) + "\n"
