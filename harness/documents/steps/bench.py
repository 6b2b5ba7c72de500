"""The first steps: test every part on the bench, and label both ends of every lead."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from harness.documents.labels.label import Label
from harness.documents.plan_labels import labels_for
from harness.documents.steps.work import StepEntry, Work, in_place
from harness.drawing.scene import Scene
from harness.facts.motion import turning_of
from harness.paper.blocks import Say, Tick
from harness.parts.contacts import Form, Port
from harness.parts.part import BenchFacts, Part
from harness.wiring.codes import natural
from harness.wiring.leads import PhysicalLead
from harness.wiring.ratings import motors_on

MOST_LABELS = 10
"""Leads whose labels one picture shows."""


def bench_entries(work: Work) -> Iterator[StepEntry]:
    """Yield a tick for each part to test, by kind and then by name."""
    for heading, (group, told) in GROUPS.items():
        say = (Say(told(work)),) if told(work) else ()
        parts = [part for part in work.plan.parts.values() if part.tested_with == group]
        for part in sorted(parts, key=lambda part: natural(part.id)):
            if said := part.try_out(_facts(work, part)):
                tick = _tick(work, part, *said)
                yield StepEntry("test", work.access.home(part), heading, tick, say)


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
    return (
        f"Centre {mid.number:g} us, ends {low.number:g} and {high.number:g} us ({mid.origin}). "
        "The arms stay off."
    )


def _nothing(_: Work) -> str:
    return ""


GROUPS: Mapping[str, tuple[str, Callable[[Work], str]]] = {
    "On the bench: leads": (
        "leads",
        lambda _: "Before anything goes into the airframe. A wrong Y-lead is common even new.",
    ),
    "On the bench: supplies": ("supplies", _nothing),
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
            yield StepEntry("label", place, "Label both ends of every lead", tick)


def _labelled(
    work: Work, rows: Sequence[tuple[PhysicalLead, Sequence[Label]]], key: str
) -> Scene | None:
    return work.picture(lambda draw: draw.labels(rows, key))


def _count(number: int) -> str:
    return "one lead" if number == 1 else f"{number} leads"
