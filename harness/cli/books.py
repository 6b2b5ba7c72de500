"""The commands that look something up: the starter plan, the keys of a plan, the rules."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from itertools import groupby
from typing import Any

from harness.base.near import hint, spoken
from harness.catalogue.functions import vocabulary
from harness.cli.classes import OF_GROUPS, class_lines
from harness.cli.exits import CannotRun
from harness.cli.say import say, style
from harness.paper.text import wrapped
from harness.parts.kinds import GROUPS
from harness.plan.plan import HEAD
from harness.reading.kinds import Choice, Kind, ListOf, MapOf
from harness.reading.records import Key, RecordOf, keys_of

WIDTH = 100
COLUMN = 22


def new(start: str | None) -> None:
    """Print a commented plan to start from: one with every key, or one of an aeroplane."""
    folder = files("harness.plan").joinpath("starters")
    say(folder.joinpath(f"{start}.yaml").read_text("utf-8") if start else starter_text(), end="")


def keys(name: str | None) -> None:
    """List what may stand in a plan, or say what may stand in one group."""
    say(key_page(name) if name else key_list())


def rules(name: str | None) -> None:
    """List the rules, or print one rule's page."""
    say(rule_page(name) if name else rule_list())


def starter_text() -> str:
    """Return the starter; every group that it does not speak of is named at its end."""
    text = files("harness.plan").joinpath("starter.yaml").read_text("utf-8")
    others = [group for group in GROUPS if group not in text]
    return text + "".join(f"#   {group}: {GROUPS[group].word}s, by id\n" for group in others)


def key_list() -> str:
    """Return the groups of a plan and what each is, in the order documents list them."""
    head = [(word, about) for word, (_, about) in HEAD.items()]
    parts = [(word, _summary(cls)) for word, cls in GROUPS.items()]
    lines = ["The keys of a plan (`harness keys NAME` says what stands in one):"]
    for title, rows in (("what a plan says of the whole", head), ("its parts", parts)):
        lines += ["", f"{title}:", *(line for row in rows for line in _row(*row))]
    pages = (*_row("plugs", "the classes of plugs"), *_row("wires", "the gauges of wires"))
    lines += ["", "what parts are made with:", *pages]
    return "\n".join(lines)


def key_page(name: str) -> str:
    """Return the keys of one group, and those of the mappings inside it. Raises CannotRun."""
    lines: list[str] = []
    if name in GROUPS:
        lines = [
            *wrapped(f"{name}: {_summary(GROUPS[name])}", WIDTH),
            "",
            "Each part, by an id of your own:",
        ]
        lines += _record(GROUPS[name], set())
    elif name in HEAD:
        kind, about = HEAD[name]
        lines = wrapped(f"{name}: {about}; wanted is {kind.noun}", WIDTH)
        inner = _inner(kind)
        lines += ["", *_record(inner, set())] if inner else []
        lines += ["", *_known_words()] if name == "functions" else []
        if name == "places":
            lines += ["", "Below a place, the parts that sit there:"]
            lines += [row for group, cls in GROUPS.items() for row in _row(group, _summary(cls))]
    elif name not in OF_GROUPS:
        help_ = hint(name, [*HEAD, *GROUPS, *OF_GROUPS]) or "`harness keys` lists them"
        raise CannotRun(f'"{name}" is not a key of a plan; {help_}')
    classes = list(class_lines(name))
    lines += ["", *classes] if lines and classes else classes
    return "\n".join(lines)


def _known_words() -> Iterator[str]:
    """Yield every function that is known: what two of them must do, and its other words."""
    words = vocabulary()
    spellings = words.spellings()
    yield "The words it knows, with any side, number, plural or word of place:"
    for name, function in words.functions.items():
        of = f"moves for {spoken(function.mixes)}, " if function.mixes else ""
        on = f"; also on the channel of {spoken(function.on, 'or')}" if function.on else ""
        on += f" (beside: {function.beside})" if function.beside else ""
        on += f"; without signal: {function.failsafe}" if function.failsafe else ""
        also = f"; also called {', '.join(spellings[name])}" if spellings[name] else ""
        yield from _row(name, f"{of}{function.pair}{on}{also}")
    for title, known in (("sides", words.sides), ("place", words.places)):
        yield from _row(title, ", ".join(known))


def _summary(cls: type[Any]) -> str:
    return (cls.__doc__ or "").strip().split("\n", 1)[0].rstrip(".")


def _record(cls: type[Any], told: set[type[Any]]) -> Iterator[str]:
    """Yield the keys of a record, then those of the records inside it, each once."""
    told.add(cls)
    inside: list[tuple[str, type[Any]]] = []
    for key in keys_of(cls).values():
        yield from _key(key)
        inner = _inner(key.kind)
        if inner is not None and inner not in told:
            told.add(inner)
            inside.append((key.word, inner))
    for word, inner in inside:
        yield from ("", *wrapped(f"{word}: {_summary(inner)}", WIDTH))
        yield from _record(inner, told)


def _key(key: Key) -> Iterator[str]:
    must = " (must be given)" if key.required else ""
    choice = _choice(key.kind)
    if choice is None:
        yield from _row(key.word, f"{key.about}{must}; {key.kind.noun}")
        return
    yield from _row(key.word, f"{key.about}{must}:")
    for word, meaning in choice.meanings.items():
        yield from wrapped(f"{'':{COLUMN + 4}}{word}: {meaning}", WIDTH, " " * (COLUMN + 8))


def _choice(kind: Kind) -> Choice | None:
    """Return the words to choose from, also of a list of them."""
    while isinstance(kind, ListOf):
        kind = kind.item
    return kind if isinstance(kind, Choice) else None


def _inner(kind: Any) -> type[Any] | None:
    """Return the record inside a kind, through lists, mappings and "one word or"."""
    while not isinstance(kind, RecordOf):
        if isinstance(kind, ListOf):
            kind = kind.item
        elif isinstance(kind, MapOf):
            kind = kind.value
        elif hasattr(kind, "kind"):
            kind = kind.kind
        else:
            return None
    return kind.cls


def _row(word: str, text: str) -> list[str]:
    return wrapped(f"  {word:<{COLUMN}}{text}", WIDTH, " " * (COLUMN + 2))


def rule_list() -> str:
    """Return every rule with its severity and summary, by family."""
    from harness.cli.frames import TINT
    from harness.rules.run import all_rules

    found = sorted(all_rules().values(), key=lambda r: (r.family, r.name))
    widest = max(len(rule.name) for rule in found)
    lines = []
    for family, rules in groupby(found, key=lambda r: r.family):
        lines += ["", style(family, bold=True)]
        for rule in rules:
            severity = style(f"{rule.words:<16}", tint=TINT[rule.severity])
            lines.append(f"  {rule.name:<{widest}}  {severity} {rule.summary}")
    lines += ["", "`harness rules NAME` prints a rule's page."]
    return "\n".join(lines[1:])


def rule_page(name: str) -> str:
    """Return one rule's page. Raises CannotRun for a name that is no rule."""
    from harness.rules.run import all_rules

    rules = all_rules()
    if name not in rules:
        advice = hint(name, rules) or "`harness rules` lists them"
        raise CannotRun(f'there is no rule "{name}"; {advice}')
    rule = rules[name]
    head = f"{style(rule.name, bold=True)} ({rule.words}, {rule.family})"
    return f"{head}\n\n{rule.page}"
