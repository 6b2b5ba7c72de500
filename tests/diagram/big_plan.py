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
  esc:
    place: nose
    rated: 60 A
    bec: {{kind: switching, volts: 5 V, rated: 8 A}}
    plug: rx.3
    supply: main
motors: {{motor: {{place: nose, full-throttle: 40 A, plug: esc}}}}
leads:
"""
FUNCTIONS = (("aileron", 1), ("elevator", 2), ("rudder", 4), ("flap", 5), ("spoiler", 6))


def big_plan(count: int) -> str:
    """A plan of about `count` parts: servos hanging on n-way leads and extensions."""
    leads, servos = [], ["servos:"]
    pairs = (count - 5) // len(FUNCTIONS) // 2
    for name, socket in FUNCTIONS:
        root = f"kind: n-way, ways: {pairs}, plug: rx.{socket}, place: fuselage"
        leads.append(f"  {name}-split: {{{root}}}")
        for n in range(1, pairs + 1):
            at = "tail" if name in {"elevator", "rudder"} else f"wing-{('left', 'right')[n % 2]}"
            one = f"kind: extension, plug: {name}-split.{n}, place: {at}"
            leads.append(f"  {name}-ext-{n}: {{{one}}}")
            two = f"class: 9g-analogue, moves: {name}, place: {at}, plug: {name}-ext-{n}.1"
            servos.append(f"  {name}-{n}: {{{two}}}")
    return HEAD.format(count=count) + "\n".join([*leads, *servos]) + "\n"
