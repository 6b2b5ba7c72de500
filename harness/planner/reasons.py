"""Why each choice was made, in a builder's words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from harness.base.data import replace
from harness.base.near import spoken
from harness.facts.wording import quoted
from harness.parts.esc import Esc
from harness.parts.sequencer import Sequencer
from harness.parts.servo import Servo
from harness.planner.channels import homes
from harness.planner.feeds import BEC, NOTHING, PACK, REGULATOR
from harness.planner.groups import OPPOSITE, PROGRAMME, REVERSER, TURN, Mend
from harness.planner.hosts import expected, expected_stick, printed
from harness.planner.judge import JudgedAnswer
from harness.planner.proposal import LEVELS, Answer, Chosen, Decision, Wanted
from harness.planner.space import Space
from harness.planner.stock import StockPiece
from harness.planner.writing import Writing, host_of, shopping
from harness.rules.rule import Rule

NUMBERS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve",
)  # fmt: skip

LEFT_OUT = "left out because of the rules"
NOT_OURS = "battery leads, packs, fuses and motors are not decided here (but with --power)"


def number(count: int) -> str:
    """Return a small number as a word."""
    return NUMBERS[count] if 0 <= count < len(NUMBERS) else str(count)


def many(count: int, word: str) -> str:
    """Return "one joint", "two joints"."""
    return f"{number(count)} {word}{'' if count == 1 else 's'}"


Instead = Mapping[tuple[str, ...], tuple[Chosen, Rule]]


def choices_of(space: Space, judged: JudgedAnswer, instead: Instead) -> tuple[Decision, ...]:
    """Return every choice of an answer: groups by socket, the feed, the mends."""
    answer, writing = judged.answer, judged.writing
    ordered = sorted(answer.groups, key=lambda c: host_of(c).order)
    found = [_group(space, answer, writing, chosen) for chosen in ordered]
    for n, chosen in enumerate(ordered):
        pair = instead.get(chosen.use.names)
        if pair and (told := _rather(chosen, *pair)):
            found[n] = replace(found[n], why=f"{found[n].why}; {told}")
    found += _feed(space, answer)
    found += [_mend(space, chosen, mend) for chosen in ordered for mend in chosen.use.mends]
    return tuple(found)


def _group(space: Space, answer: Answer, writing: Writing, chosen: Chosen) -> Decision:
    use, host = chosen.use, host_of(chosen)
    names, alone = quoted(use.names), len(use.names) == 1
    what = f"{names} goes to {host.id}" if alone else f"{names} share {host.id}"
    if host.already:
        with_ = quoted(device.part.id for device in host.already)
        what = f"{names} {'shares' if alone else 'share'} {host.id} with {with_}"
    if len(host.ends) == 1 and host.ends[0].socket != host.id:
        what = what.replace(host.id, f"{host.ends[0].socket}, on {host.id}")
    function = host.function or writing.names.get(host.id, "")
    what += f" ({function})" if function else ""
    return Decision(what, _why(space, answer, chosen), _cost(chosen))


def _rather(chosen: Chosen, other: Chosen, rule: Rule) -> str:
    """Say what a rule's advice kept from standing there: a group, or other leads."""
    because = f"else {rule.summary[0].lower()}{rule.summary[1:].rstrip('.')} [{rule.name}]"
    mine, theirs = (
        spoken(piece.partition(" (")[0] for piece in _pieces(c)) for c in (chosen, other)
    )
    if other.use.names != chosen.use.names:
        return f"not {quoted(other.use.names)} on one channel: {because}"
    return (
        f"{mine} rather than {theirs or 'no lead'}: {because}" if mine not in {theirs, ""} else ""
    )


def _why(space: Space, answer: Answer, chosen: Chosen) -> str:
    use, host = chosen.use, host_of(chosen)
    said = []
    if host.outlet:
        box = space.plan.parts[host.box].named()
        moves = {"door": "opens and closes", "leg": "lowers and raises"}.get(host.role, "")
        said.append(f"doors and legs hang on {box}")
        if host.role in {"door", "leg"}:
            said[-1] += f", and its steps say that this outlet {moves}"
    elif host.already or len(host.ends) > 1:
        said.append("a free end of a lead that is plugged in already")
    elif host.function:
        said.append(f"the plan has {host.function} on channel {host.channel}")
    else:
        said.append(_channel_why(space, answer, chosen))
        known = use.label.words.find(use.label.word())
        said += [f"{known.switch} works it"] if known and known.switch else []
    if len(use.items) > 1 or host.already:
        said.append(_shared_why(space, answer, chosen))
    return "; ".join(filter(None, said))


