"""Lists, counts and the nearest name, against sentences written by hand."""

from __future__ import annotations

import pytest

from harness.base.near import capital, counted, hint, nearest, spoken


@pytest.mark.parametrize(
    ("words", "said"),
    [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")],
)
def test_a_list_is_spoken(words: list[str], said: str) -> None:
    assert spoken(words) == said
    assert spoken(words, "or") == said.replace(" and ", " or ")


@pytest.mark.parametrize(("many", "said"), [(0, "0 leads"), (1, "1 lead"), (2, "2 leads")])
def test_a_count_is_spoken(many: int, said: str) -> None:
    assert counted(many, "lead") == said


def test_only_the_first_letter_becomes_large() -> None:
    """A capital inside, as in ESC, stays; `str.capitalize` would make it small."""
    assert capital("volts of the ESC") == "Volts of the ESC"
    assert capital("übung") == "Übung"
    assert capital("") == ""


def test_the_nearest_name_or_all_of_a_few() -> None:
    names = ["aileron", "flap", "rudder"]
    assert nearest("ailerom", names) == "aileron"
    assert nearest("aileron" * 20, names) is None
    assert hint("Flapp", names) == 'did you mean "flap"?'
    assert hint("zzz", names) == "it can be: aileron, flap, rudder"
    assert hint("zzz", map(str, range(9))) == ""
