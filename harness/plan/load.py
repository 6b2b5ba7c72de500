"""From a plan's text to a Plan, or to a list of what keeps it from being one."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as AbcMapping
from typing import cast

from harness.base.near import spoken
from harness.base.span import Source, Span
from harness.catalogue import Catalogue, UnknownClass, load
from harness.parts.kinds import GROUPS
from harness.parts.part import Part
from harness.plan.airframe import Cover, Duct, Place
from harness.plan.airframe_names import check_airframe, check_places, read_named
from harness.plan.case_names import check_names, read_cases
from harness.plan.plan import HEAD, Plan
from harness.reading.kinds import BAD, Reading
from harness.reading.nodes import Entry, Mapping, Node, Scalar, compose, is_empty
from harness.reading.problems import PlanError, Problem
from harness.reading.records import read_record
from harness.reading.text import read_source

SEEN = frozenset({"measured", "metered", "tested"})
"""What was seen of one part on the bench, wherever it stands in it: true of no other part."""
NOT_REPEATED = SEEN | {"plug", "plugs", "supply", "across", "code", "like", "route"}
"""What `like:` leaves out: where a part is plugged, its own label, and what was seen of it."""

NAMED: AbcMapping[str, type[Duct] | type[Cover]] = {"ducts": Duct, "covers": Cover}
"""The keys of the head whose records know their own id."""

Classes = AbcMapping[str, AbcMapping[str, AbcMapping[str, str]]]
"""A plan's own classes: table, class, figure, text."""

MOST_ALIKE = 30
"""How long a chain of `like:` may be."""


def load_plan(path: str) -> Plan:
    """Read the plan at `path` (`-`: standard input). Raises PlanError."""
    return parse_plan(read_source(path))


def parse_plan(source: Source) -> Plan:
    """Read a plan from its text. Raises PlanError with every problem found."""
    top = compose(source)
    if not isinstance(top, Mapping):
        problem = Problem("a plan is a mapping that starts with `plan: 1`", top.span)
        raise PlanError(source, [problem])
    at = Reading()
    _known_keys(top, at)
    head = {k: _head(k, top, at) for k in HEAD if k in top.entries}
    _wanted(top, at)
    parts = _parts(top, at)
    plan = _plan(source, top, head, parts, at)
    if at.problems:
        raise PlanError(source, at.problems)
    return plan


def _known_keys(top: Mapping, at: Reading) -> None:
    known = [*HEAD, *GROUPS]
    for word, entry in top.entries.items():
        if word not in known:
            at.wrong(f'"{word}" is not a key of a plan', entry.key.span, at.hint(word, known))


def _wanted(top: Mapping, at: Reading) -> None:
    for word, example in (("plan", "plan: 1"), ("aircraft", "aircraft: Saltmarsh 19")):
        if word not in top.entries:
            at.wrong(f'the key "{word}" is missing', Span.at(1, 1), f"write `{example}`")


def _head(word: str, top: Mapping, at: Reading) -> object:
    kind, _ = HEAD[word]
    node = top.entries[word].node
    if word == "places":
        return _places(node, at)
    if is_empty(node) and word not in {"plan", "aircraft"}:
        return None
    if word in NAMED:
        return read_named(NAMED[word], _entries(node, at, word), at)
    if word == "cases":
        return read_cases(_entries(node, at, word), at)
    return kind.read(node, at)


def _places(node: Node, at: Reading) -> dict[str, Place]:
    found = read_named(Place, _entries(node, at, "places"), at)
    check_places(found, [entry.key.text for entry in _entries(node, at, "places")], at)
    return found


def _entries(node: Node, at: Reading, group: str) -> Iterable[Entry]:
    if is_empty(node):
        return ()
    if not isinstance(node, Mapping):
        of = group if group in HEAD else "parts"
        at.wrong(f'"{group}" is a mapping from ids to {of}', node.span, "write `id: {key: value}`")
        return ()
    return node.entries.values()


def _parts(top: Mapping, at: Reading) -> dict[str, Part]:
    found: dict[str, Part] = {}
    spans: dict[str, Span] = {}
    for group, cls in GROUPS.items():
        if group not in top.entries:
            continue
        for entry in _entries(top.entries[group].node, at, group):
            name = entry.key.text
            if name in spans:
                where = f"first on line {spans[name].line}"
                at.wrong(f'the id "{name}" is used twice: {where}', entry.key.span)
                continue
            spans[name] = entry.key.span
            part = _part(group, cls, entry, top, at)
            if part is not None:
                found[name] = part
    order = sorted(found, key=lambda name: spans[name])
    return {name: found[name] for name in order}


def _part(group: str, cls: type[Part], entry: Entry, top: Mapping, at: Reading) -> Part | None:
    from harness.reading.kinds import Name

    if Name().read(entry.key, at) is BAD:
        return None
    whole = _repeated(group, entry, top, at, [entry.key.text])
    if whole is None:
        return None
    part = read_record(cls, whole, at, id=entry.key.text, span=entry.key.span)
    return None if part is BAD else part


