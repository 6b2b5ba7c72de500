"""What is done again at the field each time parts of the airframe come off, and taken apart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from harness.airframe.stages import plug_task
from harness.airframe.steps import FieldWork, Rejoin, field_work, is_live
from harness.base.near import spoken
from harness.bench.directions import Ways
from harness.bench.surfaces import ways_by_servo
from harness.bench.workbench import Bench
from harness.documents.steps.building import again_tick, coupled_tick, fed_tick
from harness.documents.steps.power import NEAR, OUT, STARTS, armed, spark_details, starting
from harness.documents.steps.work import StepEntry, Work
from harness.electrics.gear.power_up import power_up_warning
from harness.facts.fed import radio_armed
from harness.facts.motion import turning
from harness.paper.blocks import Say, Tick
from harness.parts.motor import Motor
from harness.parts.part import Part
from harness.parts.retract import Retract
from harness.parts.servo import Servo
from harness.wiring.build import Mate
from harness.wiring.codes import natural
from harness.wiring.gear import is_door

APART = "Taking it apart"
ARM = "Last of all: the motors"
HELD = "somebody holds it, nobody beside, before or behind what turns"
DAILY = "Before the first flight of the day"


def field_entries(work: Work) -> Iterator[StepEntry]:
    """Yield the ticks of the field: open, join, plug, close, check, and all of it backwards."""
    doing = field_work(work.order)
    sparks = spark_details(work, [*_live(doing), *work.arming])
    yield from _opening(doing)
    for joint in doing.joints:
        yield from _joining(work, joint, sparks)
    yield from _powering(work, doing, sparks)
    if early := radio_armed(work.wiring):
        said = f"the radio is fed through it: throttle closed and locked; {HELD}"
        yield from armed(work, sparks, "Switch on", "field", said)
    yield from _directions(work, doing)
    yield from _daily(work)
    close = [
        StepEntry(
            "close", "Close", Tick(f"field-close-{c.id}", f'Close "{c.id}" over {spoken(c.over)}')
        )
        for c in doing.covers
    ]
    yield from () if _under(work, doing) else close
    yield from () if early else armed(work, sparks, ARM, "field", HELD)
    if any(work.plan.of(Motor)):
        words = "Motor at a little throttle, transmitter off: the motor stops"
        yield StepEntry("daily", ARM, Tick("field-motor-off", words, (HELD,)))
    yield from close if _under(work, doing) else ()
    yield from _apart(work, doing)


def _under(work: Work, doing: FieldWork) -> bool:
    """Whether an arming plug lies under a cover: it closes after it is fitted."""
    places = {work.access.home(mate.plug.part) for mate in work.arming}
    return any(places & set(cover.over) for cover in doing.covers)


def _live(doing: FieldWork) -> list[Mate]:
    plugs = [mate for joint in doing.joints for mate in joint.plugs if is_live(mate)]
    return [*plugs, *doing.packs]


def _opening(doing: FieldWork) -> Iterator[StepEntry]:
    for cover in reversed(doing.covers):
        words = f'Open "{cover.id}" over {spoken(cover.over)}'
        yield StepEntry("open", "Open", Tick(f"field-open-{cover.id}", words))


def _joining(work: Work, joint: Rejoin, sparks: Mapping[str, str]) -> Iterator[StepEntry]:
    heading = f"Put {joint.joint} on"
    for part in joint.coupled:
        tick = coupled_tick(work, part.id, f"field-couple-{part.id}")
        yield StepEntry("join", heading, tick, joint.joint)
    if joint.fed:
        tick = fed_tick(work, joint.joint, list(joint.fed), f"field-feed-{joint.joint}")
    else:
        other = work.plan.places[joint.joint].joins
        tick = Tick(f"field-join-{joint.joint}", f"Join {joint.joint} to {other}")
    yield StepEntry("join", heading, tick, joint.joint)
    for mate in joint.plugs:
        plug = ".".join(mate.plug.id)
        tick = again_tick(work, mate, sparks.get(plug_task(mate).name, ""))
        yield StepEntry("connect", heading, tick, joint.joint, plug)


def _powering(work: Work, doing: FieldWork, sparks: Mapping[str, str]) -> Iterator[StepEntry]:
    heading = "Switch on"
    words = f"Transmitter on first, throttle closed; {turning(work.plan).many} clear of everybody"
    warned = power_up_warning(work.wiring)
    tick = Tick("field-transmitter", words, (warned,) if warned else ())
    yield StepEntry("power-up", heading, tick)
    live = starting(work, [*_live(doing), *work.arming])
    for mate in doing.packs:
        name = plug_task(mate).name
        starts = f"{STARTS}; {NEAR}" if name in live else ""
        minded = (OUT,) if mate.plug.part.arms else (starts, sparks.get(name, ""))
        tick = _pack(work, mate, *filter(None, minded))
        yield StepEntry("power-up", heading, tick, "", ".".join(mate.plug.id))


def _pack(work: Work, mate: Mate, *minded: str) -> Tick:
    key = f"field-pack-{'.'.join(mate.plug.id)}"
    picture = work.picture(lambda draw: draw.plug(mate, key))
    return Tick(key, work.plug(mate), minded, work.codes([mate]), picture)


def _directions(work: Work, doing: FieldWork) -> Iterator[StepEntry]:
    """Yield a tick for each surface: those that came off first, as their plugs may be swapped."""
    every = ways_by_servo(Bench(work.wiring))
    off = {servo.id: (servo, j.joint) for j in reversed(doing.joints) for servo in j.surfaces}
    head = "Directions, seen from behind: what was off"
    for servo, joint in sorted(off.values(), key=lambda one: natural(one[0].id)):
        yield _direction(work, servo, every, head, joint)
    rest = [s for s in work.plan.of(Servo) if s.id not in off and not is_door(s)]
    head = "Directions, seen from behind: all the others" if off else "Directions, seen from behind"
    for servo in sorted(rest, key=lambda part: natural(part.id)):
        yield _direction(work, servo, every, head)
    yield from _gear(work)


def _direction(work: Work, servo: Servo, every: Ways, heading: str, joint: str = "") -> StepEntry:
    words = [
        f"{way.stick.words}: it {way.verb} {way.word}{way.where}" for way in every.get(servo.id, ())
    ]
    said = "; ".join(words) or "it answers to its own stick or switch, and nothing else does"
    tick = Tick(f"field-direction-{servo.id}", f"{servo.id}: {said}", (), work.own_codes([servo]))
    says = (Say("Their plugs were pulled: two of them may be swapped."),) if joint else ()
    return StepEntry("directions", heading, tick, joint, says=says)


def _gear(work: Work) -> Iterator[StepEntry]:
    legs = sorted(work.plan.of(Retract), key=lambda part: natural(part.id))
    if legs:
        doors = any(map(is_door, work.plan.of(Servo)))
        ends = "every leg and door goes" if doors else "every leg goes"
        words = f"On a stand, wheels free: gear up and down once, {ends} to both ends"
        tick = Tick("field-gear-cycle", words, (), work.own_codes(legs))
        yield StepEntry("directions", "Gear", tick)


def _daily(work: Work) -> Iterator[StepEntry]:
    least = work.rule("rail", "minimum")
    rows = [
        ("failsafe", "Transmitter off: every channel goes to its failsafe, no motor turns"),
        ("range", "Range check; then reduced power off again"),
        (
            "rail",
            f"Stir the sticks: the rail stays at {least.number:g} V or above ({least.origin})",
        ),
    ]
    for name, words in rows:
        yield StepEntry("daily", DAILY, Tick(f"field-daily-{name}", words))


def _apart(work: Work, doing: FieldWork) -> Iterator[StepEntry]:
    """Yield the way back: arming plugs, packs, transmitter last, then joint by joint."""
    opened = [Tick(f"field-apart-open-{c.id}", f'Open "{c.id}"') for c in reversed(doing.covers)]
    parts = [mate.plug.part for mate in work.arming]
    dead = [
        Tick(
            f"field-disarm-{part.id}",
            f"Pull the arming plug of {part.named()}",
            (),
            work.own_codes([part]),
        )
        for part in parts
    ]
    for tick in (*opened, *dead) if _under(work, doing) else (*dead, *opened):
        yield StepEntry("apart", APART, tick)
    for mate in reversed(doing.packs):
        yield StepEntry("apart", APART, _pulled(work, mate))
    words = "Transmitter off, last"
    yield StepEntry("apart", APART, Tick("field-apart-transmitter", words))
    for joint in reversed(doing.joints):
        for mate in reversed(joint.plugs):
            yield StepEntry("apart", APART, _pulled(work, mate), joint.joint)
        yield StepEntry("apart", APART, _off(work, joint), joint.joint)


def _pulled(work: Work, mate: Mate) -> Tick:
    assert mate.socket is not None
    name = ".".join(mate.plug.id)
    words = f"Pull {work.code(mate.plug) or mate.plug.short} out of {work.into(mate.socket)}"
    return Tick(f"field-apart-{name}", words, (), work.codes([mate]))


def _off(work: Work, joint: Rejoin) -> Tick:
    other = work.plan.places[joint.joint].joins
    halves: list[Part] = list(joint.coupled)
    parted = f", and part {spoken(p.named() for p in halves)}" if halves else ""
    drawn = ", drawing its leads out" if joint.fed else ""
    words = f"Take {joint.joint} off {other}{drawn}{parted}"
    return Tick(f"field-apart-{joint.joint}", words, (), work.own_codes(halves))


def nothing_comes_off(doing: FieldWork) -> Say | None:
    """Say so when no joint of the plan is ever undone."""
    if doing.joints:
        return None
    return Say("The plan has no removable joint: nothing is plugged again but the packs.")
