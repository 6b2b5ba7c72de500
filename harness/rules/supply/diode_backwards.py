"""A diode or isolator conducts the wrong way, and what hangs on it is dead.

What it looks for
    Diodes that, turned round, would feed a part that gets no supply, or give a pack, BEC or
    regulator that reaches nothing something to feed, and take nothing from anything else.

Why it matters
    What hangs behind it is dead; or the second supply, put there for safety, is none: the first
    failure takes the aeroplane. Towards a pack it charges it instead.

An example that fails
    receivers:
      rx: {sockets: 4}
    servos:
      rudder: {class: 9g-analogue, volts-min: 3.5 V, plug: rx.4}
    diodes:
      guard: {kind: schottky, plug: rx.batt, towards: socket}
    packs:
      radio: {chemistry: nimh, cells: 4, capacity: 2 Ah, plug: guard.1}

The same, mended
    diodes:
      guard: {kind: schottky, plug: rx.batt, towards: plug}

Where it comes from
    What a diode is: it conducts from anode to cathode alone.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.base.near import spoken
from harness.facts.blocked import blocked
from harness.facts.fed import in_order
from harness.facts.rails import name_of
from harness.facts.wording import parts_named, verb
from harness.rules.rule import Desk, Findings, rule

OTHER = {"plug": "socket", "socket": "plug"}


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report diodes that have to be turned together once."""
    for found in blocked(desk.wiring):
        first, idle, dead = found.diodes[0], found.idle, in_order(found.dead)
        feeds = f"{spoken(map(name_of, idle))} {verb(idle, 'feeds', 'feed')} nothing"
        said = [feeds] if idle else []
        if dead:
            said.append(f"{parts_named(dead)} {verb(dead, 'gets', 'get')} no supply")
        ends = {d.id: getattr(d, "towards", "plug") for d in found.diodes}
        ways = [f"{d.named()} conducts only towards its {ends[d.id]}" for d in found.diodes]
        turned = spoken(f"`towards: {OTHER[end]}` of {name}" for name, end in ends.items())
        yield check.finding(
            f"{spoken(ways)}, so {spoken(said)}",
            first.at("towards"),
            *found.diodes,
            *idle,
            *dead,
            help=f"turn {verb(found.diodes, 'it', 'them')} round ({turned})",
        )
