"""Every kind of part: what stands in this folder, one file a kind."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module

import harness.parts
from harness.base.files import modules_in
from harness.parts.part import Part


def _kinds() -> dict[str, type[Part]]:
    """Load the folder; a module's kinds are the parts with a group that it defines."""
    found: list[type[Part]] = []
    for name in modules_in(harness.parts):
        if name != __name__:
            values = vars(import_module(name)).values()
            found += [
                v
                for v in values
                if isinstance(v, type) and v.__module__ == name and issubclass(v, Part) and v.rank
            ]
    return {kind.group: kind for kind in sorted(found, key=lambda kind: kind.rank)}


GROUPS: Mapping[str, type[Part]] = _kinds()
"""The kind of each group of parts in a plan, in the order documents list them."""