def _repeated(group: str, entry: Entry, top: Mapping, at: Reading, chain: list[str]) -> Node | None:
    """Return a part's mapping with what `like:` repeats laid under it."""
    node = entry.node
    like = node.entries.get("like") if isinstance(node, Mapping) else None
    if like is None or not isinstance(like.node, Scalar):
        return node
    pool = top.get(group)
    others = pool.entries if isinstance(pool, Mapping) else {}
    name = like.node.text
    if name not in others:
        message = f'there is no "{name}" among the {group}'
        return at.wrong(message, like.node.span, at.hint(name, others)) and None
    if name in chain:
        ring = sorted({*chain, name})
        message = f"{spoken(ring)} {'is like itself' if len(ring) == 1 else 'are like one another'}"
        return at.wrong(message, like.node.span, "one of them must say it all") and None
    if len(chain) > MOST_ALIKE:
        message = f"this repeats a part that repeats a part, more than {MOST_ALIKE} deep"
        return at.wrong(message, like.node.span, "name the first of them") and None
    base = _repeated(group, others[name], top, at, [*chain, name])
    if not isinstance(base, Mapping) or not isinstance(node, Mapping):
        return node
    kept = {k: _unseen(v) for k, v in base.entries.items() if k not in NOT_REPEATED}
    return Mapping({**kept, **node.entries}, node.span)


def _unseen(entry: Entry) -> Entry:
    """Leave out what was seen of the other part inside a value: the meter was not on this BEC."""
    if not isinstance(entry.node, Mapping) or not SEEN & set(entry.node.entries):
        return entry
    inner = {k: v for k, v in entry.node.entries.items() if k not in SEEN}
    return Entry(entry.key, Mapping(inner, entry.node.span))


def _plan(
    source: Source, top: Mapping, head: dict[str, object], parts: dict[str, Part], at: Reading
) -> Plan:
    good = {k: v for k, v in head.items() if v is not BAD and v is not None and k != "plan"}
    classes = cast("Classes", good.pop("classes", {}))
    names = {"label-stocks": "stocks"}
    values = {names.get(k, k).replace("-", "_"): v for k, v in good.items()}
    catalogue = _catalogue(classes, top, at)
    channels = top.entries.get("channels")
    span = channels.key.span if channels else Span.at(1, 1)
    values.setdefault("aircraft", "")
    plan = Plan(source=source, parts=parts, catalogue=catalogue, channels_span=span, **values)  # type: ignore[arg-type]
    _references(plan, top, at)
    return plan


def _catalogue(classes: Classes, top: Mapping, at: Reading) -> Catalogue:
    catalogue = load()
    for entry in _pairs(top.get("classes")):
        table = entry.key.text
        if table not in classes:
            continue
        try:
            catalogue = catalogue.with_rows(table, _from_plan(classes[table]))
        except (UnknownClass, ValueError) as error:
            if table in catalogue.tables():
                _wrong_figures(table, entry.node, at)
            else:
                at.wrong(str(error), entry.key.span)
    return catalogue


def _from_plan(
    rows: AbcMapping[str, AbcMapping[str, str]],
) -> dict[str, dict[str, tuple[str, str]]]:
    return {row: {k: (v, "plan") for k, v in values.items()} for row, values in rows.items()}


def _wrong_figures(table: str, rows: Node, at: Reading) -> None:
    """Try each figure of a plan's own classes alone, to point at the wrong ones."""
    for row in _pairs(rows):
        for figure in _pairs(row.node):
            text = figure.node.text if isinstance(figure.node, Scalar) else ""
            try:
                load().with_rows(table, _from_plan({row.key.text: {figure.key.text: text}}))
            except UnknownClass as error:
                at.wrong(str(error), figure.key.span)
            except ValueError as error:
                at.wrong(str(error), figure.node.span)


def _pairs(node: Node | None) -> Iterable[Entry]:
    return node.entries.values() if isinstance(node, Mapping) else ()


def _ids(top: Mapping) -> list[str]:
    """Return every id in the text, also of parts that could not be read."""
    groups = (top.get(group) for group in GROUPS)
    return [name for g in groups if isinstance(g, Mapping) for name in g.entries]


def _references(plan: Plan, top: Mapping, at: Reading) -> None:
    """Check that every name of another part, place or class exists."""
    ids = _ids(top)
    entries = _entries(top.get("places") or Mapping({}, top.span), at, "places")
    bays = [entry.key.text for entry in entries]
    for part in plan.parts.values():
        if part.place and part.place not in bays:
            _no(at, "place", part.place, part.at("place"), bays)
        for _, join in part.joins():
            if join.part == part.id:
                at.wrong(f"{part.named()} is plugged into itself", join.span)
        named = ((join.part, join.span) for _, join in part.joins())
        for name, span in (*named, *part.others()):
            if name and name not in ids:
                _no(at, "part", name, span, ids)
        _class_exists(plan, part, at)
        for message, span, right in part.slips(plan.catalogue):
            at.wrong(message, span, right)
    ends = [(f.end.partition(".")[0], f.spans["end"]) for f in plan.as_found]
    for name, span in (*ends, *((a.part, a.spans["part"]) for a in plan.accepted)):
        if name not in ids:
            _no(at, "part", name, span, ids)
    check_names(plan, top, ids, at)
    check_airframe(plan, bays, ids, at)


def _class_exists(plan: Plan, part: Part, at: Reading) -> None:
    for word, table, name in part.classes():
        rows = plan.catalogue.rows(table)
        if name and name not in rows:
            at.wrong(f'there is no class "{name}" in {table}', part.at(word), at.hint(name, rows))


def _no(at: Reading, what: str, name: str, span: Span, pool: list[str]) -> None:
    at.wrong(f'there is no {what} "{name}"', span, at.hint(name, pool))
