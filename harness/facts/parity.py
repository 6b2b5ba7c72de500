"""What moves which way: surfaces on one pulse, by parity of shafts, arms, horns and reversals.

    relation = shafts * arms * horns * reversals        each +1 or -1
    +1: both surfaces turn the same way about the aeroplane's axis; -1: opposite ways

Common practice; no published source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping

from harness.base.data import dataclass
from harness.base.near import spoken
from harness.catalogue.functions import Function
from harness.facts.signals import Drive, base_of, channel_function, side_of
from harness.parts.part import Part, of_kind
from harness.parts.servo import Servo
from harness.plan.plan import Plan
from harness.wiring.build import Wiring

_SHAFTS = {"left": ("across", 1), "right": ("across", -1), "up": ("upright", 1)}
_SHAFTS["down"] = ("upright", -1)
_OPENING = "open or closed"
_SEEN = {"up": ("up or down", 1), "down": ("up or down", -1), "left": ("left or right", 1)}
_SEEN |= {"right": ("left or right", -1), "open": (_OPENING, 1), "closed": (_OPENING, -1)}
_OTHER_WAY = {"arm": "down", "horn": "bottom"}


@dataclass(frozen=True, slots=True)
class Sense:
    """Which way one servo's surface goes on a longer pulse, by one of the facts of a plan.

    Senses compare within one `frame` ("across", "upright", or a pair of measured words), or in
    two that are tied by a servo known in both.
    """

    part: Part
    frame: str
    way: int
    facts: str

    @property
    def measured(self) -> bool:
        """Say whether it was seen on the bench."""
        return self.frame not in {"across", "upright"}


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Servos that can be laid side by side: those of one sign move as they must.

    `senses`: by part, what it was judged by.
    """

    ways: Mapping[str, int]
    senses: Mapping[str, Sense]


@dataclass(frozen=True, slots=True)
class MotionGap:
    """What would have to be known of a servo to judge it, and under which key."""

    part: Part
    missing: str
    key: str


_Frames = dict[str, dict[str, int]]
"""By frame and part, +1 or -1: those of one sign move as they must."""


def pair_of(plan: Plan, function: str, parts: Iterable[Part]) -> str:
    """Return what servos of a function must do on one pulse.

    Surfaces of two sticks share none, unless all are on one side.
    """
    pair = plan.words.pair(function)
    if pair != "own":
        return pair
    sides = {side_of(plan, part) for part in parts}
    return "same" if len(sides) == 1 and "" not in sides else "any"


def senses_of(servo: Part, turn: int = 1) -> list[Sense]:
    """Return a servo's senses, what was measured first. `turn`: -1 behind a reverser."""
    found = []
    tail = "" if turn > 0 else ", in-line reverser"
    for one in of_kind(Servo, [servo]):
        if one.measured:
            frame, way = _SEEN[one.measured]
            found.append(Sense(one, frame, way * turn, f"longer pulse: {one.measured}{tail}"))
        if one.shaft:
            frame, way = _SHAFTS[one.shaft]
            flips = (one.arm == "down") + (one.horn == "bottom") + one.reversed
            found.append(Sense(one, frame, way * turn * (-1) ** flips, _facts(one) + tail))
    return found


def _facts(servo: Servo) -> str:
    said = [f"shaft {servo.shaft}"]
    said += [f"arm {servo.arm}"] if servo.arm else []
    said += [f"horn {servo.horn}"] if servo.horn else []
    said += ["reversed"] if servo.reversed else []
    return ", ".join(said)


def compare(
    plan: Plan,
    pair: str,
    turns: Mapping[str, int],
    *,
    alike: bool = True,
    against: Collection[str] = (),
) -> tuple[list[SideBySide], list[MotionGap]]:
    """Lay the servos of one pulse side by side, as far as the plan tells.

    `pair`: what they must do; `turns`: +1, or -1 behind a reverser, by servo; `alike`: arms and
    horns of which nothing is stated lie on the same side; `against`: who must go the other way.
    What was measured decides between two that were measured; geometry judges the others, and ties
    what was measured to them wherever a servo is known in both ways.
    """
    parts = [plan.parts[name] for name in sorted(turns)]
    senses = [s for p in parts for s in senses_of(p, turns[p.id]) if s.measured or pair != "seen"]
    gaps: dict[str, MotionGap] = {}
    frames: _Frames = {}
    used = _facing(plan, pair, _stated(senses, gaps, alike=alike), gaps)
    for sense, way in used:
        turned = -way if sense.part.id in against else way
        frames.setdefault(sense.frame, {})[sense.part.id] = turned
    found = [_compared(group, used) for group in _tied(frames)]
    found.sort(
        key=lambda c: (-len(c.ways), not any(s.measured for s in c.senses.values()), min(c.ways))
    )
    first = found[0] if found else None
    judged = first.senses if first else {}
    settled = {name for name, sense in judged.items() if sense.measured or name not in gaps}
    asked = [gaps.get(p.id) or _gap(p, pair, first) for p in parts if p.id not in settled]
    return [c for c in found if len(c.ways) > 1], asked


