"""Pages: everything on one if it can be read there, else place by place."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from harness.diagram.cuts import cut_around
from harness.diagram.page_setting import Shared
from harness.diagram.stages import Extract

Fits = Callable[[Extract], bool]


def pages_of(desk: Shared, cut: Extract, fits: Fits) -> list[Extract]:
    """Split a cut into as few pages as its places allow, each of them readable."""
    if fits(cut):
        return [cut]
    pages: list[Extract] = []
    current: list[str] = []
    for group in _by_place(desk, cut):
        if current and fits(_cut(cut, [*current, *group])):
            current += group
            continue
        if current:
            pages.append(_cut(cut, current))
        current = group
        while len(current) > 1 and not fits(_cut(cut, current)):
            first, current = _divided(cut, current, fits)
            pages.append(_cut(cut, first))
    return [*pages, _cut(cut, current)]


def _by_place(desk: Shared, cut: Extract) -> list[list[str]]:
    """Return the parts by outermost place, in the order of the plan, the sources first."""
    plan = desk.report.plan
    groups: dict[str, list[str]] = {}
    for part in _walked(desk, cut):
        groups.setdefault(plan.root(desk.home(plan.parts[part])), []).append(part)
    return list(groups.values())


def _walked(desk: Shared, cut: Extract) -> list[str]:
    """Return the parts in the order in which leads reach them, so that neighbours stay near."""
    wiring, shown = desk.report.wiring, set(cut.parts)
    found: dict[str, None] = {}
    fed = {mate.plug.part.id for mate in cut.mates}

    def visit(part: str) -> None:
        if part in found or part not in shown:
            return
        found[part] = None
        for port in wiring.by_part[part]:
            for mate in wiring.by_socket.get(port.id, ()):
                visit(mate.plug.part.id)

    for part in (*(p for p in cut.parts if p not in fed), *cut.parts):
        visit(part)
    return list(found)


def _divided(cut: Extract, parts: Sequence[str], fits: Fits) -> tuple[list[str], list[str]]:
    """Split off the longest readable beginning, found by halving."""
    low, high = 1, len(parts) - 1
    while low < high:
        middle = (low + high + 1) // 2
        if fits(_cut(cut, parts[:middle])):
            low = middle
        else:
            high = middle - 1
    return list(parts[:low]), list(parts[low:])


def _cut(cut: Extract, parts: Sequence[str]) -> Extract:
    order = {part: index for index, part in enumerate(cut.parts)}
    return cut_around(cut.mates, sorted(parts, key=order.__getitem__))
