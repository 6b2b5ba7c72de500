"""Which way a surface must move for a stick, and what to turn round when it goes the other way.

A stick asks for a turn of the aeroplane; the turn needs a push of the air on the surface; the
trailing edge goes to the side the push must not come from: a surface whose edge goes up throws the
air up and is itself pushed down. So with the push F that is wanted and the surface's own upper (or
right) side n, the edge goes towards n where F . n < 0. Axes: y to the right, z up, as seen from
behind. Common practice; no published source.

Reversing a channel turns a surface round for every stick at once. One that is wrong for one stick
only has that input of its mix the wrong way, or sits in the plug of its twin: with the mix
left = pitch + roll, right = pitch - roll, swapped plugs leave pitch right and turn roll round.
Two servos on one Y-lead turn together; one alone is turned by an in-line reverser, or turned over.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from harness.base.data import dataclass
from harness.base.near import spoken
from harness.bench.protocol import Turn
from harness.bench.workbench import Bench
from harness.catalogue.functions import Vocabulary
from harness.facts.signals import Drive, base_of, side_of

Vector = tuple[float, float]
"""(to the right, up), as seen from behind."""


@dataclass(frozen=True, slots=True)
class Stick:
    """A movement at the transmitter: its word in the ids of tests, and what is done."""

    id: str
    words: str

    @property
    def is_switch(self) -> bool:
        """Say whether it is a switch, and so can be turned round by itself."""
        return " switch" in self.words


ROLL = Stick("roll", "aileron stick to the right")
PITCH = Stick("pitch", "elevator stick back, towards you")
YAW = Stick("yaw", "rudder stick to the right")
FLAPS = Stick("flaps", "flap switch to landing")
BRAKES = Stick("brakes", "spoiler or airbrake switch to out")
CROW = Stick("crow", "crow or butterfly switch on")
STEER = Stick("steer", "rudder or steering stick to the right")
GEAR = Stick("gear", "gear switch moved, when its turn comes")

STICKS = (ROLL, PITCH, YAW, FLAPS, BRAKES, CROW, STEER, GEAR)

_BY_WORD = {stick.id: stick for stick in STICKS}


INPUTS: Mapping[str, str] = {
    ROLL.id: "aileron", PITCH.id: "elevator", YAW.id: "rudder", FLAPS.id: "flap",
    BRAKES.id: "spoiler", CROW.id: "crow", STEER.id: "steering", GEAR.id: "gear",
}  # fmt: skip
"""What the input of a mix is called, by stick."""

STEERED = frozenset({ROLL.id, PITCH.id, YAW.id})
UPRIGHT = ("right", "left")
LEVEL = ("up", "down")
_PLAIN: Mapping[str, tuple[str, tuple[str, ...]]] = {
    FLAPS.id: ("down", LEVEL),
    BRAKES.id: ("up", LEVEL),
    STEER.id: ("right", UPRIGHT),
    GEAR.id: ("open", ("open", "closed")),
}
"""What needs no thought: flaps go down, spoilers up, wheels where the stick goes, doors open."""


@dataclass(frozen=True, slots=True)
class SurfaceWay:
    """How a surface must move: the word as seen from behind, the words it can be, and why."""

    stick: Stick
    word: str
    choices: tuple[str, ...]
    why: str
    where: str = ""
    """Which of the surfaces that one servo moves both, " on the right", or ""."""

    @property
    def verb(self) -> str:
        """What it does: a wheel steers, whichever of its edges that moves."""
        return "steers" if self.stick is STEER else "goes"


def sticks_of(words: Vocabulary, function: str) -> tuple[Stick, ...]:
    """Return the sticks that a surface answers to; none where nothing is known of it."""
    return tuple(_BY_WORD[word] for word in words.sticks(function) if word in _BY_WORD)


def ways_of(
    words: Vocabulary, function: str, side: str, *, crow: bool = False
) -> tuple[SurfaceWay, ...] | None:
    """Return how a surface must move; None when its side is needed and not known.

    `side`: left, right or "". `crow`: it takes part in a crow mix.
    """
    known, sticks = words.find(function), sticks_of(words, function)
    stands = known.stands if known else ""
    if side == "" and any(_sided(stands, stick) for stick in sticks):
        return None
    ahead = known is not None and known.ahead
    found = [_way(stands, stick, side, ahead=ahead) for stick in sticks]
    if crow and sticks and {ROLL, FLAPS} >= set(sticks):
        word = "up" if ROLL in sticks else "down"
        why = "crow brakes: the ailerons go up while the flaps go down"
        found.append(SurfaceWay(CROW, word, LEVEL, why))
    return tuple(found)


def _sided(stands: str, stick: Stick) -> bool:
    return stick is ROLL or (stands in {*_LEANING, "split"} and stick is YAW)


def _way(stands: str, stick: Stick, side: str, *, ahead: bool) -> SurfaceWay:
    if stick.id not in STEERED:
        word, choices = _PLAIN[stick.id]
        what = "switch" if stick.is_switch else "stick"
        return SurfaceWay(stick, word, choices, f"what the {what} says")
    if stands == "split":
        word = "open" if side == "right" else "closed"
        return SurfaceWay(stick, word, _PLAIN[GEAR.id][1], "nose to the right: drag on the right")
    push, turn = _push(stick, side, ahead=ahead)
    upper = _upper(stands, side)
    towards = push[0] * upper[0] + push[1] * upper[1] < 0
    words = UPRIGHT if stands == "upright" else LEVEL
    word = words[0] if towards else words[1]
    return SurfaceWay(stick, word, words, f"{turn}: {_aim(push)}, so its trailing edge goes {word}")


def _push(stick: Stick, side: str, *, ahead: bool) -> tuple[Vector, str]:
    """Return what the air must do to a surface, and the turn of the aeroplane that asks for it."""
    if stick is ROLL:
        up = 1.0 if side == "left" else -1.0
        return (0.0, up), "roll to the right"
    if stick is PITCH and ahead:
        return (0.0, 1.0), "nose up, from before the centre of gravity"
    if stick is PITCH:
        return (0.0, -1.0), "nose up, which is tail down"
    return (-1.0, 0.0), "nose to the right, which is tail to the left"


_LEANING = {"inward": 1.0, "outward": -1.0}


def _upper(stands: str, side: str) -> Vector:
    """Return the upper side of a surface, of a fin its right one.

    The two halves of an upright V lean outwards: the upper side of each looks inwards too; of an
    inverted one outwards.
    """
    if stands == "upright":
        return (1.0, 0.0)
    inward = _LEANING.get(stands, 0.0)
    return (inward if side == "left" else -inward, 1.0)


def _aim(push: Vector) -> str:
    words = {(0.0, 1.0): "up", (0.0, -1.0): "down", (-1.0, 0.0): "to the left"}
    return f"the air must push it {words[push]}"


NEVER = "never swap a servo's red and black"
CAREFUL = NEVER.capitalize()

Ways = Mapping[str, Sequence[SurfaceWay]]
"""How each surface must move, by the id of its servo."""


def direction_id(servo: str, way: SurfaceWay) -> str:
    """Return the id of the test of one direction."""
    return f"direction.{servo}.{way.stick.id}"


def turn_of(bench: Bench, drive: Drive, way: SurfaceWay, every: Ways) -> Turn:
    """Return what to do when a surface goes wrong, alone and with its other directions."""
    name = drive.part.id
    if drive.sequenced:
        words = "set that outlet's ends in the sequencer's programme"
        return Turn((), (), f"{words}; the transmitter cannot turn it")
    mates = mates_of(bench, drive, every)
    own = every[name]
    return Turn(
        tuple(direction_id(name, each) for each in own),
        tuple(direction_id(mate.part.id, each) for mate in mates for each in every[mate.part.id]),
        _whole(bench, drive, way, mates, len(own)),
        _alone(drive, mates),
        _axis(bench, drive, way) if len(own) > 1 else "",
    )


def mates_of(bench: Bench, drive: Drive, every: Ways) -> list[Drive]:
    """Return the other servos that get the same pulse."""
    return [
        d
        for d in bench.drives
        if d.signal == drive.signal and d.part.id != drive.part.id and every.get(d.part.id)
    ]


def _there(drive: Drive) -> str:
    """Return the channel or output that drives a servo, and where it is set up."""
    part = drive.outlet.part
    if part.sets_outputs:
        return f"output {drive.outlet.name} of {part.id} in the autopilot"
    return f"channel {drive.outlet.name} in the transmitter"


def _whole(bench: Bench, drive: Drive, way: SurfaceWay, mates: Sequence[Drive], count: int) -> str:
    words = f"reverse {_there(drive)} (its servo direction)"
    if mates:
        words += f", which turns {spoken(sorted([drive.part.id, *(m.part.id for m in mates)]))}"
    elif count == 1 and way.stick.is_switch:
        words += ", or turn the switch round there"
    kinds = {m.kind for m in bench.plan.mixes if _in_mix(bench, drive, m.takes)}
    if "differential" in kinds:
        words += "; then look at the differential again: more up than down"
    return words + (_swapped(bench, drive) if count == 1 and way.stick is ROLL else "")


def _in_mix(bench: Bench, drive: Drive, of: Sequence[str]) -> bool:
    return base_of(bench.plan, drive) in {bench.plan.words.base(word) for word in of}


def _alone(drive: Drive, mates: Sequence[Drive]) -> str:
    if not mates:
        return ""
    over = "" if drive.part.stays_put else ", or turn the servo over"
    return f"put an in-line reverser into the lead of {drive.part.id}{over}"


def shared_by(drive: Drive, mates: Sequence[Drive]) -> str:
    """Return "Y-lead" where servos with one pulse share a lead, else "channel"."""
    own = _leads(drive)
    return "Y-lead" if all(own & _leads(mate) for mate in mates) else "channel"


def _leads(drive: Drive) -> set[str]:
    sockets = (mate.socket for mate in drive.chain)
    return {s.part.id for s in sockets if s is not None and s.part.carries_signal}


def _axis(bench: Bench, drive: Drive, way: SurfaceWay) -> str:
    what = INPUTS[way.stick.id]
    if way.stick is FLAPS and base_of(bench.plan, drive) == "flap":
        words = "turn the flap switch round in the transmitter"
    elif way.stick is CROW:
        words = f"turn the share of {drive.part.id} in the crow mix round"
    else:
        words = f"turn the {what} input of its mix round in the {_mixed_in(bench, drive)}"
    return f"{words}; not the channel, which would turn the others too{_swapped(bench, drive)}"


def _mixed_in(bench: Bench, drive: Drive) -> str:
    places = {m.made_in for m in bench.plan.mixes if _in_mix(bench, drive, m.takes)} - {"both"}
    if len(places) == 1:
        return places.pop()
    return "autopilot" if drive.outlet.part.sets_outputs else "transmitter"


def _swapped(bench: Bench, drive: Drive) -> str:
    """Say how to find out whether a servo sits in the plug of its twin on the other side."""
    twins = list(_twins(bench, drive))
    if not twins:
        return ""
    name, socket = drive.part.id, drive.outlet.short
    return (
        f". Before you turn it: pull the plug out of {socket} with the supply off, switch on, and"
        f" move the stick: {name} must be the one that stands still. If {spoken(twins, 'or')} does"
        " instead, the two plugs are swapped: change them over and turn nothing round"
    )


def _twins(bench: Bench, drive: Drive) -> Iterator[str]:
    plan = bench.plan
    base, side = base_of(plan, drive), side_of(plan, drive.part)
    for other in bench.drives:
        away = {side, side_of(plan, other.part)} == {"left", "right"}
        alike = other.part.swings and base_of(plan, other) == base
        if away and alike and other.signal != drive.signal:
            yield other.part.id


def turn_words(name: str, turn: Turn, shared: str) -> str:
    """Return what to do, for a test of which nothing else is known."""
    words = turn.whole
    if turn.alone:
        words = f"all servos on the same {shared} wrong: {turn.whole}; only {name}: {turn.alone}"
    if turn.axis:
        head = "" if turn.alone else f"every direction of {name} wrong: "
        words = f"{head}{words}; only this direction wrong: {turn.axis}"
    return f"{words}. {CAREFUL}"


def turning_rules(bench: Bench, every: Ways) -> Iterator[str]:
    """Yield the same in general, for what hangs on a plan."""
    driven = [d for d in bench.drives if every.get(d.part.id)]
    plain = [d for d in driven if not d.sequenced]
    if any(len(every[d.part.id]) > 1 for d in plain):
        yield (
            "a surface that goes wrong for every stick: reverse its channel; one that goes wrong"
            " for one stick only: turn that input of its mix round, or its plug and that of its"
            " twin are swapped"
        )
    elif plain:
        yield "a surface that goes wrong: reverse its channel"
    if any(mates_of(bench, d, every) for d in plain):
        one = "of two on one channel only one wrong"
        yield f"{one}: an in-line reverser in its lead, or turn it over"
    if len(plain) < len(driven):
        yield "what hangs on a sequencer is turned round in its programme"
    yield NEVER
