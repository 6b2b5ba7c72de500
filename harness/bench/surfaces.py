"""Tests of what moves: failsafe, directions as seen from behind, mixes, throws."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from harness.base.data import replace
from harness.base.near import spoken
from harness.bench.directions import (
    PITCH,
    ROLL,
    STICKS,
    YAW,
    Stick,
    SurfaceWay,
    Ways,
    direction_id,
    mates_of,
    shared_by,
    sticks_of,
    turn_of,
    turn_words,
    ways_of,
)
from harness.bench.leads_and_supplies import PRACTICE
from harness.bench.protocol import BenchTest, Section, Word
from harness.bench.workbench import Bench, by_id
from harness.catalogue.functions import SIDES
from harness.facts.motion import turning_of
from harness.facts.parity import surface_of, unwritten_mixes
from harness.facts.signals import (
    DOWN,
    OFF,
    STAYS,
    UP,
    Drive,
    base_of,
    channel_function,
    function_of,
    is_zero,
    plain_words,
    side_of,
    steadied,
)
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.plan.radio import Channel, Mix
from harness.wiring.ratings import motors_on

MIXES: Mapping[str, tuple[str, str]] = {
    "flaperon": ("flaperon", "both ailerons droop together as flaps, and still work as ailerons"),
    "differential": ("differential", "each aileron goes further up than down"),
    "crow": ("crow", "ailerons up while flaps go down"),
    "v-tail": ("V-tail", "both halves go alike for the elevator and against each other for the"
               " rudder"),
    "elevon": ("elevon", "both halves go alike for the elevator and against each other for the"
               " ailerons"),
    "taileron": ("taileron", "both halves go alike for the elevator and against each other for the"
                 " ailerons"),
    "spoileron": ("spoileron", "both rise together as spoilers, and still work as ailerons"),
    "differential-thrust": ("differential thrust", "the rudder stick speeds up the motor on the"
                            " outside of the turn"),
    "own-trim": ("own trim", "each side is trimmed by itself"),
    "flap-to-elevator": ("flap to elevator", "the elevator is trimmed as the flaps go down, so that"
                         " the nose stays where it was"),
}  # fmt: skip
"""Each mix: its name, and what it does."""


def mix_words(mix: Mix) -> str:
    """Return what a mix does, with the functions it is said to be of."""
    of = f" ({spoken(mix.of)})" if mix.of else ""
    return f"{MIXES[mix.kind][1]}{of}"


FAILSAFE = {"off": OFF, "hold": STAYS, "up": UP, "down": DOWN, "neutral": frozenset({"neutral"})}
"""The words of a failsafe that can be seen on the bench, and how else they are written."""


def failsafe(bench: Bench) -> Section:
    """What each channel does when the transmitter is switched off."""
    found = [_failsafe(bench, name, channel) for name, channel in bench.plan.channels.items()]
    about = "set at binding; then, with everything on, switch the transmitter off and look"
    return Section("Failsafe", tuple(filter(None, found)), about)


def _failsafe(bench: Bench, name: str, channel: Channel) -> BenchTest | None:
    title = f"channel {name} ({channel.function}) without signal"
    said = plain_words(channel.failsafe)
    if not said:
        bench.missing(f"channel {name} ({channel.function}): its failsafe (failsafe)")
        return None
    throttle = bench.plan.words.base(channel.function) == "throttle"
    word = _failsafe_word(said, throttle=throttle)
    mend = "set it again at binding, as the receiver's instructions say, and test again"
    if throttle:
        mend += "; do not fly before the motor stops"
    expected = Word(word, tuple(FAILSAFE)) if word else Word()
    return BenchTest(
        f"failsafe.{name}",
        title if word else f'{title}: it goes to "{channel.failsafe}"',
        expected,
        f"plan line {channel.spans['failsafe'].line}",
        mend,
    )


def _failsafe_word(said: str, *, throttle: bool) -> str:
    """Return the word for what a failsafe does; "closed" is off for a motor, up for flaps."""
    if throttle and (said in OFF or is_zero(said)):
        return "off"
    words = sorted(FAILSAFE, key=lambda word: word == "off")
    return next((word for word in words if said in FAILSAFE[word]), "")


def directions(bench: Bench) -> Section:
    """Every surface for every stick, then mixes and gyros."""
    every = ways_by_servo(bench)
    tests = [test for drive in bench.drives for test in _surface(bench, drive, every)]
    order = {stick.id: place for place, stick in enumerate(STICKS)}
    tests.sort(key=lambda test: order.get(test.id.rpartition(".")[2], len(order)))
    tests += [*_mixes(bench), *_gyros(bench)]
    about = "stand behind the aeroplane; look at the trailing edge. Again each time the wings"
    about += " have been off"
    return Section("Directions, seen from behind", tuple(tests), about)


def ways(bench: Bench, drive: Drive) -> tuple[SurfaceWay, ...]:
    """Return how a servo's surface must move; nothing where that is not known."""
    plan = bench.plan
    function = flown_as(plan, drive)
    crow = any(m.kind == "crow" and _takes_part(plan, function, m.takes) for m in plan.mixes)
    found = ways_of(plan.words, function, side_of(plan, drive.part), crow=crow)
    if found is None and _only(bench, drive):
        both = ways_of(plan.words, function, "right", crow=crow) or ()
        found = tuple(replace(way, where=" on the right") for way in both)
    if found is None:
        bench.missing(f"{drive.part.id}: which way it must move: its side (a place with `side`)")
    return found or ()


