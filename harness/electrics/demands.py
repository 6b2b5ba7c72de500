"""What every part asks of its supply in an operating case, as a consumer of the network."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from harness.electrics.cases import OperatingCase
from harness.parts.contacts import Contact
from harness.parts.esc import Esc
from harness.parts.figure import Draw, from_catalogue, rule_figure, stated
from harness.parts.motor import Motor
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.ratings import esc_draws, motors_on

Asked = tuple[float, float, float]
"""Constant current in A, conductance in S, constant power in W."""


@dataclass(frozen=True, slots=True)
class Demand:
    """One consumer: its part, its two contacts, what is known of its draw.

    `volts`: at which its stall current was stated (servos) or at which its full-throttle current
    is read (ESCs). `exponent`: how its power grows with throttle. `least`: the volts below which
    it does not work.
    """

    part: Part
    plus: Contact
    minus: Contact
    draw: Draw
    volts: float = 0.0
    exponent: float = 0.0
    least: float = 0.0

    @property
    def key(self) -> str:
        """Its name among the consumers: the part's id; a motor's current is the ESC's."""
        return self.part.id

    @property
    def asks(self) -> bool:
        """Whether it draws anything at all."""
        return self.draw.stall > 0 or self.draw.moving > 0

    def in_case(self, case: OperatingCase) -> Asked:
        """Return what it asks in a case."""
        if self.part.id in case.off or self.draw.missing:
            return (0.0, 0.0, 0.0)
        if self.part.drives:
            power = self.volts * self.draw.steady
            return (0.0, 0.0, power * case.throttle_of(self.part.id) ** self.exponent)
        if self.part.swings or self.part.is_leg:
            return self._moved(case)
        return (self.draw.idle, 0.0, 0.0)

    def _moved(self, case: OperatingCase) -> Asked:
        """Moving: a constant current. Stalled: a servo is a resistor, a leg holds its current."""
        doing, draw = case.doing(self.part.id), self.draw
        if doing.state == "moving":
            return (draw.idle + doing.share * (draw.moving - draw.idle), 0.0, 0.0)
        if doing.state == "stalled" and self.part.swings:
            return (0.0, doing.share * draw.stall / self.volts, 0.0)
        if doing.state == "stalled":
            return (doing.share * draw.stall, 0.0, 0.0)
        return (draw.idle, 0.0, 0.0)


def demands_of(wiring: Wiring) -> Iterator[Demand]:
    """Yield every consumer of a wiring, by part id."""
    for part in sorted(wiring.plan.parts.values(), key=lambda p: p.id):
        draw = part.draw(wiring.plan.catalogue)
        if isinstance(part, Esc):
            yield _esc(wiring, part)
        elif draw is not None:
            minus = "rail" if part.rails else draw.inside
            ends = (Contact(part.id, draw.inside, "positive"), Contact(part.id, minus, "negative"))
            yield Demand(part, *ends, draw, _rated_volts(wiring, part))


def _rated_volts(wiring: Wiring, part: Part) -> float:
    """Return the volts at which a servo's stall current holds."""
    if not part.swings:
        return 0.0
    own = from_catalogue(wiring.plan.catalogue, "servos", part.class_, "volts-rated")
    return (own or rule_figure(wiring.plan.catalogue, "sizing", "stall-rise-from")).number


def _esc(wiring: Wiring, esc: Esc) -> Demand:
    """The motors on an ESC, as constant power: their full-throttle current at nominal volts."""
    plus, minus = (Contact(esc.id, "battery", pin) for pin in ("positive", "negative"))
    motors = motors_on(wiring, esc)
    draws = esc_draws(esc, motors)
    missing = next((draw.missing for draw in draws if draw.missing), "")
    amps = 0.0 if missing else sum(draw.steady for draw in draws)
    origin = next((draw.origin for draw in draws if draw.origin), "")
    draw = Draw(esc, "battery", amps, amps, amps, origin, missing)
    volts = _read_at(motors) or abs(wiring.nets.volts(minus, plus) or 0.0)
    exponent = rule_figure(wiring.plan.catalogue, "throttle", "exponent").number
    return Demand(esc, plus, minus, draw, volts, exponent, volts / 2)


def _read_at(motors: list[Motor]) -> float:
    """Return the volts at which the motors' current was read, when the plan says so."""
    read = [stated(m, "full-throttle-volts", m.full_throttle_volts) for m in motors]
    known = [figure.number for figure in read if figure is not None]
    return known[0] if known else 0.0
