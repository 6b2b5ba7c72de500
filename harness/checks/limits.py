"""Volts on a rail against what the parts on it bear: the sums of the two voltage rules."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from harness.base.span import Span
from harness.checks.rails import (
    Consumer,
    Feed,
    bec_of,
    consumers,
    nets_at,
    rails,
    volts_from,
)
from harness.checks.rule import Desk
from harness.checks.shorts import shorts
from harness.checks.sources import kept
from harness.reader.parts.common import Part
from harness.reader.parts.power import Pack
from harness.wiring.figures import Figure
from harness.wiring.limits import volts_limit
from harness.wiring.model import Contact


@dataclass(frozen=True, slots=True)
class Beyond:
    """One part whose limit a source passes."""

    part: Part
    volts: float
    limit: Figure


def beyond(
    desk: Desk, rule: str, word: str, state: str
) -> Iterator[tuple[Part, tuple[Beyond, ...]]]:
    """Yield each source with the parts it feeds past their `volts-max` or under their `volts-min`.

    Where nobody said what a part bears, it is listed as unknown for `rule`.
    """
    shorted = {pack.id for short in shorts(desk) for pack in short.packs}
    found: dict[str, list[Beyond]] = defaultdict(list)
    for consumer in consumers(desk):
        fed = _volts(desk, consumer, state)
        if fed is None or fed[0] in shorted:
            continue
        source, volts = fed
        limit = volts_limit(desk.plan, consumer.part, word)
        if limit is None:
            if word == "volts-max":
                desk.not_known(rule, consumer.part, f"the highest supply it bears ({word})", word)
        elif (volts > limit.number + 1e-6) if word == "volts-max" else volts < limit.number - 1e-6:
            found[source].append(Beyond(consumer.part, volts, limit))
    for source, parts in found.items():
        yield (
            desk.plan.parts[source],
            tuple(sorted(parts, key=lambda b: (b.limit.number, b.part.id))),
        )


def _volts(desk: Desk, consumer: Consumer, state: str) -> tuple[str, float] | None:
    """Return the source with the highest volts on a part, of those that are to stay."""
    feeds = rails(desk).feeds(consumer.positive)
    straight = [feed.source for feed in feeds if not feed.drop]
    keep = kept(desk, straight) if straight else None
    some = [f for f in feeds if f.drop or f.source is keep]
    return max(
        _each(desk, some, consumer.negative, state), key=lambda f: (f[1], f[0]), default=None
    )


def _each(desk: Desk, feeds: list[Feed], minus: Contact, state: str) -> Iterator[tuple[str, float]]:
    for feed in feeds:
        volts = volts_from(desk, feed, minus, state)
        if volts is not None and volts > 0:
            yield feed.source.owner, volts


def battery_volts(desk: Desk, part: Part, state: str) -> float | None:
    """Return the volts on a part's battery wires, or None when nothing feeds them."""
    nets = nets_at(desk, state)
    poles = (Contact(part.id, "battery", "negative"), Contact(part.id, "battery", "positive"))
    return nets.volts(*poles)


def source_span(part: Part) -> Span:
    """Return where a source's volts stand in the plan."""
    if isinstance(part, Pack):
        return part.at("cells")
    bec = bec_of(part)
    return bec.spans.get("volts", part.span) if bec is not None else part.span
