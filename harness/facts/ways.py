"""Ways along the copper from one contact to another."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Iterable

from harness.parts.contacts import COPPER, Contact, Link

Near = dict[Contact, list[tuple[Link, Contact]]]


def near_of(links: Iterable[Link], keep: Callable[[Link], bool] = lambda _: True) -> Near:
    """Return the copper neighbours of every contact, over the links that `keep` lets pass."""
    near: Near = defaultdict(list)
    for link in links:
        if link.kind in COPPER and keep(link):
            near[link.a].append((link, link.b))
            near[link.b].append((link, link.a))
    return near


def tree(near: Near, root: Contact) -> dict[Contact, tuple[Link, Contact] | None]:
    """Return, for every contact the root reaches, its link and next contact towards the root."""
    towards: dict[Contact, tuple[Link, Contact] | None] = {root: None}
    todo = deque([root])
    while todo:
        here = todo.popleft()
        for link, there in near.get(here, ()):
            if there not in towards:
                towards[there] = (link, here)
                todo.append(there)
    return towards


def way(
    towards: dict[Contact, tuple[Link, Contact] | None], start: Contact
) -> list[tuple[Link, Contact]]:
    """Return (link, contact it leads to) from a contact to the root; empty when not reached."""
    found = []
    step = towards.get(start)
    while step is not None:
        found.append(step)
        step = towards[step[1]]
    return found