def _channel_why(space: Space, answer: Answer, chosen: Chosen) -> str:
    wants, name = expected(space.plan), host_of(chosen).channel
    for base in sorted(chosen.use.label.bases):
        if wants.get(base) == name:
            order = space.plan.transmitter.order.upper()
            if printed(space.plan).get(base) == name and not (order and int(name) <= 4):
                return f"channel {name} is {base} by the receiver's print"
            if int(name) > 4:
                return f"channel {name} is commonly {base}"
            radio = f"{order}, as the transmitter sends it" if order else "the usual order"
            return f"channel {name} is {base} in {radio}"
    label = chosen.use.label
    if name in homes(space, label):
        sticks = spoken(m for b in label.bases for m in label.words.functions[b].mixes)
        return f"it moves for {sticks}, and goes on a channel of theirs"
    team = [c for c in answer.groups if c.host and c.use.label.bases == label.bases]
    near = {f"{host_of(c).order[1] + n}": c.use.names for c in team for n in (1, -1)}
    if host_of(chosen).channel in near:
        return f"beside {quoted(near[name])}"
    stick = (
        expected_stick(space.plan, name) if space.plan.parts[host_of(chosen).box].is_radio else ""
    )
    sent = f"; the radio sends {stick} there: give it a switch in the transmitter" if stick else ""
    return f"the first channel that is left{sent}"


def _shared_why(space: Space, answer: Answer, chosen: Chosen) -> str:
    if chosen.use.label.kind == "leg" and not chosen.use.host.outlet:
        return "all legs answer to the one gear channel"
    if chosen.use.host.outlet:
        return _outlets_why(space, answer, chosen)
    if _free_sockets(space, answer):
        return "sharing costs less here than a channel each"
    plugs = sum(len(c.use.names) for c in answer.groups if not c.use.host.outlet)
    free = sum(host.plain and not host.blocked for host in space.hosts)
    told = f"{many(free, 'free socket')} for {many(plugs, 'plug')}"
    if any(f.channel for f in space.feeds):
        return f"{told} and the supply"
    return f"{told}, {_parting(space, answer, chosen)}"


def _parting(space: Space, answer: Answer, chosen: Chosen) -> str:
    """Say that no wish parts what shares a channel, or which one had to give way."""
    given_up = [
        ask.name
        for ask, granted in zip(space.asks, answer.granted, strict=True)
        if not granted and ask.breaks(chosen.use.everything)
    ]
    return f'so "{spoken(given_up)}" gave way' if given_up else "and no wish parts them"


def _outlets_why(space: Space, answer: Answer, chosen: Chosen) -> str:
    box = host_of(chosen).box
    free = [h for h in space.hosts if h.outlet and h.box == box and h.id not in _taken(answer)]
    if any(not h.blocked and h.role in {host_of(chosen).role, ""} for h in free):
        return "the rules have more against an outlet each"
    return "there are fewer outlets than parts"


def _free_sockets(space: Space, answer: Answer) -> int:
    taken = _taken(answer)
    return sum(h.plain and not h.blocked and h.id not in taken for h in space.hosts)


def _taken(answer: Answer) -> set[str]:
    return {host.id for host in (*(c.host for c in answer.groups), answer.feed_host) if host}


def _cost(chosen: Chosen) -> str:
    joints = chosen.use.joints + sum(len(arm) for arm in chosen.arms) + chosen.use.reversers
    told = _pieces(chosen)
    return "; ".join([*told, many(joints, "joint")]) if told or joints else "no lead, no joint"


def _pieces(chosen: Chosen) -> list[str]:
    """Return the leads of a group in words, each with where it comes from."""
    pieces = Counter([*chosen.use.build.pieces, *(p for arm in chosen.arms for p in arm)])
    ordered = sorted(pieces.items(), key=lambda pair: (pair[0].named(), pair[0].where()))
    return [f"{number(n)} {piece.named(n)} ({piece.where()})" for piece, n in ordered]


