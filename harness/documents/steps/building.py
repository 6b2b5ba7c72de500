"""The steps of building: plugs, covers, joints and servo arms, in the order of work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from harness.airframe.access import FOR_GOOD
from harness.airframe.stages import CLOSE, JOIN, MAKE, TESTED
from harness.airframe.steps import CENTRE, COUPLE, FEED, OPEN, Stage, WorkStep, is_live
from harness.base.near import spoken
from harness.documents.steps.power import (
    before_flight,
    before_power,
    live_details,
    spark_details,
    tests,
)
from harness.documents.steps.work import StepEntry, Work, in_place
from harness.facts.of_leads import pulled_words
from harness.facts.wording import INSULATION
from harness.paper.blocks import Say, Tick
from harness.parts.contacts import Form
from harness.parts.servo import Servo
from harness.parts.wing_plug import WingPlug
from harness.plan.airframe import Cover
from harness.wiring.build import Mate
from harness.wiring.codes import natural
from harness.wiring.ratings import connector_of


def building_entries(work: Work) -> Iterator[StepEntry]:
    """Yield a tick for each step of the order of work, and the tests of the first power-up."""
    opened: dict[str, int] = {}
    powered = False
    made = (work.by_name[s.task.name] for s in work.order.steps if s.task.kind == MAKE)
    sparks = spark_details(work, filter(is_live, made))
    for step in work.order.steps:
        if step.stage == Stage.POWER and not powered:
            powered = True
            yield from before_power(work)
        if step.task == TESTED:
            if not powered:
                yield from before_power(work)
            yield from tests(work, sparks)
            continue
        count = opened[step.task.name] = opened.get(step.task.name, 0) + 1
        if step.task.kind == MAKE:
            yield from _out(work, step)
        yield _entry(work, step, count, sparks)
    yield from before_flight(work)


def _entry(work: Work, step: WorkStep, count: int, sparks: Mapping[str, str]) -> StepEntry:
    """Return one step as a tick. `count`: how often its cover was opened or closed so far."""
    kind, name = step.task
    again = f"-{count}" if count > 1 else ""
    if kind == MAKE:
        arms = work.by_name[name].plug.part.arms
        return _made(work, step, "" if arms else sparks.get(name, ""))
    key = f"steps-{kind}-{name}{again}"
    draw = {
        CLOSE: _closed,
        OPEN: _opened,
        JOIN: _joined,
        FEED: _fed,
        COUPLE: _coupled,
        CENTRE: _centred,
    }[kind]
    tick = draw(work, name, key)
    return StepEntry(STAGES[step.stage], _heading(work, step), tick, step.place)


def _out(work: Work, step: WorkStep) -> Iterator[StepEntry]:
    """Yield the step that takes pins out of a plug, before it is plugged for the first time."""
    mate = work.by_name[step.task.name]
    if words := pulled_words(mate):
        pins = spoken(INSULATION[pin] for pin in mate.join.pulled)
        many, them = ("pins", "each") if len(mate.join.pulled) > 1 else ("pin", "it")
        said = f"Pull the {pins} {many} out of the plug {work.code(mate.plug)}: {words};"
        key = f"steps-out-{'.'.join(mate.plug.id)}"
        tick = Tick(key, f"{said} insulate {them}", (), work.codes([mate])[:1])
        yield StepEntry(STAGES[step.stage], _heading(work, step), tick, step.place)


def _made(work: Work, step: WorkStep, spark: str) -> StepEntry:
    mate = work.by_name[step.task.name]
    tick = plug_tick(work, mate, spark)
    says = _lay(work) if step.stage == Stage.PANEL else ()
    heading, plug = _heading(work, step), step.task.name
    return StepEntry(STAGES[step.stage], heading, tick, step.place, plug, says)


def plug_tick(work: Work, mate: Mate, spark: str = "") -> Tick:
    """Return the tick of one plug: which it is, where it goes, what to mind, its picture."""
    details = [*pins(work, mate), *live_details(work, mate), *([spark] if spark else [])]
    if work.is_joint(mate):
        details.append("clip this joint, or shrink a sleeve over it")
    return _plug_tick(work, mate, "steps", tuple(details))


def again_tick(work: Work, mate: Mate, spark: str = "") -> Tick:
    """Return the tick of a plug that is made again at the field."""
    stays = [f"{pulled_words(mate)}, and stays so"] * bool(mate.join.pulled)
    return _plug_tick(work, mate, "field", (*stays, *([spark] if spark else [])))


def _plug_tick(work: Work, mate: Mate, prefix: str, details: tuple[str, ...]) -> Tick:
    assert mate.socket is not None
    ends = ".".join(mate.plug.id), ".".join(mate.socket.id)
    key = f"{prefix}-plug-{ends[0]}-into-{ends[1]}"
    picture = work.picture(lambda draw: draw.plug(mate, key))
    return Tick(key, work.plug(mate), details, work.codes([mate]), picture)


def pins(work: Work, mate: Mate) -> Iterator[str]:
    """Yield which pins of a plug are out, and what to mind at bare bullets."""
    if words := pulled_words(mate):
        yield f"{words}: that pin is pulled and insulated"
    keyed = work.plan.catalogue.value("plugs", connector_of(mate.plug), "keyed")
    if mate.plug.form is Form.POWER and keyed is not None and keyed.text == "no":
        yield "bare bullets fit either way round: red to red, black to black"


def _lay(work: Work) -> tuple[Say, ...]:
    hatch, servo = work.rule("slack", "hatch"), work.rule("slack", "servo")
    words = f"Lay and clip each lead as you plug it; leave {hatch.number:g} mm of slack past the "
    words += f"edge of a hatch or joint and {servo.number:g} mm at a servo ({hatch.origin}). "
    return (Say(words + "The pale wire of a 3-pin plug goes to the signal side of its socket."),)


STAGES = {
    Stage.CENTRE: "centre", Stage.PANEL: "panel", Stage.CLOSE: "close", Stage.JOIN: "join",
    Stage.CONNECT: "connect", Stage.SUPPLY: "supply", Stage.POWER: "power-up",
    Stage.HATCH: "hatches",
}  # fmt: skip
"""The words for stages in JSON; before them come test and label."""


def _heading(work: Work, step: WorkStep) -> str:
    place = in_place(step.place)
    if step.task.kind == CLOSE and step.stage == Stage.CLOSE:
        return f"Close what may be closed: {spoken(work.plan.covers[step.task.name].over)}"
    joint = f"Join {step.place} to {_other(work, step.place)}" if step.stage == Stage.JOIN else ""
    mate = work.by_name.get(step.task.name)
    after = ", now that it is joined" if mate and work.access.needs(mate) else ""
    return {
        Stage.PANEL: f"Connect{place}",
        Stage.JOIN: joint,
        Stage.CONNECT: f"Connect{place}{after}",
        Stage.CENTRE: "Centre the servos on a tester, then fit their arms",
        Stage.SUPPLY: f"Connect the supply{place}",
        Stage.POWER: "First power-up",
        Stage.HATCH: "Close what stayed open",
    }.get(step.stage, f"Close what may be closed: {step.place}")


def _other(work: Work, joint: str) -> str:
    place = work.plan.places.get(joint)
    return place.joins if place else ""


def _under(work: Work, cover: Cover) -> list[Mate]:
    return [m for m in work.access.mates if work.access.where(m) in cover.over]


def _closed(work: Work, name: str, key: str) -> Tick:
    cover = work.plan.covers[name]
    hidden = _under(work, cover) if cover.kind == FOR_GOOD else []
    over = spoken(cover.over)
    how = {"screwed": "Screw down", FOR_GOOD: "Close for good"}.get(cover.kind, "Close")
    details = []
    if cover.kind == FOR_GOOD:
        details += ["before you do: pull gently at each plug under it"] if hidden else []
        details.append("it is never opened again")
    stuck = {task.name for ring in work.order.knots for task in ring.stuck if task.kind == CLOSE}
    if name in stuck:
        details.insert(0, "no order allows it to be closed when it should be: see above")
    about = [cover.about] if cover.about else []
    return Tick(key, f'{how} "{name}" over {over}', (*details, *about), work.codes(hidden))


def _opened(work: Work, name: str, key: str) -> Tick:
    over = spoken(work.plan.covers[name].over)
    return Tick(key, f'Open "{name}" over {over} again: what comes next lies under it')


def _joined(work: Work, name: str, key: str) -> Tick:
    other = _other(work, name)
    fed, coupled = _through(work, name), _coupled_at(work, name)
    how = "" if work.access.is_removable(name) else ", for good"
    if fed or coupled:
        words = f"Bring {name} up to {other}, a hand's breadth apart{how and '; it joins for good'}"
    else:
        words = f"Join {name} to {other}{how}"
    return Tick(key, words)


def _through(work: Work, joint: str) -> list[Mate]:
    return [mate for mate in work.access.mates if joint in work.access.needs(mate)]


def _coupled_at(work: Work, joint: str) -> list[str]:
    names = (s.task.name for s in work.order.steps if s.task.kind == COUPLE and s.place == joint)
    return list(names)


def _fed(work: Work, name: str, key: str) -> Tick:
    return fed_tick(work, name, _through(work, name), key)


def fed_tick(work: Work, joint: str, mates: list[Mate], key: str) -> Tick:
    """Return the tick of the leads that go through a joint."""
    ordered = sorted(mates, key=lambda mate: natural(work.code(mate.plug)))
    count = "this lead" if len(ordered) == 1 else f"these {len(ordered)} leads"
    words = f"Feed {count} through, then join {joint} to {_other(work, joint)}"
    codes = tuple(dict.fromkeys(work.code(mate.plug) for mate in ordered))
    return Tick(
        key,
        words,
        ("no lead is pinched in the joint",),
        codes,
        work.picture(lambda draw: draw.fed(ordered, joint, key)),
    )


def _coupled(work: Work, name: str, key: str) -> Tick:
    part = work.plan.parts[name]
    assert isinstance(part, WingPlug)
    joint = work.access.spans_joint(part)[-1]
    home = f"then join {joint} to {_other(work, joint)}; no lead is pinched in the joint"
    return coupled_tick(work, name, key, () if _through(work, joint) else (home,))


def coupled_tick(work: Work, name: str, key: str, details: tuple[str, ...] = ()) -> Tick:
    """Return the tick of a wing plug's halves."""
    part = work.plan.parts[name]
    words = f"Push the two halves of {part.named()} fully together"
    picture = work.picture(lambda draw: draw.halves(part, key))
    return Tick(key, words, details, work.own_codes([part]), picture)


def _centred(work: Work, place: str, key: str) -> Tick:
    servos = [s for s in work.plan.of(Servo) if work.access.home(s) == place and not s.as_made]
    servos.sort(key=lambda part: natural(part.id))
    centre = work.rule("pulse", "centre")
    names = spoken(servo.id for servo in servos)
    words = f"Centre the servos{in_place(place)} on a servo tester, their leads plugged into"
    words += f" nothing else, and only then fit their arms: {names}"
    details = [f"{centre.number:g} us ({centre.origin}); each arm square to its servo"]
    ports = [port for servo in servos for port in work.wiring.by_part[servo.id] if port.is_plug]
    picture = work.picture(lambda draw: draw.parts(ports, key)) if ports else None
    return Tick(key, words, tuple(details), work.own_codes(servos), picture)
