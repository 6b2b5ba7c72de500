"""Operating cases, the built-in ones and the plan's own: what every part does at one time.

A demand is what a part then asks of its supply, as a consumer of the network.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from harness.base.data import dataclass, field, replace
from harness.base.near import spoken
from harness.electrics.motors import NO_MOTOR, MotorLaw, draw_of, laws_of
from harness.electrics.moved_together import together_sets
from harness.parts.contacts import Contact
from harness.parts.esc import Esc
from harness.parts.figure import Draw, from_catalogue, rule_figure
from harness.parts.motor import Motor
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.parts.retract import Retract
from harness.parts.servo import Servo
from harness.plan import operation
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.gear import runs_backwards
from harness.wiring.ratings import motors_on, together

ONE_SIDED = 8
"""Most ESCs for which the case of that one alone at full throttle is looked at."""


@dataclass(frozen=True, slots=True)
class Activity:
    """What a servo or leg does: still, moving or stalled; `share` of it, 0 to 1."""

    state: str = "still"
    share: float = 1.0


STILL = Activity()


@dataclass(frozen=True, slots=True)
class OperatingCase:
    """What every part does at one time.

    `activity` by part id (still when not named); `throttle` of every motor from 0 to 1, and
    `throttles` by ESC where they differ; `off`: parts that draw nothing; `charge` of the packs
    from 0 to 1, and `charges` and `volts` at rest by pack where they differ; `temperature` of the
    air in degC. `lasting`: judged by what things carry continuously, else for seconds. `stiff`: the
    cells resist as little as good ones do, so that most flows. `losses`: the end of their span that
    the usual losses of motors are taken at (`LOSSES`).
    """

    name: str
    about: str = ""
    throttle: float = 0.0
    throttles: Mapping[str, float] = field(default_factory=dict)
    activity: Mapping[str, Activity] = field(default_factory=dict)
    off: frozenset[str] = frozenset()
    charge: float = 1.0
    charges: Mapping[str, float] = field(default_factory=dict)
    volts: Mapping[str, float] = field(default_factory=dict)
    temperature: float = 20.0
    lasting: bool = True
    stiff: bool = False
    losses: str = ""

    def doing(self, part: str) -> Activity:
        """Return what a part does."""
        return self.activity.get(part, STILL)

    def throttle_of(self, esc: str) -> float:
        """Return the throttle of one ESC."""
        return self.throttles.get(esc, self.throttle)


def movers(plan: Plan) -> list[Servo | Retract]:
    """Return the servos and legs of a plan, by id."""
    return sorted([*plan.of(Servo), *plan.of(Retract)], key=lambda part: part.id)


def meant(plan: Plan, names: Iterable[str]) -> list[str]:
    """Return the ids of the servos and legs that words mean: all, a group, a function, an id."""
    wanted = set(names)
    return [part.id for part in movers(plan) if any(_means(word, part) for word in wanted)]


def _means(word: str, part: Servo | Retract) -> bool:
    if word in {"all", part.id}:
        return True
    if word in {"flight", "gear"}:
        return together(part) == word
    return bool(part.moves) and (part.moves == word or part.words.agree(part.moves, word))


def cases_of(plan: Plan) -> tuple[OperatingCase, ...]:
    """Return the built-in cases of a plan, then its own in file order."""
    built = {case.name: case for case in built_in(plan)}
    own = {name: _own(plan, name, built) for name in plan.cases}
    return tuple((built | own).values())


def built_in(plan: Plan) -> list[OperatingCase]:
    """Return the cases every plan has, the ones that ask for more the further down."""
    ids = [part.id for part in movers(plan)]
    share = _figure(plan, "sizing", "continuous-share")
    ease = _figure(plan, "cases", "surfaces-moving")
    flight = meant(plan, ["flight"])
    air = plan.surroundings.temperature
    base = OperatingCase(
        "",
        charge=_figure(plan, "cases", "fresh-charge"),
        temperature=_figure(plan, "wire", "temperature") if air is None else air,
    )
    packs = list(plan.of(Pack))
    cruise = _figure(plan, "cases", "cruise-throttle")
    working = dict.fromkeys(ids, Activity("stalled", share))
    full = replace(
        base,
        name="full-throttle",
        throttle=1.0,
        activity=working,
        about=f"every motor at full throttle, every servo at {share:.0%} of its stall",
    )
    return [
        replace(
            base,
            name="joined",
            charge=1.0,
            lasting=False,
            stiff=True,
            charges={p.id: p.charge for p in packs if p.charge is not None},
            volts={p.id: p.volts for p in packs if p.volts is not None},
            about="the packs have just been joined, nothing else runs",
        ),
        replace(base, name="radio-on", charge=1.0, about="everything at rest, packs full"),
        replace(
            base,
            name="taxi",
            throttle=_figure(plan, "cases", "taxi-throttle"),
            activity=dict.fromkeys(meant(plan, ["steering", "rudder"]), Activity("moving")),
            about="little throttle, steering and rudder move",
        ),
        replace(
            base,
            name="cruise",
            throttle=cruise,
            charge=_figure(plan, "cases", "cruise-charge"),
            activity=dict.fromkeys(flight, Activity("moving", ease)),
            about="half throttle, flight surfaces move now and then, packs half full",
        ),
        full,
        *_bursts(plan, base, ids),
        _jammed(plan, base, cruise),
        replace(
            full,
            name="low-packs",
            charge=_figure(plan, "cases", "low-charge"),
            lasting=False,
            about="full throttle with the packs nearly empty",
        ),
        replace(
            full,
            name="cold",
            charge=1.0,
            lasting=False,
            temperature=min(full.temperature, _figure(plan, "cases", "cold")),
            about="full throttle on a cold day: the cells resist more",
        ),
        replace(
            full,
            name="hot",
            charge=1.0,
            stiff=True,
            temperature=max(full.temperature, _figure(plan, "cases", "hot")),
            about="fresh packs with good cells, full throttle on a hot day: what ratings are"
            " judged by",
        ),
        *_one_sided(plan, base),
    ]


def _figure(plan: Plan, row: str, key: str) -> float:
    return rule_figure(plan.catalogue, row, key).number


def _bursts(plan: Plan, base: OperatingCase, ids: list[str]) -> list[OperatingCase]:
    """For seconds: what moves together is held fast while all else moves."""
    share = _figure(plan, "sizing", "burst-share")
    by_group: dict[str, list[str]] = {"flight": [], "gear": []}
    for part in movers(plan):
        by_group.setdefault(together(part), []).append(part.id)
    gear = _gear_sets(plan, by_group.pop("gear"))
    named = [("hard-manoeuvre", by_group.pop("flight"), "all flight surfaces")]
    for n, some in enumerate(gear, 1):
        words = "legs and doors" if len(gear) == 1 else f"{spoken(some)}, by its steps,"
        named.append((f"gear-travelling{f'-{n}' if n > 1 else ''}", some, words))
    named += [
        (f"{group or 'other'}-stalled", by_group[group], group or "what has no function")
        for group in sorted(by_group)
    ]
    waiting = {name for some in gear for name in some} - {*gear[0]}
    found = []
    for name, held, words in named:
        activity = {n: Activity("moving") for n in ids if n not in waiting}
        if name.startswith("gear-travelling"):
            activity = {n: does for n, does in activity.items() if n not in gear[0]}
        activity |= dict.fromkeys(held, Activity("stalled", share))
        about = f"full throttle, {words} at {share:.0%} of their stall, all else moving"
        found.append(
            replace(base, name=name, about=about, throttle=1.0, activity=activity, lasting=False)
        )
    return found


def _gear_sets(plan: Plan, ids: list[str]) -> list[list[str]]:
    """Return the doors and legs that can be held fast at one time, what draws most first."""
    gear = [part for part in movers(plan) if part.id in ids]
    stall = {p.id: draw.stall for p in gear if (draw := p.draw(plan.catalogue)) is not None}
    sets = [sorted(some) for some in together_sets(plan, gear)]
    return sorted(sets, key=lambda some: (-round(sum(stall.get(n, 0.0) for n in some), 9), some))


def _jammed(plan: Plan, base: OperatingCase, cruise: float) -> OperatingCase:
    """The strongest surface held fast while the flight surfaces move."""
    draws = [part.draw(plan.catalogue) for part in movers(plan) if part.swings]
    worst = max(filter(None, draws), key=lambda d: (d.stall, d.part.id), default=None)
    activity = dict.fromkeys(meant(plan, ["flight"]), Activity("moving"))
    if worst is not None:
        activity[worst.part.id] = Activity("stalled")
    about = f"cruise, {worst.part.id if worst else 'nothing'} held fast"
    return replace(
        base, name="jammed", about=about, throttle=cruise, activity=activity, lasting=False
    )


def _one_sided(plan: Plan, base: OperatingCase) -> list[OperatingCase]:
    """Each ESC alone at full throttle: what tests the signal grounds most."""
    driving = {motor.plug.part for motor in plan.of(Motor) if motor.plug}
    escs = sorted(esc.id for esc in plan.of(Esc) if esc.id in driving)
    if not 1 < len(escs) <= ONE_SIDED:
        return []
    return [
        replace(
            base,
            name=f"only-{esc}",
            about=f"{esc} alone at full throttle",
            throttles={esc: 1.0},
            lasting=False,
        )
        for esc in escs
    ]


def _own(plan: Plan, name: str, built: Mapping[str, OperatingCase]) -> OperatingCase:
    """Lay the keys of a plan's own case over the case it is like (cruise without one)."""
    said: operation.Case = plan.cases[name]
    if said.like in plan.cases:
        start = _own(plan, said.like, built)
    else:
        start = built.get(said.like) or built["cruise"]
    share = 1.0 if said.share is None else said.share
    return replace(
        start,
        name=name,
        about=said.about or start.about,
        throttle=start.throttle if said.throttle is None else said.throttle,
        throttles={} if said.throttle is not None else start.throttles,
        activity=_activity(plan, said, start, share),
        off=start.off if said.without is None else frozenset(said.without),
        charge=start.charge if said.charge is None else said.charge,
        charges={} if said.charge is not None else start.charges,
        temperature=start.temperature if said.temperature is None else said.temperature,
        lasting=start.lasting if not said.lasts else said.lasts == "continuous",
    )


