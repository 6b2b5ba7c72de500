"""Label codes: unlike each other, the same for the same plan, and slow to change."""

from __future__ import annotations

import pytest
from documents.plans import all_wirings, wiring_of
from hypothesis import given
from hypothesis import strategies as st

from harness.base.code_words import looks
from harness.catalogue.functions import vocabulary
from harness.wiring.codes import codes_of, natural, port_codes
from harness.wiring.leads import leads_of

WIRINGS = all_wirings()
CAPITALS_OF_A_LABEL = 11
WORDS = ("aileron", "flap", "left", "right", "1", "2", "10", "y", "ext", "oil", "0il", "ö", "翼")
NAMES = st.lists(st.sampled_from(WORDS), min_size=1, max_size=3).map("-".join)
GROUPS = st.sampled_from(["servos", "packs", "regulators", "escs", "leads"])
NEEDED = {
    "servos": "{}",
    "packs": "{chemistry: lipo, cells: 3, plug: rx.1}",
    "regulators": "{volts: 5 V, plug: [rx.1, rx.2]}",
    "escs": "{plug: rx.1}",
    "leads": "{kind: y}",
}


def text_of(parts: dict[str, str]) -> str:
    """Write a plan with parts by id and group."""
    lines = ["receivers: {rx: {sockets: 2}}"]
    for group in sorted(set(parts.values())):
        lines.append(f"{group}:")
        lines += [f"  {name!r}: {NEEDED[group]}" for name, of in parts.items() if of == group]
    return "\n".join(lines) + "\n"


def alike(codes: list[str]) -> list[tuple[str, str]]:
    """Return the pairs of codes that look alike."""
    return [
        (one, other)
        for n, one in enumerate(codes)
        for other in codes[n + 1 :]
        if looks(one) & looks(other)
    ]


@given(st.dictionaries(NAMES, GROUPS, min_size=1, max_size=12))
def test_no_two_codes_look_alike(parts: dict[str, str]) -> None:
    wiring = wiring_of(text_of(parts))
    codes = codes_of(wiring)
    assert set(codes) == {lead.key for lead in leads_of(wiring)}
    assert alike(list(codes.values())) == []


@given(st.dictionaries(NAMES, GROUPS, min_size=1, max_size=8), st.randoms())
def test_the_order_of_the_file_changes_nothing(parts: dict[str, str], random: object) -> None:
    names = list(parts)
    random.shuffle(names)  # type: ignore[attr-defined]
    turned = {name: parts[name] for name in names}
    assert codes_of(wiring_of(text_of(parts))) == codes_of(wiring_of(text_of(turned)))


@given(NAMES, st.dictionaries(NAMES, GROUPS, max_size=6))
def test_the_codes_can_be_printed_and_read(name: str, parts: dict[str, str]) -> None:
    for code in codes_of(wiring_of(text_of({**parts, name: "servos"}))).values():
        assert code.isascii()
        assert code == code.upper().strip()
        assert 2 <= len(code) <= CAPITALS_OF_A_LABEL


@pytest.mark.parametrize("name", WIRINGS)
def test_codes_of_the_examples_are_short(name: str) -> None:
    codes = codes_of(WIRINGS[name]).values()
    assert max(map(len, codes)) <= 8
    assert set(port_codes(WIRINGS[name]).values()) == set(codes)


@pytest.mark.parametrize(
    ("part", "code"),
    [
        ("servos: {aileron-left: {moves: aileron, plug: rx.1}}", "AIL-L"),
        ("servos: {aileron-left: {moves: aileron, plug: rx.1, code: ' 7  L '}}", "7 L"),
        ("servos: {flap-inner-right: {moves: flap}}", "FLAP-INR"),
        ("servos: {v-tail-left: {moves: v-tail}}", "VTL-L"),
        ("servos: {s3: {moves: payload}}", "PYLD-3"),
        ("motors: {motor-front-left: {}}", "MOT-FL"),
        ("motors: {motor-4: {}}", "MOT-4"),
        ("packs: {main: {chemistry: lipo, cells: 4}}", "BAT-1"),
        ("leads: {aileron-y: {kind: y, plug: rx.1}}", "AIL-Y"),
        ("leads: {rudder-ext: {kind: extension}}", "RUD-X"),
        ("power-leads: {twin: {kind: series}}", "PWR-S"),
    ],
)
def test_the_scheme(part: str, code: str) -> None:
    """Our own scheme, as documented in `codes` and `code_words`."""
    wiring = wiring_of("receivers: {rx: {sockets: 4}}\n" + part + "\n")
    assert list(codes_of(wiring).values()) == [code]


