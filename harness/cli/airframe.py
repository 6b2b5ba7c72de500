"""The command about lengths along the airframe."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.cli.loaded import wiring_of

if TYPE_CHECKING:
    from harness.cli.press import Made
    from harness.wiring.build import Wiring


def lengths(plan: str, to: str, out: str | None) -> None:
    """Say how long each lead must be along its route, and what lies in each bundle."""
    from harness.cli.press import handed_out

    wiring = wiring_of(plan)
    handed_out(wiring.plan, [lengths_document(wiring, to)], out)


def lengths_document(wiring: Wiring, to: str) -> Made:
    """Return the lengths of a plan as a document: table, json, csv or html."""
    from harness.cli.press import ENDINGS, Made
    from harness.documents.lengths import lengths_figures
    from harness.paper import render_figures

    content = render_figures(lengths_figures(wiring), to)
    return Made(f"lengths.{ENDINGS[to]}", f"Lengths, {to}", content)
