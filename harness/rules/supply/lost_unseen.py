"""A reserve supply, a second lead or a reading is lost, and nobody notices.

What it looks for
    A lead, an end or a wire that was found dead or open, and nothing goes dead by it: another
    source feeds what it fed, or another lead carries its current. And a sensor whose data wire or
    tap is open or pulled. What was lost is worked out from what is connected, with and without it.

Why it matters
    All works as before, so that nobody looks: the second supply is trusted and is not there. The
    next fault takes the radio.

An example that fails
    receivers:
      rx: {sockets: 4, supply-sockets: 2}
    packs:
      first: {chemistry: nimh, cells: 4, plug: one.1}
      second: {chemistry: nimh, cells: 4, plug: two.1}
    diodes:
      one: {kind: schottky, plug: rx.batt-1}
      two: {kind: schottky, plug: rx.batt-2}
    as-found:
      - {end: two, fact: dead}

The same, mended
    as-found:
      - {end: two, fact: dead, mended: new isolator}

Where it comes from
    The thing itself: two are there so that one may fail.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.facts.fed import Fault, Need, as_if_closed
from harness.facts.rails import name_of
from harness.facts.unseen import Unseen, unseen
from harness.facts.wording import joined, parts_named, verb
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each place once."""
    return (_finding(desk, one) for one in unseen(desk.wiring))


def _finding(desk: Desk, one: Unseen) -> Finding:
    said = []
    if one.lost:
        lost, left = (spoken(name_of(part) for part in some) for some in (one.lost, one.left))
        if not one.place.spot and [part.id for part in one.lost] == [one.place.part]:
            lost = "it"
        alone = verb(one.left, "feeds it alone", "feed it")
        when = "once the rest is mended" if as_if_closed(desk.wiring) else "now"
        fed = parts_named(one.fed, 1)
        said.append(f"so {lost} can no longer feed {fed}: {left} {alone} {when}")
    if one.beside:
        ways = spoken(dict.fromkeys(joined(mate) for mate in one.beside))
        said.append(f"so its current goes by {ways} instead")
    if one.unread:
        said.append(f"so nothing is read of {parts_named(one.unread)}")
    parts = (*one.lost, *one.fed, *(mate.plug.part for mate in one.beside), *one.unread)
    fault = Fault((one.place,), tuple(Need(part, "") for part in parts))
    return check.at_open(f", {', and '.join(said)}", desk.wiring, fault)