def _stated(senses: list[Sense], gaps: dict[str, MotionGap], *, alike: bool) -> list[Sense]:
    """Ask for an arm or horn that is not stated where another's is, or of things unlike.

    It is taken for the usual one, up or on top, as long as no other is said to be down.
    """
    kept = senses
    geometry = [sense for sense in senses if not sense.measured]
    for word, other in _OTHER_WAY.items():
        said = {getattr(sense.part, word) for sense in geometry} - {""}
        silent = [s for s in geometry if (said or not alike) and not getattr(s.part, word)]
        for sense in silent:
            gaps[sense.part.id] = MotionGap(sense.part, f"its {word}, as others have it", word)
        kept = [s for s in kept if s not in silent or (alike and other not in said)]
    return kept


def _facing(
    plan: Plan, pair: str, senses: list[Sense], gaps: dict[str, MotionGap]
) -> list[tuple[Sense, int]]:
    """Return each sense with the way it goes, turned round where left must go against right."""
    found: list[tuple[Sense, int]] = []
    doors: set[tuple[str, str]] = set()
    for sense in senses:
        side, part = side_of(plan, sense.part), sense.part
        if pair not in {"opposite", "mirrored"} or sense.frame == _OPENING:
            found.append((sense, sense.way))
        elif not side:
            missing = "its side (a place with `side`, or an id that ends in -left or -right)"
            gaps.setdefault(part.id, MotionGap(part, missing, "place"))
        elif pair == "mirrored" and (sense.frame, side) in doors:
            missing = "whether a longer pulse opens it (measured): there is another on its side"
            gaps.setdefault(part.id, MotionGap(part, missing, "measured"))
        else:
            doors.add((sense.frame, side))
            found.append((sense, sense.way if side == "left" else -sense.way))
    return found


def _tied(frames: _Frames) -> list[_Frames]:
    """Return the frames in groups tied by servos known in two of them, all turned alike.

    Where what was measured contradicts the geometry of its servos it overrides that.
    """
    groups: list[_Frames] = []
    geometry = [frame for frame in sorted(frames) if frame in {"across", "upright"}]
    for frame in sorted(frames):
        if frame not in geometry:
            groups.append({frame: frames[frame]})
    for frame in geometry:
        mine = dict(frames[frame])
        joined: _Frames = {}
        for group in list(groups):
            both = [name for ways in group.values() for name in ways if name in mine]
            turns = {mine[n] * ways[n] for ways in group.values() for n in ways if n in mine}
            if len(turns) == 1:
                turn = turns.pop()
                joined |= {f: {n: w * turn for n, w in ways.items()} for f, ways in group.items()}
                groups.remove(group)
            elif turns:
                mine = {name: way for name, way in mine.items() if name not in both}
        groups.append(joined | ({frame: mine} if mine else {}))
    return [group for group in groups if group]


def _compared(group: _Frames, used: list[tuple[Sense, int]]) -> SideBySide:
    ways = {name: way for found in group.values() for name, way in found.items()}
    mine = [sense for sense, _ in used if sense.part.id in group.get(sense.frame, ())]
    seen = {sense.part.id for sense in mine if sense.measured}
    senses: dict[str, Sense] = {}
    for sense in sorted(mine, key=lambda s: s.measured != (len(seen) == len(ways))):
        senses.setdefault(sense.part.id, sense)
    return SideBySide({name: ways[name] for name in sorted(ways)}, senses)


def _gap(part: Part, pair: str, first: SideBySide | None) -> MotionGap:
    """Return what is missing of a servo that cannot be laid beside the first."""
    mine = senses_of(part)
    if pair == "seen":
        return MotionGap(part, "what a longer pulse does (measured)", "measured")
    if not mine or first is None:
        missing = "which way its shaft faces, or what a longer pulse does (shaft or measured)"
        return MotionGap(part, missing, "shaft")
    seen = [name for name, sense in first.senses.items() if sense.measured]
    if seen:
        words = "in the same words as" if mine[0].measured else "measured as for"
        return MotionGap(part, f"what a longer pulse does, {words} {seen[0]}", "measured")
    if all(sense.measured for sense in mine):
        return MotionGap(part, f"which way its shaft faces, as for {min(first.ways)}", "shaft")
    return MotionGap(part, f"what a longer pulse does, also of {min(first.ways)}", "measured")


