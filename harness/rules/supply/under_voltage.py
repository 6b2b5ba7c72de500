"""A source gives fewer volts than a part works on.

What it looks for
    The highest `volts-min` on a rail against the nominal volts of its source (error) and against
    its volts when empty (a note: land before that); and a BEC or regulator whose pack, when empty,
    is not enough above its output.

Why it matters
    A receiver that drops out takes all channels with it; servos go slow and weak just when
    the pack is low.

An example that fails
    receivers:
      rx: {sockets: 4}
    servos:
      rudder: {class: standard-hv, plug: rx.4}
    escs:
      esc: {bec: {kind: switching, volts: 5 V}, plug: rx.3}

The same, mended
    escs:
      esc: {bec: {kind: switching, volts: 7.4 V}, plug: rx.3}

Where it comes from
    Receiver from 3.5 V, rail at or above 4.8 V, autopilot from 4.1 V: common practice; no published
    source. 3.5 V a LiPo cell under load: PX4 user guide, battery page.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.rails import embattled, is_in_use, name_of, source_volts
from harness.facts.shorts import shorts
from harness.facts.supplied import Beyond, beyond, gives, source_span, too_few_volts
from harness.facts.volts import volts_wanted
from harness.facts.wording import volts, volts_line
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR, Severity.WARNING, Severity.NOTE, solved=True)
def check(desk: Desk) -> Findings:
    """Report each source once; at nominal volts goes before when empty."""
    told = set()
    for state in ("nominal", "empty"):
        for source, parts in beyond(desk.wiring, "volts-min", state):
            if source.id not in told:
                told.add(source.id)
                yield _finding(desk, source, parts, state)
    if not shorts(desk.wiring):
        yield from _starved(desk)


def _finding(desk: Desk, source: Part, parts: tuple[Beyond, ...], state: str) -> Finding:
    most = max(parts, key=lambda b: (b.limit.number, b.part.id))
    figure = source_volts(desk.wiring, source, state)
    empty = state == "empty"
    also = f" (and {len(parts) - 1} more on its rail)" if len(parts) > 1 else ""
    least = min(part.volts for part in parts)
    return check.finding(
        f"{gives(desk.wiring, source, least, state)}, but {most.part.named()} needs"
        f" {volts(most.limit.number)}{also}",
        source_span(source),
        source,
        *(b.part for b in parts),
        severity=Severity.NOTE if empty else None,
        help=volts_wanted(desk.wiring, source) + _less(desk, parts, empty),
        numbers=(
            *((volts_line(source.id, figure),) if figure else ()),
            *(volts_line(b.part.id, b.limit) for b in parts),
        ),
    )


def _less(desk: Desk, parts: tuple[Beyond, ...], empty: bool) -> str:
    """Other parts help where the volts are enough for a rail."""
    rail = desk.figure("rail", "minimum").number
    enough = empty or min(part.volts for part in parts) >= rail
    return ", or use parts that work on less" if enough else ""


def _starved(desk: Desk) -> Findings:
    """A supply needs its pack some volts above its output."""
    unsure = embattled(desk.wiring)
    makers = [part for part in desk.plan.parts.values() if part.makes is not None]
    for part in makers:
        found = too_few_volts(desk.wiring, part) if part.id not in unsure else None
        if found is None or found.fed <= 0 or not is_in_use(desk.wiring, part):
            continue
        bec, fed, over = found.bec, volts(found.fed), found.over
        yield check.finding(
            f"{name_of(part)} makes {volts(bec.volts)} from a pack that falls to {fed}:"
            f" it needs about {volts(over.number)} more than it gives",
            bec.spans.get("volts", part.span),
            part,
            severity=Severity.WARNING,
            help="set it to fewer volts, or land with more left in the pack",
            numbers=(
                volts_line("over its output", over),
                ("empty pack", f"{fed} (cells of the packs, catalogue packs)"),
            ),
        )