def _feed(space: Space, answer: Answer) -> Iterator[Decision]:
    feed, reds = answer.feed, _reds(answer)
    if feed is None:
        return
    cost = f"pull the red pin of {quoted(reds)}; the black one stays" if reds else "nothing"
    if feed.kind == NOTHING:
        yield Decision(
            "nothing feeds the rail yet: get a supply for it",
            "all that is there would be dangerous; see what was left out",
            cost,
        )
        return
    part = space.plan.parts[feed.part]
    what = f"{part.named()} feeds the rail"
    if part.drives:
        what = f"the BEC of {part.named()} feeds the rail through its signal lead"
    sockets = [answer.feed_host.id] if answer.feed_host else list(feed.sockets)
    what += f", in {spoken(sockets)}" if feed.kind != BEC and sockets else ""
    yield Decision(what, _feed_why(space, answer), cost)
    for name, socket in feed.logic:
        what = f"{space.plan.parts[name].named()} feeds the autopilot's own supply, in {socket}"
        yield Decision(what, "its output rail is not joined to it", "nothing")


def _reds(answer: Answer) -> list[str]:
    """Return the ESCs whose BEC is cut off."""
    devices = [d.part for c in answer.groups for d in c.use.devices]
    becs = [p.id for p in devices if p.drives and p.makes]
    return sorted(name for name in becs if name != answer.feed_name)


def _feed_why(space: Space, answer: Answer) -> str:
    feed = answer.feed
    others = [f for f in space.feeds if feed and f.part != feed.part and f.kind != NOTHING]
    if feed is None or not others:
        return "nothing else can feed it"
    first = space.feeds.index(feed)
    before = dict.fromkeys(f.part for f in space.feeds[:first] if f.part != feed.part)
    if before:
        told = f"the rules or the sockets speak against {quoted(before)}"
        return f"{told}, which would come before it"
    alike = [f for f in others if f.kind == feed.kind]
    if feed.kind == PACK and not alike:
        return "nothing hangs on it, so it is taken for the radio's own"
    if not alike:
        less = "a BEC" if any(f.kind == BEC for f in others) else "a pack"
        regulator = f"a separate regulator goes before {less}"
        return regulator if feed.kind == REGULATOR else "a BEC goes before a pack of its own"
    if feed.rated > max(f.rated for f in alike):
        return f"it gives the most: {feed.rated:g} A"
    return "it gives as much as any other, and comes first by name"


def _mend(space: Space, chosen: Chosen, mend: Mend) -> Decision:
    name, _, circuit = mend.part.partition(".")
    part = space.plan.parts[name]
    others = [d.part.id for d in chosen.use.everything if d.part.id != mend.part]
    why = f"on one pulse with {quoted(others)} it would move the wrong way"
    if mend.how == REVERSER:
        which = f'circuit "{circuit}" of ' if circuit else ""
        what = f"an in-line reverser goes into the lead of {which}{part.named()}"
        return Decision(what, why, "one joint")
    servo = next(s for s in space.plan.of(Servo) if s.id == mend.part)
    if mend.how == TURN:
        what = f"turn {part.named()} over, so that its shaft faces {OPPOSITE[servo.shaft]}"
        return Decision(what, why, "its mounting")
    again = ", and measure it again" if servo.measured else ""
    return Decision(f"programme {part.named()} to turn the other way", why, f"a setting{again}")


def wanted_of(pieces: Iterable[StockPiece]) -> tuple[Wanted, ...]:
    """Return pieces counted by kind, length, wire and origin."""
    counted = Counter(pieces)
    return tuple(
        Wanted(
            piece.kind,
            count,
            piece.gauge,
            piece.length if piece.length >= 0 else None,
            piece.named(),
            piece.where(),
        )
        for piece, count in sorted(counted.items())
    )


def used_of(answer: Answer) -> tuple[tuple[Wanted, ...], tuple[Wanted, ...]]:
    """Return what is used of what is at hand, and what must be bought."""
    pieces = list(shopping(answer))
    return wanted_of(p for p in pieces if not p.bought), wanted_of(p for p in pieces if p.bought)


COST_WORDS = {
    "warnings": "warning of the rules",
    "notes": "note of the rules",
    "bought": "lead to buy",
    "joints": "joint",
    "mends": "mend",
    "places": "function out of its usual place",
}