def _activity(
    plan: Plan, said: operation.Case, start: OperatingCase, share: float
) -> Mapping[str, Activity]:
    """Naming what moves or is stalled replaces what the other case says of that state."""
    found = dict(start.activity)
    for state, names in (("moving", said.moving), ("stalled", said.stalled)):
        if names is not None:
            found = {part: doing for part, doing in found.items() if doing.state != state}
            amount = share if state == "stalled" else 1.0
            found |= dict.fromkeys(meant(plan, names), Activity(state, amount))
    if said.stalled is None and said.share is not None:
        found = {
            part: replace(doing, share=share) if doing.state == "stalled" else doing
            for part, doing in found.items()
        }
    return found


Asked = tuple[float, float, float]
"""Constant current in A, conductance in S, duty of a motor."""


@dataclass(frozen=True, slots=True)
class Demand:
    """One consumer: its part, its two contacts, what is known of its draw.

    `volts`: at which its stall current was stated (servos); `laws`: of the motors on an ESC.
    """

    part: Part
    plus: Contact
    minus: Contact
    draw: Draw
    volts: float = 0.0
    laws: Mapping[str, MotorLaw] = field(default_factory=dict)

    @property
    def asks(self) -> bool:
        """Whether it draws anything at all."""
        return self.draw.stall > 0 or self.draw.moving > 0

    def in_case(self, case: OperatingCase) -> Asked:
        """Return what it asks in a case."""
        if self.part.id in case.off or self.draw.missing:
            return (0.0, 0.0, 0.0)
        if self.part.drives:
            return (0.0, 0.0, self.law(case).duty(case.throttle_of(self.part.id)))
        if self.part.swings or self.part.is_leg:
            return self._moved(case)
        return (self.draw.idle, 0.0, 0.0)

    def law(self, case: OperatingCase) -> MotorLaw:
        """Return the law of the motors on it in a case."""
        return self.laws.get(case.losses, NO_MOTOR)

    def _moved(self, case: OperatingCase) -> Asked:
        """Moving: a constant current. Stalled: a servo is a resistor, a leg holds its current."""
        doing, draw = case.doing(self.part.id), self.draw
        if doing.state == "moving":
            return (draw.idle + doing.share * (draw.moving - draw.idle), 0.0, 0.0)
        if doing.state == "stalled" and self.part.swings:
            return (0.0, doing.share * draw.stall / self.volts, 0.0)
        if doing.state == "stalled":
            return (doing.share * draw.stall, 0.0, 0.0)
        return (draw.idle, 0.0, 0.0)