def test_a_lead_is_called_after_what_hangs_on_it() -> None:
    wiring = wiring_of("""
receivers: {rx: {sockets: 4}}
servos:
  rudder: {moves: rudder, plug: b.1}
  tail-wheel: {moves: steering, plug: b.2}
  flap-left: {moves: flap, plug: c.1}
leads: {a: {kind: extension, plug: rx.4}, b: {kind: y, plug: a.1}, c: {kind: extension, plug: rx.1}}
channels: {4: rudder}
""")
    codes = codes_of(wiring)
    assert codes["a", "plug"] == "RUD-X"  # two functions: its channel's
    assert codes["b", "plug"] == "RUD-Y"
    assert codes["c", "plug"] == "FLAP-L-X"


def test_the_second_of_a_kind_gets_a_number_by_id() -> None:
    codes = codes_of(wiring_of("servos: {b: {moves: flap}, a: {moves: flap}, c10: {}, c9: {}}\n"))
    assert codes["a", "plug"] == "FLAP"
    assert codes["b", "plug"] == "FLAP-2"
    assert codes["c9", "plug"] < codes["c10", "plug"] or natural("c9") < natural("c10")


def test_a_part_with_two_leads_has_a_code_for_each() -> None:
    wiring = wiring_of("""
receivers: {rx: {sockets: 4}}
packs: {p: {chemistry: lipo, cells: 3}}
escs: {esc: {plug: rx.3, supply: p, code: E9}}
""")
    codes = codes_of(wiring)
    assert (codes["esc", "plug"], codes["esc", "supply"]) == ("E9", "E9-P")


@pytest.mark.parametrize(
    "added", ["servos: {zulu: {moves: tow}}", "loads: {alpha-lamp: {plug: rx.2}}"]
)
def test_an_unrelated_part_changes_no_code(added: str) -> None:
    text = """
receivers: {rx: {sockets: 4}}
leads: {y: {kind: y, plug: rx.1}}
motors: {motor-left: {}, motor-right: {}}
retracts:
  leg-left: {kind: self-contained, plug: y.1}
  leg-right: {kind: self-contained, plug: y.2}
"""
    before, after = codes_of(wiring_of(text)), codes_of(wiring_of(f"{text}{added}\n"))
    assert before == {key: after[key] for key in before}
    assert len(after) == len(before) + 1


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("A0", "AO"),  # RFC 4648 section 3.4 (memory): 0 and O; 1, l and I
        ("A1", "AI"),
        ("A1", "Al"),
        ("B5", "BS"),  # the rest: common practice, no source
        ("B8", "BB"),
        ("Z1", "2I"),
        ("G6", "GG"),
        ("ail-l", "AIL-L"),
        ("A-1", "A1"),
    ],
)
def test_codes_that_look_alike(one: str, other: str) -> None:
    assert looks(one) & looks(other)


@pytest.mark.parametrize(("one", "other"), [("AIL-L", "AIL-1"), ("A1", "A2"), ("FLAP-L", "FLAP-R")])
def test_codes_that_do_not_look_alike(one: str, other: str) -> None:
    assert not looks(one) & looks(other)


def test_words_of_an_id() -> None:
    words = vocabulary()
    assert words.stem_and_mark("flap-inner-left-2") == ("flap", "INL2")
    assert words.stem_and_mark("aileron", "right") == ("aileron", "R")
    assert words.abbreviate("翼", "SRV") == "SRV"
