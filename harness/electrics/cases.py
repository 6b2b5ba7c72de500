"""Operating cases: what every part does at one time. The built-in ones, and the plan's own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from harness.base.functions import agree
from harness.parts.esc import Esc
from harness.parts.figure import rule_figure
from harness.parts.motor import Motor
from harness.parts.pack import Pack
from harness.parts.retract import Retract
from harness.parts.servo import Servo
from harness.plan import operation
from harness.plan.plan import Plan
from harness.wiring.ratings import together

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
    air in degC. `lasting`: judged by what things carry continuously, else for seconds.
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
        return together(part.moves) == word
    return bool(part.moves) and (part.moves == word or agree(part.moves, word))


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
    air = _air(plan)
    base = OperatingCase("", temperature=air, charge=_figure(plan, "cases", "fresh-charge"))
    cruise = _figure(plan, "cases", "cruise-throttle")
    working = _all(ids, Activity("stalled", share))
    full = replace(
        base, name="full-throttle", throttle=1.0, activity=working,
        about=f"every motor at full throttle, every servo at {share:.0%} of its stall",
    )  # fmt: skip
    return [
        replace(base, name="joined", charge=1.0, charges=_as_joined(plan), volts=_metered(plan),
                lasting=False, about="the packs have just been joined, nothing else runs"),
        replace(base, name="radio-on", charge=1.0, about="everything at rest, packs full"),
        replace(base, name="taxi", throttle=_figure(plan, "cases", "taxi-throttle"),
                activity=_all(meant(plan, ["steering", "rudder"]), Activity("moving")),
                about="little throttle, steering and rudder move"),
        replace(base, name="cruise", throttle=cruise,
                charge=_figure(plan, "cases", "cruise-charge"),
                activity=_all(flight, Activity("moving", ease)),
                about="half throttle, flight surfaces move now and then, packs half full"),
        full,
        *_bursts(plan, base, ids),
        _jammed(plan, base, cruise),
        replace(full, name="low-packs", charge=_figure(plan, "cases", "low-charge"), lasting=False,
                about="full throttle with the packs nearly empty"),
        replace(full, name="cold", temperature=_figure(plan, "cases", "cold"), charge=1.0,
                lasting=False, about="full throttle on a cold day: the cells resist more"),
        replace(full, name="hot", temperature=_figure(plan, "cases", "hot"), charge=1.0,
                about="full throttle on a hot day: the wires resist more"),
        *_one_sided(plan, base),
    ]  # fmt: skip


def _figure(plan: Plan, row: str, key: str) -> float:
    return rule_figure(plan.catalogue, row, key).number


def _air(plan: Plan) -> float:
    stated = plan.surroundings.temperature
    return _figure(plan, "wire", "temperature") if stated is None else stated


def _all(ids: Iterable[str], activity: Activity) -> dict[str, Activity]:
    return dict.fromkeys(ids, activity)


def _as_joined(plan: Plan) -> dict[str, float]:
    return {pack.id: pack.charge for pack in plan.of(Pack) if pack.charge is not None}


def _metered(plan: Plan) -> dict[str, float]:
    return {pack.id: pack.volts for pack in plan.of(Pack) if pack.volts is not None}


def _bursts(plan: Plan, base: OperatingCase, ids: list[str]) -> list[OperatingCase]:
    """For seconds: what moves together is held fast while all else moves."""
    share = _figure(plan, "sizing", "burst-share")
    groups = sorted({together(part.moves) for part in movers(plan)} - {"flight", "gear"})
    named = [("hard-manoeuvre", "flight", "all flight surfaces")]
    named += [("gear-travelling", "gear", "legs and doors")]
    named += [(f"{group or 'other'}-stalled", group, group or "what has no function")
              for group in groups]  # fmt: skip
    found = []
    for name, group, words in named:
        held = [part.id for part in movers(plan) if together(part.moves) == group]
        activity = _all(ids, Activity("moving")) | _all(held, Activity("stalled", share))
        about = f"full throttle, {words} at {share:.0%} of their stall, all else moving"
        found.append(
            replace(base, name=name, about=about, throttle=1.0, activity=activity, lasting=False)
        )
    return found


def _jammed(plan: Plan, base: OperatingCase, cruise: float) -> OperatingCase:
    """The strongest surface held fast while the flight surfaces move."""
    draws = [part.draw(plan.catalogue) for part in movers(plan) if part.swings]
    known = [draw for draw in draws if draw is not None]
    worst = max(known, key=lambda d: (d.stall, d.part.id), default=None)
    activity = _all(meant(plan, ["flight"]), Activity("moving"))
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
        replace(base, name=f"only-{esc}", about=f"{esc} alone at full throttle",
                throttles={esc: 1.0}, lasting=False)
        for esc in escs
    ]  # fmt: skip


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
            found |= _all(meant(plan, names), Activity(state, amount))
    if said.stalled is None and said.share is not None:
        found = {
            part: replace(doing, share=share) if doing.state == "stalled" else doing
            for part, doing in found.items()
        }
    return found
