"""The generic terminal families: whole, said to be common practice, no maker's."""

from __future__ import annotations

import re

import pytest

from blockmap.model.schema import properties, read_value
from blockmap.model.terminals import NOT_SINGLY, TerminalFamily, families
from blockmap.reference.sources import COMMON_PRACTICE_NOTE
from blockmap.reference.terminal_families import (
    GENERIC_FAMILIES,
    SORTS,
    GenericFamily,
)

FAMILY = pytest.mark.parametrize("family", GENERIC_FAMILIES, ids=lambda f: f.name)


class _NoFamilies:
    families: dict[str, TerminalFamily] = {}  # noqa: RUF012


def test_there_are_some_and_their_names_differ() -> None:
    names = [family.name.casefold() for family in GENERIC_FAMILIES]
    assert len(set(names)) == len(names) >= 5


@FAMILY
def test_every_card_can_be_filled(family: GenericFamily) -> None:
    assert family.sort in SORTS
    for text in (family.lock_first, family.tool, family.steps, family.grip_test):
        assert text.strip()
    singly = family.released_from != NOT_SINGLY
    assert (family.leaves_to is not None) is singly
    assert (family.strip_mm is not None) is singly
    assert len(family.steps.splitlines()) >= 3


@FAMILY
def test_its_figures_say_that_they_have_no_source(family: GenericFamily) -> None:
    # No document was read for strip lengths and amps: common practice, no source.
    assert COMMON_PRACTICE_NOTE in family.known


@FAMILY
def test_it_is_told_by_words_and_not_by_a_code(family: GenericFamily) -> None:
    assert not re.search(r"[A-Z]{2,}|\d{4,}", family.name)
    assert re.fullmatch(r"[a-z0-9 ,.-]+", family.name)


def test_a_map_could_hold_every_one_of_them_as_it_stands() -> None:
    for family in families(_NoFamilies()):
        for row in properties(TerminalFamily):
            held = getattr(family, row.key)
            if held not in (None, ""):
                assert read_value(row, str(held)) == held, row.key
