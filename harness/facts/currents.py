"""The solved currents, against what wires and contacts bear, and the words and sums for them."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from harness.base.data import dataclass, replace
from harness.base.finding import Numbers
from harness.base.near import spoken
from harness.base.units import CURRENT, WireSize, format_quantity
from harness.electrics.flow import Flow
from harness.electrics.ohms import Assumed
from harness.facts.fed import put_right
from harness.facts.mend_first import mend_first
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import Form, Port
from harness.parts.diode import Diode
from harness.parts.figure import Draw, Figure, from_catalogue, rule_figure
from harness.parts.part import Part
from harness.parts.receiver import Receiver
from harness.parts.switch import Switch
from harness.plan.plan import Plan
from harness.wiring.build import Mate, PortId, Wiring
from harness.wiring.fact import fact
from harness.wiring.ratings import THREE_PIN, mating, wire_figure

if TYPE_CHECKING:
    from harness.electrics.flows import Flows
    from harness.wiring.build import Wiring


@fact
def currents(wiring: Wiring) -> Flows:
    """Return the solved currents of the wiring, none where something must be mended first.

    What could not be plugged as the plan says is put right: its own rule reports it.
    """
    from harness.electrics.flows import Flows, flows_of

    told = put_right(wiring)
    return Flows(told, withheld=True) if mend_first(wiring) else flows_of(told)


@fact
def told_currents(wiring: Wiring) -> Flows:
    """Return the currents that documents tell: with BECs held to what they give.

    Rules judge by `currents`, what is asked; both are one where no BEC is asked for more.
    """
    from harness.electrics.flows import Flows, held

    asked = currents(wiring)
    if asked.shorted or (real := held(asked.wiring)) is asked.outcome:
        return asked
    return Flows(asked.wiring, solved=real)


def assumed_on(wiring: Wiring, links: Iterable[int]) -> list[Assumed]:
    """Return what was assumed of some links, by number, that a key of the plan could state."""
    ohms, parts = currents(wiring).outcome.net.ohms, wiring.plan.parts
    found = {one for number in links if number in ohms for one in ohms[number].assumed}
    keyed = [one for one in found if parts[one.part].has_key(one.key)]
    return sorted(keyed, key=lambda one: (one.part, one.key))


ALIKE = 1e-4
"""A; currents that differ by less are one and the same: far above what the solver leaves open."""

TOLD = 5e-4
"""A; what adds less to a current is not named."""


def over(load: float, limit: float) -> bool:
    """Say whether a load is above a limit; equal is not, whatever the last digits say."""
    return load > limit * (1 + 1e-6)


def amps(number: float) -> str:
    """Write a current for people."""
    return format_quantity(round(number, 6), CURRENT)


def apart(one: float, other: float) -> tuple[str, str]:
    """Write two currents with as many figures as it takes to tell them apart."""
    for digits in range(3, 8):
        words = [format_quantity(round(number, 6), CURRENT, digits) for number in (one, other)]
        if words[0] != words[1]:
            break
    return words[0], words[1]


def sold(wiring: Wiring, need: float) -> str:
    """Say what to buy for a current: with some to spare, in whole amperes, above 10 A in fives."""
    want = need * (1 + rule_figure(wiring.plan.catalogue, "sizing", "spare").number)
    step = 1 if want <= 10 else 5
    return amps(math.ceil(want / step - 1e-9) * step)


def passing(flow: Flow) -> str:
    """Say a flow: 60 A continuously, and what comes on top of it at once when people can tell."""
    steady, burst = amps(flow.steady), amps(flow.burst)
    peak = f" and {burst} at once{when(flow.burst_case)}"
    return f"{steady} continuously" + ("" if steady == burst else peak)


def when(case: str) -> str:
    """Say in which operating case something is so."""
    return f" (in {case})" if case else ""


def number(label: str, figure: Figure) -> tuple[str, str]:
    """Return one line of a finding's figures: the amperes and their origin."""
    return (label, f"{amps(figure.number)}, {figure.origin}")


def kind_of(part: Part) -> str:
    """Return what a sum calls parts of one kind: the class, or the trade's word."""
    own = getattr(part, "class_", "")
    return part.word if own in {"", part.word} else f"{own} {part.word}"


def by_kind(amounts: dict[Draw, float]) -> list[tuple[str, int, float, str]]:
    """Add amounts up by kind of part and origin: (kind, how many parts, A, origin)."""
    sums: dict[tuple[str, str], float] = defaultdict(float)
    parts: dict[tuple[str, str], set[str]] = defaultdict(set)
    for draw, amount in amounts.items():
        sums[kind_of(draw.part), draw.origin] += amount
        parts[kind_of(draw.part), draw.origin].add(draw.part.id)
    rows = [(kind, len(parts[kind, o]), total, o) for (kind, o), total in sums.items()]
    return sorted(rows, key=lambda row: (-round(row[2], 6), row[0], row[3]))


