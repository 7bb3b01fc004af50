"""Fuse bodies are found by what people write and have their published sizes."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from blockmap.reference.forms import (
    FORMS,
    KINDS,
    closest_forms,
    default_form,
    form_named,
    forms_of_kind,
)
from blockmap.reference.sources import Status

Rows = Callable[[str, str], list[list[Any]]]


def _inch_mm(text: str) -> float:
    whole, _, part = text.rpartition("-")
    return float(Fraction(whole or "0") + Fraction(part)) * 25.4


def test_blades_have_the_published_size(published: Rows) -> None:
    # Source: encyclopedia text of 2007 and maker datasheets, medium, mini and maxi.
    for kind, length_mm, thickness_mm in published("fuses", "blade_size"):
        form = form_named(f"{kind.split()[0]} blade")
        assert form is not None, kind
        assert (form.length_mm, form.width_mm) == (length_mm, thickness_mm), kind
        assert form.size.status is Status.VERIFIED
        assert form.size.sources


def test_medium_blade_contacts_stand_at_the_derived_pitch() -> None:
    # Source: maker datasheet, medium blade fuse: 14.5 mm over blades of 5.2 mm.
    assert FORMS["medium blade"].contact_pitch_mm == pytest.approx(14.5 - 5.2)


def test_glass_fuses_whose_length_tells_the_rating(published: Rows) -> None:
    # Source: maker datasheet of 1998, "made to SAE specifications".
    for amps, inches, length_mm in published("fuses", "glass_by_rating"):
        by_rating = form_named(f"SFE {amps}")
        assert by_rating is not None, amps
        assert by_rating is form_named(f"1/4 x {inches}")
        # The datasheet cuts to 0.1 mm where the body is given by its inches.
        assert by_rating.length_mm == pytest.approx(length_mm, abs=0.06)
        assert by_rating.width_mm == pytest.approx(6.35)


def test_glass_fuses_of_the_ag_family(published: Rows) -> None:
    # Source: reference page on glass fuse sizes.
    for code, diameter, length in published("fuses", "glass_ag"):
        form = form_named(code)
        assert form is not None, code
        assert form.length_mm == pytest.approx(_inch_mm(length), abs=0.05), code
        assert form.width_mm == pytest.approx(_inch_mm(diameter), abs=0.05), code


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("blade", "medium blade"),
        ("MAXI", "maxi blade"),
        ("mini fuse", "mini blade"),
        ("6,3 x 32 mm glass", "glass 6.3 x 32"),
        ("glass 6.3×32", "glass 6.3 x 32"),
        ('1/4" x 1-1/4"', "glass 6.3 x 32"),
        ("1/4 x 1-1/4 in", "glass 6.3 x 32"),
        ("glass 20 mm in-line", "glass 5 x 20"),
        ("6 x 25 mm ceramic", "ceramic 6 x 25"),
        ("torpedo", "ceramic 6 x 25"),
        ("5-pin relay", "relay 5-pin"),
        ("self-reset breaker, blade", "blade breaker"),
        ("1/4 in tab", "tab 6.3"),
        ("M6 stud", "stud M6"),
        ("link", "fusible link"),
    ],
)
def test_everyday_words_name_a_form(written: str, name: str) -> None:
    found = form_named(written)
    assert found is not None
    assert found.name == name


@pytest.mark.parametrize("written", ["", "fuse", "6.3", "glass 6.3 x 33", "banana"])
def test_words_that_name_no_form_for_certain_name_none(written: str) -> None:
    assert form_named(written) is None


def test_a_misspelt_form_brings_the_meant_one_first() -> None:
    assert closest_forms("meduim blade")[0] == "medium blade"
    assert closest_forms("glas 6.3 x 32")[0] == "glass 6.3 x 32"
    assert closest_forms("zzzz") == ()


def test_every_name_and_alias_leads_to_its_own_form() -> None:
    led_astray = [
        (text, form.name)
        for form in FORMS.values()
        for text in (form.name, *form.aliases)
        if form_named(text) is not form
    ]
    assert led_astray == []


def test_every_kind_starts_with_a_form_that_suits_it() -> None:
    for kind in KINDS:
        assert default_form(kind).kind == kind
        assert default_form(kind) in forms_of_kind(kind)
    with pytest.raises(ValueError, match="not a kind of cavity"):
        default_form("lamp")


def test_every_form_can_be_drawn_and_says_how_its_size_is_known() -> None:
    outlines = {
        "blade",
        "glass",
        "ceramic",
        "breaker",
        "box",
        "can",
        "tab",
        "stud",
        "link",
        "terminal",
        "blank",
    }
    for form in FORMS.values():
        assert form.kind in KINDS, form.name
        assert form.outline in outlines, form.name
        assert form.length_mm >= form.width_mm > 0, form.name
        assert form.contact_pitch_mm is None or form.contact_pitch_mm < form.length_mm
        assert form.size.value == form.length_mm
        assert form.size.sources or form.size.note, form.name
        if form.kind in {"fuse", "breaker", "link", "flasher"}:
            assert form.contact_names[:2] == ("feed", "load"), form.name
