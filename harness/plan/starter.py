"""A commented plan to start from."""

from __future__ import annotations

from importlib.resources import files

from harness.parts.kinds import GROUPS


def starter_text() -> str:
    """Return the starter; every group that it does not speak of is named at its end."""
    text = files("harness.plan").joinpath("starter.yaml").read_text("utf-8")
    others = [group for group in GROUPS if group not in text]
    return text + "".join(f"#   {group}: {GROUPS[group].word}s, by id\n" for group in others)
