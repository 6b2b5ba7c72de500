"""Findings and worst figures that differ, and facts that are lacking now or no longer."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from harness.base.data import dataclass
from harness.base.finding import Finding
from harness.base.near import spoken
from harness.changes.change import Change
from harness.facts.currents import currents
from harness.facts.mend_first import first_words
from harness.parts.figure import rule_figure
from harness.rules.run import Report
from harness.wiring.build import Wiring


@dataclass(frozen=True, slots=True)
class _Judged:
    """A finding as it is told: open, or accepted with a reason."""

    finding: Finding
    because: str = ""

    @property
    def state(self) -> str:
        return "accepted" if self.because else self.finding.severity.word


def finding_changes(old: Report, new: Report, names: Mapping[str, str]) -> Iterator[Change]:
    """Yield findings that are new, gone, accepted, or worse or better than before.

    A finding is the same when rule, parts and place on the part are the same; its words may
    have other figures. One whose rule waits in the other plan is not new or gone, but not judged.
    """
    mine, theirs = _judged(old, names), _judged(new, {})
    for key in sorted({*mine, *theirs}, key=lambda key: _order(key, mine, theirs)):
        before, now = list(mine.get(key, [])), list(theirs.get(key, []))
        for one in list(before):
            twin = next(
                (
                    n
                    for n in now
                    if _renamed(one.finding.message, names) == n.finding.message
                    and n.state == one.state
                ),
                None,
            )
            if twin is not None:
                before.remove(one)
                now.remove(twin)
        for one, twin in zip(before, now, strict=False):
            yield _other(one, twin)
        ended = "not judged now" if key[0] in new.waiting else "gone"
        begun = "not judged before" if key[0] in old.waiting else "new"
        yield from (_one(ended, one) for one in before[len(now) :])
        yield from (_one(begun, one, new=True) for one in now[len(before) :])
    yield from _unknown(old, new, names)


Key = tuple[str, tuple[str, ...], str]


def _order(key: Key, *found: Mapping[Key, list[_Judged]]) -> tuple[int, Key]:
    """The worst first, whichever plan has it."""
    worst = max(one.finding.severity for each in found for one in each.get(key, ()))
    return (-worst, key)


def _judged(report: Report, names: Mapping[str, str]) -> dict[Key, list[_Judged]]:
    found: dict[Key, list[_Judged]] = {}
    every = [_Judged(f) for f in report.findings]
    every += [_Judged(a.finding, a.because) for a in report.accepted]
    for one in every:
        parts = tuple(sorted(names.get(part, part) for part in one.finding.parts))
        found.setdefault((one.finding.rule, parts, one.finding.spot), []).append(one)
    for same in found.values():
        same.sort(key=lambda one: (one.finding.message, one.state))
    return found


def _renamed(message: str, names: Mapping[str, str]) -> str:
    """Return a message with the new names of parts, so that a new name alone is no change."""
    if not names:
        return message
    words = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    pattern = rf"(?<![\w-])({words})(?![\w-])"
    return re.sub(pattern, lambda match: names[match[1]], message)


def _one(verb: str, one: _Judged, *, new: bool = False) -> Change:
    finding = one.finding
    told = f"{one.state}: {finding.message} [{finding.rule}]"
    part = finding.parts[0] if finding.parts else ""
    sides = ("-", told) if new else (told, "-")
    spot = finding.spot if new else ""
    return Change("findings", f"{verb}, {told}", part, finding.rule, *sides, spot)


def _other(old: _Judged, new: _Judged) -> Change:
    """A finding that is still there, with another weight or other figures."""
    if old.state == new.state:
        state = f"still a{'n' * (new.state[0] in 'aeiou')} {new.state}, with other figures"
    else:
        state = f"{old.state} before, {new.state} now"
    because = f", because {new.because}" if new.because else ""
    part = new.finding.parts[0] if new.finding.parts else ""
    text = f"{state}: {new.finding.message}{because} [{new.finding.rule}]"
    return Change(
        "findings",
        text,
        part,
        new.finding.rule,
        f"{old.state}: {old.finding.message}",
        f"{new.state}: {new.finding.message}",
        new.finding.spot,
    )


def _unknown(old: Report, new: Report, names: Mapping[str, str]) -> Iterator[Change]:
    """Yield facts that parts of both plans lack now, or lack no longer, each once."""
    waits = {*old.waiting, *new.waiting}
    mine = {(names.get(u.part, u.part), u.missing) for u in old.unknown if u.rule not in waits}
    theirs = {(u.part, u.missing) for u in new.unknown if u.rule not in waits}
    both = {names.get(part, part) for part in old.plan.parts} & set(new.plan.parts)
    for part, missing in sorted(theirs - mine):
        if part in both:
            text = f"{part}: not known now: {missing}"
            yield Change("findings", text, part, "not known", "-", missing)
    for part, missing in sorted(mine - theirs):
        if part in both:
            text = f"{part}: no longer lacking: {missing}"
            yield Change("findings", text, part, "not known", missing, "-")


OVER = 1.0
Row = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class _Worst:
    """The worst of one row of the load table; None where nobody knows."""

    name: str
    share: float | None
    volts: float | None


def figure_changes(old: Wiring, new: Wiring, names: Mapping[str, str]) -> Iterator[Change]:
    """Yield figures that differ by more than the catalogue's `compare` row, largest share first.

    Rows that only one plan has are left out: they belong to parts that are new or gone. Where one
    of the plans cannot be reckoned there is nothing to compare (`not_reckoned` says why).
    """
    states = tuple("not solved" if not_reckoned(wiring) else "solved" for wiring in (old, new))
    if states[0] != states[1]:
        text = f"the network {'could not be' if states[1] == 'solved' else 'cannot be'} solved"
        yield Change(
            "figures",
            f"{text} {'before' if states[1] == 'solved' else 'now'}",
            "",
            "network",
            *states,
        )
    if "not solved" in states:
        return
    mine, theirs = _worst(old, names), _worst(new, {})
    share = rule_figure(new.plan.catalogue, "compare", "share").number
    volts = rule_figure(new.plan.catalogue, "compare", "volts").number
    found = [
        change
        for key in mine.keys() & theirs.keys()
        for change in _row(key, mine[key], theirs[key], share, volts)
    ]
    yield from (change for _, change in sorted(found, key=lambda pair: (pair[0], pair[1].text)))


def not_reckoned(wiring: Wiring) -> str:
    """Say why there are no figures of a wiring to compare; "" where there are."""
    from harness.electrics.flows import held
    from harness.electrics.network import blamed
    from harness.electrics.solver.circuit import NotSolved

    if words := first_words(wiring):
        return words
    try:
        trouble = held(currents(wiring).wiring).trouble
    except NotSolved as why:
        return f"no solution: {blamed(wiring.plan, why)}"
    same: dict[str, list[str]] = {}
    for case, failure in trouble.items():
        same.setdefault(blamed(wiring.plan, failure), []).append(case)
    return "; ".join(f"no solution in {spoken(cases)}: {why}" for why, cases in same.items())


def _worst(wiring: Wiring, names: Mapping[str, str]) -> dict[Row, _Worst]:
    """Return the worst of every row by kind, part and port, as the load table has it."""
    import numpy as np

    from harness.electrics.flows import held
    from harness.electrics.rows import rows_of

    found: dict[Row, _Worst] = {}
    for row in rows_of(held(currents(wiring).wiring)):
        share, volts = row.share[row.worst], None
        if row.volts is not None and np.isfinite(row.volts).any():
            volts = float(np.nanmin(row.volts))
        known = float(share) if np.isfinite(share) else None
        found[row.kind, names.get(row.part, row.part), row.port] = _Worst(row.name, known, volts)
    return found


def _row(
    key: Row, old: _Worst, new: _Worst, share: float, volts: float
) -> Iterator[tuple[float, Change]]:
    if old.share is not None and new.share is not None:
        passes = (old.share > OVER) != (new.share > OVER)
        if passes or abs(new.share - old.share) >= share:
            before, now = (f"{round(100 * one)} %" for one in (old.share, new.share))
            text = f"{new.name}: at worst {now} of what it bears, before {before}"
            worst = -max(old.share, new.share)
            yield worst, Change("figures", text, key[1], f"{key[0]} share", before, now)
    if old.volts is not None and new.volts is not None and abs(new.volts - old.volts) >= volts:
        before, now = (f"{one:.2f} V" for one in (old.volts, new.volts))
        text = f"{new.name}: lowest {now}, before {before}"
        yield 0.0, Change("figures", text, key[1], f"{key[0]} volts", before, now)
