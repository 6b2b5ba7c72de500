"""Plans of packs and leads for the tests of the joins."""

from __future__ import annotations

PACK = "chemistry: lipo, cells: 4, capacity: 5 Ah, volts: 15.9 V, connector: bullet-6mm"


def packs(*names: str, **more: str) -> str:
    """Return a packs group; `more` adds keys to a pack by name."""
    lines = [f"  {name}: {{{PACK}{', ' + more[name] if name in more else ''}}}" for name in names]
    return "packs:\n" + "\n".join(lines) + "\n"


def ends(*sources: str) -> str:
    """Return source ends; a name with * is joined with its poles crossed."""
    found = [
        f"{{into: {name.rstrip('*')}, poles: {'crossed' if name.endswith('*') else 'straight'}}}"
        for name in sources
    ]
    return f"[{', '.join(found)}]"


def lead(name: str, kind: str, *sources: str, ways: int = 1) -> str:
    """Return one power lead."""
    return (
        f"  {name}: {{kind: {kind}, ways: {ways}, connector: bullet-6mm,"
        f" supply: {ends(*sources)}}}\n"
    )
