"""Every kind of part: what stands in this folder, one file a kind."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from pkgutil import iter_modules

import harness.parts
from harness.parts.part import Part


def _kinds() -> dict[str, type[Part]]:
    """Load the folder; a module's kinds are the parts with a group that it defines."""
    found: list[type[Part]] = []
    for info in iter_modules(harness.parts.__path__, "harness.parts."):
        if info.name != __name__:
            values = vars(import_module(info.name)).values()
            found += [v for v in values if isinstance(v, type) and v.__module__ == info.name
                      and issubclass(v, Part) and v.rank]  # fmt: skip
    return {kind.group: kind for kind in sorted(found, key=lambda kind: kind.rank)}


GROUPS: Mapping[str, type[Part]] = _kinds()
"""The kind of each group of parts in a plan, in the order documents list them."""
