"""Figures of a solved harness as documents: load, time line, equalising, endurance, tolerance."""

from __future__ import annotations

from typing import Any

from harness.plan.plan import Plan


def stated(document: str, plan: Plan) -> dict[str, Any]:
    """Return what the JSON of every document of figures begins with."""
    return {"document": document, "format": 1, "aircraft": plan.aircraft, "revision": plan.revision}
