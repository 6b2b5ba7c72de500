"""Large clean plans: the headline aeroplane, many times over in one file.

Each copy has its own receiver, packs and bays, as a fleet in one shed has; all share the
channels. Nothing is plugged wrong, so the rules do their work and find no more than in one.
"""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

import yaml

SHARED = (
    "plan",
    "aircraft",
    "about",
    "channels",
    "transmitter",
    "mixes",
    "surroundings",
    "cases",
    "flight",
    "reserve",
)
AIRFRAME = ("places", "ducts", "covers")
"""Groups whose entries are no parts."""
WORDS = ("moves", "function", "about", "kind", "class")
"""Keys whose values are words, though a part may be called the same."""


def clean_plan(path: Path, wanted: int) -> tuple[str, int]:
    """Return the text of a plan of about `wanted` parts, and how many it has."""
    one: dict[str, Any] = yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader)
    groups = {word: one[word] for word in one if isinstance(one[word], dict) and word not in SHARED}
    ids = {name for group in groups.values() for name in group}
    parts = sum(len(group) for word, group in groups.items() if word not in AIRFRAME)
    copies = max(1, math.ceil(wanted / parts - 0.5))
    whole: dict[str, Any] = {word: one[word] for word in SHARED if word in one}
    for number in range(copies):
        names = {name: f"craft{number}-{name}" if number else name for name in ids}
        for word, group in groups.items():
            whole.setdefault(word, {}).update(renamed(group, names))
        whole.setdefault("kit", []).extend(renamed(one.get("kit", []), names))
    text = yaml.safe_dump(whole, sort_keys=False, default_flow_style=None, width=1000)
    # Every value was read as a text; the counts lose their quotes again.
    return re.sub(r"'(\d+)'", r"\1", text), parts * copies


def renamed(data: Any, names: dict[str, str]) -> Any:
    """Rename ids where they stand as a key of a group, as a value, or before a socket."""
    if isinstance(data, dict):
        return {
            names.get(word, word): value if word in WORDS else renamed(value, names)
            for word, value in data.items()
        }
    if isinstance(data, list):
        return [renamed(item, names) for item in data]
    name, dot, socket = str(data).partition(".")
    return names.get(name, name) + dot + socket
