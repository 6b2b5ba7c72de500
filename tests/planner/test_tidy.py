"""A plan in its short form and in its long one means the same, and no comment is lost.

The oracle of meaning is the reader of plans: equal parts, places, channels and all else that a plan
holds. That of comments is a count of them by lines, apart from the parser.
"""

from __future__ import annotations

import dataclasses
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st
from strategies import Data, as_yaml, plans

from harness.base.span import Source
from harness.parts.kinds import GROUPS
from harness.plan.load import parse_plan
from harness.plan.plan import Plan
from harness.plan.short import WITH_SIDES
from harness.planner.tidy import tidied
from harness.reading.problems import PlanError
from harness.wiring.build import build
from harness.wiring.codes import codes_of

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted(p for p in (ROOT / "examples").rglob("*.yaml") if "." not in p.stem)
EXAMPLES += [ROOT / "tests" / "every_kind.yaml"]


def read(text: str) -> Plan:
    return parse_plan(Source("plan.yaml", text))


def bare(value: object) -> object:
    """A value without the places in the file that it came from."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        names = [f.name for f in dataclasses.fields(value)]
        left_out = {"span", "spans", "words", "source", "channels_span"}
        return type(value), {n: bare(getattr(value, n)) for n in names if n not in left_out}
    if isinstance(value, dict):
        return {name: bare(one) for name, one in value.items()}
    return [bare(one) for one in value] if isinstance(value, tuple | list) else value


def comments(text: str) -> Counter[str]:
    """Comments by what stands behind the #; of texts in quotes one holds a # itself."""
    text = text.replace('"red, #3"', "")
    return Counter(m[1].strip() for m in re.finditer(r"(?m)(?:^|(?<=\s))#(.*)$", text))


def wide(text: str) -> set[str]:
    return {line.strip() for line in text.splitlines() if len(line) > 100}


def hold_to_each_other(text: str) -> tuple[str, str]:
    """Return the short and the long form of a text, once they are what they should be."""
    plan = read(text)
    short, long = (tidied(Source("plan.yaml", text), long=way) for way in (False, True))
    back = tidied(Source("plan.yaml", short), long=True)
    again = tidied(Source("plan.yaml", long), long=False)
    for new in (short, long, back, again):
        assert bare(read(new)) == bare(plan)
        assert not comments(text) - comments(new)
        assert wide(new) <= wide(text)
    assert tidied(Source("plan.yaml", short), long=False) == short
    assert tidied(Source("plan.yaml", long), long=True) == long
    return short, long


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_every_example_means_the_same_in_both_forms(path: Path) -> None:
    text = path.read_text("utf-8")
    short, long = hold_to_each_other(text)
    assert len("".join(short.split())) <= len("".join(text.split()))
    data = yaml.safe_load(long)
    for group in WITH_SIDES:
        for entry in (data.get(group) or {}).values():
            assert not {"mirrored", "like", *GROUPS} & set(entry or ())
    codes = [sorted(codes_of(build(read(one))).items()) for one in (text, short, long)]
    assert codes[0] == codes[1] == codes[2]


STEADY = settings(deadline=None, derandomize=True, database=None, phases=[Phase.generate],
                  suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])  # fmt: skip


@settings(STEADY, max_examples=40)
@given(plans())
def test_any_generated_plan(data: Data) -> None:
    for flow in (False, None, True):
        hold_to_each_other(as_yaml(data, flow))


@st.composite
def written(draw: Any) -> str:
    """Return a plan as builders write them: pairs, places, all styles, comments everywhere."""
    number = iter(range(999))

    def flip(most: int = 1) -> bool:
        return draw(st.integers(0, most)) == 0

    def remarks(indent: str) -> list[str]:
        gap = [""] if flip(4) else []
        above = [f"{indent}# remark {next(number)}"] if flip(3) else []
        return [*gap, *above, *([""] if flip(9) else [])]

    def tail() -> str:
        return f"  # tail {next(number)}" if flip(4) else ""

    def value(name: str, keys: dict[str, str], indent: str) -> list[str]:
        items = [f"{key}: {text}" for key, text in keys.items()]
        style = draw(st.sampled_from(["flow", "flow", "folded", "block"])) if items else "flow"
        if style == "flow":
            return [f"{indent}{name}: {{{', '.join(items)}}}{tail()}"]
        if style == "folded":
            inside = f"  # inside {next(number)}" if flip(9) else ""
            return [f"{indent}{name}: {{{items[0]},{inside}", *(f"{indent}   {item}," for item in items[1:]),
                    f"{indent}   }}{tail()}"]  # fmt: skip
        lines = [f"{indent}{name}:{tail()}"]
        for item in items:
            lines += [*remarks(f"{indent}  "), f"{indent}  {item}{tail()}"]
        return lines

    def part(group: str, name: str, place: str) -> dict[str, str]:
        keys = {"place": place} if place else {}
        keys |= {"about": '"red, #3"'} if flip(5) else {}
        if group == "servos":
            keys |= {"moves": "aileron"} if flip() else {}
            keys |= {"shaft": name.rpartition("-")[2]} if flip() and "-" in name else {}
            keys |= (
                {"plug": draw(st.sampled_from(["y.1", "y.2", "{into: rx.1, pulled: positive}"]))}
                if flip()
                else {}
            )
        others = [n for n in names if n < name]
        return {"like": draw(st.sampled_from(others)), **keys} if others and flip(4) else keys

    names = ["a-left", "a-right", "b-left", "b-right", "c"]
    places = ["hull", "wing-left", "wing-right"]
    under: dict[str, list[str]] = {place: [] for place in places}
    top: list[str] = []
    for group in draw(st.permutations(["servos", "motors"])):
        here: dict[str, list[str]] = {place: [] for place in ["", *places]}
        prefix = group[0]
        for name in draw(st.permutations(names)):
            side = {"a-left": "wing-left", "a-right": "wing-right"}.get(name, "hull")
            stated = side if not flip(4) else ""
            nested = stated if flip(2) else ""
            keys = part(group, name, "" if nested and flip() else stated)
            keys = {k: prefix + v if k == "like" else v for k, v in keys.items()}
            indent = "      " if nested else "  "
            here[nested] += [*remarks(indent), *value(prefix + name, keys, indent)]
        for place, lines in here.items():
            if lines and place:
                under[place] += [*remarks("    "), f"    {group}:{tail()}", *lines]
            elif lines:
                top += [*remarks(""), f"{group}:{tail()}", *lines]
    text = ["plan: 1", "aircraft: T", *remarks(""), f"places:{tail()}"]
    own = {"hull": {"long": "1 m"}, "wing-left": {"joins": "hull", "side": "left"},
           "wing-right": {"joins": "hull", "side": "right"}}  # fmt: skip
    for place in places:
        if under[place]:
            text += [*remarks("  "), f"  {place}:{tail()}"]
            text += [f"    {k}: {v}{tail()}" for k, v in own[place].items()] + under[place]
        else:
            text += [*remarks("  "), *value(place, own[place], "  ")]
    text += [
        *remarks(""),
        "receivers: {rx: {sockets: 4, place: hull}}",
        "leads: {y: {kind: y}}",
        *top,
    ]
    return "\n".join([*text, *remarks("  "), *remarks("")]) + "\n"


@settings(STEADY, max_examples=150)
@given(written())
def test_any_style_of_writing(text: str) -> None:
    try:
        read(text)
    except PlanError:
        assume(False)
    hold_to_each_other(text)
