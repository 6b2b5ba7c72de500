"""What a proposal changes in a plan: data between the planner and the text of the file."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SetKey:
    """One key of one part gets a value. `value` is YAML as it is written: `rx.1`, `yes`."""

    part: str
    key: str
    value: str


@dataclass(frozen=True, slots=True)
class AddPart:
    """A new part: `fields` are key and value as written, in order; `about` a comment above it."""

    group: str
    id: str
    fields: tuple[tuple[str, str], ...]
    comment: str = ""


@dataclass(frozen=True, slots=True)
class SetChannel:
    """A channel without an entry gets its function; `fields` as written, in order."""

    channel: str
    fields: tuple[tuple[str, str], ...]


Edit = SetKey | AddPart | SetChannel
