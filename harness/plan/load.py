"""From a plan's text to a Plan, or to a list of what keeps it from being one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from collections.abc import Mapping as AbcMapping
from typing import Any

from harness import PLAN_FORMAT, __version__
from harness.base.data import replace
from harness.base.near import hint, nearest
from harness.base.span import Source, Span
from harness.catalogue import Catalogue, UnknownClass, load
from harness.catalogue.functions import TABLE, vocabulary_of
from harness.parts.join import Join
from harness.parts.kinds import GROUPS
from harness.parts.part import Part
from harness.plan.as_found import impossible
from harness.plan.names import check_airframe, check_names, no_class
from harness.plan.plan import Plan
from harness.plan.radio import Channel
from harness.plan.schema import MUST, PLAN, homes_of
from harness.plan.short import ShortForms
from harness.reading.kinds import MapOf
from harness.reading.nodes import Mapping, Node, Scalar, compose, entries_of, is_empty, names_in
from harness.reading.problems import PlanError, Problem, Reading
from harness.reading.records import keys_of
from harness.reading.structure import Trail, judge, shipped
from harness.reading.text import NEW, read_source

Classes = AbcMapping[str, AbcMapping[str, AbcMapping[str, str]]]
"""A plan's own classes: table, class, figure, text."""


def load_plan(path: str) -> Plan:
    """Read the plan at `path` (`-`: standard input). Raises PlanError."""
    return parse_plan(read_source(path))


def parse_plan(source: Source) -> Plan:
    """Read a plan from its text. Raises PlanError with every problem found."""
    top = compose(source)
    if not isinstance(top, Mapping):
        problem = Problem(f"a plan begins with `{MUST['plan']}`", top.span, NEW)
        raise PlanError(source, [problem])
    _not_newer(source, top.get("plan"))
    radio = next(iter(entries_of(top.get("receivers"))), None)
    at = Reading(source, homes_of, radio.key.text if radio else "rx")
    short = ShortForms.of(top, at)
    meant = short.laid_out()
    _used_twice(meant, at)
    spoilt = {path[:2] for path in judge(shipped("plan"), PLAN, meant, at)}
    values = {word: PLAN.keys[word].kind.convert(node) for word, node in _good(meant, spoilt)}
    plan = _plan(source, meant, values, short.unread, at)
    plan = replace(plan, likes=dict(short.likes()))
    if at.problems:
        raise PlanError(source, at.problems)
    return plan


def _not_newer(source: Source, stated: Node | None) -> None:
    """Refuse a plan of a later format in one line: what else it says can only be misread."""
    text = stated.text if isinstance(stated, Scalar) else ""
    if stated and re.fullmatch("[1-9][0-9]{0,3}", text) and int(text) > PLAN_FORMAT:
        why = f"plan format {text} is newer than the {PLAN_FORMAT} that harness {__version__} reads"
        raise PlanError(source, [Problem(why, stated.span, "install a newer harness")])


def _used_twice(top: Mapping, at: Reading) -> None:
    """Note every id that stands in two groups."""
    first: dict[str, Span] = {}
    for entry in (entry for group in GROUPS for entry in entries_of(top.get(group))):
        name, span = entry.key.text, entry.key.span
        if name in first:
            where = f"first on line {first[name].line}"
            at.wrong(
                f'the id "{name}" is used twice: {where}', span, "give one of them another name"
            )
        first.setdefault(name, span)


def _good(meant: Mapping, spoilt: set[Trail]) -> Iterator[tuple[str, Node]]:
    """Yield what can be read: a value without faults, or those of its entries that have none."""
    for word, entry in meant.entries.items():
        node, known = entry.node, PLAN.keys.get(word)
        if known is None or is_empty(node) or (word,) in spoilt:
            continue
        if isinstance(known.kind, MapOf) and isinstance(node, Mapping):
            good = {name: e for name, e in node.entries.items() if (word, name) not in spoilt}
            yield word, Mapping(good, node.span)
        elif not any(path[:1] == (word,) for path in spoilt):
            yield word, node