def dearer(space: Space, best: Answer, other: Answer) -> tuple[str, ...]:
    """Return what another answer costs more or less than the best, level by level."""
    said = []
    for n, ask in enumerate(space.asks):
        if best.granted[n] != other.granted[n]:
            said.append(f"{'without' if best.granted[n] else 'with'} {ask.name}")
    mine, theirs = dict(best.costs), dict(other.costs)
    if best.feed_name != other.feed_name:
        said.append(f'"{best.feed_name}" comes first as a supply')
    for level in LEVELS[2:]:
        more = theirs[level] - mine[level]
        if more and level == "length":
            said.append(f"{abs(more) / 10:g} mm {'more' if more > 0 else 'less'} lead")
        elif more and level == "mends":
            said.append(f"a {'less' if more > 0 else 'more'} welcome way to set the motion right")
        elif more:
            word = COST_WORDS[level]
            head, _, tail = word.partition(" ")
            plural = head if abs(more) == 1 else f"{head}s"
            degree = "more" if more > 0 else ("fewer" if abs(more) > 1 else "less")
            said.append(" ".join(filter(None, (number(abs(more)), degree, plural, tail))))
    return tuple(said) or ("it costs the same; by name it comes later",)


def differences(space: Space, best: Answer, other: Answer) -> tuple[str, ...]:
    """Return what is otherwise in another answer: who shares, what is mended, what feeds."""
    mine = {c.use.plan_key: c for c in best.groups}
    said = []
    for chosen in other.groups:
        if chosen.use.plan_key in mine:
            continue
        use = chosen.use
        if all(c.use.names != use.names for c in best.groups):
            channel = "one channel" if len(use.names) > 1 else "a channel of its own"
            said.append(f"{quoted(use.names)} on {channel}")
        if use.mends:
            said.append(spoken(_mended(space, m) for m in use.mends))
        elif any(c.use.names == use.names and c.use.mends for c in best.groups):
            said.append(f"{quoted(use.names)} without a mend")
    if best.feed_name != other.feed_name:
        said.append(f'"{other.feed_name}" feeds the rail')
    return tuple(said)


def _mended(space: Space, mend: Mend) -> str:
    words = {PROGRAMME: "programmed", TURN: "turned over", REVERSER: "with an in-line reverser"}
    return f'"{mend.part}" {words[mend.how]}'


def notes_of(space: Space, answer: Answer) -> Sequence[str]:
    """Return what the reader must know besides: what was not decided, what was not known."""
    said = []
    runs = space.yard.runs
    unknown = [
        item.id
        for c in answer.groups
        for item in c.use.items
        if not runs.known(item, host_of(c).box)
    ]
    if unknown and len(unknown) == len(space.items):
        said.append(
            "no distances are known: lengths are not planned, so measure each run before you buy"
        )
    elif unknown:
        said.append(f"how long the run must be is not known of {quoted(unknown)}: measure it")
    if silent := [esc.id for esc in space.plan.of(Esc) if esc.bec is None]:
        said.append(f"say whether {quoted(silent)} has a BEC (`bec:`): it is taken to have none")
    if any(box.supply for box in space.plan.of(Sequencer)):
        said.append("a sequencer with its own supply has the red pin of its input lead pulled")
    said.append(NOT_OURS)
    return said


TOLD = frozenset(
    {"shared-channel-motion", "no-source", "slow-frame-on-y", "steering-while-retracted"}
)
"""Rules that judge what the planner chooses: who shares a channel, and what feeds the rail."""
CHOSEN = frozenset({"bec-load"})
"""Rules about the supply: they count where the planner chose what feeds it."""


def unknown_of(judged: JudgedAnswer) -> list[str]:
    """Return what the rules could not judge of the choices, a line each."""
    said: dict[tuple[str, str], list[str]] = {}
    for unknown in judged.report.unknown:
        if unknown.rule in TOLD or (unknown.rule in CHOSEN and judged.answer.feed_name):
            said.setdefault((unknown.rule, unknown.missing), []).append(unknown.part)
    return [
        f"{quoted(parts)}: not judged without {missing} [{rule}]"
        for (rule, missing), parts in said.items()
    ]
