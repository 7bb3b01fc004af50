"""Words are set as long and as large as the room allows, and never too small."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from blockmap.drawing.fit import fit_text, line_breaks
from blockmap.drawing.primitives import Face, text_box
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.geometry import Point
from tests.strategies import texts


def test_the_longest_wording_that_is_legible_wins() -> None:
    wished = ("STOP LAMPS AND HAZARD FLASHER", "STOP-HAZ", "STP")
    wide = fit_text(wished, 60, 3, 2.0, 2.0, lines=1)
    assert wide
    assert wide.lines == (wished[0],)
    short = fit_text(wished, 16, 3, 2.0, 2.0, lines=1)
    assert short
    assert short.lines == ("STOP-HAZ",)
    assert fit_text(wished, 3, 3, 2.0, 2.0, lines=1) is None


def test_two_lines_are_used_when_that_lets_the_letters_grow() -> None:
    fitted = fit_text(("GAUGES-FLASH",), 10, 6, 1.0, 4.0)
    assert fitted
    assert fitted.lines == ("GAUGES-", "FLASH")


def test_a_compound_word_is_broken_only_when_nothing_else_fits() -> None:
    for text, lines in (
        ("Add-on horn relay", ("Add-on", "horn relay")),
        ("In-line", ("In-line",)),
        ("HTR-A/C", ("HTR-", "A/C")),
    ):
        roomy = max(text_width_mm(line, Face.REGULAR, 2.0) for line in lines)
        fitted = fit_text((text,), roomy + 0.1, 8, 1.6, 6.0)
        assert fitted
        assert fitted.lines == lines
    tight = text_width_mm("Add-", Face.REGULAR, 2.0) + 0.1
    squeezed = fit_text(("Add-on",), tight, 8, 1.95, 2.0)
    assert squeezed
    assert squeezed.lines == ("Add-", "on")


def test_breaks_fall_at_spaces_and_after_hyphens_and_slashes() -> None:
    assert set(line_breaks("REAR DEFOG/MIRR", 2)) == {
        ("REAR DEFOG/MIRR",),
        ("REAR", "DEFOG/MIRR"),
        ("REAR DEFOG/", "MIRR"),
    }


@given(
    st.lists(texts(), min_size=1, max_size=3),
    st.floats(1, 40),
    st.floats(1, 20),
    st.floats(0.5, 3),
    st.integers(1, 3),
)
def test_what_is_set_lies_in_its_room(
    wished: list[str], width: float, height: float, least: float, lines: int
) -> None:
    fitted = fit_text(wished, width, height, least, 5.0, Face.REGULAR, lines)
    if fitted is None:
        return
    assert fitted.cap_mm >= least - 1e-6
    assert "".join(fitted.lines).replace(" ", "") in [
        text.replace(" ", "") for text in wished
    ]
    for text in fitted.texts(Point(0, 0)):
        box = text_box(text)
        assert box.width_mm <= width + 1e-6
        assert -height / 2 - 1e-6 <= box.top_mm
        assert box.bottom_mm <= height / 2 + 1e-6
        assert text_width_mm(text.text, text.face, text.cap_mm) <= width + 1e-6