def _plan(
    source: Source, top: Mapping, values: dict[str, Any], unread: dict[str, None], at: Reading
) -> Plan:
    groups = [values.pop(group) for group in GROUPS if group in values]
    parts = {part.id: part for group in groups for part in group.values()}
    parts = dict(sorted(parts.items(), key=lambda named: named[1].span))
    catalogue = _catalogue(values.pop("classes", {}), top, at)
    parts = {name: _as_spelt(part, catalogue) for name, part in parts.items()}
    if own := values.get("functions"):
        rows = {name.lower(): word.row() for name, word in own.items()}
        catalogue = catalogue.with_rows(TABLE, _from_plan(rows))
        words = vocabulary_of(catalogue)
        parts = {name: replace(part, words=words) for name, part in parts.items()}
    values.pop("plan", None)
    names = {"label-stocks": "stocks"}
    values = {names.get(k, k).replace("-", "_"): v for k, v in values.items()}
    values["channels"] = _numbered(values.get("channels", {}), top, parts, at)
    channels = top.entries.get("channels")
    span = channels.key.span if channels else Span.at(1, 1)
    values.setdefault("aircraft", "")
    plan = Plan(source=source, parts=parts, catalogue=catalogue, channels_span=span, **values)
    _references(plan, top, unread, at)
    for found in plan.as_found:
        seen = plan.parts.get(found.part)
        for wrong in impossible(found, seen, catalogue) if seen else ():
            at.wrong(*wrong)
    return replace(plan, channels={**plan.channels, **dict(_printed(plan))})


def _as_spelt(part: Part, catalogue: Catalogue) -> Part:
    """Give a part's classes as the catalogue spells them: Lipo is lipo, XT-60 is XT60."""
    right: dict[str, Any] = {}
    for word, table, name in part.classes():
        rows = catalogue.rows(table) if name else ()
        same = [row for row in rows if _folded(row) == _folded(name)]
        if name and name not in rows and len(same) == 1:
            field = next(key.attribute for key in keys_of(type(part)).values() if key.word == word)
            right[field] = same[0]
    return replace(part, **right) if right else part


def _folded(name: str) -> str:
    return re.sub("[-_ ]", "", name.lower())


def _numbered(
    channels: AbcMapping[str, Channel], top: Mapping, parts: AbcMapping[str, Part], at: Reading
) -> dict[str, Channel]:
    """Return the channels by their numbers, where they stand under the names of sockets."""
    radios = [part.channels for part in parts.values() if part.is_radio]
    found: dict[str, Channel] = {}
    named: dict[str, str] = {}
    for name, channel in channels.items():
        number = next((sockets[name] for sockets in radios if name in sockets), name)
        if number in found:
            span = next(e.key.span for e in entries_of(top.get("channels")) if e.key.text == name)
            at.wrong(f'channel {number} stands here twice: "{named[number]}" and "{name}"', span)
        found[number], named[number] = channel, name
    return found


def _printed(plan: Plan) -> Iterator[tuple[str, Channel]]:
    """Yield channels that nobody names, but the receiver's print does: something is plugged in."""
    used = {join.into for part in plan.parts.values() for _, join in part.joins()}
    there = {plan.words.base(channel.function) for channel in plan.channels.values()}
    for part in plan.parts.values():
        for name, number in part.channels.items() if part.is_radio else ():
            function = plan.words.find(name)
            free = number not in plan.channels and f"{part.id}.{name}" in used
            if free and function and function.flown and function.name not in there:
                side = plan.words.side(name)
                word = f"{function.name}-{side}" if side else function.name
                yield number, Channel(function=word, span=part.at("sockets"))


def _catalogue(classes: Classes, top: Mapping, at: Reading) -> Catalogue:
    catalogue = load()
    for entry in entries_of(top.get("classes")):
        table = entry.key.text
        wrong = table not in classes
        try:
            catalogue = catalogue.with_rows(table, _from_plan(classes.get(table, {})))
        except (UnknownClass, ValueError) as error:
            wrong = table in catalogue.tables()
            if not wrong:
                at.wrong(str(error), entry.key.span)
        if wrong:
            _wrong_figures(table, entry.node, at)
    return catalogue


def _from_plan(
    rows: AbcMapping[str, AbcMapping[str, str]],
) -> dict[str, dict[str, tuple[str, str]]]:
    return {row: {k: (v, "plan") for k, v in values.items()} for row, values in rows.items()}


