"""Numbers and what is accepted, read back from the PDF by a library of its own."""

from __future__ import annotations

import re
from collections.abc import Iterable

import pytest

from blockmap.analysis.findings import check
from blockmap.drawing.primitives import Face, Text
from blockmap.model.document import Map
from blockmap.model.edits import accept_finding, set_limit, set_texts
from blockmap.sheets.catalogue import SheetOptions, sheet_named
from blockmap.sheets.pdf import pdf_bytes
from tests.sheets.measuring import measured, squeezed
from tests.sheets.sample_maps import shipped

REASON = "renewed in 2.5 mm2 up to the horn"


def told(document: Map, name: str) -> str:
    """Return all text of a sheet, as a reader of PDFs finds it, spaces left out."""
    kind = sheet_named(name)
    assert kind is not None
    sheet = kind.compose(document, SheetOptions())
    pages = measured(pdf_bytes(sheet, "Test"))
    return squeezed("".join(page.text for page in pages))


def accepted() -> Map:
    """Return the home-built car with its error accepted."""
    document = shipped("home-built-special")
    (error,) = (f for f in check(document) if f.level == "error")
    return accept_finding(
        document, error.code, error.objects, error.what, REASON, "2024-05-31"
    )[0]


@pytest.mark.parametrize("name", ["labels", "card", "condition", "numbers"])
def test_an_accepted_finding_is_printed_with_its_reason(name: str) -> None:
    text = told(accepted(), name)
    assert squeezed(f"accepted on 2024-05-31: {REASON}") in text
    assert squeezed("a fuse of 30 A guards a wire of 16 AWG") in text


@pytest.mark.parametrize("name", ["labels", "card", "condition", "numbers"])
def test_an_error_is_printed_until_it_is_mended(name: str) -> None:
    document = shipped("saloon-ceramic-row")
    error = squeezed("25 A is fitted where 16 A is specified")
    assert error in told(document, name)
    ids = [c.id for c in document.cavities.values() if c.fitted_a == 25.0]
    assert error not in told(set_texts(document, ids, "fitted_a", "16"), name)


@pytest.mark.parametrize("name", ["labels", "card"])
def test_a_car_without_errors_prints_no_such_list(name: str) -> None:
    text = told(shipped("hatchback-right-to-left"), name)
    assert squeezed("Wrong by the map") not in text


def test_the_sheet_says_loads_wires_and_what_they_bear() -> None:
    # Source: 33 CFR 183.425 Table 5: 12 AWG bears 45 A at 105 °C. The panel as it was
    # written down draws 18 A and 3.5 A at F11, rated 25 A.
    text = told(shipped("demo"), "numbers")
    assert squeezed("F11Heater blower and air conditioning") in text.replace(" ", "")
    assert squeezed("21.5 21.5 12 AWG 45") in text
    assert squeezed("load all the time ABOVE: 115 % of 18.8 A") in text
    assert squeezed("33 CFR 183.425 Table 5") in text


def test_every_number_refers_to_a_formula_and_a_document_that_stand_there() -> None:
    kind = sheet_named("numbers")
    assert kind is not None
    sheet = kind.compose(shipped("home-built-special"), SheetOptions())
    texts = [t for p in sheet.pages for t in p.primitives if isinstance(t, Text)]
    plain = [t for t in texts if t.face is Face.REGULAR and t.anchor == "start"]
    asked = _numbers(t.text for t in plain if re.fullmatch(r"[\d, ]+", t.text))
    near = (t for t in texts if t.anchor == "end" and t.at.x_mm < 30)
    assert asked == _numbers(t.text for t in near)
    assert len(asked) > 10
    documents = {t.text for t in plain if re.fullmatch(r"(S\d+,? ?)+", t.text)}
    named = {t.text.split(":")[0] for t in plain if re.match(r"S\d+: \S", t.text)}
    assert {mark for cell in documents for mark in cell.split(", ")} == named
    assert named


def _numbers(texts: Iterable[str]) -> set[int]:
    return {int(part) for text in texts for part in re.findall(r"\d+", text)}


def test_the_formulas_stand_with_their_numbers() -> None:
    flat = told(shipped("home-built-special"), "numbers")
    assert squeezed("25 A for 16 AWG at 105 °C = 25 A") in flat
    assert squeezed("30 A × 0.75 = 22.5 A") in flat


def test_a_limit_of_the_owner_is_printed_as_such() -> None:
    plain = told(shipped("demo"), "numbers")
    assert squeezed("set by the owner") not in plain
    own = set_limit(shipped("demo"), "continuous_share", "60")
    text = told(own, "numbers")
    assert squeezed("60 %, set by the owner") in text
    assert squeezed("25 A × 0.6 = 15 A") in text


def test_a_map_without_loads_says_what_to_enter() -> None:
    assert squeezed("enter loads with amps or watts") in told(
        shipped("blade-grid"), "numbers"
    )
