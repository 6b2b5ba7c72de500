"""A paper as one HTML page that needs nothing else: no network, no other file.

The page may run only its own script and style, named by their hashes, and may fetch nothing
(Content-Security-Policy in its head). What is ticked or written in is kept on the device.
"""

from __future__ import annotations

import base64
import hashlib
from html import escape

from harness.paper.blocks import Paper
from harness.paper.html.blocks import Writer
from harness.paper.html.look import script, style, symbols


def as_html(paper: Paper) -> str:
    """Return the page.

    Raises ValueError when two chapters or headings share an anchor. A link to an anchor that
    the paper does not have is written as plain text.
    """
    writer = Writer(paper)
    main = writer.chapters()
    head = _head(paper)
    data = writer.pictures.data()
    single = " single" if len(paper.chapters) < 2 else ""
    kept = escape(f"harness {paper.title}")  # the document and the aircraft, of any revision
    return (
        f'<!doctype html>\n<html lang="en" data-box="{kept}">\n{head}\n<body>\n{symbols()}\n'
        f'<a class="skip" href="#_main">To the text</a>\n{_bar(paper)}\n'
        f'<div class="sheet{single}">\n{_cover(paper)}\n{_contents(paper)}\n'
        f'<main id="_main">\n{main}\n</main>\n{_foot(paper)}\n</div>\n{_PANEL}\n'
        f'<script type="application/json" id="_traces">{data}</script>\n'
        f"<script>{script()}</script>\n</body>\n</html>\n"
    )


def _head(paper: Paper) -> str:
    policy = (
        f"default-src 'none'; script-src '{_hash(script())}'; style-src '{_hash(style())}'; "
        "img-src data:; base-uri 'none'; form-action 'none'"
    )
    return (
        f'<head>\n<meta charset="utf-8">\n<meta http-equiv="Content-Security-Policy" '
        f'content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n'
        '<link rel="icon" href="data:,">\n'
        f"<title>{escape(_name(paper))}</title>\n<style>{style()}</style>\n</head>"
    )


def _hash(text: str) -> str:
    """What a Content-Security-Policy names an inline script by (W3C CSP level 3)."""
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def _name(paper: Paper) -> str:
    return f"{paper.title}: {paper.subtitle}" if paper.subtitle else paper.title


def _bar(paper: Paper) -> str:
    contents = '<a href="#_contents">Contents</a>\n' if len(paper.chapters) > 1 else ""
    name = paper.title.partition(":")[0].strip()
    return (
        f'<div class="bar"><span class="name">{escape(name)}</span>\n'
        f'<span class="done script" id="_done" role="status"></span>\n{contents}'
        '<button type="button" class="script" id="_scheme">Dark</button></div>'
    )


def _cover(paper: Paper) -> str:
    subtitle = f'<p class="subtitle">{escape(paper.subtitle)}</p>\n' if paper.subtitle else ""
    return (
        f'<header class="cover"><h1>{escape(paper.title)}</h1>\n{subtitle}'
        f'<p class="revision">plan revision {escape(paper.revision)}</p>\n{_TOOLS}</header>'
    )


def _contents(paper: Paper) -> str:
    from harness.paper.blocks import plain_id

    if len(paper.chapters) < 2:
        return ""
    entries = "\n".join(
        f'<li><a href="#{plain_id(chapter.anchor)}">{escape(chapter.title)}</a></li>'
        for chapter in paper.chapters
    )
    return (
        f'<nav id="_contents" aria-label="Contents"><h2>Contents</h2>\n<ol>\n{entries}\n</ol></nav>'
    )


def _foot(paper: Paper) -> str:
    lines = "\n".join(f"<p>{escape(text)}</p>" for text in paper.foot)
    return f"<footer>\n{lines}\n</footer>" if lines else ""


_TOOLS = """<div class="tools script">
<button type="button" id="_print">Print</button>
<button type="button" id="_clear">Clear all ticks</button>
<span class="ask" id="_ask" hidden><span id="_ask-words"></span>
<button type="button" id="_yes">Clear</button><button type="button" id="_no">Keep</button></span>
</div>
<p class="lost" id="_lost" hidden>This browser lets the page remember nothing: what you tick here is
gone when the page is closed.</p>
"""

_PANEL = """<aside class="panel" id="_panel" hidden aria-label="Traced lead or part" tabindex="-1">
<div class="head"><h2 id="_panel-title"></h2>
<button type="button" id="_back" hidden>Back</button>
<button type="button" id="_show">Show run</button>
<button type="button" id="_close">Close</button></div>
<div class="words" id="_panel-words" tabindex="0" role="region" aria-label="The trace in words">
</div></aside>"""
