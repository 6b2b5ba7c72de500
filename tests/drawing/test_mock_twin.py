"""The whole way, on a small twin: layout, ribbons, parts, and the three kinds of file."""

import hashlib
import os
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from drawing import mock_twin

from harness.drawing.audit import clipped_texts, overlapping_texts, smallest_text
from harness.drawing.layout import lay_out
from harness.drawing.layout_model import LostEdges
from harness.drawing.pdf import to_pdf
from harness.drawing.png import pdf_to_png
from harness.drawing.scene import Scene, text
from harness.drawing.sheet import page_scale
from harness.drawing.svg import svg_id, to_svg

TESTS = str(Path(__file__).parents[1])
PROGRAM = """
import hashlib, sys
sys.path.insert(0, sys.argv[1])
from drawing import mock_twin
from harness.drawing.pdf import to_pdf
from harness.drawing.png import pdf_to_png
from harness.drawing.svg import to_svg
scene = mock_twin.build()
pdf = to_pdf([scene])
for data in (to_svg(scene).encode(), pdf, pdf_to_png(pdf, dpi=60)):
    print(hashlib.sha256(data).hexdigest())
"""


@pytest.fixture(scope="module")
def scene() -> Scene:
    return mock_twin.build()


def test_every_lead_and_part_is_a_group_of_the_svg(scene: Scene) -> None:
    root = ET.fromstring(to_svg(scene))
    ids = [item.get("id") for item in root.iter() if item.get("id")]
    assert len(set(ids)) == len(ids)
    wanted = [lead.id for lead in mock_twin.LEADS] + list(mock_twin.parts())
    assert {svg_id(name) for name in wanted} <= set(ids)
    leads = {g.get("id") for g in root.iter() if "lead" in (g.get("class") or "").split()}
    assert {svg_id(lead.id) for lead in mock_twin.LEADS} <= leads


def test_nothing_overlaps_nothing_is_cut_off(scene: Scene) -> None:
    assert overlapping_texts(scene) == []
    assert clipped_texts(scene) == []
    assert smallest_text(scene) >= 8


def test_the_audit_sees_faults() -> None:
    one, other = text(10, 20, "aileron", 9), text(30, 24, "flap", 9)
    assert overlapping_texts(Scene(90, 40, (one, other))) == [("aileron", "flap")]
    assert clipped_texts(Scene(40, 40, (one, other))) == ["aileron", "flap"]
    turned = text(50, 30, "elevator", 9, angle=-90)
    assert clipped_texts(Scene(90, 40, (turned,))) == ["elevator"]


def test_it_fits_a_landscape_page(scene: Scene) -> None:
    assert page_scale(scene) > 0.7


def test_files_are_written(scene: Scene, tmp_path: Path) -> None:
    pdf = to_pdf([scene])
    (tmp_path / "twin.svg").write_text(to_svg(scene), encoding="utf-8")
    (tmp_path / "twin.pdf").write_bytes(pdf)
    (tmp_path / "twin.png").write_bytes(pdf_to_png(pdf, dpi=100))
    assert (tmp_path / "twin.pdf").read_bytes().startswith(b"%PDF-")
    assert (tmp_path / "twin.png").read_bytes().startswith(b"\x89PNG\r\n\x1a\n")


def test_the_hash_seed_changes_nothing() -> None:
    results = [
        subprocess.run(
            [sys.executable, "-c", PROGRAM, TESTS],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True, text=True, check=True,
        ).stdout
        for seed in ("0", "1", "4242")
    ]  # fmt: skip
    assert len(results[0].split()) == 3
    assert len(results[0].split()[0]) == hashlib.sha256().digest_size * 2
    assert results[0] == results[1] == results[2]


def test_a_missing_wire_stops_the_drawing(monkeypatch: pytest.MonkeyPatch) -> None:
    from harness.drawing import layout

    real = layout.run_graphviz
    monkeypatch.setattr(
        layout, "run_graphviz", lambda *a, **k: real(*a, **k).replace('"id": "e4"', '"id": ""')
    )
    with pytest.raises(LostEdges, match="flap-y#0"):
        lay_out(mock_twin.layout_graph())
