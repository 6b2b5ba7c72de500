"""A plug lies inside a duct, where nobody gets at it.

What it looks for
    Two leads of a run that meet inside a duct, wherever their slack is put, where the plan states
    positions or ducts with a length. A duct across a joint that comes off opens there and counts
    as open.

Why it matters
    Such a plug can be neither checked nor clipped again, catches on the edge of the duct when it
    is drawn through, and comes apart where nobody sees it.

An example that fails
    places:
      fuselage: {at: 400 mm}
      tail: {in: fuselage, at: 1100 mm}
    ducts:
      boom: {between: [fuselage, tail]}
    receivers:
      rx: {sockets: 6, place: fuselage}
    servos:
      rudder: {class: 9g-analogue, place: tail, length: 250 mm, plug: ext.1}
    leads:
      ext: {kind: extension, plug: rx.4, length: 600 mm}

The same, mended
    leads:
      ext: {kind: extension, plug: rx.4, length: 900 mm}

Where it comes from
    Common practice: clip or shrink every hidden joint, so make none that nobody reaches; no
    published source.
"""

from __future__ import annotations

from harness.airframe.lengths import Plug
from harness.base.finding import Finding, Severity
from harness.facts.airframe import measured_plugs
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.NOTE)
def check(desk: Desk) -> Findings:
    """Report each plug once, though several runs may pass it."""
    told: set[tuple[str, str]] = set()
    for _, plugs in measured_plugs(desk.wiring):
        for plug in plugs:
            if plug.duct and plug.mate.plug.id not in told:
                told.add(plug.mate.plug.id)
                yield _finding(plug)


def _finding(plug: Plug) -> Finding:
    part = plug.mate.plug.part
    near, far = (f"{round(at)}" for at in (plug.nearest, plug.furthest))
    where = f"{near} mm" if near == far else f"{near} to {far} mm"
    return check.finding(
        f'the plug of {part.named()} in {plug.mate.into} lies inside duct "{plug.duct}", {where}'
        " from the part at the end of the run, and nobody gets at it there",
        plug.mate.span,
        part,
        plug.mate.join.part,
        help="take a longer lead on one side and a shorter one on the other, so that the plug "
        "lies before or behind the duct; `harness lengths` says where it can lie",
    )
