"""There are too many joints between a part and the socket that drives it.

What it looks for
    More than two in-line joints in one run: extensions, Y-leads, reversers, switches and wing
    plugs one behind the other. A box that passes the signal on begins a new run.

Why it matters
    Every joint is a contact that can come loose, and adds its resistance. One longer lead is
    lighter and safer than three short ones.

An example that fails
    receivers:
      rx: {sockets: 6}
    servos:
      aileron-left: {class: 9g-analogue, moves: aileron, plug: tip-ext.1}
    leads:
      root-ext: {kind: extension, plug: rx.1, length: 150 mm}
      mid-ext: {kind: extension, plug: root-ext.1, length: 150 mm}
      tip-ext: {kind: extension, plug: mid-ext.1, length: 150 mm}

The same, mended
    servos:
      aileron-left: {class: 9g-analogue, moves: aileron, plug: wing-ext.1}
    leads: taken out
    leads:
      wing-ext: {kind: extension, plug: rx.1, length: 450 mm}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from collections import defaultdict

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.facts.wording import quoted
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each run once, with every part at its end."""
    limit = desk.figure("joints", "maximum").number
    runs: dict[tuple[str, ...], list[Mate]] = defaultdict(list)
    for mate in desk.wiring.mates:
        leads = tuple(_in_line(desk, mate))
        if not _is_joint(mate.plug.part) and len(leads) > limit:
            runs[leads].append(mate)
    for leads, mates in runs.items():
        yield _finding(desk, leads, sorted(mates, key=lambda mate: mate.span))


def _in_line(desk: Desk, mate: Mate) -> list[str]:
    """Return the leads between a part's own plug and the box at the other end, nearest first."""
    found: list[str] = []
    for step in desk.wiring.upstream(*mate.plug.id):
        part = step.socket.part if step.socket else None
        if part is None or not _is_joint(part):
            break
        found.append(part.id)
    return found


def _is_joint(part: Part) -> bool:
    """Whether a part lies in the run of a 3-pin lead."""
    return part.in_line and not part.battery_side


def _finding(desk: Desk, leads: tuple[str, ...], ends: list[Mate]) -> Finding:
    limit = desk.figure("joints", "maximum")
    return check.finding(
        f"{len(leads)} joints lie in the run of {spoken(end.plug.part.named() for end in ends)}: "
        f"{quoted(leads)}; more than {limit.number:g} is too many",
        ends[0].span,
        *leads,
        *(mate.plug.part for mate in ends),
        help=f"put one longer lead in place of {quoted(own)}, or solder a joint and sleeve it"
        if len(own := [name for name in leads if not desk.plan.parts[name].as_made]) > 1
        else "they came fitted: clip or sleeve each joint, and accept it",
        numbers=(("joints in a run", f"at most {limit.number:g}, {limit.origin}"),),
    )
