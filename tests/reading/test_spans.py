"""Every error points at the very value, in block and in flow style, and through `like:`."""

from __future__ import annotations

import re

import pytest
from support import plan_of

from harness.base.span import Source, Span
from harness.cli.frames import frame, problem_lines
from harness.plan.load import parse_plan
from harness.reading.problems import PlanError, Problem

HEAD = "plan: 1\naircraft: A\n"


def marked(text: str) -> tuple[str, list[Span]]:
    """Take the marks [[ and ]] out of a text; return it and the spans they stood round."""
    spans = []
    while (start := text.find("[[")) >= 0:
        end = text.index("]]", start)
        text = text[:start] + text[start + 2 : end] + text[end + 2 :]
        line, end_line = (text.count("\n", 0, n) + 1 for n in (start, end - 2))
        column, end_column = (n - text.rfind("\n", 0, n) for n in (start, end - 2))
        spans.append(Span(line, column, end_line, end_column))
    return text, spans


def problems(text: str) -> list[Problem]:
    with pytest.raises(PlanError) as error:
        parse_plan(Source("plan.yaml", text))
    return error.value.problems


WRONG = {
    "a circuit that a wing plug has not": (
        "receivers: {rx: {sockets: 2}}\nwing-plugs:\n  w:\n    contacts: 3\n"
        "    circuits: {flap: {signal: 1, positive: 2, negative: 3}}\n"
        "    plugs: {flap: rx.1, aileron: [[rx.2]]}\n"
    ),
    "value in block": "servos:\n  a:\n    shaft: [[lft]]\n",
    "value in flow": "servos: {a: {shaft: [[lft]], plug: a}}\nx: 1\n",
    "quoted value": "servos: {a: {shaft: [['lft']]}}\n",
    "key in block": "servos:\n  a:\n    [[shaf]]: left\n",
    "key in flow": "servos: {a: {class: 9g-analogue, [[shaf]]: left}}\n",
    "item of a list": "servos: {a: {pins: [signal, [[plus]], negative]}}\n",
    "item on a line": "servos:\n  a:\n    pins:\n    - signal\n    - [[plus]]\n    - negative\n",
    "unit": "servos: {a: {stall: [['1,2 A']]}}\n",
    "wire": "servos: {a: {wire: [[22]]}}\n",
    "group": "[[servoes]]: {}\n",
    "socket": "servos: {a: {plug: [[rx.1]]}}\n",
    "socket of a long plug": "servos: {a: {plug: [[{into: rx.1, pulled: signal}]]}}\n",
    "pulled pin": "servos: {a: {plug: {into: a.1, pulled: [[red]]}}}\n",
    "place": "servos: {a: {place: [[tail]]}}\n",
    "class": "servos: {a: {class: [[9g]]}}\n",
    "like": "servos: {a: {like: [[b]]}}\n",
    "step": "sequencers:\n  s:\n    outlets: 1\n    power-up: holds\n    steps:\n      down:\n"
    "        - {outlet: 1, start: 0 s, end: [[2]]}\n",
    "mix": "mixes: [{kind: [[crows]]}]\n",
    "accepted": "accepted:\n  - {rule: r, part: [[b]], because: x}\n",
    "as found": "as-found: [{end: [[b.1]], fact: dead}]\n",
    "channel": "channels: {1: {failsafe: off, [[functoin]]: a}, 2: b}\n",
    "text for a mapping": "servos: {a: [[wrong]]}\n",
    "list for a mapping": "servos: {a: [[[b]]]}\n".replace("[[[b]]]", "[[ [b] ]]").replace(
        " [b] ", "{0}"
    ),
    "a class of its own": "classes: {servos: {s: {stall: [[2]]}}}\n",
    "a figure that is none": "classes: {servos: {s: {stall: 2 A, [[stal]]: 2 A}}}\n",
    "a table that is none": "classes: {[[srvos]]: {s: {stall: 2 A}}}\n",
    "a place in itself": "places: {a: {in: [[a]]}}\n",
}


@pytest.mark.parametrize("name", WRONG)
def test_the_span_is_the_value(name: str) -> None:
    text, spans = marked(HEAD + WRONG[name].replace("{0}", "(b)"))
    text = text.replace("(b)", "[b]")
    found = problems(text)
    assert spans[0] in [problem.span for problem in found]


@pytest.mark.parametrize("name", WRONG)
def test_every_message_has_file_line_column_and_frame(name: str) -> None:
    text, _ = marked(HEAD + WRONG[name].replace("{0}", "(b)"))
    text = text.replace("(b)", "[b]")
    with pytest.raises(PlanError) as error:
        parse_plan(Source("some plan.yaml", text))
    lines = list(problem_lines(error.value))
    heads = [n for n, line in enumerate(lines) if line.startswith("\x1b[1msome plan.yaml:")]
    assert len(heads) == len(error.value.problems)
    for n, problem in zip(heads, error.value.problems, strict=True):
        span = problem.span
        assert f"some plan.yaml:{span.line}:{span.column}:" in lines[n]
        assert lines[n + 1] == f"  {span.line} | {text.splitlines()[span.line - 1]}"
        assert lines[n + 2].index("^") - lines[n + 1].index("|") - 2 == span.column - 1


def test_spans_through_like_point_at_where_the_value_stands() -> None:
    text, spans = marked(
        HEAD + "places: {wing: {}}\nservos:\n  a: {place: wing, stall: [[2 A]], about: one}\n"
        "  b: {like: a, about: [[two]]}\n  c:\n    like: b\n    length: [[5 in]]\n"
    )
    part = parse_plan(Source("plan.yaml", text)).parts["c"]
    assert [part.at(word) for word in ("stall", "about", "length")] == spans
    assert part.at("wire") == part.span


