"""What may stand in a plan: every key with what is wanted there, as the reader declares it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from harness.base.near import hint
from harness.cli.exits import CannotRun
from harness.paper.text import wrapped
from harness.parts.kinds import GROUPS
from harness.plan.plan import HEAD
from harness.reading.kinds import Choice, Kind, ListOf, MapOf
from harness.reading.records import Key, RecordOf, keys_of

WIDTH = 100
COLUMN = 22


def key_list() -> str:
    """Return the groups of a plan and what each is, in the order documents list them."""
    head = [(word, about) for word, (_, about) in HEAD.items()]
    parts = [(word, _summary(cls)) for word, cls in GROUPS.items()]
    lines = ["The keys of a plan (`harness keys NAME` says what stands in one):"]
    for title, rows in (("what a plan says of the whole", head), ("its parts", parts)):
        lines += ["", f"{title}:", *(line for row in rows for line in _row(*row))]
    return "\n".join(lines)


def key_page(name: str) -> str:
    """Return the keys of one group, and those of the mappings inside it. Raises CannotRun."""
    if name in GROUPS:
        lines = [
            *_wide(f"{name}: {_summary(GROUPS[name])}"),
            "",
            "Each part, by an id of your own:",
        ]
        lines += _record(GROUPS[name], set())
    elif name in HEAD:
        kind, about = HEAD[name]
        lines = _wide(f"{name}: {about}; wanted is {kind.noun}")
        inner = _inner(kind)
        lines += ["", *_record(inner, set())] if inner else []
    else:
        raise CannotRun(f'"{name}" is not a key of a plan; {hint(name, [*HEAD, *GROUPS])}')
    return "\n".join(lines)


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
        yield from ("", *_wide(f"{word}: {_summary(inner)}"))
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


def _wide(text: str) -> list[str]:
    return wrapped(text, WIDTH)


def _row(word: str, text: str) -> list[str]:
    return wrapped(f"  {word:<{COLUMN}}{text}", WIDTH, " " * (COLUMN + 2))
