"""What the steps are made from: order, access, pictures, codes; and how they name things."""

from __future__ import annotations

import re
from collections.abc import Callable, Container, Iterable, Iterator, Sequence
from functools import cached_property
from itertools import groupby

from harness.airframe.access import Access
from harness.airframe.stages import plug_task
from harness.airframe.steps import WorkOrder, order_of
from harness.base.data import dataclass, replace
from harness.base.near import masked, told_once
from harness.documents.steps.pictures import Pictures
from harness.drawing.scene import Scene
from harness.facts.of_leads import Facts, facts_of
from harness.paper.blocks import Block, Heading, Say, Tick, Ticks
from harness.parts.contacts import Form, Port
from harness.parts.figure import Figure, rule_figure
from harness.parts.part import Part
from harness.rules.run import Report
from harness.wiring.build import Mate
from harness.wiring.codes import natural
from harness.wiring.leads import PhysicalLead

FEW = 4
"""Label codes that stand behind the words of a step; more are framed below them."""


@dataclass(frozen=True, slots=True)
class StepEntry:
    """One tick with the heading it stands under, and what is said first under that heading.

    `stage` is a word for machines, `plug` the plug it makes as part.port, if it makes one.
    """

    stage: str
    heading: str
    tick: Tick
    place: str = ""
    plug: str = ""
    says: tuple[Say, ...] = ()


class Work:
    """The order of work of one report, with all that its steps show.

    `drawn`: whether the small pictures are wanted; they take most of the time of a large plan.
    """

    def __init__(self, report: Report, *, drawn: bool = True) -> None:
        self.drawn = drawn
        self.report, self.plan, self.wiring = report, report.plan, report.wiring
        self.access = Access(report.wiring)
        self.by_name = {plug_task(mate).name: mate for mate in self.access.mates}

    @cached_property
    def order(self) -> WorkOrder:
        """The order of work."""
        return order_of(self.access)

    @cached_property
    def _pictures(self) -> Pictures:
        return Pictures(self.report)

    def picture(self, draw: Callable[[Pictures], Scene]) -> Scene | None:
        """Return one small picture, where they are wanted."""
        return draw(self._pictures) if self.drawn else None

    @property
    def facts(self) -> Facts:
        """Leads and codes."""
        return facts_of(self.wiring)

    @cached_property
    def arming(self) -> list[Mate]:
        """The last plug of each lead with an arming plug, in the order of their names."""
        found = {mate.plug.part.id: mate for mate in self.access.mates if mate.plug.part.arms}
        return [found[name] for name in sorted(found, key=natural)]

    def rule(self, row: str, key: str) -> Figure:
        """Return a threshold of the catalogue."""
        return rule_figure(self.plan.catalogue, row, key)

    def code(self, port: Port) -> str:
        """Return the label code of the lead a port sits on, "" for a socket of a box."""
        return self.facts.code_at(port)

    def codes(self, mates: Iterable[Mate]) -> tuple[str, ...]:
        """Return the codes of plugs and of the leads they go into, each once."""
        ports = [port for mate in mates for port in (mate.plug, mate.socket) if port is not None]
        return tuple(dict.fromkeys(code for port in ports if (code := self.code(port))))

    def own_codes(self, parts: Iterable[Part]) -> tuple[str, ...]:
        """Return the codes of the leads that parts have of their own."""
        ids = {part.id for part in parts}
        found = (lead for name in ids for lead in self._own_leads.get(name, ()))
        order = sorted(found, key=lambda lead: lead[0])
        return tuple(self.facts.codes[lead.key] for _, lead in order)

    @cached_property
    def _own_leads(self) -> dict[str, list[tuple[int, PhysicalLead]]]:
        """The leads of each part, each with its place among all."""
        found: dict[str, list[tuple[int, PhysicalLead]]] = {}
        for number, lead in enumerate(self.facts.leads):
            found.setdefault(lead.part.id, []).append((number, lead))
        return found

    def into(self, socket: Port) -> str:
        """Name a socket: socket 1 of receiver "rx" (aileron), socket 2 of lead "flap-y"."""
        part, code = socket.part, self.code(socket)
        many = [p for p in self.wiring.by_part[part.id] if not p.is_plug and p.form is socket.form]
        own = part.named() + (f" ({code})" if code else "")
        if part.circuits:
            return f"{socket.name} of {own}"
        if socket.form is Form.BALANCE:
            return f"the balance socket of {own}"
        if len(many) < 2 and (part.is_lead or socket.form is not Form.THREE_PIN):
            return own
        return f"socket {socket.name} of {own}{self._function(socket)}"

    def _function(self, socket: Port) -> str:
        gives = self.plan.gives(socket) if socket.part.is_radio else ""
        return f", {gives}" if gives else ""

    def plug(self, mate: Mate) -> str:
        """Say which plug goes where."""
        assert mate.socket is not None
        code, part = self.code(mate.plug), mate.plug.part.named()
        if mate.plug.form is Form.MOTOR:
            return f"Join the three wires {code} of {part} to {mate.socket.part.named()}"
        return f"Plug {code} ({part}) into {self.into(mate.socket)}"

    def is_joint(self, mate: Mate) -> bool:
        """Say whether a plug makes an in-line joint that can pull apart."""
        return mate.socket is not None and mate.socket.part.carries_signal


