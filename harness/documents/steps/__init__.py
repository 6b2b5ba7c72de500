"""The order of work as a document: steps to tick, each with its labels and a small picture.

The first of them are here: test every part on the bench, and label both ends of every lead.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import chain, groupby

from harness.airframe.access import FOR_GOOD
from harness.airframe.steps import field_work, is_live
from harness.base.data import replace
from harness.base.finding import Finding
from harness.base.near import numbers, spoken
from harness.bench.build import protocol_of
from harness.documents.cautions import CAUTIONS, faults_first, faults_text
from harness.documents.index import title_of
from harness.documents.labels.label import Label
from harness.documents.plan_labels import labels_for, reached
from harness.documents.steps.building import building_entries
from harness.documents.steps.field import field_entries, nothing_comes_off
from harness.documents.steps.work import StepEntry, Work, alike_once, in_place, listed
from harness.drawing.scene import Scene
from harness.facts.motion import turning_of
from harness.paper.blocks import Block, Chapter, Paper, Points, Say, Tick
from harness.paper.records import as_json
from harness.paper.sheet import Cell, noted
from harness.parts.contacts import Form, Port
from harness.parts.part import BenchFacts, Part
from harness.parts.servo import Servo
from harness.rules.run import Report
from harness.wiring.codes import natural
from harness.wiring.leads import PhysicalLead
from harness.wiring.ratings import motors_on

RULE = "impossible-order"


def steps_chapter(report: Report, *, drawn: bool = True, brief: bool = False) -> Chapter:
    """Return the order of work of a checked plan, from the bench to the first flight.

    `brief`: steps that are alike but for their names as one, and without pictures.
    """
    work = Work(report, drawn=drawn and not brief)
    entries = step_entries(work)
    told = list(_once(work, by_number(work, entries))) if brief else entries
    blocks = (*faults_first(report), *_points(work, told), *_warned(work), *listed(told))
    return Chapter("steps", title_of("steps"), blocks)


def _once(work: Work, entries: Iterable[StepEntry]) -> Iterator[StepEntry]:
    return alike_once(entries, {*work.plan.parts, *work.facts.codes.values()})


IN_PROTOCOL: Mapping[str, tuple[str, ...]] = {
    "try-rail": ("rest-amps", "rail-rest", "logic-rest"), "try-failsafe": ("failsafe",),
    "try-directions": ("direction", "mix", "gyro", "no-hum"), "try-fuse": ("fuse-out",),
    "try-gear": ("gear-power-up", "gear-time", "rail-gear"),
    "try-stir": ("rail-stirred", "logic-stirred"),
    "try-escs": ("esc-calibrated",), "try-motors": ("rotation",),
    "try-motor-off": ("transmitter-off",), "flight-warm": ("joints-cool",),
    "flight-throttle": ("part-throttle-amps", "part-throttle-volts", "full-throttle-amps",
                        "full-throttle-volts", "full-throttle-total"),
    "flight-balance": ("centre-of-gravity",), "flight-range": ("range", "range-mode-off"),
}  # fmt: skip
"""By the key of a step the kinds of tests of the protocol that are the same work."""
OF_PART = ("lead", "bec-volts", "red-pin-out")
OF_EVERY = ("try-failsafe", "try-directions", "try-gear", "try-motors", "flight-throttle")
"""What is tried of every part, also of one that lacks the fact for a test of its own."""


def by_number(work: Work, entries: Iterable[StepEntry]) -> Iterator[StepEntry]:
    """Yield the steps, those that are tests of the protocol as their numbers there."""
    protocol = protocol_of(work.wiring)
    tests, unknown = list(protocol.tests), bool(protocol.unknown)

    def same(entry: StepEntry) -> list[int]:
        key = entry.tick.key.removeprefix("steps-")
        part = key.removeprefix("test-")
        kinds = () if unknown and key in OF_EVERY else IN_PROTOCOL.get(key, ())
        names = {f"{kind}.{part}" for kind in OF_PART} if entry.stage == "test" else ()
        return [n for n, t in enumerate(tests, 1) if t in names or t.partition(".")[0] in kinds]

    for _, group in groupby(entries, lambda entry: entry.heading):
        some = list(group)
        if some[0].stage == "test":  # in any order
            some.sort(key=lambda entry: not same(entry))
        for there, run in groupby(some, lambda entry: bool(same(entry))):
            first, *others = run
            if there:
                found = sorted({n for entry in (first, *others) for n in same(entry)})
                words = f"Bench protocol, test{'s' * (len(found) > 1)} {numbers(found)}"
                first, others = replace(first, tick=Tick(first.tick.key, words), says=()), []
            yield from (first, *others)


def field_chapter(report: Report, *, drawn: bool = True, brief: bool = False) -> Chapter:
    """Return what is done again at the field each time the wings have been off."""
    work = Work(report, drawn=drawn and not brief)
    said = nothing_comes_off(field_work(work.order))
    said_first = (*faults_first(report), *([said] if said else []))
    entries = allowed(work, field_entries(work))
    told = _once(work, entries) if brief else entries
    blocks = (*said_first, *_warned(work), *listed(told))
    return Chapter("field", title_of("field"), blocks)


def steps_paper(report: Report, *, field: bool = False, drawn: bool = True) -> Paper:
    """Return the order of work, or the list for the field; `drawn`: with its small pictures."""
    plan = report.plan
    chapter = (field_chapter if field else steps_chapter)(report, drawn=drawn)
    about = "what is done again each time it is put together" if field else "from bench to flight"
    return Paper(
        f"{chapter.title}: {plan.aircraft}",
        about,
        plan.revision,
        (chapter,),
        CAUTIONS[-2:] if field else (),
    )


def step_entries(work: Work) -> list[StepEntry]:
    """Return all steps in their order."""
    every = chain(bench_entries(work), label_entries(work), building_entries(work))
    return list(allowed(work, every))


POWERED = {"power-up", "try", "flight", "directions", "daily"}
"""The stages in which something is connected."""


def allowed(work: Work, entries: Iterable[StepEntry]) -> Iterator[StepEntry]:
    """Yield the steps, none that connects a pack or needs one while something must be mended."""
    for entry in entries:
        live = entry.plug in work.by_name and is_live(work.by_name[entry.plug])
        if not work.report.first or not (live or entry.stage in POWERED):
            yield entry


def steps_json(report: Report, *, field: bool = False) -> str:
    """Return the order of work, or the list for the field, as one JSON document."""
    work = Work(report, drawn=False)
    entries = list(allowed(work, field_entries(work))) if field else step_entries(work)
    body = {
        "aircraft": report.plan.aircraft,
        "revision": report.plan.revision,
        "document": "field" if field else "steps",
        "mend_first": faults_text(report),
        "impossible": [f.message for f in _impossible(report)],
        "not_plugged": _faulty(work),
        "steps": [_record(number, entry) for number, entry in enumerate(entries, 1)],
    }
    return as_json(body)


def _record(number: int, entry: StepEntry) -> dict[str, object]:
    tick = entry.tick
    return {
        "number": number,
        "key": tick.key,
        "stage": entry.stage,
        "place": entry.place,
        "heading": entry.heading,
        "text": tick.text,
        "details": list(tick.details),
        "labels": list(tick.codes),
        "plug": entry.plug,
    }


def _points(work: Work, entries: Iterable[StepEntry]) -> Iterator[Block]:
    pool = list(entries)
    plugs = sum(bool(entry.plug) for entry in pool)
    pieces = [f"{len(pool)} steps, {plugs} of them plugs"]
    stuck = {task.name for ring in work.order.knots for task in ring.stuck}
    covers = (c for c in work.plan.covers.values() if c.kind == FOR_GOOD and c.id not in stuck)
    closed = sorted((cover.id for cover in covers), key=natural)
    if closed:
        pieces.append(f"closed for good on the way: {spoken(closed)}")
    cells = [Cell("; ".join(pieces) + ".")]
    if not work.plan.places:
        cells.append(
            Cell(
                "The plan has no places: with places, joints and covers the order says "
                "which plug must be made before what closes."
            )
        )
    yield Points(tuple(cells))


def _impossible(report: Report) -> list[Finding]:
    pool = (*report.findings, *(accepted.finding for accepted in report.accepted))
    return [finding for finding in pool if finding.rule == RULE]


def _warned(work: Work) -> Iterator[Block]:
    """Yield what cannot be done as planned."""
    for finding in _impossible(work.report):
        yield Say(f"{finding.message} (plan line {finding.span.line})", "danger")
    left_out = "Not in these steps, as the plan cannot be plugged so (harness check says why)"
    yield from noted(left_out, _faulty(work))


def _faulty(work: Work) -> list[str]:
    able = {mate.plug.id for mate in work.access.mates}
    left = (mate for mate in work.wiring.mates if mate.plug.id not in able)
    return [f"{mate.plug.part.named()} into {mate.join.into}" for mate in left]


UNPOWERED = {"leads", "movers"}
"""What is tested on the bench without any supply of the plan."""
MOST_LABELS = 10
"""Leads whose labels one picture shows."""


def bench_entries(work: Work) -> Iterator[StepEntry]:
    """Yield a tick for each part to test, by kind and then by name."""
    for heading, (group, told) in GROUPS.items():
        if work.report.first and group not in UNPOWERED:
            continue
        say = (Say(told(work)),) if told(work) else ()
        parts = [part for part in work.plan.parts.values() if part.tested_with == group]
        for part in sorted(parts, key=lambda part: natural(part.id)):
            if said := part.try_out(_facts(work, part)):
                tick = _tick(work, part, *said)
                yield StepEntry("test", heading, tick, work.access.home(part), says=say)


def _facts(work: Work, part: Part) -> BenchFacts:
    """Return what the test of a part goes by."""
    plug = work.wiring.ports.get((part.id, "plug"))
    channels = work.plan.channels.items()
    safe = [f"{n} {c.function}: {c.failsafe or 'not in the plan yet'}" for n, c in channels]
    dead = turning_of(motors_on(work.wiring, part)).dead
    code = work.code(plug) if plug else ""
    return BenchFacts(work.plan.catalogue, code, "; ".join(safe), dead)


def _tick(work: Work, part: Part, words: str, *details: str) -> Tick:
    key = f"steps-test-{part.id}"
    port = _tested_at(work, part)
    picture = work.picture(lambda draw: draw.part(port, key)) if port else None
    if part.circuits:
        picture = work.picture(lambda draw: draw.halves(part, key))
    return Tick(key, words, tuple(filter(None, details)), work.own_codes([part]), picture)


def _tested_at(work: Work, part: Part) -> Port | None:
    """Return the plug or socket of a part that a picture of it shows; none for a bare box."""
    ports = work.wiring.by_part[part.id]
    if part.has_channels or part.sequences or part.relays:
        return next((port for port in ports if port.is_plug and port.form is Form.THREE_PIN), None)
    if part.holds_cells:
        return next((port for port in ports if port.name == "main"), None)
    return next((port for port in ports if port.is_plug), ports[0] if ports else None)


def _of_servos(work: Work) -> str:
    low, mid, high = (work.rule("pulse", key) for key in ("low", "centre", "high"))
    made = all(servo.as_made for servo in work.plan.of(Servo))
    return (
        f"Centre {mid.number:g} us, ends {low.number:g} and {high.number:g} us ({mid.origin}). "
        f"{'They keep their arms.' if made else 'The arms stay off.'}"
    )


def _nothing(_: Work) -> str:
    return ""


GROUPS: Mapping[str, tuple[str, Callable[[Work], str]]] = {
    "On the bench: leads": (
        "leads",
        lambda _: "Before anything goes into the airframe. A wrong Y-lead is common even new.",
    ),
    "On the bench: supplies": ("supplies", _nothing),
    "On the bench: fans": ("fans", _nothing),
    "On the bench: servos and legs": ("movers", _of_servos),
    "On the bench: radio and boxes": ("boxes", _nothing),
}
"""What is tested together, and what is said first."""


def label_entries(work: Work) -> Iterator[StepEntry]:
    """Yield the labels to put on, a tick for the leads of each place."""
    labels = list(labels_for(work.wiring))
    by_place: dict[str, list[int]] = {}
    rows = []
    for number, lead in enumerate(work.facts.leads):
        rows.append((lead, [labels.pop(0) for _ in reached(lead)]))
        by_place.setdefault(work.access.home(lead.part), []).append(number)
    for place in sorted(by_place, key=natural):
        numbers = by_place[place]
        for start in range(0, len(numbers), MOST_LABELS):
            some = [rows[n] for n in numbers[start : start + MOST_LABELS]]
            key = f"steps-label-{place}-{start // MOST_LABELS + 1}"
            codes = tuple(work.facts.codes[lead.key] for lead, _ in some)
            many = "one lead" if len(some) == 1 else f"{len(some)} leads"
            whole = all(len(labels) == len(lead.ends) for lead, labels in some)
            ends = "both ends of" if whole else "every end you can reach of"
            words = f"Label {ends} {many}{in_place(place)}"
            tick = Tick(key, words, (), codes, _labelled(work, some, key))
            yield StepEntry("label", "Label both ends of every lead", tick, place)


def _labelled(
    work: Work, rows: Sequence[tuple[PhysicalLead, Sequence[Label]]], key: str
) -> Scene | None:
    return work.picture(lambda draw: draw.labels(rows, key))
