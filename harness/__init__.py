"""Receiver-channel and wiring-harness planner: a plan in; a checked, drawn, labelled harness out.

The whole job in four lines:

    from harness import build, check, load_plan
    plan = load_plan("examples/saltmarsh-19.yaml")     # raises PlanError
    wiring = build(plan)                                # contacts, links, nets, potentials
    report = check(plan, wiring)                        # findings, unknown, accepted

`outcome_of(wiring)` solves every operating case and `rows_of(outcome)` lists the figures;
from the report: `draw_pages(report, Wish(view="run"))` and `render` for pictures,
`lead_list`, `labels_for` with `labels_pdf`, `trace_text`; `as_graph(wiring)` for networkx.
Names are imported when first used, so that `import harness` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

_HOMES = {
    "load_plan": "harness.reader.load",
    "parse_plan": "harness.reader.load",
    "Plan": "harness.reader.plan",
    "PlanError": "harness.reader.problems",
    "Source": "harness.base.span",
    "build": "harness.wiring.build",
    "Wiring": "harness.wiring.build",
    "as_graph": "harness.wiring.graph",
    "check": "harness.checks.run",
    "Report": "harness.checks.run",
    "all_rules": "harness.checks.run",
    "cases_of": "harness.electrics.cases",
    "outcome_of": "harness.electrics.outcome",
    "rows_of": "harness.electrics.rows",
    "netlist": "harness.electrics.spice",
    "timeline": "harness.electrics.gear.timeline",
    "equalise": "harness.electrics.equalise",
    "endurance": "harness.electrics.flight.endurance",
    "tolerance_of": "harness.electrics.tolerance",
    "Wish": "harness.documents.diagram",
    "draw_pages": "harness.documents.diagram",
    "render": "harness.documents.diagram",
    "lead_list": "harness.documents.leadlist",
    "labels_for": "harness.documents.plan_labels",
    "labels_pdf": "harness.documents.labels",
    "find_stock": "harness.documents.labels",
    "trace_text": "harness.documents.trace",
}
__all__ = sorted(_HOMES)  # noqa: PLE0605 - the names are in one table with their homes
__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'harness' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return [*globals(), *_HOMES]
