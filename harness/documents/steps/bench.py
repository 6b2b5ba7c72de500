"""The first steps: test every part on the bench, and label both ends of every lead."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from harness.base.units import TIME, VOLTAGE, format_quantity
from harness.documents.labels.label import Label
from harness.documents.plan_labels import labels_for
from harness.documents.steps.work import Entry, Work, in_place
from harness.drawing.scene import Scene
from harness.facts.rails import bec_of
from harness.paper.blocks import Say, Tick
from harness.parts.autopilot import Autopilot
from harness.parts.bec import Bec
from harness.parts.contacts import Form, Port
from harness.parts.diode import Diode
from harness.parts.esc import Esc
from harness.parts.fuse import Fuse
from harness.parts.lead import Lead
from harness.parts.load import Load
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.parts.receiver import Receiver
from harness.parts.regulator import Regulator
from harness.parts.retract import Retract
from harness.parts.sensor import Sensor
from harness.parts.sequencer import Sequencer
from harness.parts.servo import Servo
from harness.parts.stabiliser import Stabiliser
from harness.parts.switch import Switch
from harness.parts.wing_plug import WingPlug
from harness.wiring.codes import natural
from harness.wiring.gear import travel_of
from harness.wiring.leads import Lead as OwnLead
from harness.wiring.leads import kind_of

MOST_LABELS = 10
"""Leads whose labels one picture shows."""


def bench_entries(work: Work) -> Iterator[Entry]:
    """Yield a tick for each part to test, by kind and then by name."""
    for heading, (kinds, told) in GROUPS.items():
        say = (Say(told(work)),) if told(work) else ()
        parts = [part for part in work.plan.parts.values() if isinstance(part, kinds)]
        for part in sorted(parts, key=lambda part: natural(part.id)):
            for tick in _ticks(work, part):
                yield Entry("test", work.access.home(part), heading, tick, say)


def _ticks(work: Work, part: Part) -> Iterator[Tick]:
    for kinds, words in _TESTS:
        if isinstance(part, kinds):
            said = words(work, part)
            if said:
                yield _tick(work, part, *said)
            return


def _tick(work: Work, part: Part, words: str, *details: str) -> Tick:
    key = f"steps-test-{part.id}"
    port = _tested_at(work, part)
    picture = work.picture(lambda draw: draw.part(port, key)) if port else None
    if isinstance(part, WingPlug):
        picture = work.picture(lambda draw: draw.halves(part, key))
    return Tick(key, words, tuple(filter(None, details)), work.own_codes([part]), picture)


def _tested_at(work: Work, part: Part) -> Port | None:
    """Return the plug or socket of a part that a picture of it shows; none for a bare box."""
    ports = work.wiring.by_part[part.id]
    if isinstance(part, Receiver | Autopilot | Sequencer | Stabiliser):
        return next((port for port in ports if port.is_plug and port.form is Form.THREE_PIN), None)
    if isinstance(part, Pack):
        return next((port for port in ports if port.name == "main"), None)
    return next((port for port in ports if port.is_plug), ports[0] if ports else None)


Words = tuple[str, ...]
"""What is done, then further lines; nothing where there is nothing to test."""


def _lead(work: Work, part: Lead) -> Words:
    code = work.code(work.wiring.ports[part.id, "plug"])
    name = f'{kind_of(part, work.wiring.ports[part.id, "plug"])} {code} ("{part.id}")'
    count = len(part.outlets)
    each = {1: "to its socket", 2: "to both sockets"}.get(count, f"to all {count} sockets")
    known = "the plan says it was tested" if part.tested else "then write `tested: yes` in the plan"
    turn = ("a servo on it turns the other way",) if part.kind == "reverser" else ()
    return (f"Meter {name}: each wire from its plug {each}, and none to another wire", known, *turn)


def _wing_plug(_: Work, part: WingPlug) -> Words:
    rows = []
    for name, circuit in part.circuits.items():
        pins = [(word, getattr(circuit, word)) for word in ("signal", "positive", "negative")]
        rows.append(f"{name}: {', '.join(f'{word} {pin}' for word, pin in pins if pin)}")
    return f"Meter {part.named()} against its pin table, both halves together", *rows


def _power_lead(work: Work, part: PowerLead) -> Words:
    if part.kind in {"jumper", "arming"}:
        return f"Meter {part.named()}: it bridges both contacts, and nothing else touches them", ""
    if part.kind == "series":
        return f"Meter {part.named()}: red of each end to black of the next, no other bridge", ""
    crossed = " (its poles are crossed on purpose)" if part.crossed else ""
    return f"Meter {part.named()}: red to red, black to black, no bridge between{crossed}", ""


def _supply(work: Work, part: Esc | Regulator) -> Words:
    bec = bec_of(part)
    if bec is None:
        return ()
    off = work.rule("metered", "allowance").number
    ends = (format_quantity(bec.volts * (1 + way * off), VOLTAGE) for way in (-1, 1))
    seen = format_quantity(bec.metered, VOLTAGE) if bec.metered is not None else ""
    known = f"the plan says {seen} was metered" if seen else "then write `metered: ... V`"
    name = f"the BEC of {part.named()}" if isinstance(bec, Bec) else part.named()
    return (
        f"Meter {name} before anything is plugged into it: {format_quantity(bec.volts, VOLTAGE)}",
        f"{' to '.join(ends)} will do ({work.rule('metered', 'allowance').origin})", known,
        *(("propeller off, motor unplugged",) if isinstance(part, Esc) else ()),
    )  # fmt: skip


def _servo(_: Work, part: Servo) -> Words:
    return f"Centre {part.named()} on a tester, then move it to both ends: no hum, no jerk", ""


def _leg(work: Work, part: Retract) -> Words:
    travel = travel_of(work.plan, part)
    each = format_quantity(travel.number, TIME) if travel else ""
    time = f"about {each} each way ({travel.origin})" if travel else ""
    own = "it stops at both ends by itself" if part.kind == "self-contained" else ""
    return f"Cycle {part.named()}: down, up and down again", own, time


def _sequencer(_: Work, part: Sequencer) -> Words:
    state = {"holds": "it moves nothing when the supply comes on", "": ""}
    said = state.get(part.power_up, f"when the supply comes on: {part.power_up}")
    return f"Run {part.named()} through both ways, each outlet with a servo on it", said


def _receiver(work: Work, part: Receiver) -> Words:
    channels = work.plan.channels.items()
    said = [f"{n} {c.function}: {c.failsafe or 'not in the plan yet'}" for n, c in channels]
    rows = (f"failsafe: {'; '.join(said)}",) if said else ()
    return f"Bind {part.named()} to its transmitter and set the failsafe", *rows


def _pack(work: Work, part: Pack) -> Words:
    return f"Meter each of the {part.cells} cells of {part.named()}: all alike", "nothing swollen"


def _other(_: Work, part: Part) -> Words:
    return f"Try {part.named()} on a supply of its own", ""


def _in_line(_: Work, part: Part) -> Words:
    return f"Meter {part.named()}: it passes current as it should, and only so", ""


_TESTS: tuple[tuple[tuple[type[Part], ...], Callable[..., Words]], ...] = (
    ((Lead,), _lead),
    ((WingPlug,), _wing_plug),
    ((PowerLead,), _power_lead),
    ((Esc, Regulator), _supply),
    ((Servo,), _servo),
    ((Retract,), _leg),
    ((Sequencer,), _sequencer),
    ((Receiver,), _receiver),
    ((Pack,), _pack),
    ((Switch, Diode, Fuse), _in_line),
    ((Autopilot, Stabiliser, Sensor, Load), _other),
)


def _of_servos(work: Work) -> str:
    low, mid, high = (work.rule("pulse", key) for key in ("low", "centre", "high"))
    return (
        f"Centre {mid.number:g} us, ends {low.number:g} and {high.number:g} us ({mid.origin}). "
        "The arms stay off."
    )


def _nothing(_: Work) -> str:
    return ""


GROUPS: Mapping[str, tuple[tuple[type[Part], ...], Callable[[Work], str]]] = {
    "On the bench: leads": (
        (Lead, WingPlug, PowerLead, Switch, Diode, Fuse),
        lambda _: "Before anything goes into the airframe. A wrong Y-lead is common even new.",
    ),
    "On the bench: supplies": ((Pack, Esc, Regulator), _nothing),
    "On the bench: servos and legs": ((Servo, Retract), _of_servos),
    "On the bench: radio and boxes": (
        (Receiver, Autopilot, Sequencer, Stabiliser, Sensor, Load), _nothing,
    ),
}  # fmt: skip
"""What is tested together, and what is said first."""


def label_entries(work: Work) -> Iterator[Entry]:
    """Yield the labels to put on, a tick for the leads of each place."""
    labels = list(labels_for(work.wiring))
    by_place: dict[str, list[int]] = {}
    rows = []
    for number, lead in enumerate(work.facts.leads):
        rows.append((lead, [labels.pop(0) for _ in lead.ends]))
        by_place.setdefault(work.access.home(lead.part), []).append(number)
    for place in sorted(by_place, key=natural):
        numbers = by_place[place]
        for start in range(0, len(numbers), MOST_LABELS):
            some = [rows[n] for n in numbers[start : start + MOST_LABELS]]
            key = f"steps-label-{place}-{start // MOST_LABELS + 1}"
            codes = tuple(work.facts.codes[lead.key] for lead, _ in some)
            words = f"Label both ends of {_count(len(some))}{in_place(place)}"
            tick = Tick(key, words, (), codes, _labelled(work, some, key))
            yield Entry("label", place, "Label both ends of every lead", tick)


def _labelled(
    work: Work, rows: Sequence[tuple[OwnLead, Sequence[Label]]], key: str
) -> Scene | None:
    return work.picture(lambda draw: draw.labels(rows, key))


def _count(number: int) -> str:
    return "one lead" if number == 1 else f"{number} leads"
