"""A servo with its own 3-wire lead."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.units import CURRENT, LENGTH, VOLTAGE, WireSize
from harness.catalogue import Catalogue
from harness.drawing import look
from harness.parts.contacts import Conductor, Shape, size_of
from harness.parts.figure import Draw, rule_figure, unknown_draw
from harness.parts.join import COLOURS, JOIN, LIE, PIN_ORDER, PINS, Join
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import Choice, ClassName, Name, Truth
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.scene import Item
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Servo(Part):
    """A servo with its own 3-wire lead."""

    word: ClassVar[str] = "servo"
    table: ClassVar[str] = "servos"
    group: ClassVar[str] = "servos"
    rank: ClassVar[int] = 40
    draw_keys: ClassVar[Mapping[str, str]] = {
        "still": "idle",
        "moving": "moving",
        "stalled": "stall",
    }
    fed_inside: ClassVar[str] = "body"
    footprint: ClassVar[tuple[float, float, str]] = (10.0, 6.0, look.BODY)
    tested_with: ClassVar[str] = "movers"
    answers: ClassVar[bool] = True
    obeys: ClassVar[bool] = True
    swings: ClassVar[bool] = True
    moves: str = key(Name(), "the function it moves, as named in channels", default="")
    plug: Join | None = key(JOIN, "the socket its plug goes into")
    class_: str = key(ClassName(), "class in the catalogue", word="class", default="")
    shaft: str = key(
        Choice(
            {
                "left": "the output shaft lies to the left as seen from behind",
                "right": "to the right",
                "up": "above",
                "down": "below",
            }
        ),
        "which way the end with the output shaft faces",
        default="",
    )
    arm: str = key(
        Choice({"up": "arm above", "down": "arm below"}), "where the arm points", default=""
    )
    horn: str = key(
        Choice({"top": "upper face", "bottom": "lower face"}), "the face with the horn", default=""
    )
    reversed: bool = key(Truth(), "turns the other way (built or programmed so)", default=False)
    programmable: bool = key(Truth(), "its direction can be programmed", default=False)
    fixed: bool = key(Truth(), "glued or built in: it cannot be turned over", default=False)
    measured: str = key(
        Choice(
            {
                "up": "a longer pulse raises the surface",
                "down": "a longer pulse lowers it",
                "left": "a longer pulse swings it left",
                "right": "a longer pulse swings it right",
                "open": "a longer pulse opens it",
                "closed": "a longer pulse closes it",
            }
        ),
        "what a longer pulse was seen to do; overrides shaft, arm, horn and reversed",
        default="",
    )
    signal: str = key(
        Choice({"analogue": "20 ms frames only", "digital": "faster frames too"}),
        "what frames it takes",
        default="",
    )
    idle: float | None = key(Amount(CURRENT, most="60 A"), "current at rest")
    moving: float | None = key(Amount(CURRENT, most="60 A"), "current while moving")
    stall: float | None = key(Amount(CURRENT, most="60 A"), "current when held fast")
    volts_min: float | None = key(Amount(VOLTAGE), "lowest supply it works on")
    volts_max: float | None = key(Amount(VOLTAGE, least="1 V"), "highest supply it bears")
    length: float | None = key(Amount(LENGTH), "length of its own lead")
    wire: WireSize | None = key(WireGauge(), "wire of its own lead")
    wires: str = key(LIE, "how the wires of its own lead lie", default="")
    colours: str = key(COLOURS, "insulation of its own lead", default="")
    pins: tuple[str, ...] = key(PIN_ORDER, "pin order of its plug", default=())

    @property
    def stays_put(self) -> bool:
        """Glued or built in, or fitted by its maker."""
        return self.fixed or self.as_made

    def programmed(self, catalogue: Catalogue) -> bool | None:
        """As the plan says; an analogue servo cannot be: common practice."""
        kind = catalogue.value(*self.row, "kind")
        stated = "programmable" in self.spans
        return self.programmable if stated else False if kind and kind.text == "analogue" else None

    def draw(self, catalogue: Catalogue) -> Draw | None:
        """Common practice: continuously, 30 % of the stall current."""
        stall, moving, idle = (self.known(catalogue, word) for word in ("stall", "moving", "idle"))
        if stall is None:
            return unknown_draw(self, "body", "its stall current, or its class (stall or class)")
        steady = rule_figure(catalogue, "sizing", "continuous-share").number * stall.number
        free = moving.number if moving else steady
        rest = idle.number if idle else 0.0
        return Draw(self, "body", steady, free, stall.number, stall.origin, idle=rest)

    def code_letters(self) -> str:
        """What it moves."""
        return self._moves_letters("SRV")

    def caption(self) -> tuple[str, ...]:
        """Its class, and whether it turns the other way."""
        return self.class_.replace("-", " "), "reversed" if self.reversed else ""

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Centre it, without its arm; one that came fitted moves what hangs on it."""
        words = f"Centre {self.named()} on a tester, then move it to both ends: no hum, no jerk"
        if self.as_made:
            return f"{words}, nothing binds", "it came fitted: its arm stays on"
        return words, ""

    def picture(self, sitting: Sitting) -> Glyph:
        """Its case with the shaft where it is."""
        from harness.drawing import glyphs_control as g
        from harness.drawing.sitting import renamed

        shaft = "right" if self.shaft in ("right", "down") else "left"
        drawn = g.servo(sitting.tag, shaft=shaft, where=sitting.beside("right"))
        return renamed(drawn, lead="plug")

    def sign(self, x: float, y: float, *, backwards: bool) -> list[Item]:
        """Its case with its shaft."""
        from harness.drawing.scene import Path, circle_path

        shaft = Path(circle_path(x - 2.6, y, 1.3), fill=look.INK)
        return [*Part.sign(self, x, y, backwards=backwards), shaft]

    def inside(self, shape: Shape) -> None:
        """Its own lead into its body, which draws."""
        size = self.wire or size_of(shape.catalogue, "servos", self.class_, "lead-wire")
        wire = Conductor(size, self.length, self.wires)
        port = shape.three(
            "plug", plug=True, colours=self.colours, wire=wire, order=self.pins or PINS
        )
        shape.lead_in(port, "body")
        shape.terminal("body")
        shape.draws("body")
