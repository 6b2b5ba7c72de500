"""A plan as typed, unchanging data: what every later stage reads."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from typing import TypeVar

from harness import PLAN_FORMAT
from harness.base.data import dataclass, field
from harness.base.span import START, Source, Span
from harness.base.units import LENGTH
from harness.catalogue import Catalogue
from harness.catalogue.functions import SIDES, Vocabulary, vocabulary_of
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.plan.airframe import PLACE, Cover, Duct, Place
from harness.plan.as_found import AsFound
from harness.plan.kit import KitPiece
from harness.plan.operation import Case, Phase, Surroundings
from harness.plan.radio import Channel, Mix, OwnWord, Transmitter, Wish
from harness.reading.amounts import Amount, Share
from harness.reading.kinds import ClassName, FreeText, Kind, ListOf, MapOf, Name, Version, Whole
from harness.reading.records import RecordOf, key, keys_of

_MM = Amount(LENGTH, least="1 mm", most="2000 mm")
_EDGE = Amount(LENGTH, most="2000 mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelStock:
    """A sheet of labels; with `tape-width` a tape; with `wire-diameter` a flag round the wire."""

    page_width: float | None = key(_MM, "sheet: width of the page")
    page_height: float | None = key(_MM, "sheet: height of the page")
    label_width: float | None = key(_MM, "sheet: width of one label")
    label_height: float | None = key(_MM, "sheet: height of one label")
    columns: int | None = key(Whole(1, 100), "sheet: labels side by side")
    rows: int | None = key(Whole(1, 100), "sheet: labels one below the other")
    left_margin: float | None = key(_EDGE, "sheet: from the page's left edge to the first label")
    top_margin: float | None = key(_EDGE, "sheet: from the page's upper edge to the first label")
    horizontal_pitch: float | None = key(_MM, "sheet: from label to label, the width if left out")
    vertical_pitch: float | None = key(_MM, "sheet: from label to label, the height if left out")
    corner_radius: float | None = key(_EDGE, "sheet: radius of the labels' corners")
    tape_width: float | None = key(_MM, "tape: its width")
    printable_height: float | None = key(_MM, "tape: what the printer reaches of its width")
    min_length: float | None = key(_MM, "tape: shortest label")
    max_length: float | None = key(_MM, "tape: longest label")
    end_margin: float | None = key(_EDGE, "tape: what stays blank at each end")
    wire_diameter: float | None = key(_MM, "flag: diameter of the wire it is folded round")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)

    def dimensions(self) -> dict[str, float]:
        """Return what is given, in mm or as a count, by the words of the plan."""
        given = {word: getattr(self, k.attribute) for word, k in keys_of(LabelStock).items()}
        return {word: value for word, value in given.items() if value is not None}


PartT = TypeVar("PartT", bound=Part)


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """A finding the builder accepts, with a reason."""

    rule: str = key(Name(), "the name of the rule", must=True)
    part: str = key(Name(), "the part the finding names", must=True)
    because: str = key(FreeText(), "why it is accepted", must=True)
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


HEAD: Mapping[str, tuple[Kind, str]] = {
    "plan": (Version(most=PLAN_FORMAT, word="plan"), "format version"),
    "aircraft": (FreeText(), "the name of the aeroplane"),
    "about": (FreeText(), "what it is"),
    "places": (MapOf(Name(), PLACE, of="places"), "the bays of the airframe"),
    "ducts": (
        MapOf(Name(), RecordOf(Duct), of="ducts"),
        "the ways that leads may take between places",
    ),
    "covers": (MapOf(Name(), RecordOf(Cover), of="covers"), "what closes the places, and when"),
    "channels": (MapOf(Name(), RecordOf(Channel, short="function")), "what each channel does"),
    "functions": (
        MapOf(Name(), RecordOf(OwnWord, short="means")),
        "words of your own for functions: { querruder: aileron }",
    ),
    "transmitter": (RecordOf(Transmitter), "what the radio expects"),
    "mixes": (ListOf(RecordOf(Mix)), "mixes in use"),
    "wishes": (ListOf(RecordOf(Wish)), "wishes for independence, the weightiest first"),
    "kit": (ListOf(RecordOf(KitPiece)), "what came in the box and what is in the drawer"),
    "buy-at-most": (Whole(0, 999), "how many leads may be bought beyond the kit"),
    "surroundings": (RecordOf(Surroundings), "the air it flies in"),
    "cases": (MapOf(Name(), RecordOf(Case), of="cases"), "cases of load of the plan's own"),
    "flight": (ListOf(RecordOf(Phase)), "the phases of a flight, in order"),
    "reserve": (Share(), "how much of each pack stays in it at landing"),
    "classes": (
        MapOf(ClassName(), MapOf(ClassName(), MapOf(ClassName(), FreeText()))),
        "classes of the plan's own, by catalogue table",
    ),
    "label-stocks": (MapOf(Name(), RecordOf(LabelStock)), "label stocks by dimensions"),
    "as-found": (ListOf(RecordOf(AsFound)), "facts seen on the bench"),
    "accepted": (ListOf(RecordOf(Acceptance)), "findings accepted with a reason"),
}
"""The keys of a plan that are no groups of parts."""


@dataclass(frozen=True, slots=True)
class Like:
    """Where a part says `like:`, and the mappings of what it repeats."""

    span: Span
    bases: Mapping[str, Span]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One aeroplane's plan. `parts` holds every part of every group by id, in file order."""

    source: Source
    aircraft: str
    about: str = ""
    places: Mapping[str, Place] = field(default_factory=dict)
    ducts: Mapping[str, Duct] = field(default_factory=dict)
    covers: Mapping[str, Cover] = field(default_factory=dict)
    channels: Mapping[str, Channel] = field(default_factory=dict)
    functions: Mapping[str, OwnWord] = field(default_factory=dict)
    transmitter: Transmitter = field(default_factory=Transmitter)
    mixes: tuple[Mix, ...] = ()
    wishes: tuple[Wish, ...] = ()
    kit: tuple[KitPiece, ...] = ()
    buy_at_most: int | None = None
    surroundings: Surroundings = field(default_factory=Surroundings)
    cases: Mapping[str, Case] = field(default_factory=dict)
    flight: tuple[Phase, ...] = ()
    reserve: float | None = None
    stocks: Mapping[str, LabelStock] = field(default_factory=dict)
    as_found: tuple[AsFound, ...] = ()
    accepted: tuple[Acceptance, ...] = ()
    parts: Mapping[str, Part] = field(default_factory=dict)
    catalogue: Catalogue
    channels_span: Span = START
    likes: Mapping[str, Like] = field(default_factory=dict)

    def own_line(self, span: Span, first: str = "", *others: str) -> Span:
        """Return where a part says `like:` for a span of what it repeats; any other as it is.

        `first`: the part that it is said of; of the others a part that is among them keeps its own.
        """
        for name in (first, *others):
            like = self.likes.get(name)
            for base, lines in like.bases.items() if like is not None else ():
                if lines.holds(span) and (name == first or base not in {first, *others}):
                    return like.span if like is not None else span
        return span

    def of(self, cls: type[PartT]) -> Iterator[PartT]:
        """Yield the parts of one class in file order."""
        return (part for part in self.parts.values() if isinstance(part, cls))

    @property
    def words(self) -> Vocabulary:
        """The words for functions, the plan's own among them."""
        return vocabulary_of(self.catalogue)

    @property
    def revision(self) -> str:
        """Eight hexadecimal digits that change with every change of the file."""
        return hashlib.sha256(self.source.text.encode()).hexdigest()[:8]

    def gives(self, socket: Port | None) -> str:
        """Return the function of a channel or output socket, or "" when the plan gives none."""
        if socket is None:
            return ""
        if socket.part.sets_outputs:
            return socket.part.outputs.get(socket.name, "")
        channel = self.channels.get(socket.channel)
        return channel.function if channel else ""

    def holds(self, place: str) -> tuple[str, ...]:
        """Return a place and the places it is in, the smallest first."""
        chain: list[str] = []
        while place and place not in chain:
            chain.append(place)
            place = self.places[place].within if place in self.places else ""
        return tuple(chain)

    def side(self, part: Part) -> str:
        """Return left, right or "": from the part's place, else from its id."""
        for place in self.holds(part.place):
            if self.places[place].side:
                return self.places[place].side
        end = next((side for side in SIDES if part.id.endswith(f"-{side}")), "")
        return end or (self.words.side(part.id) if part.answers else "")

    def root(self, place: str) -> str:
        """Return the outermost place that holds `place`: what stays together on dismantling."""
        chain = self.holds(place)
        for step in chain:
            if self.places[step].joins:
                return step
        return chain[-1] if chain else ""

    def crosses(self, one: str, other: str) -> tuple[str, ...]:
        """Return the joints a lead crosses between two places, each by the place that comes off."""
        from_one, from_other = self._joints(one), self._joints(other)
        return tuple(
            [j for j in from_one if j not in from_other]
            + [j for j in from_other if j not in from_one]
        )

    def _joints(self, place: str) -> list[str]:
        """Return the joints between a place and the body of the aeroplane."""
        found: list[str] = []
        seen: set[str] = set()
        while place in self.places and place not in seen:
            seen.add(place)
            here = self.places[place]
            if here.joins:
                found.append(place)
            place = here.joins or here.within
        return found
