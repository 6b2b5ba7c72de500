"""Runs: from a part's own lead, through every lead in between, to the socket it ends in.

A box that passes a signal on begins a new run. A part that is not plugged in yet has a run too:
to the only receiver or autopilot there is.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from harness.base.data import dataclass
from harness.parts.contacts import Form, Port
from harness.parts.figure import Figure, known
from harness.parts.part import Part
from harness.wiring.build import Mate, Wiring
from harness.wiring.leads import is_own_socket_lead

TRIED = 64
"""A fork can have several sources; more ways than this through one tangle are not followed."""


@dataclass(frozen=True, slots=True)
class RunPiece:
    """One lead of a run: its port towards the host, its length if known, the key that states it."""

    port: Port
    length: Figure | None
    key: str

    @property
    def part(self) -> Part:
        """Whose lead it is."""
        return self.port.part

    @property
    def lead(self) -> tuple[str, str]:
        """Which physical lead it is: circuits of a wing plug are leads of their own."""
        one = self.part.battery_lead and self.part.hands_on(self.port.name)
        return (self.part.id, "") if one else self.port.id


@dataclass(frozen=True)
class LeadRun:
    """Leads from a device to a host, in that order; `mates` are the plugs between them.

    `host` is None where nothing says what it will be plugged into. `plugged`: it ends there
    already, so that `pieces` are all there is.
    """

    port: Port
    pieces: tuple[RunPiece, ...]
    mates: tuple[Mate, ...]
    host: Part | None
    plugged: bool

    @property
    def device(self) -> Part:
        """The part it begins at."""
        return self.port.part

    @property
    def name(self) -> str:
        """The device, with its port where that is not its plain plug."""
        return self.device.id if self.port.name == "plug" else f"{self.device.id}.{self.port.name}"

    @cached_property
    def via(self) -> tuple[str, ...]:
        """The places that the routes of its leads in between pass, from the device on."""
        found: list[str] = []
        for piece in self.pieces:
            if piece.part is not self.device and piece.part is not self.host:
                found += piece.part.route
        return tuple(found)

    @property
    def have(self) -> float | None:
        """The leads added up, mm; None when the length of one of them is not known."""
        lengths = [piece.length.number for piece in self.pieces if piece.length]
        return sum(lengths) if len(lengths) == len(self.pieces) else None

    @property
    def joints(self) -> int:
        """How many leads lie between the device's own and the host."""
        return sum(piece.part.hands_on(piece.port.name) for piece in self.pieces)

    @property
    def form(self) -> Form:
        """The shape of the device's plug."""
        return self.port.form


def runs_of(wiring: Wiring) -> tuple[LeadRun, ...]:
    """Return every run of a plan: by part in file order."""
    found: list[LeadRun] = []
    for part in wiring.plan.parts.values():
        for port in wiring.by_part[part.id]:
            if port.is_plug and not part.hands_on(port.name):
                found += _runs(wiring, port)
    return tuple(found)


def _runs(wiring: Wiring, port: Port) -> Iterator[LeadRun]:
    """Yield one run a way; more than one only where a fork has several sources."""
    start = (_piece(wiring, port),)
    todo: list[tuple[Port, tuple[RunPiece, ...], tuple[Mate, ...]]] = [(port, start, ())]
    for _ in range(TRIED):
        if not todo:
            return
        plug, pieces, mates = todo.pop(0)
        mate = wiring.by_plug.get(plug.id)
        socket = mate.socket if mate and mate.fits and mate.first else None
        if mate is None or socket is None:
            yield _loose(wiring, port, pieces, mates)
        elif socket.part.hands_on(socket.name):
            seen = {piece.port.id for piece in pieces}
            entries = [e for e in _entries(wiring, socket) if e.id not in seen]
            todo += [(e, (*pieces, _piece(wiring, e)), (*mates, mate)) for e in entries]
            if not entries and not any(e.id in seen for e in _entries(wiring, socket)):
                yield _loose(wiring, port, pieces, mates)
        else:
            own = (_piece(wiring, socket),) if is_own_socket_lead(wiring, socket) else ()
            yield LeadRun(port, (*pieces, *own), (*mates, mate), socket.part, plugged=True)


def _entries(wiring: Wiring, socket: Port) -> list[Port]:
    """The plugs of a lead through which one of its sockets is fed."""
    part = socket.part
    ports = [p for p in wiring.by_part[part.id] if p.is_plug and part.hands_on(p.name)]
    return [p for p in ports if p.name == socket.passes] if socket.passes else ports


def _loose(
    wiring: Wiring, port: Port, pieces: tuple[RunPiece, ...], mates: tuple[Mate, ...]
) -> LeadRun:
    """A run that ends in the air is meant for the only box that has sockets for it."""
    boxes = [p for p in wiring.plan.parts.values() if p.has_channels]
    one = len(boxes) == 1 and port.form is Form.THREE_PIN
    return LeadRun(port, pieces, mates, boxes[0] if one else None, plugged=False)


def _piece(wiring: Wiring, port: Port) -> RunPiece:
    part = port.part
    word = (
        "lead-length"
        if port.name in {"plug", "telemetry"} and part.has_key("lead-length")
        else "length"
    )
    own = port.name != "supply" or not part.sequences  # a sequencer states its input's
    length = getattr(part, word.replace("-", "_"), None) if own else None
    has_key = own and part.has_key(word) and port.form is not Form.BALANCE
    row = str(getattr(part, "class_", ""))
    figure = known(wiring.plan.catalogue, part, word, length, "servos", row, "lead-length")
    if part.carries_signal and figure is None:
        figure = known(wiring.plan.catalogue, part, word, None, "leads", part.kind, "length")
    return RunPiece(port, figure if has_key else None, word if has_key else "")


def called(piece: RunPiece) -> str:
    """Return how a message names a lead: Y-lead "flap-y", or the servo lead of "flap-left"."""
    kind = piece.part.lead_word(piece.port.name)
    if piece.part.hands_on(piece.port.name):
        return f'{kind} "{piece.part.id}"'
    return f'the {kind} of "{piece.part.id}"'
