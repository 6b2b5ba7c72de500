"""A plan as data, as YAML gives it: groups of parts, each a mapping of keys."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from harness.base.span import Source
from harness.plan.short import ShortForms
from harness.reading.kinds import Reading
from harness.reading.nodes import Items, Mapping, Node, compose

Data = dict[str, Any]
JOIN = r"(?P<part>[\w-]+)(?:\.(?P<port>[\w-]+))? into (?P<into>[\w-]+(?:\.[\w-]+)?)"


def data_of(text: str) -> Data:
    """Return a plan as data, its short forms written out."""
    top = compose(Source("plan.yaml", text))
    assert isinstance(top, Mapping)
    data = _plain(ShortForms.of(top, Reading()).laid_out())
    assert isinstance(data, dict)
    return data


def _plain(node: Node) -> Any:
    if isinstance(node, Mapping):
        return {key: _plain(entry.node) for key, entry in node.entries.items()}
    return [_plain(item) for item in node.items] if isinstance(node, Items) else node.text


def parts_of(data: Data) -> dict[str, Data]:
    """Return the parts of a plan by id."""
    groups = (v for k, v in data.items() if k not in NO_GROUPS and isinstance(v, dict))
    return {
        name: keys for group in groups for name, keys in group.items() if isinstance(keys, dict)
    }


NO_GROUPS = {
    "places",
    "ducts",
    "covers",
    "channels",
    "transmitter",
    "cases",
    "functions",
    "surroundings",
}


def own(data: Data, name: str, key: str) -> Any:
    """Return a part's key, or the one it repeats from the part it is like."""
    part = parts_of(data)[name]
    if key not in part and "like" in part and key not in {"plug", "supply"}:
        return own(data, part["like"], key)
    return part.get(key)


def joins(data: Data) -> Iterator[tuple[str, str, int, Data]]:
    """Yield part, key, place and join of each plug of a plan; a join is a mapping with `into`."""
    for name, part in parts_of(data).items():
        for key in ("plug", "supply"):
            some = part.get(key)
            for n, join in enumerate(some if isinstance(some, list) else [some] if some else []):
                yield name, key, n, join if isinstance(join, dict) else {"into": join}


def rejoin(data: Data, name: str, key: str, n: int, **words: Any) -> None:
    """Change a plug's join; None takes a word of it away."""
    part = parts_of(data)[name]
    some = part[key] if isinstance(part[key], list) else [part[key]]
    join = some[n] if isinstance(some[n], dict) else {"into": some[n]}
    some[n] = {k: v for k, v in {**join, **words}.items() if v is not None}
    part[key] = some if isinstance(part[key], list) else some[0]
