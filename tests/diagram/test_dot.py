"""The DOT text, drawn by Graphviz itself: every part and every mated pair is in its picture.

Graphviz is the outside judge: it reads the text in a process of its own and draws it as SVG, from
which ids, colours and words are read back. Any complaint of Graphviz fails the test.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path
from xml.etree import ElementTree

import pytest
from kept import report_at
from support import report_of

from harness.base.refusal import Refusal
from harness.diagram.cuts import cut_of, ends_of
from harness.diagram.dot import dot_files
from harness.diagram.findings import numbered
from harness.diagram.page_setting import PageSetting
from harness.diagram.stages import ViewWish
from harness.drawing.font import font_path
from harness.drawing.look import insulation
from harness.rules.run import Report

ROOT = Path(__file__).parents[2]
GOOD = sorted(p for p in (ROOT / "examples").glob("*.yaml") if "." not in p.stem)
BROKEN = [ROOT / "examples" / "broken" / f"{name}.yaml" for name in
          ("10-plug-turned", "13-battery-bullets-reversed", "no-such-socket", "socket-used-twice",
           "leads-in-a-ring", "step-outlet", "wing-plug-table")]  # fmt: skip
PLANS = [*GOOD, *BROKEN, ROOT / "tests" / "every_kind.yaml"]
WISHES = [
    ViewWish("airframe"), ViewWish("power"), ViewWish("control"), ViewWish(place="wing-left"),
    ViewWish(function="flap"), ViewWish(lead="ESC-L"), ViewWish("control", place="tail"),
    ViewWish(case="worst"),
]  # fmt: skip
CHILD = """
import os, sys
sys.path.insert(0, sys.argv[1])
import _graphviz as library
graph = library.agread(sys.stdin, None)
context = library.gvContextWithBuiltins()
if library.gvLayout(context, graph, b"dot"):
    os._exit(3)
