"""The join of a plug with a socket, and the pins on both sides."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, ClassVar

from harness.base.data import dataclass, field
from harness.base.span import START, Span
from harness.reading.kinds import (
    END_OF_TEXT,
    Choice,
    FreeText,
    Kind,
    ListOf,
    MapOf,
    Name,
    Schema,
    Truth,
    Whole,
    either,
)
from harness.reading.nodes import Items, Node, Scalar
from harness.reading.nodes import Mapping as Mapping_
from harness.reading.problems import Reading
from harness.reading.records import RecordOf, key

PINS = ("signal", "positive", "negative")
"""The pins of a 3-pin lead in their order (ArduPilot, PX4 documentation: power in the middle)."""

ROLES = Choice(
    {
        "signal": "the pale wire",
        "positive": "the red wire, in the middle",
        "negative": "the black or brown wire",
    }
)
SPLIT = Choice(
    {
        "plug": "right at its single end: each other end has wires of its own",
        "end": "at its other end: one set of wires for all, as far as there",
    }
)


LIE = Choice({"twisted": "round each other", "flat": "side by side, as a ribbon"})
"""How the wires of a lead lie."""


def split_words(split: str, plugs: int, sockets: int) -> str:
    """Say where the wires of a lead part, "" where nobody said: split at its plug."""
    if not split:
        return ""
    single, other = ("plug", "sockets") if sockets > plugs else ("socket", "plugs")
    return f"split at its {single if split == 'plug' else other}"


POLES = Choice(
    {
        "straight": "positive meets positive, negative meets negative",
        "crossed": "positive meets negative: a fault, or undone by another crossing",
    }
)


class Where(FreeText):
    """A socket: `part` or `part.socket`."""

    called = 'a socket such as "rx.1"'

    shape: ClassVar = {
        "type": ["string", "number"],
        "pattern": rf"^[^\s.,:]+(\.[^\s.,:]+|\.balance\.[0-9]+)?{END_OF_TEXT}",
    }

    def refuse_text(self, node: Scalar, at: Reading, schema: Schema) -> None:
        """Offer the socket with a dot, where another sign or a space stands for it."""
        found = re.fullmatch(r"([^\s.,:]+)[\s.,:]+([^\s.,:]+)", node.text.strip())
        right = (
            f'write "{found[1]}.{found[2]}"' if found else 'write part.socket, for example "rx.1"'
        )
        at.wrong(f'"{node.text}" is not a socket', node.span, right)


@dataclass(frozen=True, slots=True, kw_only=True)
class Join:
    """One plug in one socket."""

    into: str = key(Where(), "the socket: `part.socket`, or `part` when it has only one", must=True)
    pulled: tuple[str, ...] = key(
        ListOf(ROLES, or_one=True), "pins slid out of this plug and insulated", default=()
    )
    turned: bool = key(Truth(), "the plug sits the wrong way round", default=False)
    poles: str = key(POLES, "how bare battery bullets are paired here", default="")
    made_in: str = key(
        Name(), "the place where this plug is made (where the socket is)", word="in", default=""
    )
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)

    @property
    def part(self) -> str:
        """The id of the part that has the socket."""
        return self.into.partition(".")[0]

    @property
    def socket(self) -> str:
        """The name of the socket, or "" when the part's only one is meant."""
        return self.into.partition(".")[2]


JOIN: Kind = RecordOf(Join, short="into")
JOINS: Kind = ListOf(JOIN, or_one=True)

PIN_ORDER: Kind = ListOf(ROLES, least=3, most=3)
COLOURS: Kind = Choice(
    {
        "white-red-black": "signal white, positive red, negative black",
        "orange-red-brown": "signal orange, positive red, negative brown",
        "yellow-red-black": "signal yellow, positive red, negative black",
        "blue-red-black": "signal blue, positive red, negative black",
    }
)


class Sockets(Whole):
    """A count of sockets, or their names."""

    names: ClassVar[ListOf] = ListOf(Name(), least=1, most=64)

    def read(self, text: str) -> tuple[str, ...]:
        """Return the names "1" to the count."""
        return tuple(str(n + 1) for n in range(int(text)))

    def convert(self, node: Node, key: Scalar | None = None) -> tuple[str, ...]:
        """Return the names: by the count, or as given."""
        return self.names.convert(node) if isinstance(node, Items) else super().convert(node)

    def schema(self) -> Schema:
        """Either form."""
        return either({"type": "array"}, self.names.schema(), super().schema())

    def at(self, node: Node) -> Kind:
        """Return the kind of the form that stands there."""
        return self.names if isinstance(node, Items) else self


SOCKETS = Sockets(1, 64)

TELEMETRY = frozenset({"data", "sens", "sensor", "sensors", "tele", "telem", "telemetry"})
NO_CHANNEL = TELEMETRY | {"batt", "bat", "bind", "batt-bind", "bind-batt", "power", "b-c"}
"""What is printed at a receiver's sockets that give out no channel: common practice."""


def _printed(name: str) -> str:
    return re.sub("[^a-z]+", "-", name.lower()).rstrip("-")


def is_data(name: str) -> bool:
    """Say whether a socket of that name carries telemetry."""
    return _printed(name) in TELEMETRY


class ChannelSockets(Sockets):
    """A count of sockets, their names in the order of the channels, or the channel of each name."""

    stated: ClassVar[MapOf] = MapOf(Name(), Whole(1, 64))

    def convert(self, node: Node, key: Scalar | None = None) -> Any:
        """Return the channel of each socket, "" for one that gives out none."""
        if isinstance(node, Mapping_):
            return {name: str(number) for name, number in self.stated.convert(node).items()}
        names, found = super().convert(node, key), dict[str, str]()
        for name in names:
            if name.isdecimal():
                found[name] = name
            elif _printed(name) in NO_CHANNEL:
                found[name] = ""
            else:
                found[name] = str(1 + sum(channel != "" for channel in found.values()))
        return found

    def schema(self) -> Schema:
        """Either form."""
        some = {"type": "object", "minProperties": 1}
        return either(some, self.stated.schema(), super().schema())

    def at(self, node: Node) -> Kind:
        """Return the kind of the form that stands there."""
        stated = isinstance(node, Mapping_) and node.entries
        return self.stated if stated else super().at(node)


CHANNEL_SOCKETS = ChannelSockets(1, 64)
