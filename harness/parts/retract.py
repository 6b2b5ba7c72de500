"""A retract leg."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, ClassVar, Literal

from harness.base.data import dataclass
from harness.base.span import Span
from harness.base.units import CURRENT, LENGTH, TIME, VOLTAGE, WireSize, format_quantity
from harness.catalogue import Catalogue
from harness.drawing import look
from harness.parts.bec import WordOr
from harness.parts.contacts import POLE_PINS, Conductor, Form, Shape
from harness.parts.figure import Draw, Figure, from_catalogue, rule_figure
from harness.parts.join import COLOURS, JOIN, Join
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import Choice, ClassName, Name, Truth
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.scene import Item
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Retract(Part):
    """A retract leg."""

    word: ClassVar[str] = "retract leg"
    own_lead: ClassVar[str] = "retract lead"
    kit_word: ClassVar[str | None] = "retract"
    group: ClassVar[str] = "retracts"
    rank: ClassVar[int] = 50
    draw_keys: ClassVar[Mapping[str, str]] = {"moving": "running", "stalled": "stop"}
    footprint: ClassVar[tuple[float, float, str]] = (9.0, 7.0, look.BODY)
    letters: ClassVar[str] = "LEG"
    tested_with: ClassVar[str] = "movers"
    answers: ClassVar[bool] = True
    obeys: ClassVar[bool] = True
    is_leg: ClassVar[bool] = True
    kind: str = key(
        Choice(
            {
                "self-contained": "3-pin plug, finds its own ends",
                "bare-motor": "two wires from a controller that reverses them",
            }
        ),
        "which of the two kinds of leg it is",
        must=True,
    )
    moves: str = key(Name(), "the function it moves", default="gear")
    plug: Join | None = key(JOIN, "the socket its plug goes into")
    class_: str = key(ClassName(), "size class in the catalogue", word="class", default="")
    travel: float | None = key(Amount(TIME), "time from end to end")
    slow: float | None = key(Amount(TIME), "travel time when slow: cold or at low volts")
    running: float | None = key(Amount(CURRENT, most="60 A"), "current while running")
    stop: float | None = key(Amount(CURRENT, most="60 A"), "current at the stop")
    steered_by: str = key(Name(), "the servo that steers this leg", default="")
    steering_lock: Literal["transmitter"] | bool = key(
        WordOr("transmitter", Truth()),
        "while it is up its steering is centred or unhooked: by itself (yes), or by a mix on a"
        " channel of its own (transmitter)",
        default=False,
    )
    length: float | None = key(Amount(LENGTH), "length of its own lead")
    wire: WireSize | None = key(WireGauge(), "wire of its own lead")
    colours: str = key(COLOURS, "insulation of its own lead", default="")
    volts_max: float | None = key(Amount(VOLTAGE, least="1 V"), "highest supply it bears")

    @property
    def row(self) -> tuple[str, str]:
        """Its class; without one, the cautious guess."""
        return "retracts", self.class_ or "unmeasured"

    def figure(self, catalogue: Catalogue, word: str, key: str = "") -> Figure:
        """Return running, stop (A) or travel (s): stated, of its class, or the cautious guess."""
        guess = from_catalogue(catalogue, "retracts", "unmeasured", key or word)
        found = self.known(catalogue, word, key) or guess
        assert found is not None
        return found

    def draw(self, catalogue: Catalogue) -> Draw | None:
        """It runs, and then presses against its stop."""
        run, stop = self.figure(catalogue, "running"), self.figure(catalogue, "stop")
        steady = rule_figure(catalogue, "sizing", "continuous-share").number * stop.number
        return Draw(self, "body", steady, run.number, stop.number, stop.origin)

    def travel_time(self, catalogue: Catalogue) -> Figure | None:
        """Return how long it takes, s, stated or of its class; None when neither is given."""
        known = self.travel is not None or self.class_
        return self.figure(catalogue, "travel", "travel-time") if known else None

    def caption(self) -> tuple[str, ...]:
        """Its size, or else its kind."""
        return (self.class_ or self.kind,)

    def others(self) -> tuple[tuple[str, Span], ...]:
        """The servo that steers it."""
        return ((self.steered_by, self.at("steered-by")),)

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Cycle it."""
        travel = self.travel_time(at.catalogue)
        each = format_quantity(travel.number, TIME) if travel else ""
        time = f"about {each} each way ({travel.origin})" if travel else ""
        own = "it stops at both ends by itself" if self.kind == "self-contained" else ""
        return f"Cycle {self.named()}: down, up and down again", own, time

    def picture(self, sitting: Sitting) -> Glyph:
        """A leg with its wheel."""
        from harness.drawing import glyphs_control as g
        from harness.drawing.sitting import renamed

        bare = self.kind == "bare-motor"
        drawn = g.retract(sitting.tag, motor_only=bare, where=sitting.beside("right"))
        return renamed(drawn, lead="plug")

    @property
    def reverses(self) -> bool:
        """A bare motor does."""
        return self.kind == "bare-motor"

    @property
    def fed_at(self) -> str:
        """A bare motor takes nothing but what its controller gives it."""
        return "" if self.kind == "bare-motor" else "body"

    def sign(self, x: float, y: float, *, backwards: bool) -> list[Item]:
        """Its case with its wheel."""
        from harness.drawing.scene import Path, circle_path

        wheel = Path(circle_path(x, y, 2.4), fill=look.INK)
        return [*Part.sign(self, x, y, backwards=backwards), wheel]

    def inside(self, shape: Shape) -> None:
        """A bare motor has two wires and no signal."""
        wire = Conductor(self.wire, self.length)
        if self.kind == "bare-motor":
            bare = shape.port("plug", Form.TWO_WIRE, plug=True, wire=wire)
            shape.lead_in(bare, "body", POLE_PINS)
            shape.terminal("body", POLE_PINS)
            return
        port = shape.three("plug", plug=True, colours=self.colours, wire=wire)
        shape.lead_in(port, "body")
        shape.terminal("body")
        shape.draws("body")
