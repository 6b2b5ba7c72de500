"""What every channel is called, and where it should go without signal; with reasons.

What the plan states stays. No failsafe lets a motor run, raises a leg or lets go of anything: the
table `functions` has one for each, "hold" is for a word that nobody knows.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Mapping

from harness.base.data import dataclass
from harness.facts import signals
from harness.facts.signals import STICKS, Drive, channel_key, function_of
from harness.parts.autopilot import Autopilot
from harness.plan.plan import Plan
from harness.plan.radio import ALIKE, Channel
from harness.plan.rewrite import SetChannel
from harness.wiring.build import Wiring
from harness.wiring.codes import natural

SETTLE = "settle with your local rules and the maker's instructions"


@dataclass(frozen=True, slots=True)
class ChannelSetup:
    """One channel. `named`: why it has its function, `why`: its failsafe; "" where it is stated.

    `settle`: builders differ; `line`: where the failsafe is stated, else 0.
    """

    channel: str
    function: str
    named: str
    failsafe: str
    why: str = ""
    settle: bool = False
    line: int = 0


def edits_of(setups: Collection[ChannelSetup]) -> tuple[SetChannel, ...]:
    """Return what is proposed as edits of the plan."""
    told = (s for s in setups if s.why)
    return tuple(
        SetChannel(s.channel, (("function", s.function), ("failsafe", s.failsafe))) for s in told
    )


def setups_of(
    wiring: Wiring, new: Mapping[str, str], motors: Collection[str] = ()
) -> tuple[ChannelSetup, ...]:
    """Return every channel in order: the plan's, those plugged in, and those named anew.

    `new`: the functions that a proposal gives; `motors`: the channels on which it puts an ESC.
    """
    plan, order = wiring.plan, signals.radio_order(wiring.plan)[0]
    plugged = {number: (word, turns) for number, word, turns in _plugged(wiring)}
    named = {number: (word, "by what is plugged in") for number, (word, _) in plugged.items()}
    if signals.has_bus(plan) and not plan.channels and sorted(order) == sorted(STICKS):
        sent = {str(n): STICKS[letter] for n, letter in enumerate(order, 1)}
        named |= {n: (word, "as the radio sends it") for n, word in sent.items()}
    named |= {n: (word, "proposed") for n, word in new.items()}
    every = named | {n: (channel.function, "") for n, channel in plan.channels.items()}
    turning = {*motors, *(number for number, (_, turns) in plugged.items() if turns)}
    return tuple(_setup(wiring, n, *every[n], n in turning) for n in sorted(every, key=natural))


def _setup(wiring: Wiring, number: str, function: str, named: str, motor: bool) -> ChannelSetup:
    channel = wiring.plan.channels.get(number) or Channel(function=function)
    if safe := channel.failsafe:
        return ChannelSetup(number, function, named, safe, line=channel.spans["failsafe"].line)
    motor = motor or bool(signals.escs_on(wiring, number, channel))
    return ChannelSetup(number, function, named, *_safe(wiring.plan, function, motor))


def _safe(plan: Plan, function: str, motor: bool) -> tuple[str, str, bool]:
    """Return the failsafe of a channel, the reason, and whether builders differ."""
    known, flown = plan.words.find(function), any(True for _ in plan.of(Autopilot))
    plain = known is not None and known.name == "throttle"
    if motor or plain:
        then = "; what the autopilot then flies is set up in it" if flown else ""
        return "off", f"the motor stops{then}", flown or not plain
    if known is None or not known.failsafe:
        return "hold", "what it moves is not known, and stays as it is", True
    if known.name == "mode" and flown:
        return "the failsafe mode", "the one set up for it in the autopilot", True
    if known.stick == "flaps" and any(mix.kind in ALIKE for mix in plan.mixes):
        return "up", "what the mix moves with it goes to neutral", False
    return known.failsafe, known.because, known.settle


def _plugged(wiring: Wiring) -> Iterator[tuple[str, str, bool]]:
    """Yield the channels without a name by what hangs on them, of one function; if an ESC does."""
    plan, groups = wiring.plan, defaultdict[str, list[Drive]](list)
    wrong = {wiring.ports[socket].channel for socket in signals.misprints(wiring)}
    wrong |= {*signals.astray(wiring).values(), *plan.channels}
    for drive in signals.drives(wiring):
        if (key := channel_key(drive)) and not key[0] and key[1] not in wrong:
            groups[key[1]].append(drive)
    on = {n: sorted({function_of(plan, d) for d in group}) for n, group in groups.items()}
    words = [*(names[0] for names in on.values()), *(c.function for c in plan.channels.values())]
    bases = Counter(map(plan.words.base, words))
    for number, group in groups.items():
        word = min(on[number], key=lambda f: (plan.words.base(f) == "steering", f))
        if all(f and plan.words.agree(f, word) for f in on[number]):
            sides = {signals.side_of(plan, drive.part) for drive in group}
            split = len(sides) == 1 and bases[plan.words.base(word)] > 1
            side = "" if not split or plan.words.side(word) else sides.pop()
            yield number, f"{word}-{side}" if side else word, any(d.part.drives for d in group)
