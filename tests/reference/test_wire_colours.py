"""Wire colours are read and shown by the published letter codes, never guessed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockmap.reference.contrast import contrast_ratio
from blockmap.reference.fuse_colours import text_on
from blockmap.reference.wire_codes import GERMAN, IEC_60757, NORTH_AMERICAN, TABLES
from blockmap.reference.wire_colours import (
    CODES,
    RGB,
    ColourNotUnderstood,
    WireColour,
    read_colour,
    show_colour,
)

Rows = Callable[[str, str], list[list[Any]]]

_WORDS = st.sampled_from(sorted(RGB))
_COLOURS = st.builds(
    WireColour, _WORDS, st.lists(_WORDS, max_size=3, unique=True).map(tuple)
)


def _plain(word: str) -> str:
    """Return the document's word in this program's spelling."""
    bare = word.split(" (")[0]
    return {"gray": "grey", "purple": "violet"}.get(bare, bare)


def _read_or_refused(
    text: str, code: str = "words"
) -> WireColour | ColourNotUnderstood:
    try:
        return read_colour(text, code)
    except ColourNotUnderstood as refused:
        return refused


@given(_COLOURS, st.sampled_from(CODES))
def test_what_is_shown_reads_back_as_the_same_colour(
    colour: WireColour, code: str
) -> None:
    assert read_colour(show_colour(colour, code), code) == colour


def test_iec_letters(published: Rows) -> None:
    # Source: GOST 28763-90, which is IEC 757-83; lower case has the same meaning.
    for letters, word in published("wire_colours", "iec_60757"):
        expected = (
            WireColour("green", ("yellow",))
            if letters == "GNYE"
            else WireColour(_plain(word))
        )
        assert read_colour(letters, "iec 60757") == expected
        assert read_colour(letters.lower(), "iec 60757") == expected
        assert show_colour(expected, "iec 60757") == letters
    assert list(IEC_60757) == [
        letters
        for letters, _ in published("wire_colours", "iec_60757")
        if letters != "GNYE"
    ]


def test_north_american_letters(published: Rows) -> None:
    # Source: technician course on wire colours in service manuals.
    for letters, word, variants in published("wire_colours", "north_american"):
        if word.startswith("prefix"):
            shade = word.removeprefix("prefix ")
            for example in variants.split(", "):
                plain = _plain(NORTH_AMERICAN[example.split()[1]])
                colour = WireColour(f"{shade} {plain}")
                assert read_colour(example, "north american") == colour
                assert show_colour(colour, "north american") == example
            continue
        colour = WireColour(_plain(word))
        assert show_colour(colour, "north american") == letters
        for text in (letters, *filter(None, [variants])):
            assert read_colour(text, "north american") == colour


def test_german_letters(published: Rows) -> None:
    # Source: two pages on DIN 72551 colours and a mailing list in English.
    for letters, word in published("wire_colours", "german"):
        for each in letters.split(" / "):
            assert read_colour(each, "german") == WireColour(word)
            assert read_colour(each.upper(), "german") == WireColour(word)
        assert show_colour(WireColour(word), "german") in letters.split(" / ")


def test_letters_of_makers_manuals_never_read_as_another_colour(
    published: Rows,
) -> None:
    # Source: service manuals of 1982, 1994, 1995 and 2002. Under full words a letter
    # may be refused; where it is read, every manual must agree, save that one manual's
    # purple is another's violet and one's sky blue another's light blue.
    meanings: dict[str, set[str]] = {}
    for word, *columns in published("wire_colours", "makers"):
        plain = {"sky blue": "light blue"}.get(word, _plain(word))
        for cell in filter(None, columns):
            for letters in cell.upper().split(" OR "):
                meanings.setdefault(letters, set()).add(plain)
    found = {letters: _read_or_refused(letters) for letters in meanings}
    for letters, plain_words in meanings.items():
        outcome = found[letters]
        if isinstance(outcome, WireColour):
            assert {outcome.base} == plain_words, letters
        else:
            assert plain_words <= set(outcome.meant), letters
    read = [each for each in found.values() if isinstance(each, WireColour)]
    assert len(read) > len(meanings) / 2


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        # "RED/WHT means a red wire with a white stripe": technician course.
        ("RED/WHT", "north american", "red/white"),
        ("DK GRN/WHT", "north american", "dark green/white"),
        ("dk-grn-wht", "north american", "dark green/white"),
        ("BLK/YEL/WHT", "north american", "black/yellow/white"),
        ("BLU WHT", "north american", "blue/white"),
        ("VIO/WHT", "north american", "violet/white"),
        ("R/W", "north american", "red/white"),
        ("sw/ge", "german", "black/yellow"),
        ("swge", "german", "black/yellow"),
        ("gr/sw", "german", "grey/black"),
        ("BK-WH", "iec 60757", "black/white"),
        ("BKWH", "iec 60757", "black/white"),
        ("rdbu", "iec 60757", "red/blue"),
        ("purple", "words", "violet"),
        ("Grey with a red stripe".replace(" a ", " "), "german", "grey/red"),
        ("green-yellow", "words", "green/yellow"),
        ("light blue/BLK", "north american", "light blue/black"),
        # Letters of another code, clear in themselves.
        ("sw/gr", "north american", "black/grey"),
        ("BLK/YEL", "german", "black/yellow"),
        ("GNYE", "words", "green/yellow"),
        # A named code is the only one that counts.
        ("german: gr", "north american", "grey"),
        ("iec: BK", "german", "black"),
        ("North American: BL", "iec 60757", "blue"),
    ],
)
def test_a_written_colour_is_read(text: str, code: str, words: str) -> None:
    assert read_colour(text, code).words() == words


@pytest.mark.parametrize(
    ("text", "code", "meant"),
    [
        # Published disagreement: P purple or pink, GR green or grey, SB black or
        # sky blue (service manuals of 1982, 1994, 1995, 2002).
        ("GR", "north american", {"grey", "green"}),
        ("BLK/GR", "north american", {"grey", "green"}),
        ("P", "words", {"violet", "pink"}),
        ("SB", "german", {"black", "light blue"}),
        ("BL", "iec 60757", {"blue", "black"}),
    ],
)
def test_letters_that_mean_two_colours_are_refused(
    text: str, code: str, meant: set[str]
) -> None:
    with pytest.raises(ColourNotUnderstood) as caught:
        read_colour(text, code)
    assert set(caught.value.meant) == meant
    assert caught.value.text == text
    assert caught.value.code == code
    for word in meant:
        assert word in str(caught.value)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "words"),
        ("//", "words"),
        ("red/", "words"),
        ("red/stripe", "words"),
        ("qq", "german"),
        ("iec: sw", "german"),
        ("red/red/red/red/red", "words"),
        ("LT", "north american"),
    ],
)
def test_what_is_no_colour_is_refused_with_what_to_write(text: str, code: str) -> None:
    with pytest.raises(ColourNotUnderstood, match=r"Write .* example"):
        read_colour(text, code)


def test_a_misspelt_word_names_the_colour_meant() -> None:
    with pytest.raises(ColourNotUnderstood) as caught:
        read_colour("yelow/black")
    assert caught.value.meant[0] == "yellow"


@given(st.text(max_size=12), st.sampled_from(CODES))
def test_any_text_is_read_or_refused_in_words(text: str, code: str) -> None:
    outcome = _read_or_refused(text, code)
    if isinstance(outcome, WireColour):
        assert read_colour(outcome.words()) == outcome
    else:
        assert "Write" in str(outcome)


def test_an_unknown_code_is_refused() -> None:
    with pytest.raises(ValueError, match="no colour code"):
        read_colour("red", "french")
    with pytest.raises(ValueError, match="no colour code"):
        show_colour(WireColour("red"), "french")
    with pytest.raises(ValueError, match="not one of the colour words"):
        WireColour("mauve")


def test_every_letter_of_every_code_means_a_drawable_colour() -> None:
    for table in TABLES.values():
        assert set(table.values()) <= set(RGB)
    assert "GR" in GERMAN
    for rgb in RGB.values():
        # Source: WCAG success criterion 1.4.3.
        assert contrast_ratio(text_on(rgb), rgb) >= 4.5
