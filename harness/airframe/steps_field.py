"""What is done again each time parts of the airframe come off: at the field, and back."""

from __future__ import annotations

from dataclasses import dataclass

from harness.airframe.access import FOR_GOOD, Access
from harness.airframe.stages import CLOSE, JOIN, MAKE, plug_task
from harness.airframe.steps import WorkOrder, is_live
from harness.parts.servo import Servo
from harness.parts.wing_plug import WingPlug
from harness.plan.airframe import Cover
from harness.wiring.codes import natural
from harness.wiring.mate import Mate


@dataclass(frozen=True, slots=True)
class Rejoin:
    """One removable joint, by the place that comes off.

    `plugs` are made again in this order, `coupled` are wing plugs pushed together; `fed` are the
    plugs whose leads go through it; `surfaces` are the servos behind it.
    """

    joint: str
    plugs: tuple[Mate, ...]
    coupled: tuple[WingPlug, ...]
    fed: tuple[Mate, ...]
    surfaces: tuple[Servo, ...]


@dataclass(frozen=True, slots=True)
class FieldWork:
    """All that is done at the field; `covers` in the order they close, `packs` connected last."""

    covers: tuple[Cover, ...]
    joints: tuple[Rejoin, ...]
    packs: tuple[Mate, ...]


def field_work(order: WorkOrder) -> FieldWork:
    """Return what is done again at the field, joints in the order in which they were joined."""
    access = order.access
    by_task = {plug_task(mate): mate for mate in access.mates}
    made = [by_task[s.task] for s in order.steps if s.task.kind == MAKE]
    removable = [j for j in joined_in(order) if access.is_removable(j)]
    found = [_rejoin(access, joint, removable, made) for joint in removable]
    plugged = {plug_task(mate) for joint in found for mate in joint.plugs}
    packs = tuple(mate for mate in made if is_live(mate) and plug_task(mate) not in plugged)
    return FieldWork(_covers(order, found, packs), tuple(found), packs)


def joined_in(order: WorkOrder) -> list[str]:
    """Return the joints in the order in which they are joined."""
    return [step.task.name for step in order.steps if step.task.kind == JOIN]


def _rejoin(access: Access, joint: str, removable: list[str], made: list[Mate]) -> Rejoin:
    """Return one joint's work; what needs several joints is done at the last of them."""
    later = set(removable[removable.index(joint) + 1 :])

    def here(joints: tuple[str, ...]) -> bool:
        return joint in joints and not later & set(joints)

    coupled = [p for p in access.plan.of(WingPlug) if here(access.spans_joint(p))]
    surfaces = [s for s in access.plan.of(Servo) if access.behind(joint, access.home(s))]
    return Rejoin(
        joint,
        tuple(mate for mate in made if here(access.needs(mate))),
        tuple(sorted(coupled, key=lambda part: natural(part.id))),
        tuple(mate for mate in made if joint in access.needs(mate)),
        tuple(sorted(surfaces, key=lambda part: natural(part.id))),
    )


def _covers(order: WorkOrder, joints: list[Rejoin], packs: tuple[Mate, ...]) -> tuple[Cover, ...]:
    """Return the covers over all that is plugged at the field, as they close; none for good."""
    access = order.access
    places = {access.where(m) for m in (*packs, *(m for joint in joints for m in joint.plugs))}
    found = {c.id: c for place in places for c in access.over.get(place, ()) if c.kind != FOR_GOOD}
    closed = dict.fromkeys(s.task.name for s in reversed(order.steps) if s.task.kind == CLOSE)
    return tuple(found[name] for name in reversed(closed) if name in found)