def flown_as(plan: Plan, drive: Drive) -> str:
    """Return what a surface is with the mixes of the plan: an aileron in a flaperon mix is one."""
    words, own = plan.words, surface_of(plan, drive)
    mixes = [
        m.kind
        for m in plan.mixes
        if words.pair(m.kind) == "own" and own in map(words.base, m.takes)
    ]
    return mixes[0] if mixes and words.pair(own) == "opposite" else own


def _only(bench: Bench, drive: Drive) -> bool:
    """Whether one servo moves both sides: ailerons on torque rods."""
    base = base_of(bench.plan, drive)
    mine = [d for d in bench.drives if d.part.swings and base_of(bench.plan, d) == base]
    return len(mine) == 1 and bench.plan.words.pair(base) == "opposite"


def _takes_part(plan: Plan, function: str, of: tuple[str, ...]) -> bool:
    return plan.words.base(function) in {plan.words.base(word) for word in (*of, "flap")}


def ways_by_servo(bench: Bench) -> dict[str, tuple[SurfaceWay, ...]]:
    """Return how the surface of every servo must move."""
    return {d.part.id: ways(bench, d) for d in bench.drives if d.part.swings}


def _surface(bench: Bench, drive: Drive, every: Ways) -> Iterator[BenchTest]:
    servo = drive.part
    if not servo.swings:
        return
    codes, function = bench.codes([servo.id]), function_of(bench.plan, drive)
    same = sorted(d.part.id for d in bench.drives if d.signal == drive.signal and d is not drive)
    if same:
        function = channel_function(bench.plan, drive.socket) or function
    beside = f" but {spoken(same)}" if same else ""
    if not sticks_of(bench.plan.words, surface_of(bench.plan, drive)):
        yield BenchTest(
            f"moves.{servo.id}",
            f"{servo.id} answers to {function or 'its channel'}, nothing else{beside} does",
            Word(),
            f"plan line {servo.at('moves').line}",
            "look at which socket its lead sits in, by the label",
            (),
            "off",
            (servo.id,),
            codes,
        )
    shared = shared_by(drive, mates_of(bench, drive, every))
    for way in every[servo.id]:
        choices, turn = (*way.choices, "still"), turn_of(bench, drive, way, every)
        yield BenchTest(
            direction_id(servo.id, way),
            f"{way.stick.words}: {servo.id} {way.verb}{way.where}",
            Word(way.word, choices),
            f"{way.why} ({PRACTICE})",
            turn_words(servo.id, turn, shared),
            (),
            "off",
            (servo.id,),
            codes,
            turn=turn,
        )


def _mixes(bench: Bench) -> Iterator[BenchTest]:
    for mix in bench.plan.mixes:
        made = f"made in the {mix.made_in}" if mix.made_in != "both" else "made in two places"
        of = f".{'-'.join(mix.of)}" if mix.of else ""
        yield BenchTest(
            f"mix.{mix.kind}{of}",
            f"{MIXES[mix.kind][0]}: {mix_words(mix)}",
            Word(),
            f"plan line {mix.spans['kind'].line}, {made}",
            "set the mix in that one place and nowhere else",
            (),
            "off",
        )
        if mix.kind == "differential-thrust":
            yield from _thrust(bench)
    for function in unwritten_mixes(bench.plan):
        bench.missing(f"{function.many}: where they are mixed (mixes)")


