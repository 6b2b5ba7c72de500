"""The shopping list: what a plan still lacks, alike things together.

A 3-pin lead is bought in the next stock length; a battery lead is made to its own length. Both
ends are named so that they can be told in a shop: common practice, no published source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from harness.airframe.kit import Kit, Missing
from harness.airframe.kit.fit import BATTERY, THREE_PIN, WORDS, KitNeed, mm
from harness.airframe.stock import stock_lengths
from harness.base.data import dataclass
from harness.base.near import counted
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.plan.plan import Plan
from harness.wiring.ratings import split_told

GROUPS = ("3-pin leads", "battery leads", "leads to make up", "parts")
"""The groups of a shopping list, in their order."""


@dataclass(frozen=True, slots=True)
class Purchase:
    """`count` alike things to buy, for `parts`.

    `length`: what to buy, in mm (None where the plan states none); `stated`: the lengths the
    plan states; `wire` its gauge in words; `ends` the plugs and sockets; `nearest` why what is
    left of the kit does not do.
    """

    group: str
    kind: str
    what: str
    count: int
    length: float | None
    wire: str
    ends: str
    parts: tuple[Part, ...]
    stated: tuple[float, ...] = ()
    made: bool = False
    nearest: tuple[str, ...] = ()

    @property
    def size(self) -> str:
        """Length and gauge in words."""
        return f"{self.length_words}, {self.wire}" if self.wire else self.length_words

    @property
    def counted(self) -> str:
        """How many of what: "1 extension", "2 servos, 17g-digital"."""
        if self.count == 1:
            return f"1 {self.what}"
        one, many = WORDS[self.kind]
        one, many = ("-way lead", "-way leads") if self.kind == "n-way" else (one, many)
        what = self.what.replace(one, many, 1)
        return f"{self.count} {what}"

    @property
    def other_lengths(self) -> str:
        """The lengths the plan states, where the one to buy is another."""
        return ", ".join(mm(length) for length in self.stated if length != self.length)

    @property
    def length_words(self) -> str:
        """The length to buy in words."""
        if self.group == "parts":
            return ""
        if self.length is None:
            return "length not stated: measure it"
        return f"{mm(self.length)}, made to length" if self.made else mm(self.length)


def shopping(kit: Kit) -> tuple[Purchase, ...]:
    """Return what must be bought or made, alike things together, leads first."""
    alike: dict[tuple[object, ...], list[Missing]] = defaultdict(list)
    stock = stock_lengths(kit.plan)
    for missing in kit.missing:
        alike[_key(kit.plan, missing.need, stock)].append(missing)
    found = [_purchase(kit.plan, group, stock) for group in alike.values()]
    return tuple(sorted(found, key=_order))


def _order(purchase: Purchase) -> tuple[object, ...]:
    place = (GROUPS.index(purchase.group), list(WORDS).index(purchase.kind))
    return (*place, purchase.what, purchase.length or 0.0, purchase.wire, purchase.ends)


def _key(plan: Plan, need: KitNeed, stock: Sequence[float]) -> tuple[object, ...]:
    return (
        need.kind,
        need.ways,
        _length(need, stock),
        _wire(plan, need),
        _ends(need),
        need.class_,
        need.split,
    )


def _purchase(plan: Plan, group: Sequence[Missing], stock: Sequence[float]) -> Purchase:
    need = group[0].need
    length = _length(need, stock)
    stated = {m.need.length for m in group if m.need.length is not None}
    made = need.kind in BATTERY or (length is not None and length > stock[-1])
    return Purchase(
        _group(need),
        need.kind,
        _what(need),
        sum(m.count for m in group),
        length,
        _wire(plan, need),
        _ends(need),
        tuple(m.need.part for m in group),
        tuple(sorted(stated)),
        made or need.kind == "custom",
        tuple(dict.fromkeys(m.nearest for m in group if m.nearest)),
    )


def _group(need: KitNeed) -> str:
    if need.kind == "custom":
        return "leads to make up"
    if need.kind in THREE_PIN:
        return "3-pin leads"
    return "battery leads" if need.kind in BATTERY else "parts"


def _what(need: KitNeed) -> str:
    """Return "Y-lead", "4-way lead", "servo, 17g-digital"."""
    word = f"{need.ways}-way lead" if need.kind == "n-way" else WORDS[need.kind][0]
    facts = [need.class_, need.connector] if _group(need) == "parts" else []
    word = " ".join(filter(None, (need.lie, word, split_told(need.part))))
    return ", ".join([word, *(fact for fact in facts if fact)])


def _length(need: KitNeed, stock: Sequence[float]) -> float | None:
    """Round a 3-pin lead up to the next stock length; longer than all of them it is made."""
    if need.length is None or need.kind == "custom" or need.kind not in THREE_PIN:
        return need.length
    return next((length for length in stock if length >= need.length), need.length)


def _wire(plan: Plan, need: KitNeed) -> str:
    """Return the gauge that the plan states, else the usual one of its kind, else that none is."""
    if _group(need) == "parts":
        return ""
    if need.wire is not None:
        return need.wire.text
    usual = plan.catalogue.value("leads", need.kind, "wire")
    return f"{usual.text} as usual" if usual else "gauge not stated"


def _ends(need: KitNeed) -> str:
    """Return plugs and sockets in words; the live side wears the socket."""
    if isinstance(need.part, PowerLead):
        return _battery_ends(need.part)
    if need.part.carries_signal:
        return f"1 plug (female), {counted(len(need.part.outlets), 'socket')} (male)"
    return ""


def _battery_ends(part: PowerLead) -> str:
    plugs = max(len(part.supply), 2 if part.kind == "series" else 1)
    near = part.connector_in or part.connector or "connector not stated"
    far = part.connector or "connector not stated"
    source = f"{counted(plugs, 'plug')} {near} (male) to the pack side"
    if part.kind == "jumper":
        return f"{source}, both contacts bridged"
    loads = f"{counted(part.ways, 'socket')} {far} (female) to the loads"
    crossed = ", poles crossed" if part.crossed else ""
    removable = f", and the loose plug that closes it, {far}" if part.kind == "arming" else ""
    return f"{source}, {loads}{crossed}{removable}"


def leads_to_buy(purchases: Sequence[Purchase]) -> int:
    """Return how many 3-pin leads must be bought: what `buy-at-most` limits."""
    return sum(p.count for p in purchases if p.group == GROUPS[0])
