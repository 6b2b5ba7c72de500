"""jsonschema is the judge of a plan's structure, and what it refuses is told where it stands."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from reading.test_spans import HEAD, marked, problems
from support import plan_of

from harness.base.colours import ColourError, code_of
from harness.base.span import Source
from harness.plan.schema import plan_schema
from harness.reading import structure
from harness.reading.nodes import compose, plain

ROOT = Path(__file__).parents[2]
Change = Callable[[Callable[[Any], object]], None]


@pytest.fixture
def changed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Change]:
    """Give a function that changes the schema by which plans are judged."""

    def change(how: Callable[[Any], object]) -> None:
        schema = json.loads((ROOT / "schemas" / "plan.schema.json").read_text("utf-8"))
        how(schema)
        (tmp_path / "plan.schema.json").write_text(json.dumps(schema), "utf-8")
        monkeypatch.setattr(structure, "FOLDERS", (tmp_path,))
        structure.shipped.cache_clear()

    yield change
    structure.shipped.cache_clear()


def key_of(schema: Any, group: str, word: str) -> Any:
    return schema["$defs"][group]["properties"][word]


CHANGES = {
    "a choice": (
        lambda s: key_of(s, "servos", "shaft")["enum"].remove("left"),
        "servos: {a: {shaft: [[left]]}}",
        '"left" is not one of right',
    ),
    "a limit": (
        lambda s: key_of(s, "packs", "cells").update(maximum=2),
        "packs: {p: {chemistry: lipo, cells: [[3]]}}",
        "3 is not a whole number",
    ),
    "a key": (
        lambda s: s["$defs"]["servos"]["properties"].pop("about"),
        "servos: {a: {[[about]]: x}}",
        '"about" is not a key of a servo',
    ),
    "a key that must be given": (
        lambda s: s["$defs"]["servos"].update(required=["moves"]),
        "servos: {[[a]]: {about: x}}",
        'the key "moves" is missing',
    ),
    "a kind of value": (
        lambda s: key_of(s, "servos", "about").update(type="array"),
        "servos: {a: {about: [[x]]}}",
        '"x" is not a text',
    ),
    "a group": (
        lambda s: s["properties"].pop("servos"),
        "[[servos]]: {a: {}}",
        '"servos" is not a key of a plan',
    ),
}


@pytest.mark.parametrize("name", CHANGES)
def test_the_schema_file_decides_when_a_plan_is_read(name: str, changed: Change) -> None:
    how, text, said = CHANGES[name]
    plain_text, spans = marked(f"{HEAD}{text}\n")
    plan_of(plain_text)
    changed(how)
    (problem,) = problems(plain_text)
    assert [problem.span] == spans
    assert problem.message.startswith(said)


FAULTS = {
    "a text": ("about: [[{a: b}]]", "here stands a set of keys, wanted is a text"),
    "a name": ("servos: {a: {place: [['b c']]}}", '"b c" cannot be a name'),
    "an id": ("places: {[[b.c]]: {}}", '"b.c" cannot be a name'),
    "an id with a line end": ('places: {[["b\\n"]]: {}}', '"b\n" cannot be a name'),
    "an id that is nothing": ("places: {? [[~]] : {}}", "nothing stands here, wanted is a key"),
    "a class": ("servos: {a: {class: [[b c]]}}", '"b c" cannot be the name of a class'),
    "a choice": ("places: {a: {side: [[up]]}}", '"up" is not one of left or right'),
    "a choice that is a number": ("places: {a: {side: [[1]]}}", '"1" is not one of left or right'),
    "a truth": ("servos: {a: {reversed: [[maybe]]}}", '"maybe" is neither yes nor no'),
    "a count": ("receivers: {r: {sockets: [[many]]}}", '"many" is not a whole number from 1 to 64'),
    "too many": ("receivers: {r: {sockets: [[65]]}}", "65 is not a whole number from 1 to 64"),
    "zeros": ("receivers: {r: {sockets: [[014]]}}", '"014" is not a whole number from 1 to 64'),
    "names for a count": ("receivers: {r: {sockets: [a, [[b c]]]}}", '"b c" cannot be a name'),
    "no unit": ("servos: {a: {stall: [[40]]}}", '"40" has no unit: write "40 A" or "40 mA"'),
    "another unit": (
        "servos: {a: {stall: [[40 V]]}}",
        '"40 V" is not a current: write it like "40 A"',
    ),
    "nothing of it": ("places: {a: {long: [[0 mm]]}}", '"0 mm" is too little'),
    "far too much": (
        "motors: {m: {full-throttle: [[999999999999 A]]}}",
        '"999999999999 A" is too much',
    ),
    "a share": ("reserve: [[130]]", '"130" is more than 1: write "130 %", or a number from 0 to 1'),
    "too large a share": ("reserve: [[130 %]]", '"130 %" is more than the whole'),
    "a wire": (
        "servos: {a: {wire: [[22]]}}",
        '"22" has no unit: write "22 AWG" or an area like "0.5 mm2"',
    ),
    "a colour": (
        "leads: {l: {kind: custom, ends: {plug: [red, [[blak]], BU]}}}",
        '"blak" is not an insulation colour: did you mean "black"?',
    ),
    "how many": ("servos: {a: {pins: [[(a, b)]]}}", "2 values stand here, wanted: 3"),
    "no list": (
        "flight: [[climb]]",
        "wanted is a list of values, each a set of keys (key: value)",
    ),
    "no mapping": (
        "leads: {l: {kind: custom, map: [[straight]]}}",
        "wanted is a set of keys (key: value)",
    ),
    "no record": ("leads: {l: [[y]]}", '"l" is a lead: its keys are wanted here'),
    "no group": ("servos: [[a]]", '"servos" holds parts by their names'),
    "a key of a mapping": (
        "leads: {l: {kind: custom, map: {[[red]]: signal}}}",
        '"red" is not one of signal, positive or negative',
    ),
    "a missing key": ("leads: {[[l]]: {}}", 'the key "kind" is missing'),
    "a missing key of nothing": ("leads: {[[l]]: }", 'the key "kind" is missing'),
    "a missing key inside": (
        "servos: {a: {plug: [[{pulled: signal}]]}}",
        'the key "into" is missing',
    ),
    "a socket": ("servos: {a: {plug: [[rx.1.2]]}}", '"rx.1.2" is not a socket'),
    "one of many sockets": (
        "regulators: {g: {volts: 5 V, plug: [g.a, [[rx.1.2]]]}}",
        '"rx.1.2" is not a socket',
    ),
    "a word or a record": ("escs: {e: {bec: [[nne]]}}", "wanted is a set of keys (key: value)"),
    "nothing": (
        "servos: {a: {stall: [[~]]}}",
        'nothing stands here, wanted is a current such as "40 A"',
    ),
    "no such version": (
        "",
        "0 is not a known version of the format; write `plan: 1`",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_is_told_once_where_it_stands(name: str) -> None:
    text, said = FAULTS[name]
    head = HEAD.replace("plan: 1", "plan: [[0]]") if name == "no such version" else HEAD
    text, spans = marked(f"{head}{text}\n")
    text = text.replace("(a, b)", "[a, b]")
    assert [(p.span, p.message) for p in problems(text)] == [(spans[0], said)]


def test_one_value_may_be_right_in_one_place_and_wrong_in_another() -> None:
    text, spans = marked(HEAD + "servos: {a: {wire: [[&w 22 AWG]]}, b: {length: *w}}\n")
    (problem,) = problems(text)
    assert problem.span == spans[0]
    assert problem.message == '"22 AWG" is not a length: write it like "300 mm"'


def test_a_fault_in_one_part_hides_none_in_another() -> None:
    text, spans = marked(
        HEAD + "servos: {a: {stall: [[2]]}, b: {plug: [[x.1]]}}\nmixes: [{kind: [[crows]]}]\n"
        "places: {p: {bundle: [[0]]}, q: {in: [[r]]}}\n"
    )
    assert [problem.span for problem in problems(text)] == spans


def test_a_class_with_a_fault_is_a_class_all_the_same() -> None:
    text, spans = marked(
        HEAD + "classes: {servos: {s: {stall: [[2]]}, t: {stall: [[{}]]}}}\n"
        "servos: {a: {class: s}, b: {class: t}}\n"
    )
    assert [problem.span for problem in problems(text)] == spans


def test_many_faults_are_told_alike_whatever_the_hash_seed() -> None:
    """The order of other keys is not the judge's to say; only the first faults get hints."""
    keys = "".join(f"  p{n}: {{shaf: left, stal: 2 A, clas: x}}\n" for n in range(30))
    line = [sys.executable, "-m", "harness", "check", "-"]
    told = {
        subprocess.run(
            line, input=f"{HEAD}servos:\n{keys}".encode(), capture_output=True, check=False,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stderr
        for seed in "012"
    }  # fmt: skip
    assert len(told) == 1


SPOILT = [("shaft: left", "shaft: lft"), ("kind: y", "knd: y"), ("mm", "V"), ("{kind:", "{kin d:"),
          ("plug: aileron-y.1", "plug: [a, b]"), ("22 AWG", "22"),
          ("aircraft", "craft"), ("servos:", "servos:\n  a*b: {}\n  1.2: {}"),
          ("servos:", "servos: 4\nserve:"),
          ("servos:", "servos:\n  a/~b: {shaft: 1}\n  3: {ab: c}"),
          ("servos:", f"servos:\n  3: {{stall: {'9' * 400}}}")]  # fmt: skip


@pytest.mark.parametrize(("right", "wrong"), SPOILT)
def test_our_judge_refuses_what_jsonschema_refuses(right: str, wrong: str) -> None:
    """jsonschema, the reference in Python, names the same places and parts of the schema."""
    text = (ROOT / "examples" / "saltmarsh-19.yaml").read_text("utf-8")
    data = plain(compose(Source("p", text.replace(right, wrong))))
    schema = plan_schema()
    formats = jsonschema.FormatChecker(["date"])
    formats.checks("insulation-colour", ColourError)(lambda text: bool(code_of(str(text))))
    by = structure.judge_of(schema)
    reference = jsonschema.Draft202012Validator(schema, format_checker=formats)
    ours = sorted(
        ([*map(str, e.instance_path)], str(by.at_fault(e))) for e in by.validator.iter_errors(data)
    )
    theirs = sorted(
        ([*map(str, e.absolute_path)], str(e.schema)) for e in reference.iter_errors(data)
    )
    assert ours == theirs
    assert ours
