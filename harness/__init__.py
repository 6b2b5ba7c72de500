"""Receiver-channel and wiring-harness planner: a plan in; a checked, drawn, labelled harness out.

The whole job in four lines:

    from harness import build, check, load_plan
    plan = load_plan("examples/saltmarsh-19.yaml")     # raises PlanError
    wiring = build(plan)                                # contacts, links, nets, potentials
    report = check(plan, wiring)                        # findings, unknown, accepted

`outcome_of(wiring)` solves every operating case and `rows_of(outcome)` lists the figures;
from the report: `draw_pages(report, Wish(view="run"))` and `render` for pictures,
`lead_list`, `labels_for` with `labels_pdf`, `trace_text`; `as_graph(wiring)` for networkx.

Before the wiring stands: `propose(plan)` plans what has no plug yet, `kit_of(plan)` lays the plan
against its kit, `shopping(kit)` lists what to buy. Along the airframe: `lengths_of(wiring)`, and
`bundles_of(plan, runs)` of those. The work: `order_of(Access(wiring))`, `field_work(order)`. The
bench: `protocol_of(wiring)`, `compare_results(protocol, load_results(path))`. Two plans:
`compare(old_report, new_report)`. To read, print or tick: `kit_paper`, `steps_paper`,
`transmitter_paper`, `protocol_paper` and `book_paper` of a report; `render_paper(paper, "pdf")`.
Names are imported when first used, so that `import harness` costs nothing.
"""

from __future__ import annotations

TYPE_CHECKING = False  # typing itself takes long to import
if TYPE_CHECKING:
    from typing import Any

# module, or module:its own name there, where that name alone would not say enough
_HOMES = {
    "load_plan": "harness.plan.load", "parse_plan": "harness.plan.load",
    "Plan": "harness.plan.plan", "PlanError": "harness.reading.problems",
    "Source": "harness.base.span", "build": "harness.wiring.build",
    "Wiring": "harness.wiring.build", "as_graph": "harness.wiring.graph",
    "check": "harness.rules.run", "Report": "harness.rules.run", "all_rules": "harness.rules.run",
    "cases_of": "harness.electrics.cases", "outcome_of": "harness.electrics.outcome",
    "rows_of": "harness.electrics.rows", "netlist": "harness.electrics.spice",
    "timeline": "harness.electrics.gear.timeline", "equalise": "harness.electrics.equalise",
    "endurance": "harness.electrics.endurance", "tolerance_of": "harness.electrics.tolerance",
    "Wish": "harness.diagram:ViewWish", "draw_pages": "harness.diagram",
    "render": "harness.diagram", "lead_list": "harness.documents.leads",
    "labels_for": "harness.documents.plan_labels", "labels_pdf": "harness.documents.labels",
    "find_stock": "harness.documents.labels", "trace_text": "harness.documents.trace",
    "propose": "harness.planner.propose", "kit_of": "harness.airframe.kit",
    "shopping": "harness.airframe.kit.shopping", "lengths_of": "harness.airframe.lengths",
    "bundles_of": "harness.airframe.bundles", "Access": "harness.airframe.access",
    "order_of": "harness.airframe.steps", "field_work": "harness.airframe.steps",
    "protocol_of": "harness.bench.build", "load_results": "harness.plan.results",
    "compare_results": "harness.bench.compare:compare", "compare": "harness.changes.compare",
    "kit_paper": "harness.documents.kit", "steps_paper": "harness.documents.steps",
    "transmitter_paper": "harness.documents.transmitter",
    "protocol_paper": "harness.documents.protocol", "book_paper": "harness.documents.build_book",
    "render_paper": "harness.paper:render",
}  # fmt: skip
__all__ = sorted(_HOMES)  # noqa: PLE0605 - the names are in one table with their homes
__version__ = "0.1.0"
PLAN_FORMAT = 1
"""The revision of the format of plans: what stands after `plan:`, in schema and messages."""


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'harness' has no attribute {name!r}")
    module, _, own = _HOMES[name].partition(":")
    from importlib import import_module

    return getattr(import_module(module), own or name)


def __dir__() -> list[str]:
    return [*globals(), *_HOMES]
