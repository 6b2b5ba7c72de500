"""The 3-pin contacts of the radio side: what each carries, and which ones are asked too much."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from harness.electrics.flow import Flow
from harness.facts.bearing import Bears, plug_bears
from harness.facts.currents import currents
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import Form
from harness.parts.receiver import Receiver
from harness.wiring.build import PortId, Wiring
from harness.wiring.fact import fact
from harness.wiring.mate import Mate
from harness.wiring.ratings import THREE_PIN


@dataclass(frozen=True)
class Joint:
    """One mated 3-pin pair and its current. `rail` is the part it feeds when it is a supply."""

    mate: Mate
    flow: Flow
    rail: str = ""

    @property
    def id(self) -> PortId:
        """The plug's id."""
        return self.mate.plug.id


def contact_bears(wiring: Wiring) -> Bears:
    """Return what one contact of a 3-pin plug bears."""
    found = plug_bears(wiring.plan, THREE_PIN)
    assert found is not None
    return found


def _is_joint(mate: Mate) -> bool:
    forms = (mate.plug.forms, mate.socket.forms if mate.socket else ())
    return mate.fits and mate.first and all(Form.THREE_PIN in pair for pair in forms)


def is_supply(wiring: Wiring, mate: Mate) -> bool:
    """Say whether current comes in through a mate: into the part that has the socket."""
    socket = mate.socket
    return socket is not None and currents(wiring).inward(*socket.id)


@fact
def joints(wiring: Wiring) -> tuple[Joint, ...]:
    """Return every 3-pin joint with its flow, supplies with the rail they end on."""
    found = []
    for mate in wiring.mates:
        if not _is_joint(mate):
            continue
        last = wiring.upstream(*mate.plug.id)[-1].socket
        rail = last.part.id if last is not None and is_supply(wiring, mate) else ""
        found.append(Joint(mate, currents(wiring).port(*mate.plug.id), rail))
    return tuple(found)


@fact
def overloaded(wiring: Wiring) -> tuple[Joint, ...]:
    """Return the joints above what a contact bears.

    A lead that serves one device alone is left to that device's maker, who chose the plug.
    """
    bears = contact_bears(wiring)
    return tuple(j for j in joints(wiring) if bears.exceeded(j.flow) and len(j.flow.parts) > 1)


def supplies(wiring: Wiring, rail: str) -> list[Joint]:
    """Return the joints at a rail's own sockets through which it is fed."""
    return [
        joint
        for joint in joints(wiring)
        if joint.rail == rail and joint.mate.socket and joint.mate.socket.part.id == rail
    ]


@fact
def single_supplies(wiring: Wiring) -> tuple[Joint, ...]:
    """Return the overloaded joints that are the only supply of a receiver or autopilot."""
    heavy = {joint.id for joint in overloaded(wiring)}
    found = []
    for part in (*wiring.plan.of(Receiver), *wiring.plan.of(Autopilot)):
        ways = supplies(wiring, part.id)
        found += [joint for joint in ways if len(ways) == 1 and joint.id in heavy]
    return tuple(found)


def worst_of_runs(wiring: Wiring) -> Iterator[Joint]:
    """Yield the overloaded joint nearest the device of each run; one for all supplies of a rail.

    What a joint nearer the device carries includes what the ones before it carry.
    """
    heavy = {joint.id: joint for joint in overloaded(wiring)}
    fed: dict[str, list[Joint]] = {}
    for joint in heavy.values():
        nearer = wiring.upstream(*joint.id)[1:]
        if joint.rail:
            fed.setdefault(joint.rail, []).append(joint)
        elif not any(mate.plug.id in heavy for mate in nearer):
            yield joint
    for ways in fed.values():
        yield max(ways, key=lambda j: (round(j.flow.burst, 6), j.mate.span))
