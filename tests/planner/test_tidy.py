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
        left_out = {"span", "spans", "words", "source", "channels_span", "likes"}
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
    for new in {short, long, back, again}:
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


STEADY = settings(
    deadline=None,
    derandomize=True,
    database=None,
    phases=[Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@settings(STEADY, max_examples=40)
@given(plans())
def test_any_generated_plan(data: Data) -> None:
    for flow in (False, None, True):
        hold_to_each_other(as_yaml(data, flow))


class Pen:
    """Writes a plan as builders do: pairs, places, all styles, comments anywhere."""

    def __init__(self, draw: Any) -> None:
        self.draw, self.number = draw, iter(range(999))

    def flip(self, most: int = 1) -> bool:
        return bool(self.draw(st.integers(0, most)) == 0)

    def remarks(self, indent: str) -> list[str]:
        gap = [""] if self.flip(4) else []
        above = [f"{indent}# remark {next(self.number)}"] if self.flip(3) else []
        return [*gap, *above, *([""] if self.flip(9) else [])]

    def tail(self) -> str:
        return f"  # tail {next(self.number)}" if self.flip(4) else ""

    def value(self, name: str, keys: dict[str, str], indent: str) -> list[str]:
        items = [f"{key}: {text}" for key, text in keys.items()]
        styles = ["flow", "flow", "folded", "block"] if items else ["flow"]
        style = self.draw(st.sampled_from(styles))
        if style == "flow":
            return [f"{indent}{name}: {{{', '.join(items)}}}{self.tail()}"]
        if style == "folded":
            inside = f"  # inside {next(self.number)}" if self.flip(9) else ""
            more = [f"{indent}   {item}," for item in items[1:]]
            end = f"{indent}   }}{self.tail()}"
            return [f"{indent}{name}: {{{items[0]},{inside}", *more, end]
        lines = [f"{indent}{name}:{self.tail()}"]
        for item in items:
            lines += [*self.remarks(f"{indent}  "), f"{indent}  {item}{self.tail()}"]
        return lines

    def part(self, group: str, name: str, place: str) -> dict[str, str]:
        keys = {"place": place} if place else {}
        keys |= {"about": '"red, #3"'} if self.flip(5) else {}
        if group == "servos":
            plugs = ["y.1", "y.2", "{into: rx.1, pulled: positive}"]
            keys |= {"moves": "aileron"} if self.flip() else {}
            keys |= {"shaft": name.rpartition("-")[2]} if self.flip() and "-" in name else {}
            keys |= {"plug": self.draw(st.sampled_from(plugs))} if self.flip() else {}
        others = [f"{group[0]}{other}" for other in NAMES if other < name]
        like = others and self.flip(4)
        return {"like": self.draw(st.sampled_from(others)), **keys} if like else keys

    def group(self, group: str) -> dict[str, list[str]]:
        """Return the lines of a group's parts by the place that they stand under."""
        found: dict[str, list[str]] = {}
        for name in self.draw(st.permutations(NAMES)):
            side = {"a-left": "wing-left", "a-right": "wing-right"}.get(name, "hull")
            stated = "" if self.flip(4) else side
            under = stated if self.flip(2) else ""
            keys = self.part(group, name, "" if under and self.flip() else stated)
            indent = "      " if under else "  "
            lines = [*self.remarks(indent), *self.value(group[0] + name, keys, indent)]
            found[under] = found.get(under, []) + lines
        return found

    def plan(self) -> str:
        under: dict[str, list[str]] = {}
        top = ["receivers: {rx: {sockets: 4, place: hull}}", "leads: {y: {kind: y}}"]
        for group in self.draw(st.permutations(["servos", "motors"])):
            for place, lines in self.group(group).items():
                indent = "    " if place else ""
                head = [*self.remarks(indent), f"{indent}{group}:{self.tail()}", *lines]
                if place:
                    under[place] = under.get(place, []) + head
                else:
                    top += head
        text = ["plan: 1", "aircraft: T", *self.remarks(""), f"places:{self.tail()}"]
        for place, keys in PLACES.items():
            if place in under:
                own = [f"    {key}: {word}{self.tail()}" for key, word in keys.items()]
                text += [*self.remarks("  "), f"  {place}:{self.tail()}", *own, *under[place]]
            else:
                text += [*self.remarks("  "), *self.value(place, keys, "  ")]
        ends = [*self.remarks("  "), *self.remarks("")]
        return "\n".join([*text, *self.remarks(""), *top, *ends]) + "\n"


NAMES = ["a-left", "a-right", "b-left", "b-right", "c"]
PLACES = {
    "hull": {"long": "1 m"},
    "wing-left": {"joins": "hull", "side": "left"},
    "wing-right": {"joins": "hull", "side": "right"},
}


@st.composite
def written(draw: Any) -> str:
    return Pen(draw).plan()


@settings(STEADY, max_examples=150)
@given(written())
def test_any_style_of_writing(text: str) -> None:
    try:
        read(text)
    except PlanError:
        assume(False)
    hold_to_each_other(text)


COMMENTED = """\
plan: 1
aircraft: T
places:
  # the body
  hull: {}  # of foam
  nose: {}
  wing-left: {joins: hull, side: left}
  wing-right: {joins: hull, side: right}

# Radio, head of the group.
receivers:  # behind the group
  # over rx
  rx: {sockets: 8, place: hull}  # behind rx

# Servos: one stays here.
servos:
  # over the left one
  a-left: {moves: aileron, place: wing-left, plug: rx.1}  # behind the left
  # over the right one
  a-right:
    moves: aileron
    place: wing-right  # why there
    plug: rx.2  # why that
  spare: &kept {moves: flap, place: hull}

  # commented out: {moves: flap}

ducted-fans: {fan: {duct: 70 mm, place: nose}}
# the end
"""
SHORTENED = """\
plan: 1
aircraft: T
places:
  # the body
  hull:  # of foam
    receivers:
      # Radio, head of the group.
      # behind the group
      # over rx
      rx: {sockets: 8}  # behind rx
  nose: {}
  wing-left:
    joins: hull
    side: left
    mirrored: yes
    servos:
      # over the left one
      # over the right one
      # why there
      # why that
      a-left: {moves: aileron, plug: rx.1, mirrored: {plug: rx.2}}  # behind the left

# Servos: one stays here.
servos:
  spare: &kept {moves: flap, place: hull}

  # commented out: {moves: flap}

ducted-fans: {fan: {duct: 70 mm, place: nose}}
# the end
"""


def test_each_comment_goes_with_what_it_is_of() -> None:
    """An anchor stays, a fan in the nose too: `ducted-fans:` is longer than `place: nose,`."""
    assert tidied(Source("plan.yaml", COMMENTED), long=False) == SHORTENED
    hold_to_each_other(COMMENTED)


def test_a_line_that_grows_too_wide_is_broken_and_its_comment_moved() -> None:
    about = "about: a text of many words that fills a line"
    plan = f"""\
plan: 1
aircraft: T
places: {{hull: {{}}}}
servos:
  # a remark that is nearly as long as a line is allowed to be, so it cannot stand further in now
  a: {{{about}, place: hull}}  # and a remark
  b:
    place: hull
    {about}  # a remark up to the hundredth column of the line
"""
    short = tidied(Source("plan.yaml", plan), long=False)
    assert max(map(len, plan.splitlines())) <= 100
    assert max(map(len, short.splitlines())) <= 100
    assert "\n        # a remark up to the hundredth column of the line\n" in short
    hold_to_each_other(plan)
