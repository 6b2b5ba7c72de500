"""A battery: cells in series, a main connector `main`, perhaps a balance plug `balance`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from harness.base.units import C_RATE, CHARGE, LENGTH, RESISTANCE, VOLTAGE, WireSize
from harness.parts.contacts import POLE_PINS, Conductor, Form, LinkKind
from harness.parts.part import JOIN, Join, Part
from harness.parts.shape import Shape
from harness.reading.kinds import Amount, ClassName, Share, Whole, Wire
from harness.reading.records import key


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack(Part):
    """A battery: cells in series, a main connector `main`, perhaps a balance plug `balance`."""

    word: ClassVar[str] = "pack"
    group: ClassVar[str] = "packs"
    rank: ClassVar[int] = 110
    chemistry: str = key(
        ClassName(), "lipo, lihv, liion, life, nimh or a class of the plan", must=True
    )
    cells: int = key(Whole(1, 60), "cells in series", must=True)
    capacity: float | None = key(Amount(CHARGE), "capacity")
    rate: float | None = key(Amount(C_RATE), "continuous rate on its label")
    connector: str = key(ClassName(), "class of its main connector", default="")
    volts: float | None = key(Amount(VOLTAGE), "volts at rest as metered, when packs are joined")
    charge: float | None = key(Share(), "how full it is when it is joined")
    cell_resistance: float | None = key(Amount(RESISTANCE), "resistance of one cell")
    plug: Join | None = key(JOIN, "the socket its own plug goes into (radio packs)")
    wire: WireSize | None = key(Wire(), "wire of its own lead")
    length: float | None = key(Amount(LENGTH), "length of its own lead")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its own plug, when it has one that goes into a socket."""
        return (("main", self.plug),) if self.plug else ()

    def inside(self, shape: Shape) -> None:
        """Cells between two poles; the balance plug's outer wires sit on the same poles."""
        wire = Conductor(self.wire, self.length)
        if self.plug:
            main = shape.three("main", plug=True, wire=wire)
        else:
            main = shape.poles("main", plug=False, connector=self.connector, wire=wire)
        shape.lead_in(main, "cells", POLE_PINS)
        balance = shape.port("balance", Form.BALANCE, plug=False, connector="balance")
        for pin in POLE_PINS:
            shape.link(shape.inner("cells", pin), balance.pin(pin), LinkKind.WIRE)
        per_cell = shape.catalogue.value("packs", self.chemistry, "nominal")
        volts = self.cells * (per_cell.number if per_cell and per_cell.number else 0.0)
        shape.source("cells", volts)
        shape.terminal("cells", POLE_PINS)
