"""The command about the kit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.cli.loaded import wiring_of

if TYPE_CHECKING:
    from harness.cli.press import Made
    from harness.wiring.build import Wiring


def kit(plan: str, to: str, page: str, out: str | None) -> None:
    """Say what of the kit is used where, what must be bought, and what is left over.

    A PDF, and everything with --out, is written into a folder; all else is printed.
    """
    from harness.cli.press import handed_out

    wiring = wiring_of(plan)
    handed_out(wiring.plan, [kit_document(wiring, to, page)], out)


def kit_document(wiring: Wiring, to: str, page: str = "A4") -> Made:
    """Return the kit of a plan in one format."""
    from harness.cli.press import ENDINGS, Made
    from harness.documents.kit import kit_paper
    from harness.documents.kit.records import kit_csv, kit_json
    from harness.paper import render

    records = {"csv": kit_csv, "json": kit_json}
    content = records[to](wiring) if to in records else render(kit_paper(wiring), to, page)
    return Made(f"kit.{ENDINGS[to]}", f"Kit and shopping list, {to}", content)
