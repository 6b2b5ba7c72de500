"""Edits land in the text where they belong, and nothing else moves.

The oracle is PyYAML: the data of the new text is the data of the old one with the edits in it. What
YAML does not see, comments and order, is compared line by line.
"""

from __future__ import annotations

import copy
import difflib
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from harness.base.refusal import Refusal
from harness.base.span import Source
from harness.parts.kinds import GROUPS
from harness.plan.load import parse_plan
from harness.plan.rewrite import AddPart, Edit, SetChannel, SetKey, apply, difference

EXAMPLES = sorted(
    p for p in (Path(__file__).parents[2] / "examples").glob("*.yaml") if "." not in p.stem
)
PLAN = """\
plan: 1
aircraft: T
# radio
channels: {2: elevator, 4: rudder}
receivers:
  rx: {sockets: 6}
servos:
  # first
  a: {class: 9g-analogue, moves: aileron, shaft: left}  # tail
  b:
    class: 9g-analogue
    about: |
      text
      # no comment

    moves: flap
  c: &k {class: 9g-analogue, moves: elevator,
      shaft: right,}
  d:

# sequencers
sequencers:
  box:
    outlets: [x]
    steps:
      down:
        - {outlet: x, start: 0 s, end: 1 s}   # s

# the end
"""
GEAR = SetChannel("1", (("function", "gear"),))
EDITS: list[Edit] = [
    SetKey("a", "plug", "y.1"),
    SetKey("a", "shaft", "right"),
    SetKey("b", "plug", "y.2"),
    SetKey("c", "plug", "{into: rx.1, pulled: positive}"),
    SetKey("d", "plug", "rx.3"),
    SetKey("box", "plug", "rx.5"),
    AddPart("leads", "y", (("kind", "y"), ("plug", "rx.1"), ("length", "300 mm"))),
    AddPart("leads", "z", (("kind", "extension"), ("about", '"' + 12 * "remark " + '"')), "bought"),
    AddPart("servos", "e", (("moves", "flap"),)),
    SetChannel("1", (("function", "aileron"),)),
    SetChannel("3", (("function", "throttle"), ("failsafe", "off"))),
    SetChannel("9", (("function", "gear"),)),
]


def data(text: str) -> Any:
    """What a YAML parser of others sees; every scalar as its text."""
    return yaml.load(text, Loader=yaml.BaseLoader)


def something(value: Any) -> dict[str, Any]:
    """A mapping, also where nothing stands."""
    return {} if value in (None, "", "~") else value


def edited(before: Any, edits: list[Edit]) -> Any:
    """The same edits, made in data."""
    after = copy.deepcopy(before)
    for edit in edits:
        if isinstance(edit, AddPart):
            group = something(after.get(edit.group))
            group[edit.id] = {key: data(value) for key, value in edit.fields}
            after[edit.group] = group
        elif isinstance(edit, SetChannel):
            fields = {key: data(value) for key, value in edit.fields}
            channels = something(after.get("channels"))
            channels[edit.channel] = fields["function"] if len(fields) == 1 else fields
            after["channels"] = channels
        else:
            group, name = written_in(after, edit.part)
            keys = something(group[name])
            if name != edit.part:  # a mirror image: what differs stands beside what it is of
                both = something(keys.get("mirrored"))
                both = {} if isinstance(both, str) else both
                keys = {**keys, "mirrored": {**both, edit.key: data(edit.value)}}
            else:
                keys = {**keys, edit.key: data(edit.value)}
            group[name] = keys
    return after


def written_in(after: Any, part: str) -> tuple[Any, str]:
    """The group that a part stands in, at the top or under a place, and the id it stands under."""
    spots = [after, *(place for place in (after.get("places") or {}).values() if place)]
    pools = [spot[g] for spot in spots for g in GROUPS if spot.get(g)]
    names = [part, part.replace("right", "left")]
    return next((pool, name) for name in names for pool in pools if name in pool)


