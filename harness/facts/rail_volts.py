"""Volts on a rail: what its sources should give, and what the parts on it bear."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from harness.base.span import Span
from harness.facts.rails import FedPart, RailFeed, consumers, nets_at, rails, volts_from
from harness.facts.shorts import shorts
from harness.facts.sources import kept
from harness.parts.contacts import Contact
from harness.parts.figure import Figure
from harness.parts.part import Part
from harness.wiring.build import Wiring


@dataclass(frozen=True, slots=True)
class Beyond:
    """One part whose limit a source passes."""

    part: Part
    volts: float
    limit: Figure


def beyond(wiring: Wiring, word: str, state: str) -> Iterator[tuple[Part, tuple[Beyond, ...]]]:
    """Yield each source with the parts it feeds past their `volts-max` or under their `volts-min`.

    A part of which nobody said what it bears is passed over (`unlimited`).
    """
    found: dict[str, list[Beyond]] = defaultdict(list)
    for part, source, volts in _fed(wiring, state):
        limit = part.known(wiring.plan.catalogue, word)
        if limit is None:
            continue
        if (volts > limit.number + 1e-6) if word == "volts-max" else volts < limit.number - 1e-6:
            found[source].append(Beyond(part, volts, limit))
    for source, parts in found.items():
        worst = tuple(sorted(parts, key=lambda b: (b.limit.number, b.part.id)))
        yield wiring.plan.parts[source], worst


def unlimited(wiring: Wiring, word: str, state: str) -> Iterator[Part]:
    """Yield the parts that are fed though nobody said what they bear."""
    for part, _, _ in _fed(wiring, state):
        if part.known(wiring.plan.catalogue, word) is None:
            yield part


def _fed(wiring: Wiring, state: str) -> Iterator[tuple[Part, str, float]]:
    """Yield every part that a source feeds, with that source and its volts."""
    shorted = {pack.id for short in shorts(wiring) for pack in short.packs}
    for consumer in consumers(wiring):
        fed = _volts(wiring, consumer, state)
        if fed is not None and fed[0] not in shorted:
            yield consumer.part, *fed


def _volts(wiring: Wiring, consumer: FedPart, state: str) -> tuple[str, float] | None:
    """Return the source with the highest volts on a part, of those that are to stay."""
    feeds = rails(wiring).feeds(consumer.positive)
    straight = [feed.source for feed in feeds if not feed.drop]
    keep = kept(wiring, straight) if straight else None
    some = [f for f in feeds if f.drop or f.source is keep]
    return max(
        _each(wiring, some, consumer.negative, state), key=lambda f: (f[1], f[0]), default=None
    )


def _each(
    wiring: Wiring, feeds: list[RailFeed], minus: Contact, state: str
) -> Iterator[tuple[str, float]]:
    for feed in feeds:
        volts = volts_from(wiring, feed, minus, state)
        if volts is not None and volts > 0:
            yield feed.source.owner, volts


def battery_volts(wiring: Wiring, part: Part, state: str) -> float | None:
    """Return the volts on a part's battery wires, or None when nothing feeds them."""
    nets = nets_at(wiring, state)
    poles = (Contact(part.id, "battery", "negative"), Contact(part.id, "battery", "positive"))
    return nets.volts(*poles)


def source_span(part: Part) -> Span:
    """Return where a source's volts stand in the plan."""
    if part.holds_cells:
        return part.at("cells")
    bec = part.makes
    return bec.spans.get("volts", part.span) if bec is not None else part.span


@dataclass(frozen=True, slots=True)
class IdleRail:
    """A rail that has a source; `idle` is what the source gives without load, V."""

    part: Part
    plus: Contact
    minus: Contact
    source: Part
    idle: float


def idle_rails(wiring: Wiring, part: Part) -> Iterator[IdleRail]:
    """Yield the rails of a part that are fed, each with its highest source."""
    minus = Contact(part.id, "rail", "negative")
    for inside in part.rails:
        plus = Contact(part.id, inside, "positive")
        there = plus in rails(wiring).wiring.nets.root
        volts = [(volts_from(wiring, feed, minus, "nominal"), feed.source.owner)
                 for feed in (rails(wiring).feeds(plus) if there else ())]  # fmt: skip
        known = [(idle, owner) for idle, owner in volts if idle is not None]
        if known:
            idle, owner = max(known)
            yield IdleRail(part, plus, minus, wiring.plan.parts[owner], idle)