def _wrong_figures(table: str, rows: Node, at: Reading) -> None:
    """Try each figure of a plan's own classes alone, to point at the wrong ones."""
    for row in entries_of(rows):
        for figure in entries_of(row.node):
            if not isinstance(figure.node, Scalar) or is_empty(figure.node):
                continue
            try:
                one = {row.key.text: {figure.key.text: figure.node.text}}
                load().with_rows(table, _from_plan(one))
            except UnknownClass as error:
                at.wrong(str(error), figure.key.span)
            except ValueError as error:
                at.wrong(str(error), figure.node.span)


def _references(plan: Plan, top: Mapping, unread: dict[str, None], at: Reading) -> None:
    """Check that every name of another part, place or class exists, or is one of the `unread`."""
    ids = {name: None for group in GROUPS for name in names_in(top.get(group))} | unread
    own = {
        row.key.text for table in entries_of(top.get("classes")) for row in entries_of(table.node)
    }
    bays = [*names_in(top.get("places")), *unread]
    for part in plan.parts.values():
        if part.place and part.place not in bays:
            at.unknown("place", part.place, part.at("place"), bays)
        _joined(part, plan, ids, at)
        for name, span in part.others():
            if name and name not in ids:
                at.unknown("part", name, span, ids)
        _class_exists(plan, own, part, at)
        for message, span, right in part.slips(plan.catalogue):
            at.wrong(message, span, right)
    ends = [(f.part, f.spans["end"]) for f in plan.as_found]
    for name, span in (*ends, *((a.part, a.spans["part"]) for a in plan.accepted)):
        if name not in ids:
            at.unknown("part", name, span, ids)
    check_names(plan, top, ids, at)
    check_airframe(plan, bays, ids, at)


def _joined(part: Part, plan: Plan, ids: AbcMapping[str, None], at: Reading) -> None:
    """Check that the parts exist that a part is plugged into."""
    for _, join in part.joins():
        if join.part == part.id:
            at.wrong(f"{part.named()} is plugged into itself", join.span)
        elif join.part not in ids:
            at.wrong(*_no_part(join, part, plan, {} if at.many else ids))


def _no_part(
    join: Join, part: Part, plan: Plan, ids: AbcMapping[str, None]
) -> tuple[str, Span, str]:
    """Say what is wrong with a socket of a part that is not there, and which is meant."""
    name, message = join.part, f'there is no part "{join.part}"'
    if (glued := re.fullmatch(r"(.+?)([/_-]?)([0-9]+)", join.into)) and glued[1] in ids:
        wrong = f'"{join.into}" is not a socket' if glued[2] else message
        return wrong, join.span, f'write "{glued[1]}.{glued[3]}"'
    for other in plan.parts.values():
        if other.code == name:
            return message, join.span, by_code(name, other, join.socket, plan.parts)
    radios = [other.id for other in plan.parts.values() if other.is_radio]
    if name.isdecimal() and len(radios) == 1:
        return message, join.span, f'write "{radios[0]}.{name}"'
    close = nearest(name, ids)
    if ids and close is None:
        kinds = {
            other.word: [p.id for p in plan.parts.values() if p.word == other.word]
            for other in plan.parts.values()
            if other is not part
        }
        word = nearest(name, kinds)
        if word and len(kinds[word]) == 1:
            right = ".".join(filter(None, (kinds[word][0], join.socket)))
            return message, join.span, f'the only {word} is "{kinds[word][0]}": write "{right}"'
    return message, join.span, hint(name, [close] if close else ids)


def by_code(code: str, of: Part, socket: str, parts: AbcMapping[str, Part]) -> str:
    """Say which socket is meant by a label code; a lead's code is no name."""
    if not of.in_line:
        radio = next((other.id for other in parts.values() if other.has_channels), "rx")
        return (
            f"{code} is the label code of {of.named()}, which has no socket: name the one its "
            f"plug goes into, such as {radio}.1"
        )
    what = "" if socket else ", its socket"
    return f'{code} is the label code of {of.named()}: write "{of.id}.{socket or 1}"{what}'


def _class_exists(plan: Plan, own: set[str], part: Part, at: Reading) -> None:
    """A class is one of the catalogue, or of the plan's `own`, be that right or not."""
    for word, table, name in part.classes():
        rows = plan.catalogue.rows(table)
        if name and name not in rows and name not in own:
            at.wrong(*no_class(name, table, part.at(word), () if at.many else rows))
