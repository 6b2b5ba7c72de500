"""The command about lengths along the airframe."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.faces.loaded import listed, wiring_of
from harness.faces.say import say

if TYPE_CHECKING:
    from harness.faces.press import Made
    from harness.wiring.build import Wiring


def lengths(plan: str, to: str, out: str | None) -> None:
    """Say how long each lead must be along its route, and what lies in each bundle."""
    from harness.faces.press import written

    wiring = wiring_of(plan)
    made = lengths_document(wiring, to)
    if out is None:
        say(str(made.content), end="")
    else:
        listed(written(wiring.plan, out, [made]))


def lengths_document(wiring: Wiring, to: str) -> Made:
    """Return the lengths of a plan as a document: table, json, csv or html."""
    from harness.documents.figures import render
    from harness.documents.lengths import lengths_figures
    from harness.faces.press import ENDING, Made

    ending = {**ENDING, "json": "json"}[to]
    return Made(f"lengths.{ending}", f"Lengths, {to}", render(lengths_figures(wiring), to))
