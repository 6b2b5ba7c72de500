"""What every channel is called, and what it should go to without signal; with reasons.

What the plan states stays. No failsafe lets a motor run, raises a leg or lets go of anything: what
each function is proposed stands in the table `functions`, "hold" where nobody knows the word.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Mapping

from harness.base.data import dataclass
from harness.facts.signals import (
    STICKS,
    Drive,
    astray,
    channel_key,
    drives,
    escs_on,
    function_of,
    has_bus,
    misprints,
    radio_order,
    side_of,
)
from harness.parts.autopilot import Autopilot
from harness.plan.plan import Plan
from harness.plan.radio import ALIKE, Channel
from harness.plan.rewrite import SetChannel
from harness.wiring.build import Wiring
from harness.wiring.codes import natural

HOLD = "hold"
MODE = "mode"
SETTLE = "settle with your local rules and the maker's instructions"


@dataclass(frozen=True, slots=True)
class ChannelSetup:
    """One channel as it is proposed. `named`: why it has its function, "" where the plan says it.

    `why`: the reason of the failsafe, "" where the plan states one; `settle`: builders differ.
    """

    channel: str
    function: str
    failsafe: str
    named: str = ""
    why: str = ""
    settle: bool = False
    line: int = 0

    @property
    def edit(self) -> SetChannel:
        """As it is written into the plan."""
        return SetChannel(self.channel, (("function", self.function), ("failsafe", self.failsafe)))


def setups_of(
    wiring: Wiring, new: Mapping[str, str], motors: Collection[str] = ()
) -> tuple[ChannelSetup, ...]:
    """Return every channel in order: the plan's, those plugged in, and those named anew.

    `new`: the functions that a proposal gives; `motors`: the channels on which it puts an ESC.
    """
    plan = wiring.plan
    found = dict(_plugged(wiring))
    named = {**dict.fromkeys(found, "by what is plugged in"), **dict.fromkeys(new, "proposed")}
    if has_bus(plan) and not plan.channels:
        sent = _sent(plan)
        found |= sent
        named |= dict.fromkeys(sent, "as the radio sends it")
    every = {**{n: Channel(function=f) for n, f in {**found, **new}.items()}, **plan.channels}
    return tuple(
        _setup(wiring, n, every[n], named.get(n, ""), n in motors)
        for n in sorted(every, key=natural)
    )


def _setup(wiring: Wiring, name: str, channel: Channel, named: str, motor: bool) -> ChannelSetup:
    line = channel.spans["failsafe"].line if channel.failsafe else 0
    if channel.failsafe:
        return ChannelSetup(name, channel.function, channel.failsafe, named, line=line)
    drives = motor or bool(escs_on(wiring, name, channel))
    return ChannelSetup(name, channel.function, *_safe(wiring.plan, channel, drives, named))


def _safe(plan: Plan, channel: Channel, motor: bool, named: str) -> tuple[str, str, str, bool]:
    """Return the failsafe of a channel, how it got its name, the reason, and whether to settle."""
    known = plan.words.find(channel.function)
    flown = any(True for _ in plan.of(Autopilot))
    if motor or (known and known.name == "throttle"):
        then = "; what the autopilot then flies is set up in it" if flown else ""
        sole = bool(known and known.name == "throttle")
        return "off", named, f"the motor stops{then}", flown or not sole
    if known is None or not known.failsafe:
        return HOLD, named, "what it moves is not known, and stays as it is", True
    if known.name == MODE and flown:
        return "the failsafe mode", named, "the one set up for it in the autopilot", True
    if known.stick == "flaps" and any(mix.kind in ALIKE for mix in plan.mixes):
        return "up", named, "what the mix moves with it goes to neutral", False
    return known.failsafe, named, known.because, known.settle


def _plugged(wiring: Wiring) -> Iterator[tuple[str, str]]:
    """Yield the channels without a name by what hangs on them, if it is of one function."""
    plan, groups = wiring.plan, defaultdict[str, list[Drive]](list)
    wrong = {wiring.ports[socket].channel for socket in misprints(wiring)}
    wrong |= {*astray(wiring).values(), *plan.channels}
    for drive in drives(wiring):
        key = channel_key(drive)
        if key and not key[0] and key[1] not in wrong:
            groups[key[1]].append(drive)
    on = {n: sorted({function_of(plan, d) for d in group}) for n, group in groups.items()}
    bases = Counter(plan.words.base(f[0]) for f in on.values())
    bases += Counter(plan.words.base(c.function) for c in plan.channels.values())
    for number, group in groups.items():
        word = min(on[number], key=lambda f: (plan.words.base(f) == "steering", f))
        if not all(f and plan.words.agree(f, word) for f in on[number]):
            continue
        sides = {side_of(plan, drive.part) for drive in group}
        split = len(sides) == 1 and bases[plan.words.base(word)] > 1
        side = "" if not split or plan.words.side(word) else sides.pop()
        yield number, f"{word}-{side}" if side else word


def _sent(plan: Plan) -> dict[str, str]:
    """Return the sticks' channels of a radio that hands all of them on by one lead."""
    order, _ = radio_order(plan)
    readable = sorted(order) == sorted(STICKS)
    return {str(n): STICKS[letter] for n, letter in enumerate(order, 1)} if readable else {}