def thrust_ways(bench: Bench) -> Iterator[tuple[Drive, str]]:
    """Yield the ESCs of differential thrust: nose to the right asks for more thrust on the left."""
    mixed = any(mix.kind == "differential-thrust" for mix in bench.plan.mixes)
    for drive in bench.drives if mixed else ():
        side = side_of(bench.plan, drive.part)
        if drive.part.drives and side:
            yield drive, "faster" if side == "left" else "slower"


def _thrust(bench: Bench) -> Iterator[BenchTest]:
    for drive, word in thrust_ways(bench):
        turned = turning_of(motors_on(bench.wiring, drive.part)).one
        yield BenchTest(
            f"direction.{drive.part.id}.yaw",
            f"{YAW.words}, some throttle: the motor of {drive.part.id} turns",
            Word(word, ("faster", "slower", "alike")),
            f"nose to the right: the left {turned} must pull more ({PRACTICE})",
            "turn the mix round in the transmitter",
            (),
            "off",
            (drive.part.id,),
            bench.codes([drive.part.id]),
        )


_TILTS: Mapping[str, str] = {
    PITCH.id: "the nose is tipped down by hand",
    ROLL.id: "the right wing is pushed down by hand",
    YAW.id: "the nose is swung to the right by hand",
}
"""A gyro works against what disturbs: what is done."""


def _gyros(bench: Bench) -> Iterator[BenchTest]:
    for box in by_id(p for p in bench.plan.parts.values() if p.relays or p.sets_outputs):
        for function, stick in _steadied(bench, box):
            first = sticks_of(bench.plan.words, function)[0] is stick
            goes = _against(bench.plan, function, stick)
            yield BenchTest(
                f"gyro.{box.id}.{function}{'' if first else f'.{stick.id}'}",
                f"{box.id} switched on; {_TILTS[stick.id]}: each {function} goes {goes}",
                Word(),
                f"it works against what disturbs it ({PRACTICE})",
                "turn that axis round in the box, not in the transmitter; a gyro that works the"
                " wrong way crashes at once",
                (),
                "off",
                (box.id,),
            )


def _against(plan: Plan, function: str, stick: Stick) -> str:
    """Return where surfaces go, right and left: as for stick back, or for the stick to the left."""
    goes: dict[str, str] = {}
    for side in ("right", "left"):
        way = next(w for w in ways_of(plan.words, function, side) or () if w.stick is stick)
        other = next(word for word in way.choices if word != way.word)
        word = way.word if stick is PITCH else other
        goes[side] = f"to the {word}" if word in SIDES else word
    one = len(set(goes.values())) == 1
    return goes["right"] if one else f"{goes['right']} on the right, {goes['left']} on the left"


def _steadied(bench: Bench, box: Part) -> list[tuple[str, Stick]]:
    """Return the functions on a box and the sticks that it works beside: those of its axis."""
    axes = {
        drive.part.id: one.axis
        for one in steadied(bench.wiring)
        if one.box == box
        for drive in one.hung
    }
    words, found = bench.plan.words, set[tuple[str, Stick]]()
    for drive in bench.drives:
        passes = any(mate.socket and mate.socket.part == box for mate in drive.chain)
        function = surface_of(bench.plan, drive)
        by = words.sticks(axes.get(drive.part.id) or function)
        for stick in sticks_of(words, function) if drive.part.swings and passes else ():
            if stick.id in _TILTS and stick.id in by:
                found.add((function, stick))
    return sorted(found, key=lambda one: (one[0], STICKS.index(one[1])))


def throws(bench: Bench) -> Section:
    """Every function to both its ends without a hum."""
    groups: dict[str, list[str]] = {}
    for drive in bench.drives:
        if drive.part.swings:
            function = bench.plan.words.plain(function_of(bench.plan, drive)) or drive.part.id
            groups.setdefault(function, []).append(drive.part.id)
    tests = [_throw(bench, function, groups[function]) for function in sorted(groups)]
    return Section("Throws", tuple(tests), "to both ends, trims at their ends too")


def _throw(bench: Bench, function: str, servos: list[str]) -> BenchTest:
    return BenchTest(
        f"no-hum.{function}",
        f"{spoken(servos)} {'goes' if len(servos) == 1 else 'go'} to both ends freely, nothing"
        " binds and no servo hums",
        Word(),
        PRACTICE,
        "take back the end point, or free the linkage: a servo that hums is held fast and draws its"
        " stall current",
        (),
        "off",
        tuple(servos),
        bench.codes(servos),
    )