def surface_of(plan: Plan, drive: Drive) -> str:
    """Return what a surface is on its channel: what that mixes; of nozzles, what hangs there."""
    words, own = plan.words, base_of(plan, drive)
    channel = channel_function(plan, drive.socket)
    there = words.agree(own, channel) and not drive.sequenced
    taken = words.pair(channel) == "own" or words.pair(own) == "channel"
    return words.base(channel) if there and taken else own


@dataclass(frozen=True, slots=True)
class Team:
    """Servos on one pulse that are judged against each other.

    `function`: what they are; `pair`: what they must do, "" where nobody said; `turns`: by servo;
    `beside`: of things unlike, the function that the others hang on; `against`: who must go
    against it.
    """

    function: str
    pair: str
    turns: Mapping[str, int]
    beside: str = ""
    against: frozenset[str] = frozenset()

    def compare(self, plan: Plan) -> tuple[list[SideBySide], list[MotionGap]]:
        """Lay its servos side by side."""
        return compare(plan, self.pair, self.turns, alike=not self.beside, against=self.against)


@dataclass(frozen=True, slots=True)
class Moved:
    """A servo on a pulse: its own function and what its surface is there; `turn`: +1 or -1."""

    part: Part
    base: str
    surface: str
    turn: int = 1


def teams(plan: Plan, moved: Iterable[Moved], channel: str = "") -> Iterator[Team]:
    """Yield who on one pulse is judged against whom: those alike, then things unlike.

    `channel`: its function, as far as it is known.
    """
    words, groups = plan.words, defaultdict[str, list[Moved]](list)
    for one in moved:
        groups[one.base if words.pair(one.base) == "channel" else one.surface].append(one)
    for name, mine in groups.items():
        pair = pair_of(plan, mine[0].surface, (one.part for one in mine))
        turns = {one.part.id: one.turn for one in mine}
        yield Team(name, "seen" if pair == "channel" else pair, turns)
    hung = defaultdict[str, list[str]](list)
    for name in groups if len(groups) > 1 else ():
        if words.pair(name) not in {"", "any", "own"}:
            hung[_hangs_on(plan, name, {*groups, words.base(channel)})].append(name)
    for anchor, names in hung.items():
        if len(names) > 1 and (not channel or words.agree(anchor, channel)):
            yield _unlike(plan, anchor, {name: groups[name] for name in names})
    if len(hung) > 1 and not channel:
        yield Team(spoken(sorted(hung)), "", {one.part.id: 1 for g in groups.values() for one in g})


def _hangs_on(plan: Plan, name: str, there: set[str]) -> str:
    known = plan.words.find(name)
    return next((on for on in (known.on if known else ()) if on in there), name)


def _unlike(plan: Plan, anchor: str, groups: Mapping[str, list[Moved]]) -> Team:
    """Lay those that were measured side by side; without them all, or one a function to measure."""
    known = {name: plan.words.find(name) for name in groups}
    how = {name: f.beside if f else "" for name, f in known.items() if name != anchor}
    seen = {
        name: [one for one in mine if getattr(one.part, "measured", "")]
        for name, mine in groups.items()
    }
    pair = plan.words.pair(anchor)
    if "" in how.values():
        pair = ""
    elif "seen" in how.values() or pair in {"any", "channel", ""}:
        pair, groups = "seen", {name: seen[name] or mine[:1] for name, mine in groups.items()}
    elif all(seen.values()):
        groups = seen
    turns = {one.part.id: one.turn for mine in groups.values() for one in mine}
    against = (
        one.part.id for name, mine in groups.items() for one in mine if how.get(name) == "opposite"
    )
    return Team(spoken(sorted(how)), pair, turns, anchor, frozenset(against))


def unwritten_mixes(plan: Plan) -> list[Function]:
    """Return the functions of two sticks that are moved, and of which `mixes` says nothing."""
    words = plan.words
    said = {words.base(name) for mix in plan.mixes for name in (mix.kind, *mix.takes)}
    moved = [part.moves for part in plan.parts.values() if part.swings]
    sent = [channel.function for channel in plan.channels.values()]
    outputs = [name for part in plan.parts.values() for name in part.outputs.values()]
    there = {words.base(name) for name in (*moved, *sent, *outputs)} - said
    return [f for f in words.functions.values() if f.name in there and f.mixes]


def on_one_pulse(wiring: Wiring, group: list[Drive]) -> list[Team]:
    """Return who of a shared signal is judged against whom."""
    plan = wiring.plan
    swinging = [drive for drive in group if drive.part.swings]
    moved = [Moved(d.part, base_of(plan, d), surface_of(plan, d), d.reversals) for d in swinging]
    channel = channel_function(plan, group[0].socket)
    return list(teams(plan, moved, channel)) if len(moved) > 1 else []
