"""What every part of a plan shares: its id, its place, and the join of a plug with a socket."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, ClassVar

from harness.base.span import START, Span
from harness.base.units import CURRENT, LENGTH, VOLTAGE
from harness.reading.kinds import Amount, Choice, Kind, ListOf, Name, Text, Truth
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
POLES = Choice(
    {
        "straight": "positive meets positive, negative meets negative",
        "crossed": "positive meets negative: a fault, or undone by another crossing",
    }
)


class Where(Text):
    """A socket: `part` or `part.socket`."""

    noun = 'a socket such as "rx.1"'

    def schema(self) -> dict[str, Any]:
        """A text without spaces."""
        return {"type": "string", "pattern": r"^[^\s.]+(\.[^\s.]+)?$"}

    def scalar(self, node: Any, at: Any) -> Any:
        """Return the text when it has the form of a socket."""
        parts = node.text.split(".")
        if len(parts) <= 2 and all(parts) and not any(c.isspace() for c in node.text):
            return node.text
        message = f'"{node.text}" is not a socket'
        return at.wrong(message, node.span, 'write part.socket, for example "rx.1"')


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A position in the aeroplane, in mm: aft of the nose, out from the centre line, up."""

    aft: float = key(Amount(LENGTH), "how far behind the tip of the nose", must=True)
    out: float = key(Amount(LENGTH), "how far from the centre line, on its side", default=0.0)
    up: float = key(Amount(LENGTH), "how far above the lowest point", default=0.0)
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


SPOT: Kind = RecordOf(Spot, short="aft")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One thing with an id. `span`: where its id stands; `spans`: where each key's value stands."""

    word: ClassVar[str] = "part"
    """What a person calls a part of this kind."""

    id: str
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)
    like: str = key(
        Name(), "repeat this part of the same group; plugs are not repeated", default=""
    )
    place: str = key(Name(), "the place it sits in", default="")
    spot: Spot | None = key(SPOT, "where it sits in the aeroplane", word="at")
    route: tuple[str, ...] = key(
        ListOf(Name(), or_one=True), "the places its lead passes on its way, in order", default=()
    )
    about: str = key(Text(), "a remark, printed in the documents", default="")
    code: str = key(Text(), "the label code of its own lead, instead of a proposed one", default="")

    def at(self, word: str) -> Span:
        """Return where the value of a key stands, or the id when the key is not given."""
        return self.spans.get(word, self.span)

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Return every plug of this part with the socket it goes into: (port, join)."""
        return ()

    def named(self) -> str:
        """Return how a message names this part: servo "aileron-left"."""
        return f'{self.word} "{self.id}"'


BEC_KIND = Choice(
    {
        "linear": "burns the surplus volts as heat",
        "switching": "converts; nearly independent of the pack's volts",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bec:
    """A supply of a few volts made from the pack: inside an ESC, or a regulator of its own."""

    kind: str = key(BEC_KIND, "how it makes its volts", default="")
    volts: float = key(Amount(VOLTAGE), "its output", must=True)
    rated: float | None = key(Amount(CURRENT), "what it gives continuously")
    burst: float | None = key(Amount(CURRENT), "what it gives for seconds")
    metered: float | None = key(Amount(VOLTAGE), "its output as metered before use")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True)
class WordOr(Kind):
    """One word that means "there is none", or a value of another kind."""

    word: str
    kind: Kind

    @property
    def noun(self) -> str:  # type: ignore[override]
        """Name both."""
        return f'"{self.word}" or {self.kind.noun}'

    def read(self, node: Any, at: Any) -> Any:
        """Return the word itself, or the other kind's value."""
        if getattr(node, "text", None) == self.word:
            return self.word
        return self.kind.read(node, at)

    def schema(self) -> dict[str, Any]:
        """Either."""
        return {"anyOf": [{"const": self.word}, self.kind.schema()]}