def comments(text: str) -> list[str]:
    return [line.partition("#")[2] for line in text.splitlines() if "#" in line]


def holds(text: str, edits: list[Edit]) -> str:
    """Apply edits and compare with the oracle; return the new text."""
    plan = parse_plan(Source("t.yaml", text))
    new = apply(plan, edits)
    assert data(new) == edited(data(text), edits)
    parse_plan(Source("t.yaml", new))
    kept = [line for line in comments(new) if line in comments(text)]
    assert kept == comments(text)
    return new


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("cut", [False, True], ids=["last line ended", "last line open"])
def test_every_edit_in_every_style(end: str, cut: bool) -> None:
    text = (PLAN.rstrip() if cut else PLAN).replace("\n", end)
    new = holds(text, EDITS)
    assert new.count("\n") == new.count(end), "line ends stay those of the file"
    old_lines, new_lines = text.splitlines(), new.splitlines()
    ops = difflib.SequenceMatcher(None, old_lines, new_lines, autojunk=False).get_opcodes()
    touched = [
        line for op, a, b, _, _ in ops if op in {"replace", "delete"} for line in old_lines[a:b]
    ]
    assert sorted(line.strip()[:9] for line in touched) == [
        "a: {class",
        "channels:",
        "d:",
        "shaft: ri",
    ]
    assert max(map(len, new_lines)) <= 100


@pytest.mark.parametrize(
    ("text", "edit"),
    [
        ("leads:\n", AddPart("leads", "y", (("kind", "y"),))),
        ("leads: {}\n", AddPart("leads", "y", (("kind", "y"),))),
        ("leads: ~  # none yet\n", AddPart("leads", "y", (("kind", "y"),))),
        ("leads: {q: {kind: y}}\n", AddPart("leads", "y", (("kind", "y"),))),
        ("", AddPart("leads", "y", (("kind", "y"),))),
        ("channels:\n  2: elevator\n\n  # third\n  3: throttle\n", GEAR),
        ("channels:\n  1: flap\n\n  # third\n  4: throttle\n", SetChannel("3", GEAR.fields)),
        ("channels: {2: elevator}\n", GEAR),
        ("", GEAR),
        ("servos: {s: }\n", SetKey("s", "plug", "rx.1")),
        ("servos: {s}\n", SetKey("s", "plug", "rx.1")),
        ("servos: {s: {}, t: {}}\n", SetKey("s", "plug", "rx.1")),
        ("servos:\n  s: ~ # x\n", SetKey("s", "plug", "rx.1")),
        ("servos:\n  s: {reversed: no, shaft: left}\n", SetKey("s", "reversed", "yes")),
        ("servos:\n  s:\n    reversed: no # x\n", SetKey("s", "reversed", "yes")),
        ("servos:\n  s: &a {moves: flap}\n", SetKey("s", "plug", "rx.1")),
        ('servos:\n  "s": {moves: "flap"}\n', SetKey("s", "plug", "rx.1")),
    ],
)  # fmt: skip
def test_ways_to_write_it(text: str, edit: Edit) -> None:
    holds(f"plan: 1\naircraft: T\n{text}receivers: {{rx: {{sockets: 4}}}}\n", [edit])


