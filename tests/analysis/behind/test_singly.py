"""Whether a contact can be replaced alone: by its strip's make and its family."""

from __future__ import annotations

from dataclasses import replace

import pytest

from blockmap.analysis.behind.singly import (
    families_used,
    family_of,
    replaceable_singly,
)
from blockmap.model.document import Contact, Jumper, Map, Strip, TerminalFamily
from blockmap.model.ids import ContactRef
from tests.analysis.behind.sample_wiring import block, place

TANG = "single female, one tang"
RIVETED = "riveted spring clip with tab 6.3"


def panel(
    made: str | None = "riveted",
    *,
    feed: str = "",
    load: str = "",
    usual: str = "",
    own: TerminalFamily | None = None,
) -> Map:
    """Return a block of three fuses: F1 and F2 on a strip, F3 by jumper."""
    first = place(
        "p",
        "F1",
        contacts={"feed": Contact(terminal=feed), "load": Contact(terminal=load)},
    )
    strip = Strip(
        id="p/S",
        block="p",
        name="RUN",
        members=("F1.feed", "F2.feed"),
        jumpers=(Jumper(to="F3.feed"),),
        made=made,
    )
    cavities = (first, place("p", "F2"), place("p", "F3"))
    return Map(
        blocks={"p": block("p", terminal=usual)},
        cavities={c.id: c for c in cavities},
        strips={strip.id: strip},
        families={"own": own} if own else {},
    )


def answer(document: Map, cavity: str, contact: str) -> str:
    return replaceable_singly(document, ContactRef(f"p/{cavity}", contact)).word


@pytest.mark.parametrize(
    ("made", "terminal", "word"),
    [
        ("riveted", "", "no"),
        ("riveted", TANG, "no"),  # what is riveted stays, whatever it looks like
        ("one stamping", TANG, "no"),
        ("solid bar that unbolts", "", "no"),
        ("solid bar that unbolts", TANG, "yes"),
        ("solid bar that unbolts", RIVETED, "no"),
        ("wire splice", "", "yes"),
        ("wire splice", RIVETED, "no"),
        (None, "", "unknown"),
        (None, TANG, "unknown"),
    ],
)
def test_a_contact_on_the_metal(made: str | None, terminal: str, word: str) -> None:
    assert answer(panel(made, feed=terminal), "F1", "feed") == word


@pytest.mark.parametrize(
    ("terminal", "usual", "word"),
    [
        (TANG, "", "yes"),
        ("", TANG, "yes"),
        ("", "", "unknown"),
        (RIVETED, TANG, "no"),
        ("something else", "", "unknown"),
    ],
)
def test_a_contact_on_no_strip(terminal: str, usual: str, word: str) -> None:
    assert answer(panel(load=terminal, usual=usual), "F1", "load") == word


def test_the_end_of_a_jumper_is_a_single_terminal() -> None:
    found = replaceable_singly(panel(usual=TANG), ContactRef("p/F3", "feed"))
    assert found.word == "yes"
    assert "strip RUN" in found.why
    assert answer(panel(usual=TANG), "F2", "feed") == "no"


def test_the_blocks_family_does_not_reach_metal_tabs_links_or_holders() -> None:
    document = panel(usual=TANG)
    assert family_of(document, ContactRef("p/F1", "feed")) is None
    for kind, off in (("tab", False), ("stud", False), ("link", False), ("fuse", True)):
        odd = replace(document.cavities["p/F3"], kind=kind, off_panel=off)
        changed = replace(document, cavities={**document.cavities, odd.id: odd})
        ref = ContactRef("p/F3", "load")
        assert family_of(changed, ref) is None


def test_a_family_of_the_map_stands_over_a_shipped_one_of_its_name() -> None:
    own = TerminalFamily(name=TANG, released_from="not released singly")
    document = panel(usual=TANG, own=own)
    assert answer(document, "F1", "load") == "no"
    ((family, ids),) = families_used(document)
    assert family is own
    assert ids == ("p/F1", "p/F2", "p/F3")


def test_a_contact_that_is_not_there_is_not_answered_for() -> None:
    assert answer(panel(), "F1", "87") == "unknown"
    assert answer(panel(), "F8", "feed") == "unknown"
