"""What moves by itself when the supply comes on: by a sequencer's power-up, or with the switch."""

from __future__ import annotations

from collections.abc import Mapping

from harness.base.data import dataclass
from harness.base.near import spoken
from harness.electrics.gear.motion import Mover, Pace, functions_of, travels
from harness.electrics.gear.scenes import powered_scenes, tracked
from harness.parts.part import Part, of_kind
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.gear import DIRECTIONS, steps_of

_DOES: Mapping[str, str] = {
    "follows": "runs to where its switch stands",
    "down": "lowers the gear",
    "up": "raises the gear",
}


@dataclass(frozen=True, slots=True)
class Waking:
    """What one sequencer, or no sequencer at all (`box` None), moves when the supply comes on.

    `parts`: the legs and doors that may move; `folding`: the legs that may go up under a standing
    aeroplane. A sequencer whose power-up nobody told moves nobody knows what: it is left out.
    """

    box: Sequencer | None
    parts: tuple[Part, ...]
    folding: tuple[Part, ...]

    @property
    def words(self) -> str:
        """Say it to a builder."""
        names = spoken(part.id for part in self.parts)
        one = len(self.parts) == 1
        if self.box is None:
            return (
                f"{names} {'runs' if one else 'run'} at once to where the gear switch stands when"
                f" the supply comes on, as no sequencer holds {'it' if one else 'them'} back"
            )
        does = f"{self.box.named()} {_DOES[self.box.power_up]}"
        said = f"{does} when the supply comes on: {names} {'moves' if one else 'move'}"
        legs = spoken(leg.id for leg in self.folding)
        folds = "folds" if len(self.folding) == 1 else "fold"
        when = " with the switch up" if self.box.power_up == "follows" else ""
        return f"{said}, and {legs} {folds} under a standing aeroplane{when}" if legs else said


NEVER = "never switch on with the model on its wheels; hold it, or put it on a stand"


@fact
def wakings(wiring: Wiring) -> tuple[Waking, ...]:
    """Return what moves when the supply comes on: by no sequencer first, then by sequencer."""
    movers = {m.part.id: m for some in functions_of(wiring).values() for m in some}
    by_box: dict[str, list[Mover]] = {}
    for name in sorted(movers):
        mover = movers[name]
        if mover.part.is_leg or mover.box:
            by_box.setdefault(mover.box.id if mover.box else "", []).append(mover)
    found = (_waking(wiring, by_box[name]) for name in sorted(by_box))
    return tuple(waking for waking in found if waking.parts)


def _waking(wiring: Wiring, movers: list[Mover]) -> Waking:
    box = movers[0].box
    parts, folding = dict[str, Part](), dict[str, Part]()
    pace = Pace(
        {
            n: f.number
            for n, f in travels(wiring.plan, of_kind(Retract, (m.part for m in movers))).items()
        }
    )
    told = box is None or any(steps_of(box, way) for way in DIRECTIONS)
    for scene in powered_scenes({box.id: box} if box else {}, pace):
        for mover in movers:
            stretches = tracked(scene, mover).stretches
            if stretches:
                parts[mover.part.id] = mover.part
            down = scene.stands == "down" and mover.part.is_leg
            if down and any(s.goal < s.begin for s in stretches):
                folding[mover.part.id] = mover.part
    if box is not None and not told and box.power_up in _DOES:  # no step says what moves: all may
        parts = {m.part.id: m.part for m in movers}
        folding = {n: p for n, p in parts.items() if p.is_leg and box.power_up != "down"}
    return Waking(box, tuple(parts.values()), tuple(folding.values()))


def power_up_warning(wiring: Wiring) -> str:
    """Say what moves when the supply comes on, and how to stand then; "" where nothing does."""
    said = [waking.words for waking in wakings(wiring)]
    return f"{'; '.join(said)}: {NEVER}" if said else ""