def told(amounts: dict[Draw, float]) -> str:
    """Say a sum by kind: six 9g-analogue servos 4.8 A, receiver 100 mA; what flows back, last."""
    total, parts = defaultdict[str, float](float), defaultdict[str, set[str]](set)
    for draw, amount in amounts.items():
        total[kind_of(draw.part)] += amount
        parts[kind_of(draw.part)].add(draw.part.id)
    words: dict[bool, list[str]] = {False: [], True: []}
    for kind, amount in sorted(total.items(), key=lambda row: (-round(row[1], 6), row[0])):
        count = len(parts[kind])
        if abs(amount) > TOLD:
            one = f"{count} {kind}s" if count > 1 else kind
            words[amount < 0].append(f"{one} {amps(abs(amount))}")
    less = f", less what flows back: {spoken(words[True])}" if words[True] else ""
    return f"{spoken(words[False])}{less}"


def numbers_of(amounts: dict[Draw, float]) -> Numbers:
    """Return the same sum as figures, each with its origin."""
    rows = by_kind(amounts)
    return tuple(
        (f"{kind} x {count}" if count > 1 else kind, f"{amps(a)}, {origin}")
        for kind, count, a, origin in rows
        if a > TOLD
    )


def alike(one: Flow, other: Flow) -> bool:
    """Say whether two things in one run carry the very same current: as much, for the same parts.

    How much is compared first, for whose it is takes longer to find out.
    """
    near = abs(one.steady - other.steady) < ALIKE and abs(one.burst - other.burst) < ALIKE
    return near and one.parts == other.parts


def case_numbers(wiring: Wiring, *names: str) -> Numbers:
    """Return what goes on in the operating cases that a finding's currents belong to."""
    told = [name for name in dict.fromkeys(names) if name]
    return tuple((f"in {name}", currents(wiring).case(name).about) for name in told)


def steady_numbers(wiring: Wiring, flow: Flow) -> Numbers:
    """Return the figures of what lasts: its sum by kind, and its case."""
    return (*numbers_of(flow.steadies), *case_numbers(wiring, flow.steady_case))


def peak_numbers(wiring: Wiring, flow: Flow) -> Numbers:
    """Return the figures of what comes at once: its sum by kind, and its case."""
    return (*numbers_of(flow.peaks), *case_numbers(wiring, flow.burst_case))


@dataclass(frozen=True)
class Bears:
    """What a thing bears, in A: the cautious figures, and what the charts allow at most."""

    steady: Figure
    burst: Figure
    steady_chart: Figure
    burst_chart: Figure

    def exceeded(self, flow: Flow) -> bool:
        """Say whether a flow is above a cautious figure."""
        return over(flow.steady, self.steady.number) or over(flow.burst, self.burst.number)

    def beyond_charts(self, flow: Flow) -> bool:
        """Say whether a flow is above what any chart allows."""
        steady, burst = self.steady_chart.number, self.burst_chart.number
        return over(flow.steady, steady) or over(flow.burst, burst)

    def numbers(self) -> Numbers:
        """Return the figures with their origins."""
        return (
            number("bears continuously, cautious", self.steady),
            number("bears continuously, charts", self.steady_chart),
            number("bears for seconds, cautious", self.burst),
            number("bears for seconds, charts", self.burst_chart),
        )


def thinned(bears: Bears, factor: Figure) -> Bears:
    """Return what a wire bears in a bundle or in thin air: less, as long as it lasts."""
    steady, chart = (
        Figure(f.number * factor.number, f.origin) for f in (bears.steady, bears.steady_chart)
    )
    return replace(bears, steady=steady, steady_chart=chart)


def plug_bears(plan: Plan, connector: str) -> Bears | None:
    """Return what a connector class bears. Without a chart's figure the burst bounds both."""
    steady = from_catalogue(plan.catalogue, "plugs", connector, "continuous")
    burst = from_catalogue(plan.catalogue, "plugs", connector, "burst")
    if steady is None or burst is None:
        return None
    chart = from_catalogue(plan.catalogue, "plugs", connector, "continuous-chart")
    burst_chart = from_catalogue(plan.catalogue, "plugs", connector, "burst-chart")
    return Bears(steady, burst, chart or burst, burst_chart or burst)


def plugs_for(plan: Plan, flow: Flow, size: WireSize | None, form: Form) -> list[str]:
    """Return the plain classes that bear a flow and take a wire: of a motor bullets and threes.

    A better contact lets a little more through: 5 % are kept for it.
    """
    fit = {"1", "3"} if form is Form.MOTOR else {"1", "2"}
    keys = ("contacts", "wire-max", "keyed")
    found, flow = [], replace(flow, steady=flow.steady * 1.05, burst=flow.burst * 1.05)
    for row in plan.catalogue.rows("plugs"):
        bears = plug_bears(plan, row)
        poles, most, keyed = (plan.catalogue.value("plugs", row, key) for key in keys)
        two = poles is not None and poles.text in fit and mating(plan, row) == row
        if form is Form.MOTOR and poles and poles.text == "1":
            two = two and keyed is not None and keyed.text == "no"
        takes = size is None or most is None or (most.number or 0) >= size.area_mm2 * (1 - 1e-9)
        if bears is not None and two and takes and not bears.exceeded(flow):
            found.append(row)
    return found


