"""Terminal numbers: every published one is found, old names keep all their meanings."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from blockmap.reference.forms import FORMS
from blockmap.reference.relays import MICRO_NUMBERS, RELAY_CONTACTS, TRAILER_SOCKET
from blockmap.reference.sources import Status
from blockmap.reference.terminal_numbers import (
    OLD_NAMES,
    TERMINAL_NUMBERS,
    present_names,
    terminal_number,
)

Rows = Callable[[str, str], list[list[Any]]]


def test_every_published_terminal_is_found(published: Rows) -> None:
    # Source: encyclopedia copy, workshop page and handbook-style list of DIN 72552.
    numbers = [
        number.strip()
        for text, _ in published("terminals", "numbers")
        for number in text.split(",")
    ]
    for number in numbers:
        found = terminal_number(number)
        assert found is not None, number
        assert found.status is Status.VERIFIED
        assert found.meaning
    read = [t.number for t in TERMINAL_NUMBERS if t.status is Status.VERIFIED]
    assert sorted(read) == sorted(numbers)


def test_old_names_stand_beside_the_present_ones(published: Rows) -> None:
    # Source: the same lists, column of old names.
    for text, old in published("terminals", "numbers"):
        if not old or ".." in old:
            continue
        found = terminal_number(text.split(",")[0])
        assert found is not None
        assert list(found.old_names) == [name.strip() for name in old.split(",")]


def test_an_old_name_gives_all_its_present_names(published: Rows) -> None:
    # Source: German page for old cars, old to present names.
    rows = published("terminals", "old_to_new")
    for old, new in rows:
        assert list(present_names(old)) == [name.strip() for name in new.split(",")]
    assert list(OLD_NAMES) == [row[0] for row in rows]
    assert present_names("999") == ()


def test_meanings_from_memory_say_so() -> None:
    for number in ("53i", "57a", "71", "75"):
        found = terminal_number(number)
        assert found is not None
        assert found.status is Status.MEMORY
        assert "memory" in found.note
    assert terminal_number("l") is None


def test_contacts_of_relay_forms_are_explained() -> None:
    for form in FORMS.values():
        if form.kind == "relay":
            assert set(form.contact_names) <= set(RELAY_CONTACTS)
    assert all(each.status is Status.MEMORY for each in MICRO_NUMBERS.values())


def test_trailer_socket(published: Rows) -> None:
    # Source: workshop page, 7-pole socket and its wires.
    found = [[each.contact, each.wire_mm2] for each in TRAILER_SOCKET]
    assert found == published("terminals", "trailer")
