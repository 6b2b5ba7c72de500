"""The open places of a wiring: pins that are pulled, wires and leads found without contact."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from typing import TYPE_CHECKING

from harness.base.data import dataclass, replace
from harness.base.span import Span
from harness.parts.breaker import WIRES_OF, Breaker
from harness.parts.contacts import CARRIES, Link, LinkKind, Port, Shape
from harness.parts.join import Join
from harness.plan.as_found import AsFound

if TYPE_CHECKING:
    from harness.wiring.build import Wiring


@dataclass(frozen=True, slots=True)
class Open:
    """One place without contact, and the `links` that would be there.

    At a plug (`plug`) a pin is pulled, or was found open; without a plug it is inside the lead of
    `part`. `pins` as its own end calls them; `found` where it was seen on the bench; `meant`: what
    opens it on purpose, in words.
    """

    part: str
    pins: tuple[str, ...]
    links: tuple[Link, ...]
    span: Span
    plug: Port | None = None
    found: AsFound | None = None
    meant: str = ""

    @property
    def spot(self) -> str:
        """The port of its part that it is at, or "" where it is inside a lead."""
        if self.found is not None:
            return self.found.port
        return self.plug.name if self.plug is not None else ""


def inside(found: Iterable[AsFound], shape: Shape) -> Iterator[Open]:
    """Yield what was found open or dead in all of a part's lead, and is not mended."""
    for fact in found:
        if fact.fact in {"dead", "open"} and not fact.port and fact.part == shape.part.id:
            links = tuple(k for k in shape.links if k.kind in CARRIES and _is_of(k, fact, shape))
            pins = tuple(dict.fromkeys(k.a.pin for k in links))
            yield Open(shape.part.id, pins, links, fact.span, found=fact)


def _is_of(link: Link, fact: AsFound, shape: Shape) -> bool:
    """A wire is called by the pin of the plug it starts at, or of the sockets of a lead without."""
    if not fact.wire:
        return True
    plugs = [port for port in shape.ports if port.is_plug] or shape.ports
    ends = {(link.a.port, link.a.pin), (link.b.port, link.b.pin)}
    return any((port.name, fact.wire) in ends for port in plugs)


def at_plug(plug: Port, join: Join, facts: Iterable[AsFound], links: list[Link]) -> Iterator[Open]:
    """Yield each pin that is pulled out of a plug, and what was found open or dead at it."""
    for pin in join.pulled:
        pulled = tuple(link for link in links if link.a.pin == pin)
        if pulled:
            yield Open(plug.part.id, (pin,), pulled, join.spans.get("pulled", join.span), plug)
    for fact in facts:
        if fact.fact in {"dead", "open"} and fact.port:
            end = (fact.part, fact.port)
            gone = tuple(
                k for k in links for c in (k.a, k.b) if c[:2] == end and fact.wire in {"", c.pin}
            )
            pins = tuple(k.a.pin if k.a[:2] == end else k.b.pin for k in gone)
            yield Open(fact.part, pins, gone, fact.span, plug, fact)


def parting(part: Breaker, links: Iterable[Link]) -> Open | None:
    """Return the open place that a plug, fuse or switch makes when it is out, blown or off."""
    ends = {(part.id, name, pin) for name, _ in part.joins() for pin in part.breaks}
    gone = tuple(
        k
        for k in links
        if k.owner == part.id and k.kind is LinkKind.WIRE and not ends.isdisjoint((k.a, k.b))
    )
    name = f'{part.lead_word("")} "{part.id}"'
    meant = f"with {name} {part.when_open} its {WIRES_OF[part.pole]} is open"
    return Open(part.id, part.breaks, gone, part.at("pole"), meant=meant) if gone else None


def joining(wiring: Wiring, shut: Collection[Open]) -> list[Link]:
    """Return the links that there would be with some open places closed and the others not."""
    still = {link for place in wiring.opens if place not in shut for link in place.links}
    return list(dict.fromkeys(k for place in shut for k in place.links if k not in still))


def closed(wiring: Wiring, opens: Iterable[Open]) -> Wiring:
    """Return the wiring as it would be with some of its open places closed."""
    shut = list(opens)
    if not shut:
        return wiring
    left = tuple(place for place in wiring.opens if place not in shut)
    return replace(wiring, links=[*wiring.links, *joining(wiring, shut)], opens=left)
