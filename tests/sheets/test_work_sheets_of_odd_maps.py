"""Maps that make little sense are printed all the same, and reasoned about."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings

from blockmap.analysis.behind.parts import parts_needed
from blockmap.analysis.behind.paths import trace_up, what_dies
from blockmap.analysis.behind.singly import replaceable_singly
from blockmap.model.document import Map
from blockmap.model.ids import ContactRef
from blockmap.sheets.catalogue import SheetOptions, sheet_named
from blockmap.sheets.parts_sheet import parts_csv
from tests.strategies import maps

ODD = settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@ODD
@given(maps())
def test_every_work_sheet_of_any_map_has_its_pages(document: Map) -> None:
    for name in ("condition", "parts", "release", "rear", "flags", "worklist"):
        kind = sheet_named(name)
        assert kind is not None
        if document.blocks or "block" not in kind.uses:
            assert kind.compose(document, SheetOptions()).pages


@ODD
@given(maps())
def test_every_part_has_a_place_and_a_number(document: Map) -> None:
    for part in parts_needed(document):
        assert part.name
        assert part.places
        assert part.count + part.perhaps >= 1
        assert part.stages
    assert parts_csv(document).startswith("sort,part,")


@ODD
@given(maps())
def test_every_contact_is_followed_up_and_down_to_an_end(document: Map) -> None:
    for cavity in document.cavities.values():
        for trace in trace_up(document, cavity.id):
            assert len(trace.nodes) == len(trace.words)
            assert len(set(trace.nodes)) == len(trace.nodes)
        for name in cavity.contact_names:
            ref = ContactRef(cavity.id, name)
            dies = what_dies(document, ref)
            assert set(dies.cavities) <= set(document.cavities)
            assert not set(dies.cavities) & set(dies.still_fed)
            assert replaceable_singly(document, ref).why
    for strip in document.strips:
        assert what_dies(document, strip).what
