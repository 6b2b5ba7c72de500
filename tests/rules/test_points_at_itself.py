"""A finding of a part made with `like:` points at that part's own line, not at what it repeats.

Every broken example is written anew with the part at fault made like a twin that goes nowhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml
from advice_data import parts_of
from support import plan_of, report_of

from harness.rules.run import all_rules

BROKEN = sorted((Path(__file__).parents[2] / "examples" / "broken").glob("*.yaml"))
OWN = {"plug", "plugs", "supply", "across", "code", "route", "tested", "metered", "measured"}
"""What `like:` does not repeat."""


def flow(value: Any) -> str:
    """Write a value on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{k}: {flow(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(flow, value)) + "]"
    return f'"{value}"' if set(value) & set(":#{}[],&*!|>'%@`") or not value.strip() else value


def twinned(data: dict[str, Any], name: str, block: bool) -> Iterator[str]:
    """Yield the lines of a plan in which one part is like a twin of itself that stands before."""
    for group, body in data.items():
        yield f"{group}:" if isinstance(body, dict) else f"{group}: {flow(body)}"
        for key, keys in body.items() if isinstance(body, dict) else ():
            if key == name and isinstance(keys, dict):
                base = {k: v for k, v in keys.items() if k not in OWN}
                lines = [f"    {k}: {flow(v)}" for k, v in base.items()]
                yield from (
                    [f"  {key}-twin:", *lines]
                    if block and lines
                    else [f"  {key}-twin: {flow(base)}"]
                )
                own = {k: v for k, v in keys.items() if k in OWN}
                yield f"  {key}: {flow({'like': f'{key}-twin', **own})}"
            else:
                yield f"  {key}: {flow(keys)}"


def test_a_finding_points_at_its_own_part() -> None:
    told: set[str] = set()
    for number, path in enumerate(BROKEN):
        text = path.read_text()
        data = yaml.load(text, yaml.BaseLoader)
        for rule, name in {(f.rule, f.parts[0]) for f in report_of(text).findings if f.parts}:
            part = parts_of(data).get(name, {})
            if "like" in part or {"across", "plugs", "second-plug"} & set(part):
                continue
            lines = list(twinned(data, name, number % 2 == 0))
            start = next(n for n, line in enumerate(lines, 1) if line.startswith(f"  {name}-twin:"))
            end = next(n for n, line in enumerate(lines, 1) if line.startswith(f"  {name}: "))
            report = report_of("\n".join(lines) + "\n")
            for finding in report.findings:
                spans = [finding.span, *(span for span, _ in finding.also)]
                there = [s for s in spans if start <= s.line < end]
                assert f"{name}-twin" in finding.parts or not there, (path.stem, finding)
            assert all(start > f.span.line or f.span.line >= end for f in report.first), path.stem
            assert all(start > u.span.line or u.span.line >= end
                       for u in report.unknown if u.part == name), path.stem  # fmt: skip
            told |= {f.rule for f in report.findings if name in f.parts and f.rule == rule}
    assert len(told) > len(all_rules()) // 2


SHORT = """plan: 1
aircraft: short forms
channels: {1: aileron, 2: aileron-right, 3: flap, 4: flap-right}
receivers: {rx: {sockets: 6}}
places:
  fuselage: {}
  wing-left:
    joins: fuselage
    side: left
    mirrored: yes
    servos:
      aileron-left: {class: 9g-analogue, moves: aileron, plug: rx.1, mirrored: {plug: rx.2}}
      flap-left:
        like: aileron-left
        moves: flap
        plug: rx.3
        mirrored: {plug: rx.4}
servos:
  spare:
    like: flap-right
    plug: rx.5
"""


def test_its_own_line_under_a_place_and_of_a_mirror_image() -> None:
    """What a part repeats is its `like:` line; of an image, that of the side that is written."""
    plan = plan_of(SHORT)
    own = {(name, key): plan.own_line(part.at(key), name).line
           for name, part in plan.parts.items() for key in part.spans}  # fmt: skip
    assert [own[f"aileron-{side}", "class"] for side in ("left", "right")] == [12, 12]
    assert [own[f"flap-{side}", "class"] for side in ("left", "right")] == [14, 14]
    assert [own[f"flap-{side}", "plug"] for side in ("left", "right")] == [16, 17]
    assert own["spare", "class"] == own["spare", "moves"] == 20
    assert own["spare", "plug"] == 21
    assert plan.own_line(plan.parts["spare"].at("class"), "aileron-left", "spare").line == 12
