"""Plans of more parts than a page shows: what goes on elsewhere is found there, limits are sizes.

Pages are read back from their SVG by the standard library's parser, the plan by PyYAML.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import pytest
import yaml
from diagram.big_plan import big_plan
from support_cli import runner

from harness.base.refusal import Refusal
from harness.base.span import Source
from harness.diagram import ViewWish, cuts, draw, draw_pages, render
from harness.diagram.page_setting import PageSetting
from harness.plan.load import parse_plan
from harness.rules.run import Report
from harness.wiring.build import build

PLAN = big_plan(125)
HEAD = "plan: 1\naircraft: Test\n"
GROUP = "{http://www.w3.org/2000/svg}g"
MOST = 120
"""Parts on one page; DEVELOPERS.md says so."""


def unjudged(text: str) -> Report:
    """A report without findings: the rules take longer than what is looked at here."""
    plan = parse_plan(Source("plan.yaml", text if text.startswith("plan:") else HEAD + text))
    return Report(plan, build(plan), (), (), ())


@cache
def drawn() -> tuple[list[ET.Element], list[str]]:
    """The pages as XML, and what was told while they were drawn."""
    told: list[str] = []
    pages = draw_pages(unjudged(PLAN), ViewWish(), tell=told.append)
    return [ET.fromstring(data) for data in render(pages, "svg").values()], told


def named(page: ET.Element, kind: str) -> dict[str, str]:
    """Ids of one kind on a page, and the words in each."""
    groups = [g for g in page.iter(GROUP) if (g.get("id") or "").startswith(kind)]
    return {str(g.get("id"))[len(kind) :]: " ".join(g.itertext()) for g in groups}


def test_every_part_and_lead_of_the_plan_is_on_some_page() -> None:
    data = yaml.safe_load(PLAN)
    groups = ("receivers", "packs", "escs", "motors", "leads", "servos")
    parts = {name: part for group in groups for name, part in data[group].items()}
    assert len(parts) > MOST
    pages, _ = drawn()
    assert {name for page in pages for name in named(page, "part-")} >= set(parts)
    plugs = {f"{n}.{key}" for n, part in parts.items() for key in ("plug", "supply") if key in part}
    assert {name for page in pages for name in named(page, "lead-")} >= plugs
    assert max(len(set(parts) & set(named(page, "part-"))) for page in pages) <= MOST


def test_each_stub_names_the_page_on_which_its_other_end_is() -> None:
    pages, _ = drawn()
    count = 0
    for number, page in enumerate(pages, 1):
        for plug, words in named(page, "beyond-").items():
            where = re.search(r"page (\d+)", words)
            assert where, words
            there = pages[int(where[1]) - 1]
            assert int(where[1]) != number
            assert plug in named(there, "lead-")
            back = re.search(r"page (\d+)", named(there, "beyond-")[plug])
            assert back
            assert int(back[1]) == number
            own = plug.split(".")[0]
            assert (own in named(page, "part-")) != (own in named(there, "part-"))
            count += 1
    assert count >= 2 * (len(pages) - 1)  # a plan in one piece cannot be parted with less


def test_the_page_under_way_is_told() -> None:
    pages, told = drawn()
    numbers = [int(words.rpartition(" ")[2]) for words in told]
    assert numbers == sorted(numbers)
    assert set(numbers) <= set(range(1, len(pages) + 1))
    assert len(set(numbers)) > 1


def test_a_chain_longer_than_python_goes_deep_is_walked() -> None:
    """Python's own limit is 1,000 calls (sys.getrecursionlimit)."""
    links = "".join(f"  e{n}: {{kind: extension, plug: {f'e{n - 1}.1' if n else 'rx.1'}}}\n"
                    for n in range(1100))  # fmt: skip
    report = unjudged("receivers: {rx: {sockets: 2}}\nleads:\n" + links)
    setting, cut = PageSetting(report), cuts.cut_of(report, ViewWish())
    (found,) = draw._by_place(setting, cut)
    assert found == ["rx", *(f"e{n}" for n in range(1100))]


@pytest.mark.parametrize(("view", "most"), [("run", 4000), ("airframe", 150)])
def test_more_parts_than_a_view_shows_are_refused_with_what_to_do(view: str, most: int) -> None:
    cuts.refuse_many(most, view)
    with pytest.raises(Refusal, match=f"^{most + 1} parts are more than the .* at most {most}: "):
        cuts.refuse_many(most + 1, view)


def test_a_part_with_more_leads_than_a_page_shows_is_refused() -> None:
    packs = "".join(f"  p{n}: {{chemistry: lipo, cells: 4, capacity: 5 Ah}}\n" for n in range(130))
    hub = ", ".join(f"p{n}" for n in range(130))
    text = f"packs:\n{packs}power-leads: {{hub: {{kind: parallel, supply: [{hub}]}}}}\n"
    with pytest.raises(Refusal, match=r'^"hub" has 130 leads, more than a page shows, at most 64'):
        draw_pages(unjudged(text), ViewWish())


@pytest.mark.parametrize("words", [["draw", "--view", "airframe"], ["book"]])
def test_a_command_refuses_before_it_judges_and_writes_nothing(
    words: list[str], tmp_path: Path
) -> None:
    servos = "".join(f"  s{n}: {{class: 9g-analogue}}\n" for n in range(401))
    plan = tmp_path / "plan.yaml"
    plan.write_text("plan: 1\naircraft: x\nservos:\n" + servos)
    done = runner(tmp_path)(*words, "plan.yaml", "--out", "out")
    assert done.code == 2
    assert re.match(r"(harness|plan.yaml:1:1: not understood): 401 parts", done.err), done.err
    assert not (tmp_path / "out").exists()
