"""The runs of a function before they are followed: from where to where each box goes, how fast."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

from harness.base.data import dataclass
from harness.electrics.gear.motion import Mover, Pace, Track, slow_travels, track_of, travels
from harness.parts.part import of_kind
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer
from harness.wiring.build import Wiring
from harness.wiring.gear import DIRECTIONS, steps_of

TAIL = 0.5
"""s that a run is followed after the last thing in it has come to rest."""


@dataclass(frozen=True, slots=True)
class RunStart:
    """What a run is made of, before it is followed: which way each box goes, from where.

    `ways` by box id, and by "" for what no box delays.
    """

    name: str
    about: str
    ways: Mapping[str, str]
    stands: str
    pace: Pace
    ground: bool = False
    assumed: tuple[str, ...] = ()


def boxes_of(movers: tuple[Mover, ...]) -> dict[str, Sequencer]:
    """Return the boxes that drive the movers, by id."""
    return {m.box.id: m.box for m in movers if m.box}


def scenes_of(
    wiring: Wiring, movers: tuple[Mover, ...], boxes: Mapping[str, Sequencer]
) -> list[RunStart]:
    """Return every run of a function, in the order they are shown."""
    legs = of_kind(Retract, (m.part for m in movers))
    usual = {name: f.number for name, f in travels(wiring.plan, legs).items()}
    slow = {name: f.number for name, f in slow_travels(wiring.plan, legs).items()}
    found = [_switched("", way, boxes, Pace(usual)) for way in DIRECTIONS]
    if legs:
        found += [_switched("slow-", way, boxes, Pace(slow)) for way in DIRECTIONS]
    if legs or boxes:
        found += powered_scenes(boxes, Pace(usual))
    held = product(_stuck(wiring, movers, legs), DIRECTIONS)
    return found + [_jammed(stuck, way, movers, boxes, usual) for stuck, way in held]


def _switched(name: str, way: str, boxes: Mapping[str, Sequencer], pace: Pace) -> RunStart:
    about = f"the switch is moved to {way}" + (", the legs are slow" if name else "")
    stands = "up" if way == "down" else "down"
    return RunStart(name + way, about, dict.fromkeys(["", *boxes], way), stands, pace)


def powered_scenes(boxes: Mapping[str, Sequencer], pace: Pace) -> list[RunStart]:
    """Return the runs when the supply comes on; none where nobody told what a box does then."""
    told = all(box.power_up for box in boxes.values())
    pairs = product(DIRECTIONS, repeat=2) if told else ()
    return [_powered(switch, stands, boxes, pace) for switch, stands in pairs]


def _powered(switch: str, stands: str, boxes: Mapping[str, Sequencer], pace: Pace) -> RunStart:
    """What boxes do of themselves when the supply comes on; what no box delays follows."""
    does = {"holds": "", "follows": switch, "down": "down", "up": "up"}
    ways = {name: does[box.power_up] for name, box in boxes.items()}
    words = [f"{n} {f'runs {ways[n]}' if ways[n] else 'holds'}" for n in sorted(boxes)]
    about = f"the supply comes on, the switch is {switch}, the gear is {stands}"
    assumed = () if boxes else ("what no sequencer delays follows the switch at once",)
    return RunStart(
        f"power-up-{switch}-{stands}",
        "; ".join([about, *words]),
        {"": switch, **ways},
        stands,
        pace,
        True,
        assumed,
    )


def _stuck(wiring: Wiring, movers: tuple[Mover, ...], legs: list[Retract]) -> list[str]:
    """Each leg in turn; without legs the servo with the largest stall current."""
    if legs:
        return [leg.id for leg in legs]
    draws = (m.part.draw(wiring.plan.catalogue) for m in movers)
    worst = max(filter(None, draws), key=lambda d: d.stall, default=None)
    return [worst.part.id] if worst else []


def _jammed(
    stuck: str,
    way: str,
    movers: tuple[Mover, ...],
    boxes: Mapping[str, Sequencer],
    travel: Mapping[str, float],
) -> RunStart:
    """One part is held fast from its first moment; the run lasts as long as it would without."""
    scene = _switched("", way, boxes, Pace(travel))
    ends = [edge for m in movers for edge in tracked(scene, m).edges]
    ends += [s.end for box in boxes.values() for s in steps_of(box, way)]
    horizon = max(ends, default=0.0) + TAIL
    part = next(m.part for m in movers if m.part.id == stuck)
    bare = part.is_leg and part.kind == "bare-motor"
    until = "as long as its box drives it" if bare else "to the end of the run: nothing stops it"
    return RunStart(
        f"jammed-{stuck}-{way}",
        f"the switch is moved to {way}, {stuck} is stuck",
        scene.ways,
        scene.stands,
        Pace(travel, stuck, horizon),
        assumed=(f"{stuck} does not move at all and draws its full current {until}",),
    )


def tracked(scene: RunStart, mover: Mover) -> Track:
    """Follow one part through a scene."""
    way = scene.ways[mover.box.id if mover.box else ""]
    return track_of(mover, way, scene.stands, scene.pace)
