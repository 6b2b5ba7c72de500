"""What every part of a plan shares: its id, its place, and the join of a plug with a socket."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, ClassVar, Literal, NamedTuple, TypeVar

from harness.base.data import dataclass, field
from harness.base.span import START, Span
from harness.catalogue.functions import Vocabulary, vocabulary
from harness.drawing import look
from harness.parts.figure import Draw, Figure, from_catalogue, stated, unknown_draw
from harness.parts.join import Join
from harness.parts.spot import SPOT, Spot
from harness.reading.kinds import FreeText, ListOf, Name, OtherSide, Truth
from harness.reading.records import key, keys_of

if TYPE_CHECKING:
    from harness.catalogue import Catalogue
    from harness.drawing.glyph import Glyph
    from harness.drawing.scene import Item
    from harness.drawing.sitting import Sitting
    from harness.parts.bec import Bec
    from harness.parts.contacts import Link, Shape
    from harness.parts.regulator import Regulator
    from harness.parts.wing_plug import WingCircuit

PartT = TypeVar("PartT", bound="Part")


class BenchFacts(NamedTuple):
    """What the test of a part on the bench goes by.

    `code`: the label code of its own lead; `failsafes`: of every channel, in words; `dead`: how
    what it drives is kept from turning.
    """

    catalogue: Catalogue
    code: str
    failsafes: str
    dead: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One thing with an id. `span`: where its id stands; `spans`: where each key's value stands.

    `words`: the vocabulary of its plan.
    """

    word: ClassVar[str] = "part"
    """What a person calls a part of this kind."""

    group: ClassVar[str] = "parts"
    """The key of a plan that its kind stands under."""
    rank: ClassVar[int] = 0
    """Where its group stands among the groups of a plan."""
    letters: ClassVar[str] = ""
    """How a label code begins, where a part is called by what it is and not by what it moves."""
    tested_with: ClassVar[str] = ""
    """With which others it is tested on the bench: leads, supplies, fans, movers, boxes."""

    own_lead: ClassVar[str] = ""
    """What a builder calls its leads, where that is not its own word and "lead"."""
    kit_word: ClassVar[str | None] = None
    """What a kit calls it, where that is another word; "" for what no kit lists."""
    table: ClassVar[str] = ""
    """The table of the catalogue that has its class."""
    draws_in: ClassVar[str] = ""
    """Where inside it flows what it draws all the time, as stated or as its class does at rest."""

    is_lead: ClassVar[bool] = False
    """It is one lead from its plugs to its sockets, and nothing else."""
    in_line: ClassVar[bool] = False
    """It hands on what comes in, from plug to socket: leads, switches, wing plugs."""
    carries_signal: ClassVar[bool] = False
    """A separate lead for signals: an extension, a Y-lead, a reverser."""
    battery_side: ClassVar[bool] = False
    """It belongs to the battery side alone."""
    taps_battery: ClassVar[bool] = False
    """It is fed from a pack by a lead of its own, `supply`."""
    has_channels: ClassVar[bool] = False
    """Its sockets are channels: a receiver, an autopilot."""
    is_radio: ClassVar[bool] = False
    """Its channels are those that the transmitter sends."""
    sets_outputs: ClassVar[bool] = False
    """What its outputs do is set in itself: an autopilot."""
    sequences: ClassVar[bool] = False
    """It makes timed pulses of its own out of one."""
    relays: ClassVar[bool] = False
    """It takes pulses in and passes them on changed: a stabiliser."""
    answers: ClassVar[bool] = False
    """It answers to a pulse: it moves, turns or switches something."""
    obeys: ClassVar[bool] = False
    """Without a signal at its plug it does nothing; a load may be on all the time."""
    swings: ClassVar[bool] = False
    """It moves a surface, a door or a wheel: a servo."""
    is_leg: ClassVar[bool] = False
    """A leg of the landing gear."""
    drives: ClassVar[bool] = False
    """It gives motors their current: a speed controller."""
    regulates: ClassVar[bool] = False
    """It is a supply of a few volts, made from a pack, and nothing else."""
    holds_cells: ClassVar[bool] = False
    """Volts of its own: a pack."""
    spins: ClassVar[str] = ""
    """What it turns in the air, in a builder's word."""
    made_safe: ClassVar[str] = ""
    """How that is made safe on the bench: off, unplugged."""
    tried_bare: ClassVar[str] = ""
    """How it is seen on the bench which way it turns."""
    footprint: ClassVar[tuple[float, float, str]] = (8.0, 6.0, look.SHADE)
    """Its sign on a page to scale: breadth and height in points, and the fill."""
    fed_inside: ClassVar[str] = ""
    """Where inside it its own supply arrives, if it takes one from the radio."""
    draw_keys: ClassVar[Mapping[str, str]] = {}
    """The key of what it draws, by what it does."""
    fed_backwards: ClassVar[str] = "burn"
    """What it will do with its poles the wrong way round."""
    rails: ClassVar[tuple[str, ...]] = ()
    """Its insides at which the supply of others arrives."""

    id: str
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)
    words: Vocabulary = field(default_factory=vocabulary, compare=False, repr=False)
    like: str = key(
        Name(), "repeat this part of the same group; plugs are not repeated", default=""
    )
    mirrored: bool = key(OtherSide(), "its mirror image is there too", default=False)
    place: str = key(Name(), "the place it sits in", default="")
    spot: Spot | None = key(SPOT, "where it sits in the aeroplane", word="at")
    route: tuple[str, ...] = key(
        ListOf(Name(), or_one=True), "the places its lead passes on its way, in order", default=()
    )
    about: str = key(FreeText(), "a remark, printed in the documents", default="")
    code: str = key(
        FreeText(), "the label code of its own lead, instead of a proposed one", default=""
    )
    fitted: bool = key(
        Truth(),
        "its maker fitted it: nothing of it is moved or cut, its free ends are plugged",
        default=False,
    )

    def at(self, word: str) -> Span:
        """Return where the value of a key stands, or the id when the key is not given."""
        return self.spans.get(word, self.span)

    @property
    def as_made(self) -> bool:
        """Whether its maker fitted it: it and its wires stay as they are, but for free ends."""
        return self.fitted

    @property
    def stays_put(self) -> bool:
        """Whether it cannot be turned over or moved."""
        return self.as_made

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Return every plug of this part with the socket it goes into: (port, join)."""
        own = ((port, getattr(self, port, None)) for port in ("plug", "supply"))
        return tuple((port, join) for port, join in own if isinstance(join, Join))

    def inside(self, shape: Shape) -> None:
        """Lay down its ports, and what joins them inside it."""
        raise NotImplementedError

    def named(self) -> str:
        """Return how a message names this part: servo "aileron-left"."""
        return f'{self.word} "{self.id}"'

    @property
    def moves(self) -> str:
        """The function it answers to, or ""."""
        return ""

    @property
    def does(self) -> str:
        """What it moves by the function's own name, without side, number and place, or ""."""
        return self.words.base(self.moves) if self.moves else ""

    @property
    def kind(self) -> str:
        """Which of its sorts it is, where there are several."""
        return ""

    @property
    def class_(self) -> str:
        """Its class in the catalogue, or ""."""
        return ""

    @property
    def connector(self) -> str:
        """The class of its connector, or ""."""
        return ""

    @property
    def channels(self) -> Mapping[str, str]:
        """The channel, or output, that each of its sockets gives out that gives one."""
        return {}

    @property
    def outputs(self) -> Mapping[str, str]:
        """The functions that its own outputs are set to."""
        return {}

    @property
    def battery_lead(self) -> bool:
        """Whether it is a separate lead of the battery side."""
        return self.is_lead and self.battery_side

    @property
    def cells(self) -> int:
        """How many cells it holds, one after the other."""
        return 0

    @property
    def limit(self) -> float | None:
        """What its rail bears, A."""
        return None

    @property
    def outlets(self) -> tuple[str, ...]:
        """The names of the sockets that hand its plug's signal on."""
        return ()

    def axis(self, outlet: str) -> str:
        """Return the function that an outlet is steadied for, "" where nobody said."""
        return ""

    @property
    def circuits(self) -> Mapping[str, WingCircuit]:
        """The leads that go through it, by name, with the contacts they take."""
        return {}

    @property
    def across(self) -> str:
        """The part that it is soldered to, or ""."""
        return ""

    @property
    def ends(self) -> Mapping[str, tuple[str, ...]]:
        """The wire colours that the plan states, in pin order, by port."""
        return {}

    @property
    def steered_by(self) -> str:
        """The servo that steers it, or ""."""
        return ""

    @property
    def feeds_radio(self) -> bool:
        """Whether its own plug goes into a socket of the radio: a pack without a regulator."""
        return False

    @property
    def fed_at(self) -> str:
        """Where inside it its own supply arrives, or ""."""
        return self.fed_inside

    def has_key(self, word: str) -> bool:
        """Say whether the plan has a key of that name for it."""
        return word in keys_of(type(self))

    @property
    def turns_signal(self) -> bool:
        """Whether the signal comes out the other way round."""
        return False

    @property
    def arms(self) -> bool:
        """Whether it closes the way to the motors when it is fitted."""
        return False

    @property
    def bec(self) -> Bec | Literal["none"] | None:
        """The receiver supply inside it."""
        return None

    @property
    def reverses(self) -> bool:
        """Whether it runs one way or the other by its poles, and neither burns it."""
        return False

    def programmed(self, catalogue: Catalogue) -> bool | None:
        """Say whether its direction can be programmed; None where nobody said."""
        return False

    @property
    def two_wired(self) -> bool:
        """Whether it is a lead that the two wires of a bare motor may go through as well."""
        return False

    @property
    def makes(self) -> Bec | Regulator | None:
        """The supply of a few volts that it makes from a pack."""
        return None if self.bec == "none" else self.bec

    @property
    def maker(self) -> str:
        """How a message names that supply."""
        return f"the BEC of {self.named()}" if self.drives else self.named()

    @property
    def row(self) -> tuple[str, str]:
        """The catalogue's table and row for it; ("", "") where it has none."""
        return self.table, self.class_ if self.table else ""

    def known(self, catalogue: Catalogue, word: str, key: str = "") -> Figure | None:
        """Return what the plan states under a key, or else the catalogue for its class."""
        own = stated(self, word, getattr(self, word.replace("-", "_"), None))
        return own or from_catalogue(catalogue, *self.row, key or word)

    def draw(self, catalogue: Catalogue) -> Draw | None:
        """Return what it draws at all times; None when it draws nothing, or its motors do."""
        if not (inside := self.draws_in):
            return None
        figure = self.known(catalogue, "current", "idle")
        if figure is None:
            return unknown_draw(self, inside, "the current it draws (current)")
        amps = figure.number
        return Draw(self, inside, amps, amps, amps, figure.origin, idle=amps)

    def lead_word(self, port: str) -> str:
        """Return what a builder calls the lead that starts at one of its ports."""
        return self.own_lead or f"{self.word} lead"

    def hands_on(self, port: str) -> bool:
        """Whether what comes to one of its ports goes on by others: to all those of a lead."""
        return self.in_line

    def resists(self, catalogue: Catalogue, link: Link) -> Figure | None:
        """Return what it adds in one of its links besides copper and plugs, ohm."""
        return None

    def wears_lead(self, port: str, *, used: bool) -> bool:
        """Say whether a socket sits at the end of wires of its own, which are there."""
        return False

    def kit_kind(self) -> str:
        """Return what a kit calls it; "" for what no kit lists."""
        return self.word if self.kit_word is None else self.kit_word

    def kit_class(self) -> str:
        """Return the class that the plan states for it, or ""."""
        return self.class_ if "class" in self.spans else ""

    def code_letters(self) -> str:
        """Return what its label code begins with."""
        return self.letters or self._moves_letters("LD")

    def _moves_letters(self, otherwise: str) -> str:
        stem, _ = self.words.stem_and_mark(self.moves or self.id)
        return self.words.abbreviate(stem, otherwise)

    def caption(self) -> tuple[str, ...]:
        """Return the lines under its name on a picture."""
        return ()

    def channel_words(self, channels: Mapping[str, str]) -> Mapping[str, str]:
        """Return the function of each of its sockets; `channels`: as the radio sends them."""
        return {}

    def picture(self, sitting: Sitting) -> Glyph:
        """Return its picture; the places in it have the names of its ports."""
        return sitting.box("box")

    def sign(self, x: float, y: float, *, backwards: bool) -> list[Item]:
        """Return its sign at a point of a page to scale, nose up; `backwards`: it pushes."""
        from harness.drawing.scene import Path, rect_path

        wide, high, fill = self.footprint
        shape = rect_path(x - wide / 2, y - high / 2, wide, high, 1.5)
        return [Path(shape, fill=fill, stroke=look.INK, width=0.8)]

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Return how it is tested on the bench: what is done, then more lines; or nothing."""
        return f"Try {self.named()} on a supply of its own", ""

    def others(self) -> tuple[tuple[str, Span], ...]:
        """Return the ids of other parts that it names, besides its sockets, with their spans."""
        return ()

    def classes(self) -> Iterator[tuple[str, str, str]]:
        """Yield the catalogue classes it names: (key, table, class)."""
        for word in ("connector", "connector-in", "connector-out", "motor-connector"):
            yield word, "plugs", getattr(self, word.replace("-", "_"), "")
        if self.class_:
            yield "class", self.row[0], self.class_

    def slips(self, catalogue: Catalogue) -> Iterator[tuple[str, Span, str]]:
        """Yield what cannot be: (message, span, what would be right)."""
        yield from ()


def of_kind(kind: type[PartT], parts: Iterable[Part | None]) -> list[PartT]:
    """Return those of some parts that are of one kind, in their order."""
    return [part for part in parts if isinstance(part, kind)]