LINES = ", ".join(
    f"{{throttle: {at} %, current: {at / 5:g} A, volts: 12 V}}" for at in (50, 75, 100)
)
FIFTY, FULL = "{throttle: 50 %, current: 5 A}", "{throttle: 100 %, current: 18 A, volts: 11 V}"
TABLES = {
    "in a block": "motors:\n  m:\n    # mine\n    full-throttle: 18 A  # read\n",
    "in braces": "motors:\n  m: {full-throttle: 18 A}  # tail\n",
    "in wide braces": f"motors:\n  m: {{full-throttle: 18 A, about: {'wide ' * 12}}}\n",
    "all in one line": "motors: {m: {full-throttle: 18 A}, n: {full-throttle: 1 A}}\n",
    "empty": "motors:\n  m: {full-throttle: 18 A, measured: []}\n",
    "brackets": f"motors:\n  m: {{measured: [{FIFTY}, {FULL}]}}  # tail\n",
    "brackets below": f"motors:\n  m:\n    measured: [\n      {FIFTY},\n      {FULL}]  # end\n",
    "block": f"motors:\n  m:\n    # a\n    measured:\n      - {FIFTY}\n      - throttle: 100 %\n"
             "        current: 18 A  # c\n    rotation: clockwise\n",
    "block below its key": f"motors:\n  m:\n    measured:\n    - {FIFTY}\n    - {FULL}\n",
}  # fmt: skip


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("style", TABLES)
def test_a_table_in_every_style(style: str, end: str) -> None:
    """One line where it fits, else a line for each of its own."""
    text = f"plan: 1\naircraft: T\n{TABLES[style]}# the end\n".replace("\n", end)
    new = holds(text, [SetKey("m", "measured", f"[{LINES}]")])
    assert new.count("\n") == new.count(end)
    assert max(map(len, new.splitlines())) <= 100
    short = holds(text, [SetKey("m", "measured", f"[{FULL}]")])
    assert f"measured: [{FULL}]" in short.replace(end, "\n") or style.startswith("block")


@pytest.mark.parametrize(
    "text",
    [
        f"motors:\n  m:\n    measured: [\n      {FIFTY}, # low\n      {FULL}]\n",
        f"motors:\n  m:\n    measured:\n    - {FIFTY} # c\n    - {FULL}\n",
    ],
)
def test_a_remark_amid_a_list_is_not_lost(text: str) -> None:
    plan = parse_plan(Source("t.yaml", f"plan: 1\naircraft: T\n{text}"))
    with pytest.raises(Refusal, match="the list measured on line 5 has remarks"):
        apply(plan, [SetKey("m", "measured", f"[{LINES}]")])


def test_an_alias_is_not_edited_behind_the_back_of_its_anchor() -> None:
    text = "plan: 1\naircraft: T\nservos:\n  s: &a {moves: flap}\n  t: *a\n"
    plan = parse_plan(Source("t.yaml", text))
    with pytest.raises(Refusal, match='"t" on line 5 is an alias'):
        apply(plan, [SetKey("t", "moves", "gear")])
    added = apply(plan, [AddPart("servos", "u", (("moves", "gear"),))])
    assert list(data(added)["servos"]) == ["s", "t", "u"]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
@settings(max_examples=25, deadline=None)
@given(pick=st.data())
def test_any_part_of_the_examples(path: Path, pick: st.DataObject) -> None:
    text = path.read_text("utf-8")
    if "plan: 1" not in text:
        return
    plan = parse_plan(Source("t.yaml", text))
    ids = pick.draw(st.lists(st.sampled_from(sorted(plan.parts)), unique=True, max_size=6))
    edits: list[Edit] = [SetKey(name, "about", "changed") for name in ids]
    edits += [AddPart("leads", "new-lead", (("kind", "y"), ("length", "300 mm")), "bought")]
    new = holds(text, edits)
    untouched = [line for line in text.splitlines() if not any(name in line for name in ids)]
    assert set(untouched) - set(new.splitlines()) <= {
        line for line in untouched if "}" in line or line.endswith("about:")
    }


def test_the_difference_names_the_file_and_is_empty_for_nothing() -> None:
    plan = parse_plan(Source("folder/t.yaml", PLAN))
    assert difference(plan, PLAN) == ""
    shown = difference(plan, apply(plan, [SetKey("d", "plug", "rx.3")]))
    assert shown.splitlines()[:2] == ["--- t.yaml (as it is)", "+++ t.yaml (proposed)"]
    assert "-  d:\n+  d: {plug: rx.3}\n" in shown
