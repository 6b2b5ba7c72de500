"""A battery: cells in series, a main connector `main`, perhaps a balance plug `balance`."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.span import Span
from harness.base.units import C_RATE, CHARGE, CURRENT, LENGTH, RESISTANCE, VOLTAGE, WireSize
from harness.catalogue import Catalogue
from harness.drawing import look
from harness.parts.contacts import POLE_PINS, Conductor, Form, LinkKind, Shape, size_of
from harness.parts.figure import rule_figure, short
from harness.parts.join import JOIN, Join
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount, Share, WireGauge
from harness.reading.kinds import END_OF_TEXT, ClassName, Schema, Whole
from harness.reading.nodes import Scalar
from harness.reading.problems import Reading
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.scene import Item
    from harness.drawing.sitting import Sitting


LIPO, ROUNDED = 3.7, 0.06
"""V: what a LiPo cell is labelled by, and how far the label of a pack may be rounded."""


@dataclass(frozen=True)
class Cells(Whole):
    """A count of cells in series: 4, or 4S as packs are labelled."""

    called = "a whole number from {0.least} to {0.most}, or 4S"

    def read(self, text: str) -> int:
        """Return the number."""
        return int(text.rstrip("sS"))

    def schema(self) -> Schema:
        """An integer with its limits, or a label's text."""
        tens = rf"(?:[1-9]|[1-{self.most // 10 - 1}][0-9]|{self.most})"
        return super().schema() | {
            "type": ["integer", "string"],
            "pattern": f"^{tens}[sS]{END_OF_TEXT}",
        }

    def refuse_text(self, node: Scalar, at: Reading, schema: Schema) -> None:
        """Say what a label counts beside the cells in series."""
        if found := re.fullmatch(r"([0-9]{1,2})[sS][0-9]{1,2}[pP]", node.text):
            help_ = (
                f"cells counts those in series: cells: {found[1]}; capacity is that of the"
                " whole pack"
            )
        elif found := re.fullmatch(r"([0-9]{1,3}(?:\.[0-9]+)?) ?[vV]", node.text):
            many = round(float(found[1]) / LIPO)
            even = many > 0 and abs(many * LIPO - float(found[1])) < ROUNDED
            help_ = "cells are counted: " + (
                f"{node.text} is {many} LiPo cells of {LIPO:g} V"
                if even
                else "write how many are in series"
            )
        else:
            Whole.refuse_text(self, node, at, schema)
            return
        at.wrong(f'"{node.text}" is not {self.noun}', node.span, help_)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack(Part):
    """A battery: cells in series, a main connector `main`, perhaps a balance plug `balance`."""

    word: ClassVar[str] = "pack"
    group: ClassVar[str] = "packs"
    rank: ClassVar[int] = 110
    footprint: ClassVar[tuple[float, float, str]] = (13.0, 10.0, look.WRAP)
    letters: ClassVar[str] = "BAT"
    tested_with: ClassVar[str] = "supplies"
    battery_side: ClassVar[bool] = True
    holds_cells: ClassVar[bool] = True
    chemistry: str = key(
        ClassName(), "lipo, lihv, liion, life, nimh or a class of the plan", must=True
    )
    cells: int = key(Cells(1, 60), "cells in series", must=True)
    capacity: float | None = key(Amount(CHARGE), "capacity")
    rate: float | None = key(Amount(C_RATE), "continuous rate on its label")
    connector: str = key(ClassName(), "class of its main connector", default="")
    volts: float | None = key(Amount(VOLTAGE), "volts at rest as metered, when packs are joined")
    charge: float | None = key(Share(), "how full it is when it is joined")
    cell_resistance: float | None = key(Amount(RESISTANCE), "resistance of one cell, as measured")
    mean_current: float | None = key(
        Amount(CURRENT, least="1 mA"),
        "what it gave in the mean over a flight, as read: the endurance of a plan without flight",
    )
    plug: Join | None = key(JOIN, "the socket its own plug goes into (radio packs)")
    wire: WireSize | None = key(WireGauge(), "wire of its own lead")
    length: float | None = key(Amount(LENGTH), "length of its own lead")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its own plug, when it has one that goes into a socket."""
        return (("main", self.plug),) if self.plug else ()

    @property
    def row(self) -> tuple[str, str]:
        """Its chemistry."""
        return "packs", self.chemistry

    def lead_word(self, port: str) -> str:
        """Its own lead, or its balance lead."""
        return "balance lead" if port == "balance" else "pack lead"

    def wears_lead(self, port: str, *, used: bool) -> bool:
        """Its main lead is always there."""
        return port == "main" or used

    def kit_class(self) -> str:
        """Its chemistry."""
        return self.chemistry

    def classes(self) -> Iterator[tuple[str, str, str]]:
        """Its chemistry is a class."""
        yield from Part.classes(self)
        yield "chemistry", "packs", self.chemistry

    def slips(self, catalogue: Catalogue) -> Iterator[tuple[str, Span, str]]:
        """Far more than its cells have when full, or than any pack holds: a slip of the pen."""
        if self.capacity and self.capacity > rule_figure(catalogue, "pack", "largest").number:
            held = f"{self.capacity:g}"
            yield (
                f"{self.named()} cannot hold {held} Ah",
                self.at("capacity"),
                f'write "{held} mAh"',
            )
        full = catalogue.value("packs", self.chemistry, "full")
        if self.volts is None or not full or not full.number:
            return
        most = self.cells * full.number
        if self.volts > 1.1 * most:
            right = f"{self.cells} cells of {self.chemistry} have {most:g} V when full"
            yield f"{self.named()} cannot have {self.volts:g} V", self.at("volts"), right

    @property
    def feeds_radio(self) -> bool:
        """A pack with a plug of its own does."""
        return self.plug is not None

    @property
    def label(self) -> str:
        """Capacity and rate as on its label."""
        charge = "" if self.capacity is None else f"{short(self.capacity)} Ah"
        rate = "" if self.rate is None else f"{short(self.rate)}C"
        return " ".join(word for word in (charge, rate) if word)

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Meter its cells."""
        return (
            f"Meter each of the {self.cells} cells of {self.named()}: all alike",
            "nothing swollen",
        )

    def picture(self, sitting: Sitting) -> Glyph:
        """Its wrap with its cells and its label."""
        from harness.drawing import glyphs_power as g

        return g.pack(
            sitting.tag,
            cells=f"{self.cells}S",
            capacity=sitting.capacity or self.label,
            rooms=sitting.rooms,
            mirror=bool(self.plug)
            and "main" not in sitting.far
            and not (sitting.small and "balance" in sitting.sockets),
        )

    def sign(self, x: float, y: float, *, backwards: bool) -> list[Item]:
        """Its wrap with its cells."""
        from harness.drawing.scene import Path, line_path

        cells = [
            Path(line_path([(x + dx, y - 3), (x + dx, y + 3)]), stroke=look.INK, width=0.8)
            for dx in (-3.0, 0.0, 3.0)
        ]
        return [*Part.sign(self, x, y, backwards=backwards), *cells]

    def inside(self, shape: Shape) -> None:
        """Cells between two poles; the balance plug's outer wires sit on the same poles."""
        wire = Conductor(self.wire, self.length)
        if self.plug:
            main = shape.three("main", plug=True, wire=wire)
        else:
            main = shape.poles("main", plug=False, connector=self.connector, wire=wire)
        shape.lead_in(main, "cells", POLE_PINS)
        thin = Conductor(size_of(shape.catalogue, "plugs", "balance", "wire-max"))
        balance = shape.port("balance", Form.BALANCE, plug=False, connector="balance", wire=thin)
        for pin in POLE_PINS:
            shape.link(shape.inner("cells", pin), balance.pin(pin), LinkKind.WIRE, wire=thin)
        per_cell = shape.catalogue.value("packs", self.chemistry, "nominal")
        volts = self.cells * (per_cell.number if per_cell and per_cell.number else 0.0)
        shape.source("cells", volts)
        shape.terminal("cells", POLE_PINS)
