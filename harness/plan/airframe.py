"""The airframe as wiring sees it: its places, the ducts between them, the covers over them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from harness.base.data import dataclass, field
from harness.base.span import START, Span
from harness.base.units import LENGTH
from harness.parts.kinds import GROUPS
from harness.parts.spot import SPOT, Spot
from harness.reading.amounts import Amount
from harness.reading.kinds import Choice, FreeText, ListOf, MapOf, Name, OtherSide, Whole
from harness.reading.misnomers import meant
from harness.reading.nodes import Entry
from harness.reading.problems import Reading
from harness.reading.records import Key, RecordOf, key

BOTH = "there is one on the other side too, with all that stands in it"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A bay of the airframe; a place that `joins` another comes off with its own wiring."""

    id: str
    within: str = key(Name(), "the place this one is a part of", word="in", default="")
    joins: str = key(Name(), "the place it is joined to on assembly", default="")
    joined: str = key(
        Choice(
            {
                "removable": "comes off again, for transport",
                "for-good": "joined once, when the aeroplane is built",
            }
        ),
        "whether the joint with the place it `joins` is ever undone (removable)",
        default="",
    )
    side: str = key(
        Choice({"left": "port side, seen from behind", "right": "starboard side"}),
        "which side of the aeroplane",
        default="",
    )
    spot: Spot | None = key(SPOT, "where its parts sit, unless they say so themselves", word="at")
    long: float | None = key(Amount(LENGTH, least="1 mm"), "its extent fore and aft")
    wide: float | None = key(Amount(LENGTH, least="1 mm"), "its extent from side to side")
    bundle: int | None = key(
        Whole(1, 200), "how many wires lie in the thickest bundle there", default=None
    )
    mirrored: bool = key(OtherSide(), BOTH, default=False)
    about: str = key(FreeText(), "a remark", default="")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Duct:
    """A way that leads may take between two places. Lengths in mm."""

    id: str
    between: tuple[str, str] = key(
        ListOf(Name(), least=2, most=2), "the two places it joins", must=True
    )
    length: float | None = key(
        Amount(LENGTH, least="1 mm"), "its length; else the straight line between the places"
    )
    bore: float | None = key(Amount(LENGTH, least="1 mm"), "its inner diameter")
    mirrored: bool = key(OtherSide(), BOTH, default=False)
    about: str = key(FreeText(), "a remark", default="")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """What closes one or more places: a hatch, a lid, the sheeting."""

    id: str
    over: tuple[str, ...] = key(
        ListOf(Name(), or_one=True, least=1),
        "the places nobody reaches once it is closed",
        must=True,
    )
    kind: str = key(
        Choice(
            {
                "hatch": "opens by hand at any time",
                "screwed": "opens with tools",
                "for-good": "glued or sheeted: never opened again",
            }
        ),
        "how it closes",
        must=True,
    )
    closes: str = key(
        Choice(
            {
                "before-joining": "must be closed before its places are joined to others",
                "after-joining": "can only be closed when they have been joined",
                "last": "stays open until everything has been tested",
            }
        ),
        "when it must be closed (for good: before-joining; else last)",
        default="",
    )
    after: tuple[str, ...] = key(
        ListOf(Name(), or_one=True), "covers that must be closed before it", default=()
    )
    mirrored: bool = key(OtherSide(), BOTH, default=False)
    about: str = key(FreeText(), "a remark", default="")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


class PlaceRecord(RecordOf):
    """A place as it is written: its own keys, and below them the parts that sit there."""

    @cached_property
    def keys(self) -> dict[str, Key]:
        """The keys of a place, and the groups of parts."""
        return super().keys | {
            group: Key(
                group,
                group,
                MapOf(Name(), RecordOf(cls), of="parts"),
                f"every {cls.word} that sits there, by its id",
                required=False,
            )
            for group, cls in GROUPS.items()
        }

    def _right(self, entry: Entry, at: Reading) -> str:
        right = meant(entry.key.text, self.keys, group=True)
        return f"write {right}" if right else super()._right(entry, at)


PLACE = PlaceRecord(Place)
