"""What was seen on the bench: of a part, of one end of a lead, of one wire; and what can be so."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from harness.base.data import dataclass, field
from harness.base.near import spoken
from harness.base.span import START, Span
from harness.catalogue import Catalogue
from harness.parts.contacts import CARRIES, Form, Port, Shape
from harness.parts.join import Where
from harness.parts.part import Part
from harness.reading.kinds import Choice, FreeText, Name
from harness.reading.records import key

MOST = 8
"""Ends that are listed in a message."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AsFound:
    """A fact seen on the bench."""

    end: str = key(
        Where(), "the part with all its lead, or one end of it: part.plug, part.1", must=True
    )
    wire: str = key(
        Name(), "one wire of it alone: signal, positive, negative; a motor's a, b, c", default=""
    )
    fact: str = key(
        Choice(
            {
                "turned": "the plug was found the wrong way round in its socket",
                "dead": "no contact from end to end, by any wire",
                "open": "no contact by the one wire that is named (wire)",
                "crossed": "red and black were found swapped",
                "worn": "contact is loose",
            }
        ),
        "what was found",
        must=True,
    )
    mended: str = key(FreeText(), "how and when it was put right", default="")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)

    @property
    def part(self) -> str:
        """The id of the part."""
        return self.end.partition(".")[0]

    @property
    def port(self) -> str:
        """The name of the end, or "" when all of the lead is meant."""
        return self.end.partition(".")[2]

    def words(self) -> str:
        """Say what was found, for lists: long was dead; long.1 was open, its negative wire."""
        return f"{self.end} was {self.fact}" + (f", its {self.wire} wire" if self.wire else "")


def impossible(found: AsFound, part: Part, catalogue: Catalogue) -> Iterator[tuple[str, Span, str]]:
    """Yield why nobody can have seen that of a part: (message, span, what would be right)."""
    shape = Shape(part, catalogue)
    part.inside(shape)
    ports = {port.name: port for port in shape.ports}
    names = [f"{part.id}.{name}" for name in ports]
    ends = spoken(names) if len(names) <= MOST else f"such as {names[0]}"
    if found.port and found.port not in ports:
        told = f"it has {ends}" if ports else "it has no lead and no socket"
        yield f'there is no end "{found.port}" of {part.named()}', found.spans["end"], told
    elif bool(found.wire) != (found.fact == "open"):
        yield _of_one_wire(found)
    elif found.wire:
        yield from _no_such_wire(found, part, shape)
    elif not found.port:
        yield from _not_of_all(found, part, shape, ends)


def _of_one_wire(found: AsFound) -> tuple[str, Span, str]:
    """`open` and `wire` belong together."""
    if found.wire:
        right = "write `fact: open`; `dead` says it of every wire"
        return f'"{found.fact}" is not said of one wire', found.spans["wire"], right
    right = "add `wire: negative` or another; where no wire has contact write `fact: dead`"
    return "which wire was found open is not said", found.spans["fact"], right


def _no_such_wire(found: AsFound, part: Part, shape: Shape) -> Iterator[tuple[str, Span, str]]:
    ports = [p for p in shape.ports if found.port in {"", p.name} and p.form is not Form.BALANCE]
    wires = {port.name: wires_of(shape, port) for port in ports}
    having = [name for name, pins in wires.items() if found.wire in pins]
    several = len(having) > 1 and not part.is_lead
    own = {end.pin for k in shape.links if k.kind in CARRIES for end in (k.a, k.b)}
    if not having:
        every = list(dict.fromkeys(pin for pins in wires.values() for pin in pins))
        right = f"it can be: {', '.join(every)}" if every else ""
        yield f'{found.end} has no wire "{found.wire}"', found.spans["wire"], right
    elif not found.port and (several or found.wire not in own):
        right = "say which end: " + spoken((f"{part.id}.{name}" for name in having), "or")
        none = f'no wire "{found.wire}" of its own'
        lacks = f"more than one {found.wire} wire" if several else none
        yield f"{part.named()} has {lacks}", found.spans["end"], right


def _not_of_all(
    found: AsFound, part: Part, shape: Shape, ends: str
) -> Iterator[tuple[str, Span, str]]:
    """A part without a lead cannot be dead from end to end, nor turned without a plug."""
    wired = any(link.kind in CARRIES for link in shape.links)
    plugged = bool(part.joins()) or any(port.name == "main" for port in shape.ports)
    plugged = plugged or (found.fact == "crossed" and bool(part.across))
    if not (wired if found.fact == "dead" else plugged):
        lacks = "lead" if found.fact == "dead" else "plug in a socket"
        right = f"name the end that was found so: {ends}" if shape.ports else ""
        message = f"{part.named()} has no {lacks} of its own that could be {found.fact}"
        yield message, found.spans["end"], right


def wires_of(shape: Shape, port: Port) -> list[str]:
    """Return the pins of a port that something inside is joined to; all where nothing is said."""
    inner = {end for link in shape.links for end in (link.a, link.b)} | set(shape.roles)
    return [pin for pin in port.order if port.pin(pin) in inner] or list(port.order)