def demands_of(wiring: Wiring) -> list[Demand]:
    """Return every consumer of a wiring, by part id; what motors draw is asked by their ESC."""
    found = [_esc(wiring, esc) for esc in wiring.plan.of(Esc)]
    for part in wiring.plan.parts.values():
        draw = part.draw(wiring.plan.catalogue)
        if draw is not None:
            minus = "rail" if part.rails else draw.inside
            ends = (Contact(part.id, draw.inside, "positive"), Contact(part.id, minus, "negative"))
            ends = ends[::-1] if runs_backwards(wiring, part) else ends
            found.append(Demand(part, *ends, draw, _rated_volts(wiring, part)))
    return sorted(found, key=lambda demand: demand.part.id)


def _rated_volts(wiring: Wiring, part: Part) -> float:
    """Return the volts at which a servo's stall current holds."""
    if not part.swings:
        return 0.0
    own = from_catalogue(wiring.plan.catalogue, "servos", part.class_, "volts-rated")
    return (own or rule_figure(wiring.plan.catalogue, "sizing", "stall-rise-from")).number


def _esc(wiring: Wiring, esc: Esc) -> Demand:
    """The motors on an ESC, by their law."""
    plus, minus = (Contact(esc.id, "battery", pin) for pin in ("positive", "negative"))
    motors = motors_on(wiring, esc)
    nominal = abs(wiring.nets.volts(minus, plus) or 0.0)
    draw = draw_of(esc, motors, nominal)
    at = nominal or all(motor.full_volts() for motor in motors)
    known = bool(at) and not draw.missing
    laws = laws_of(motors, nominal, wiring.plan.catalogue) if known else {}
    return Demand(esc, plus, minus, draw, laws=laws)
