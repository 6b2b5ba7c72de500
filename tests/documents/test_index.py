"""The list of documents holds: makers are there, formats are made, the book has its chapters."""

from __future__ import annotations

import kept
import pytest
from documents.figures.hand import ALIKE, GEAR

from harness.documents.build_book import book_files
from harness.documents.index import DOCUMENTS, Document, function_of, title_of

IN_BOOK = [document for document in DOCUMENTS if document.in_book]


def test_names_titles_and_commands_are_given_once() -> None:
    for words in (
        [one.name for one in DOCUMENTS],
        [one.title for one in DOCUMENTS],
        [one.command for one in DOCUMENTS if one.command],
    ):
        assert len(set(words)) == len(words)


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda one: one.name)
def test_who_is_named_can_be_called(document: Document) -> None:
    named = {*document.makers.values(), *document.chapter[:1], document.figures} - {""}
    assert all(callable(function_of(name)) for name in named)
    assert set(document.beside) <= set(document.formats)


def test_the_book_has_the_chapters_of_the_list_and_no_other_in_its_order() -> None:
    """Time lines have a chapter for each function, named after the document."""
    chapters = kept.book(kept.EVERY_KIND)[1].chapters
    owners = [
        next(one for one in IN_BOOK if chapter.anchor == one.name
             or chapter.anchor.startswith(f"{one.name}-"))
        for chapter in chapters
    ]  # fmt: skip
    assert set(owners) == set(IN_BOOK)
    places = [IN_BOOK.index(one) for one in owners]
    assert places == sorted(places)
    titles = [c.title for c, one in zip(chapters, owners, strict=True) if one.name != "timeline"]
    assert titles == [title_of(one.name) for one in owners if one.name != "timeline"]


def test_beside_the_book_lies_what_the_list_says() -> None:
    """In every format it says; the plan of every kind has faults to mend before any figure."""
    head = "plan: 1\naircraft: Joined\n"
    names = {
        name
        for plan in (kept.EVERY_KIND, head + ALIKE, head + GEAR)
        for name in book_files(kept.book(plan)[0])
    }
    stems = {"diagrams": ("run", "airframe", "power", "control")}
    for document in (one for one in DOCUMENTS if one.beside):
        known = stems.get(document.name, (document.name,))
        found = {name for name in names if name.startswith(known)}
        assert {name.rpartition(".")[2] for name in found} == set(document.beside)
        names -= found
    assert names == {"book.html", "book.pdf"}