def in_place(place: str) -> str:
    """Say where: " in wing-left", nothing where there are no places."""
    return f" in {place}" if place else ""


def listed(entries: Iterable[StepEntry], start: int = 1) -> Iterator[Block]:
    """Yield headings, what is said under them for the first time, and the ticks in order."""
    group: list[StepEntry] = []
    said: dict[Say, None] = {}
    for entry in (*entries, None):
        if group and (entry is None or entry.heading != group[0].heading):
            yield Heading(group[0].heading)
            new = dict.fromkeys(say for one in group for say in one.says if say not in said)
            said |= new
            yield from new
            yield Ticks(tuple(one.tick for one in group), start)
            start += len(group)
            group = []
        group += [entry] if entry is not None else []


def alike_once(entries: Iterable[StepEntry], names: Container[str]) -> Iterator[StepEntry]:
    """Yield the steps, those of a heading that are alike but for their names as one; no plug.

    Without pictures, origins of figures, and cautions, which stand on the first page.
    """
    for _, group in groupby(entries, lambda entry: entry.heading):
        found: dict[object, list[StepEntry]] = {}
        for number, entry in enumerate(group):
            tick = entry.tick
            more = tuple(masked(text, names) for text in without_origins(tick.details))
            # Other than tests, what lies between them has its place.
            at = 0 if entry.stage == "test" else number - len(found)
            found.setdefault((masked(tick.text, names), more, entry.plug, at), []).append(entry)
        yield from (_as_one(same, names) for same in found.values())


def _as_one(same: Sequence[StepEntry], names: Container[str]) -> StepEntry:
    ticks = [entry.tick for entry in same]
    text = told_once([tick.text for tick in ticks], names)
    lines = zip(*(without_origins(tick.details) for tick in ticks), strict=True)
    details = "; ".join(told_once(line, names) for line in lines)
    codes = tuple(dict.fromkeys(code for tick in ticks for code in tick.codes))
    told = set(re.findall(r"[\w.-]*\w", text)).issuperset(codes)
    if not told and len(codes) <= FEW:
        text, told = f"{text} [{', '.join(codes)}]", True
    tick = replace(
        ticks[0],
        text=text,
        details=(details,) * bool(details),
        codes=() if told else codes,
        picture=None,
    )
    says = (say for entry in same for say in entry.says if say.tone != "caution")
    return replace(same[0], tick=tick, says=tuple(dict.fromkeys(says)))


ORIGIN = re.compile(r" \([^()]*(?:catalogue|plan line)[^()]*\)")


def without_origins(details: Iterable[str]) -> Iterator[str]:
    """Yield details without the brackets that say where their figures come from."""
    for detail in details:
        if not detail.startswith("catalogue "):
            yield ORIGIN.sub("", detail)
