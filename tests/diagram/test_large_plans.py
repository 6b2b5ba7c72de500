"""Plans of more parts than a page shows."""

from __future__ import annotations

import pytest
from diagram.looking import report_of

from harness.base.refusal import Refusal
from harness.base.span import Source
from harness.diagram import ViewWish, cuts, draw
from harness.diagram.page_setting import PageSetting
from harness.plan.load import parse_plan
from harness.rules.run import Report
from harness.wiring.build import build


def test_a_chain_longer_than_python_goes_deep_is_walked() -> None:
    """Python's own limit is 1,000 calls (sys.getrecursionlimit). The rules are not asked."""
    links = "".join(f"  e{n}: {{kind: extension, plug: {f'e{n - 1}.1' if n else 'rx.1'}}}\n"
                    for n in range(1100))  # fmt: skip
    text = f"plan: 1\naircraft: x\nreceivers: {{rx: {{sockets: 2}}}}\nleads:\n{links}"
    plan = parse_plan(Source("plan.yaml", text))
    report = Report(plan, build(plan), (), (), ())
    setting, cut = PageSetting(report), cuts.cut_of(report, ViewWish())
    (found,) = draw._by_place(setting, cut)
    assert found == ["rx", *(f"e{n}" for n in range(1100))]


def test_more_parts_than_a_drawing_shows_are_refused_with_what_to_do(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    report = report_of("dunlin-4")
    count = len(report.plan.parts)
    monkeypatch.setattr(cuts, "MOST_DRAWN", count)
    assert len(cuts.cut_of(report, ViewWish()).parts) == count
    monkeypatch.setattr(cuts, "MOST_DRAWN", count - 1)
    with pytest.raises(Refusal, match=f"^{count} parts are more .* --place, --function or --lead$"):
        cuts.cut_of(report, ViewWish())