def test_a_fault_in_a_repeated_value_is_told_once() -> None:
    text, spans = marked(HEAD + "servos: {a: {stall: [[2]]}, b: {like: a}, c: {like: b}}\n")
    assert [problem.span for problem in problems(text)] == spans


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a: {like: a}", "a is like itself"),
        ("a: {like: b}, b: {like: c}, c: {like: a}", "a, b and c are like one another"),
    ],
)
def test_a_part_like_itself(text: str, words: str) -> None:
    found = problems(f"{HEAD}servos: {{{text}}}\n")
    assert {problem.message for problem in found} == {words}


def test_like_leaves_out_where_the_part_is_plugged() -> None:
    plan = plan_of(
        "receivers: {rx: {sockets: 2}}\n"
        "servos: {a: {plug: rx.1, code: X, measured: up, stall: 2 A}, b: {like: a}}\n"
    )
    part = plan.parts["b"]
    assert (part.joins(), part.code, part.measured, part.stall) == ((), "", "", 2.0)  # type: ignore[attr-defined]


def test_all_problems_are_told_at_once_in_the_order_of_the_file() -> None:
    text, spans = marked(
        HEAD + "servos:\n  a: {stall: [[2]], shaft: [[lft]]}\n[[wibble]]: 1\n"
        "packs: {p: {chemistry: lipo, cells: [[many]]}}\n"
    )
    assert [problem.span for problem in problems(text)] == spans


def test_a_missing_key_points_at_the_id() -> None:
    (problem,) = problems(HEAD + "receivers:\n  rx: {place: x}\nplaces: {x: {}}\n")
    assert problem.message == 'the key "sockets" is missing'
    assert problem.span == Span(4, 3, 4, 5)


@pytest.mark.parametrize("column", [1, 50, 99, 150, 5000])
def test_a_frame_shows_the_fault_on_a_very_long_line(column: int) -> None:
    line = "x" * (column - 1) + "FAULT" + "y" * 5000
    shown, caret = frame(Source("p", line), Span(1, column, 1, column + 5))
    assert max(len(shown), len(caret)) <= 110
    start = caret.index("^")
    assert shown[start : start + caret.count("^")] == "FAULT"


def test_a_frame_keeps_tabs_so_that_the_mark_stands_right() -> None:
    shown, caret = frame(Source("p", "\tab: c"), Span(1, 6, 1, 7))
    assert shown == "  1 | \tab: c"
    assert caret == "    | \t    ^"


def test_a_frame_of_a_value_over_many_lines_marks_its_first() -> None:
    shown, caret = frame(Source("p", "a: {b,\nc}"), Span(1, 4, 2, 3))
    assert (shown, caret) == ("  1 | a: {b,", "    |    ^^^")


def test_wide_signs_take_two_columns() -> None:
    """Unicode annex 11: a terminal draws these in two cells, so the mark needs two as well."""
    _, caret = frame(Source("p", "方向: x"), Span(1, 5, 1, 6))
    assert caret.index("^") == len("  1 | ") + 6


NEAR = [
    ("servoes: {}", "servos"),
    ("Servos: {}", "servos"),
    ("power-lead: {}", "power-leads"),
    ("servos: {a: {clas: 17g-digital}}", "class"),
    ("servos: {a: {stal: 1 A}}", "stall"),
    ("servos: {a: {class: 17-digital}}", "17g-digital"),
    ("servos: {a: {shaft: lefft}}", "left"),
    ("servos: {a: {plug: {int: b.1}}}", "into"),
    ("servos: {a: {plug: {into: a.1, pulled: positve}}}", "positive"),
    ("places: {wing: {joints: x}}", "joins"),
    ("places: {wing: {in: fuselag}, fuselage: {}}", "fuselage"),
    ("channels: {1: {funktion: aileron}}", "function"),
    ("mixes: [{kind: v-tial}]", "v-tail"),
    ("mixes: [{kin: v-tail}]", "kind"),
    ("transmitter: {ordr: AETR}", "order"),
    ("escs: {e: {bec: {volt: 5 V}}}", "volts"),
    ("packs: {p: {chemistry: lypo, cells: 2}}", "lipo"),
    ("leads: {y: {kind: yy}}", ""),
    ("leads: {y: {kind: extention}}", "extension"),
    ("sequencers: {s: {outlets: 1, power-up: holds, steps: {dwn: []}}}", "down"),
    ("sequencers: {s: {outlets: 1, steps: {up: [{outlet: 1, stat: 0 s, end: 1 s}]}}}", "start"),
    ("wing-plugs: {w: {contacts: 9, circuits: {a: {signl: 1}}}}", "signal"),
    ("as-found: [{end: a, fact: deed}]", "dead"),
    ("accepted: [{rul: a}]", "rule"),
    ("receivers: {rx: {sockets: 1}}\nservos: {a: {plug: rxx.1}}", "rx"),
    ("servos: {aileron: {}, b: {like: ailern}}", "aileron"),
    ("capacitors: {c: {across: es, value: 220 uF}}\nescs: {esc: {}}", "esc"),
    ("classes: {servo: {a: {b: c}}}", "servos"),
]


@pytest.mark.parametrize(("text", "meant"), NEAR)
def test_the_nearest_right_name_is_offered(text: str, meant: str) -> None:
    found = problems(f"{HEAD}{text}\n")
    said = [f"{problem.message} {problem.help}" for problem in found]
    assert any(re.search(rf'did you mean "{re.escape(meant)}"', text) for text in said) or not meant