def wire_bears(plan: Plan, size: WireSize, battery: bool) -> Bears | None:
    """Return what a wire bears; battery wire has silicone insulation where the table knows it."""
    steady, chart, burst = (
        wire_figure(plan, size, key, battery=battery)
        for key in ("continuous", "continuous-chart", "burst")
    )
    if steady is None or chart is None or burst is None:
        return None
    return Bears(steady, burst, chart, burst)


def stated_wire(port: Port) -> str:
    """Return the key by which the plan states the gauge of a port's wire, or "": the maker chose.

    The lead a maker fitted is the maker's affair.
    """
    keys = ("lead-wire", "wire") if port.form is Form.THREE_PIN else ("wire",)
    return next((word for word in keys if word in port.part.spans), "")


def derated(plan: Plan, part: Part) -> Figure:
    """Return the share of its figure that a wire bears for good in its bundle, at its altitude."""
    from harness.electrics.derating import derating

    return derating(plan, part)


@fact
def beyond_rating(wiring: Wiring) -> tuple[tuple[Part, Flow, Figure], ...]:
    """Return the switches and diodes through which flows more for good than they are rated for."""
    found = []
    for part in (*wiring.plan.of(Switch), *wiring.plan.of(Diode)):
        flow = currents(wiring).port(part.id, "plug")
        rated = part.known(wiring.plan.catalogue, "rated", "continuous")
        if rated is not None and over(flow.steady, rated.number):
            found.append((part, flow, rated))
    return tuple(found)


@dataclass(frozen=True)
class Joint:
    """One mated 3-pin pair and its current. `rail` is the part it feeds when it is a supply."""

    mate: Mate
    flow: Flow
    rail: str = ""

    @property
    def id(self) -> PortId:
        """The plug's id."""
        return self.mate.plug.id


def contact_bears(wiring: Wiring) -> Bears:
    """Return what one contact of a 3-pin plug bears."""
    found = plug_bears(wiring.plan, THREE_PIN)
    assert found is not None
    return found


def _is_joint(mate: Mate) -> bool:
    forms = (mate.plug.forms, mate.socket.forms if mate.socket else ())
    return mate.fits and mate.first and all(Form.THREE_PIN in pair for pair in forms)


def is_supply(wiring: Wiring, mate: Mate) -> bool:
    """Say whether current comes in through a mate: into the part that has the socket."""
    socket = mate.socket
    return socket is not None and currents(wiring).inward(*socket.id)


@fact
def joints(wiring: Wiring) -> tuple[Joint, ...]:
    """Return every 3-pin joint with its flow, supplies with the rail they end on."""
    found = []
    for mate in wiring.mates:
        if not _is_joint(mate):
            continue
        last = wiring.upstream(*mate.plug.id)[-1].socket
        rail = last.part.id if last is not None and is_supply(wiring, mate) else ""
        found.append(Joint(mate, currents(wiring).port(*mate.plug.id), rail))
    return tuple(found)


@fact
def overloaded(wiring: Wiring) -> tuple[Joint, ...]:
    """Return the joints above what a contact bears.

    A lead that serves one device alone is left to that device's maker, who chose the plug.
    """
    bears = contact_bears(wiring)
    return tuple(j for j in joints(wiring) if bears.exceeded(j.flow) and len(j.flow.parts) > 1)


def supplies(wiring: Wiring, rail: str) -> list[Joint]:
    """Return the joints at a rail's own sockets through which it is fed."""
    return [
        joint
        for joint in joints(wiring)
        if joint.rail == rail and joint.mate.socket and joint.mate.socket.part.id == rail
    ]


@fact
def single_supplies(wiring: Wiring) -> tuple[Joint, ...]:
    """Return the overloaded joints that are the only supply of a receiver or autopilot."""
    heavy = {joint.id for joint in overloaded(wiring)}
    found = []
    for part in (*wiring.plan.of(Receiver), *wiring.plan.of(Autopilot)):
        ways = supplies(wiring, part.id)
        found += [joint for joint in ways if len(ways) == 1 and joint.id in heavy]
    return tuple(found)


def worst_of_runs(wiring: Wiring) -> Iterator[Joint]:
    """Yield the overloaded joint nearest the device of each run; one for all supplies of a rail.

    What a joint nearer the device carries includes what the ones before it carry.
    """
    heavy = {joint.id: joint for joint in overloaded(wiring)}
    fed: dict[str, list[Joint]] = {}
    for joint in heavy.values():
        nearer = wiring.upstream(*joint.id)[1:]
        if joint.rail:
            fed.setdefault(joint.rail, []).append(joint)
        elif not any(mate.plug.id in heavy for mate in nearer):
            yield joint
    for ways in fed.values():
        yield max(ways, key=lambda j: (round(j.flow.burst, 6), j.mate.span))
