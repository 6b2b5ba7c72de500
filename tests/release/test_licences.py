"""Every package that is installed for the program stands in `LICENCES.md`, as it says itself."""

from __future__ import annotations

from release.licences import ROOT, closure, licence, wanted


def listed() -> dict[str, str]:
    lines = (ROOT / "LICENCES.md").read_text("utf-8").splitlines()
    cells = [line.strip("| ").split(" | ") for line in lines if line.startswith("| ")]
    return {cell[0]: cell[1] for cell in cells[1:]}


def test_every_dependency_is_listed_with_its_licence() -> None:
    known = listed()
    found = {name: licence(name) for name in closure(wanted())}
    assert set(wanted()) <= set(found)
    assert {name: known.get(name) for name in found} == found


def test_what_others_need_in_turn_counts() -> None:
    """matplotlib's own metadata asks for these; pyproject.toml does not."""
    assert {"pillow", "kiwisolver", "cycler"} <= set(closure(["matplotlib"])) - set(wanted())
