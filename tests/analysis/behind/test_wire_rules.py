"""Findings about wires: an end that is not there, unlike ends, colours alike."""

from __future__ import annotations

from dataclasses import replace

import pytest

from blockmap.analysis.findings import Level, check
from blockmap.model.document import Contact, Map
from tests.analysis.behind.sample_wiring import (
    block,
    pin,
    place,
    through_connectors,
    wire,
)


def codes(document: Map) -> list[tuple[str, Level, tuple[str, ...]]]:
    """Return what the checks say of wires."""
    return [
        (f.code, f.level, f.objects)
        for f in check(document)
        if f.code.startswith("wire")
    ]


def with_load_wire(to: str, colour: str = "red") -> Map:
    document = through_connectors()
    fuse = place("panel", "F1", contacts={"load": Contact(wires=(wire(colour, to),))})
    return replace(document, cavities={**document.cavities, fuse.id: fuse})


def test_wires_with_both_ends_and_one_colour_are_left_alone() -> None:
    assert codes(through_connectors()) == []


@pytest.mark.parametrize("to", ["C1.4", "C9/1", "F1.lod"])
def test_a_wire_to_a_contact_that_is_not_there_is_found(to: str) -> None:
    found = codes(with_load_wire(to))
    assert ("wire-end-missing", Level.ADVICE, ("panel/F1",)) in found


@pytest.mark.parametrize("to", ["radio", "the left door", ""])
def test_words_are_no_missing_contact(to: str) -> None:
    assert "wire-end-missing" not in {code for code, _, _ in codes(with_load_wire(to))}


def test_a_wire_that_changes_its_colour_on_the_way_is_found() -> None:
    found = codes(with_load_wire("C1.3", "green"))
    assert found == [("wire-ends-differ", Level.ADVICE, ("panel/F1", "C1/3"))]


def test_a_connectors_wire_without_its_other_end_is_told_once_a_block() -> None:
    document = through_connectors()
    lonely = (pin("C2", "7", wire("blue")), pin("C2", "8", wire("grey")))
    more = {c.id: c for c in lonely}
    changed = replace(document, cavities={**document.cavities, **more})
    assert codes(changed) == [("wire-end-unknown", Level.INFORMATION, ("C2/7", "C2/8"))]


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [("F1.load", "F2.load", True), ("F1.load", "F1.load", False), ("", "", True)],
)
def test_equal_colours_with_different_jobs_at_a_connector(
    first: str, second: str, told: bool
) -> None:
    plug = block("C5", kind="connector")
    pins = (pin("C5", "1", wire("brown", first)), pin("C5", "2", wire("brown", second)))
    fuses = (place("panel", "F1"), place("panel", "F2"))
    document = Map(
        blocks={"panel": block("panel"), "C5": plug},
        cavities={c.id: c for c in (*fuses, *pins)},
    )
    alike = [
        objects for code, _, objects in codes(document) if code.endswith("connector")
    ]
    assert alike == ([("C5/1", "C5/2")] if told else [])
