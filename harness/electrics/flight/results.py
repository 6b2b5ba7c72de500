"""What a flight on paper comes to: its phases, its packs, its course. Plain data."""

from __future__ import annotations

from dataclasses import dataclass

from harness.electrics.charge import Energy
from harness.electrics.solver.circuit import Array, NotSolved
from harness.parts.figure import Figure


@dataclass(frozen=True, slots=True)
class PackPhase:
    """What one pack does in a phase.

    `milliamp_hours` and `watt_hours` given by its cells, `amps` in the mean, `lowest` volts at its
    poles and `end` those at the end of the phase, `charge` left at the end (0 to 1).
    """

    pack: str
    milliamp_hours: float
    watt_hours: float
    amps: float
    lowest: float
    end: float
    charge: float


@dataclass(frozen=True, slots=True)
class PhaseResult:
    """One phase from `start` to `end` (s from take-off). `full`: flown to its end; `added`: not a
    phase of the plan, but its longest one gone on with."""

    name: str
    case: str
    throttle: float
    start: float
    end: float
    full: bool
    added: bool
    packs: tuple[PackPhase, ...]


@dataclass(frozen=True, slots=True)
class PackTime:
    """One pack over the whole flight. `to_reserve`: s until it is at its `reserve`, None when it
    never is, or nobody knows. `motor`: it feeds a motor; else it is a radio supply. `simple`: the
    s by Ah x (charge above the reserve) / mean A, as builders reckon."""

    pack: str
    motor: bool
    reserve: Figure
    to_reserve: float | None
    simple: float | None
    milliamp_hours: float
    watt_hours: float
    lowest: float


@dataclass(frozen=True, slots=True, eq=False)
class Flight:
    """A flight in one mode, typical or worst.

    `lasts`: s from take-off until the first pack is at its reserve; `first`: that pack. `missed`:
    phases of the plan that are not begun before. `stopped`: why the flight ends before: the
    volts break down (numbers until then). Arrays over `times` (s): `charge`, `amps`, `volts` at
    the poles, by pack.
    """

    mode: str
    about: str
    lasts: float | None
    first: str
    phases: tuple[PhaseResult, ...]
    missed: tuple[str, ...]
    packs: tuple[PackTime, ...]
    times: Array
    charge: dict[str, Array]
    amps: dict[str, Array]
    volts: dict[str, Array]
    stopped: NotSolved | None
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Endurance:
    """Flights by mode, what each pack holds against the limit of air travel, unknown facts."""

    flights: tuple[Flight, ...]
    energies: tuple[Energy, ...]
    unknown: tuple[str, ...]

    def flight(self, mode: str) -> Flight:
        """Return the flight of a mode."""
        return next(flight for flight in self.flights if flight.mode == mode)