status = library.gvRender(context, graph, b"svg", sys.stdout)
sys.stdout.flush()
os._exit(4 if status else 0)
"""
SVG = "{http://www.w3.org/2000/svg}"


def font_settings(folder: Path) -> Path:
    """Write a fontconfig file whose only font is DejaVu Sans; returns its path."""
    fonts = folder / "fonts"
    fonts.mkdir()
    shutil.copy(font_path(), fonts)
    path = folder / "fonts.conf"
    path.write_text(
        '<?xml version="1.0"?>\n<!DOCTYPE fontconfig SYSTEM "fonts.dtd">\n<fontconfig>'
        f"<dir>{fonts}</dir><cachedir>{folder / 'cache'}</cachedir></fontconfig>\n",
        encoding="utf-8",
    )
    return path


def drawn(text: str, folder: Path) -> dict[str, ElementTree.Element]:
    """Draw a DOT text with Graphviz; return the groups of the picture by id."""
    spec = find_spec("pygraphviz")
    assert spec is not None
    assert spec.submodule_search_locations
    line = [sys.executable, "-S", "-E", "-I", "-c", CHILD, spec.submodule_search_locations[0]]
    environment = {**os.environ, "FONTCONFIG_FILE": str(font_settings(folder))}
    done = subprocess.run(line, input=text.encode(), capture_output=True, env=environment,
                          timeout=60, check=False)  # fmt: skip
    said = [line for line in done.stderr.decode().splitlines() if "Fontconfig" not in line]
    assert (done.returncode, said) == (0, [])
    groups = list(ElementTree.fromstring(done.stdout).iter(f"{SVG}g"))
    drawings = [group for group in groups if group.get("class") in {"node", "edge"}]
    found = {group.attrib["id"]: group for group in drawings}
    assert len(found) == len(drawings)
    return found


def words(group: ElementTree.Element) -> list[str]:
    return ["".join(one.itertext()) for one in group.iter(f"{SVG}text")]


def strokes(group: ElementTree.Element) -> list[str]:
    return [one.get("stroke", "").upper() for one in group.iter(f"{SVG}path")]


def hold(report: Report, wish: ViewWish, found: dict[str, ElementTree.Element]) -> None:
    """Compare a picture with the parts, mated pairs and findings a wish asks for."""
    cut, setting = cut_of(report, wish), PageSetting(report)
    parts = {*cut.parts, *ends_of(cut.mates)}
    assert {name for name in found if name.startswith("part-")} == {f"part-{p}" for p in parts}
    leads = {f"lead-{'.'.join(mate.plug.id)}": mate for mate in cut.mates}
    assert {name for name in found if name.startswith("lead-")} == set(leads)
    for name, mate in leads.items():
        strand = setting.strander.strand(mate, ("", ""), ("", ""))
        wanted = [insulation(wire.code)[0] for wire in strand.wires]
        assert strokes(found[name]) == wanted
        paths = list(found[name].iter(f"{SVG}path"))
        assert all(("stroke-dasharray" in p.attrib) == bool(mate.open) for p in paths)
        own = words(found[f"part-{mate.plug.part.id}"])
        assert strand.code in own
        assert ("turned" in own) >= mate.turned
        assert {f"{pin} pulled" for pin in mate.join.pulled} <= set(own)
    for one in numbered(report):
        for part in parts.intersection(one.parts):
            assert f"{one.severity} {one.number}" in words(found[f"part-{part}"])


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_graphviz_draws_every_part_and_every_mated_pair(path: Path, tmp_path: Path) -> None:
    report = report_at(path)
    ((name, text),) = dot_files(report, ViewWish()).items()
    assert name == "run.dot"
    hold(report, ViewWish(), drawn(text, tmp_path))


@pytest.mark.parametrize("wish", WISHES, ids=lambda w: "-".join(
    filter(None, (w.view, w.place, w.function, w.lead, w.case))))  # fmt: skip
def test_views_and_filters_show_what_they_show_of_a_picture(wish: ViewWish, tmp_path: Path) -> None:
    report = report_at(ROOT / "examples" / "saltmarsh-19.yaml")
    ((_, text),) = dot_files(report, wish).items()
    found = drawn(text, tmp_path)
    hold(report, wish, found)
    flows = [word for name in found for word in words(found[name]) if word.endswith(" %")]
    assert bool(flows) == bool(wish.case)


def test_a_plug_without_a_socket_ends_at_the_words_that_say_so(tmp_path: Path) -> None:
    report = report_at(ROOT / "examples" / "broken" / "no-such-socket.yaml")
    (lost,) = [mate for mate in report.wiring.mates if mate.socket is None]
    ((_, text),) = dot_files(report, ViewWish()).items()
    said = [word for group in drawn(text, tmp_path).values() for word in words(group)]
    assert f"no such socket: {lost.join.into}" in said


ODD = {"node": "<b>", "edge": "a:w", "größe": "&lt;", "n0": 'x"y', "7": "a\\N", "true": "#1"}
"""Names with a meaning in DOT, label codes with one in its labels."""


def test_words_of_any_kind_come_through(tmp_path: Path) -> None:
    """Signs that DOT and HTML-like labels give a meaning are words of the builder here."""
    about = "about: 'a\\N<b>\"&amp;'"
    servos = "".join(f"  {name!r}: {{plug: rx.{n}, code: {code!r}, {about}}}\n"
                     for n, (name, code) in enumerate(ODD.items(), 1))  # fmt: skip
    report = report_of(f"receivers: {{rx: {{sockets: 9}}}}\nservos:\n{servos}")
    assert list(report.plan.parts)[1:] == list(ODD)
    ((_, text),) = dot_files(report, ViewWish()).items()
    hold(report, ViewWish(), drawn(text, tmp_path))


def test_a_name_that_the_plan_lacks_is_refused() -> None:
    with pytest.raises(Refusal, match="no place"):
        dot_files(report_at(GOOD[0]), ViewWish(place="attic"))


def test_the_same_bytes_under_another_hash_seed() -> None:
    code = (
        "from pathlib import Path; from harness.diagram.dot import dot_files;"
        "from harness.diagram.stages import ViewWish; from harness.plan.load import load_plan;"
        "from harness.rules.run import check; import sys;"
        "sys.stdout.write(dot_files(check(load_plan(sys.argv[1])), ViewWish())['run.dot'])"
    )
    plan = str(ROOT / "examples" / "saltmarsh-19.yaml")
    texts = [
        subprocess.run([sys.executable, "-c", code, plan], capture_output=True, check=True,
                       env={**os.environ, "PYTHONHASHSEED": seed}).stdout
        for seed in ("1", "2")
    ]  # fmt: skip
    assert texts[0] == texts[1] != b""
