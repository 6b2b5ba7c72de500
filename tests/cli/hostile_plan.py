"""One small plan with a text wherever a builder may write one: harmless, or as bad as can be."""

from __future__ import annotations

import json

TEXTS = (
    "<b onclick='x'>&amp;</b><script>alert(1)</script>",
    "]]> --> <!-- <![CDATA[ </text></svg></td></table></title></style>",
    "\"'`` ${7*7} {{7*7}} $(touch x) `touch x` %s %(a)s \\ \\n \\N \\G <TD> |",
    "=1+1", "+1", "-1", "@SUM(1)", "\t=1", "\n=1", " =1",
    "a\n.end\n* b\nV9 1 0 5\n.include /etc/passwd\n+ c\n# d\n- e\n| f |\n```\n",
    "[x](javascript:alert(1)) ![y](http://a.b/c) **b** _c_ ~~d~~ # e http://a.b www.a.b a@b.cd",
    ") Tj ET (x) \\( endstream endobj /JS (app.alert(1))",
    "../../../etc/passwd /etc/passwd C:\\x file:///etc/passwd ../../x%2e%2e",
    "a: b, {c: [d]} &e *f !g %h @i",
)  # fmt: skip
"""What breaks out of HTML, XML, scripts and shells; computes in a spreadsheet (CWE-1236); begins a
line of a netlist, of Markdown, of YAML; ends a string of PDF (ISO 32000, 7.3.4.2); names files."""
NAMES = (
    "</g><b>",
    "=1+1",
    "$(x)`y`",
    "../x".replace(".", "-"),
    "a|b&lt",
    "-1",
    "(\\N)",
    "_*~",
    "/etc/x",
)
"""Likewise, in signs that a name may have."""

PLAN = """\
plan: 1
aircraft: {aircraft}
about: {text}
places: {{{bay}: {{at: 100 mm, long: 900 mm, wide: 12 cm, about: {text}}},
  {wing}: {{joins: {bay}, joined: removable, side: left,
    at: {{aft: 320 mm, out: 450 mm, up: 80 mm}}, about: {text}}}}}
covers: {{{hatch}: {{over: {bay}, kind: hatch, about: {text}}}}}
transmitter: {{order: AETR, channels: 8}}
functions: {{{word}: aileron}}
channels:
  1: {{function: {word}, failsafe: neutral, neutral: {text}, ends: {text},
    rates: {text}, switch: {text}, about: {text}}}
  2: {own}
  3: {{function: throttle, failsafe: off}}
receivers: {{{rx}: {{sockets: [ail, {socket}, thr, batt, spare], place: {bay}, about: {text}}}}}
servos:
  {servo}: {{class: 9g-analogue, moves: {word}, plug: {rx}.ail, place: {wing}, code: {code},
    about: {text}}}
  {other}: {{class: 9g-analogue, moves: {own}, plug: {rx}.{socket}, place: {bay}, about: {text}}}
packs: {{{pack}: {{chemistry: nimh, cells: 4, capacity: 2 Ah, rate: 5 C, plug: {rx}.batt,
    place: {bay}, about: {text}}}}}
cases: {{{case}: {{like: cruise, about: {text}}}}}
flight: [{{phase: cruise, time: 60 s, case: {case}}}]
kit: [{{kind: y, count: 3, length: 300 mm, about: {text}}}]
accepted: [{{rule: under-voltage, part: {pack}, because: {text}}}]
"""
WORDS = ("bay", "wing", "hatch", "word", "own", "rx", "socket", "servo", "other", "pack", "case")


def plan_with(text: str, name: str, code: str = "") -> str:
    """Return the plan with a text in each place for one, and names that begin alike."""
    quoted = json.dumps(text, ensure_ascii=False)
    names = {word: json.dumps(f"{name}{word}") for word in WORDS}
    bare = {word: f"{name}{word}" for word in WORDS}
    body = PLAN
    for word in WORDS:
        body = body.replace(f"{{rx}}.{{{word}}}", json.dumps(f"{bare['rx']}.{bare[word]}"))
    for plug in ("ail", "batt"):
        body = body.replace(f"{{rx}}.{plug}", json.dumps(f"{bare['rx']}.{plug}"))
    return body.format(text=quoted, aircraft=quoted, code=json.dumps(code), **names)
