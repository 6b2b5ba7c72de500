"""The words of the picture: what is asked for, what comes back, and the stages between."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

from harness.base.data import dataclass, field
from harness.drawing.ribbon import Gauge, RibbonWire, ribbon_width
from harness.drawing.scene import Scene

if TYPE_CHECKING:
    from harness.diagram.currents import CurrentReading
    from harness.drawing.glyph import Glyph
    from harness.wiring.build import Mate

View = Literal["run", "airframe", "power", "control"]
PortId = tuple[str, str]


@dataclass(frozen=True)
class ViewWish:
    """What to draw: a view, of everything or of one place, one function or one lead.

    `case`: with the currents of that operating case; "worst" for each thing its worst.
    """

    view: View = "run"
    place: str = ""
    function: str = ""
    lead: str = ""
    page: Literal["A4", "Letter"] = "A4"
    case: str = ""


@dataclass(frozen=True)
class DrawnPage:
    """One page: `name` for its file, `title` for people; `words`: of a page of nothing but text."""

    name: str
    title: str
    scene: Scene
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Extract:
    """What one page shows: parts by id, and mates of which at least one end is among them."""

    parts: tuple[str, ...]
    mates: tuple[Mate, ...]


@dataclass(frozen=True)
class FlaggedPart:
    """A part's picture with the flags of its plugs; `zone` is the place it is drawn in.

    `part` is the part it shows or, at the end of a lead that leaves the page, stands for.
    """

    id: str
    glyph: Glyph
    zone: str = ""
    part: str = ""


@dataclass(frozen=True)
class DrawnLead:
    """One lead to be drawn, from a socket (tail) to a plug's part (head).

    `tail` and `head` are (piece, place on its picture). The plug itself is at the tail, except
    for a part that is drawn left of what it plugs into. `reading`: the current it is drawn with;
    `sets`: how many like sets of wires lie side by side, where a lead splits right at its plug.
    """

    id: str
    tail: PortId
    head: PortId
    wires: tuple[RibbonWire, ...]
    gauge: Gauge
    title: str
    classes: tuple[str, ...] = ()
    code: str = ""
    side: Literal["", "left", "right"] = ""
    supplies: bool = False
    reading: CurrentReading | None = None
    sets: int = 1

    @property
    def breadth(self) -> float:
        """Breadth of the ribbon, points."""
        return ribbon_width(len(self.wires), self.gauge, self.sets)


@dataclass(frozen=True)
class PartsSheet:
    """Everything one page draws, before it has places."""

    pieces: Mapping[str, FlaggedPart]
    strands: tuple[DrawnLead, ...]
    zones: tuple[str, ...] = ()
    homes: Mapping[str, str] = field(default_factory=dict)
    halos: Mapping[str, str] = field(default_factory=dict)
    """Pieces and strands on a tint of their own, with its colour."""
    under: Mapping[str, tuple[str, Mate]] = field(default_factory=dict)
    """By part which one hangs under it, and the mate between them."""

    def side(self, end: PortId) -> str:
        """Return the side of its picture on which a lead arrives."""
        return self.pieces[end[0]].glyph.places[end[1]].side
