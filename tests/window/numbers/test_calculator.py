"""The calculator: published worked examples, typed in as a person would."""

from __future__ import annotations

import re

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLabel, QPushButton

from blockmap.model.edits import set_limit
from blockmap.window.main_window import MainWindow
from blockmap.window.numbers.calculator import Calculator
from blockmap.window.numbers.questions import QUESTIONS, Question


@pytest.fixture
def calculator(window: MainWindow) -> Calculator:
    """The calculator as the menu shows it."""
    window.actions_by_name["calculator"].trigger()
    return window.findings_link.show_calculator()


def ask(calculator: Calculator, key: str, **texts: str) -> tuple[str, str]:
    """Type into the fields of a question; return headline and derivation."""
    calculator.choose(key)
    for name, text in texts.items():
        field = calculator.forms[key].fields[name]
        if isinstance(field, QComboBox):
            field.setCurrentText(text)
        else:
            field.clear()
            QTest.keyClicks(field, text)
    return calculator.headline.text(), calculator.answer.toPlainText()


def test_a_published_drop(calculator: Calculator) -> None:
    # Source: marine catalogue: 16 AWG, 10 A, 11 ft out and 10 ft back lose 0.843 V.
    headline, text = ask(
        calculator, "drop", gauge="16 AWG", out="3.3528", back="3.048", amps="10"
    )
    assert headline == "0.843 V"
    assert "U = R × I" in text
    assert "above" in text


def test_the_published_wire_for_that_drop(
    window: MainWindow, calculator: Calculator
) -> None:
    # Source: the same example: 16 AWG is the answer where 10 % may be lost.
    window.session.edit("x", set_limit, "drop_advice", "10")
    texts = {"amps": "10", "out": "3,3528", "back": "3,048", "volts": "12"}
    headline, text = ask(calculator, "wire", **texts)
    assert headline == "16 AWG"
    assert "limit set by you" in text
    metric, _ = ask(calculator, "wire", **texts, system="mm²")
    assert metric == "1.5 mm2"


def test_a_fuse_for_a_load(calculator: Calculator) -> None:
    # Source: maker guide, 75 % for long use: 10 A want 13.3 A, the next is 15 A. By 33
    # CFR 183.425 Table 5 18 AWG bears 20 A: 18 A want 24 A, and no rating fits.
    headline, text = ask(calculator, "fuse", amps="10", gauge="14 AWG")
    assert headline == "15 A"
    assert "10 A / 0.75 = 13.3 A" in text
    headline, text = ask(calculator, "fuse", amps="18", gauge="18 AWG")
    assert headline == "none fits"
    assert "the wire bears 20 A at most" in text


def test_published_milliamps_of_millivolts(calculator: Calculator) -> None:
    # Source: maker datasheet: 2.4 mV across a medium blade of 10 A are 312 mA.
    _, text = ask(calculator, "millivolts", form="medium blade", rating="10", mv="2.4")
    assert "= 312 mA" in text
    assert "one step of 0.1 mV" in text


def test_published_heat_of_a_contact(calculator: Calculator) -> None:
    # Physics, and the trade's own example: 0.4 V at 2 A and at 18 A.
    assert ask(calculator, "contact", mv="400", amps="2")[0] == "200 mΩ, 0.8 W"
    assert ask(calculator, "contact", mv="400", amps="18")[0] == "22.2 mΩ, 7.2 W"


def test_published_charge_at_rest(calculator: Calculator) -> None:
    # Source: battery maker's table: 12.45 V at 26.7 °C are 75 %.
    _, text = ask(calculator, "charge", volts="12.45", temperature="26.7")
    assert "75 % in the maker's table" in text


def test_published_opening_time(calculator: Calculator) -> None:
    # Source: medium blade datasheets: at 200 % from 0.15 s to 5 s.
    headline, text = ask(
        calculator, "opening", form="medium blade", rating="10", amps="20"
    )
    assert headline == "0.15 s to 5 s"
    assert "datasheet" in text


def test_the_published_flash_rate(calculator: Calculator) -> None:
    # Source: interpretation on SAE J945: the mean of the rates is 136.8, too fast.
    headline, text = ask(calculator, "flash", on="160 160 160", off="200; 200; 620")
    assert headline == "137 /min"
    assert "136.8" in text
    assert "too fast" in text


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.key)
def test_every_question_opens_with_an_answer_and_its_origin(
    calculator: Calculator, question: object
) -> None:
    key = question.key  # type: ignore[attr-defined]
    headline, text = ask(calculator, key)
    assert headline not in ("", "—")
    assert "Source:" in text or "Computed from:" in text or "=" in text


@pytest.mark.parametrize(
    ("key", "field", "text", "said"),
    [
        ("drop", "gauge", "thick", "No area follows"),
        ("drop", "amps", "", "Enter: Current (A)"),
        ("drop", "amps", "0", "above 0"),
        ("drop", "out", "-1", "from 0 to 1000 m"),
        ("contact", "amps", "0", "without current"),
        ("charge", "temperature", "900", "no temperature"),
        ("millivolts", "form", "brick", "no body of a fuse"),
        ("opening", "rating", "nonsense", "not a number"),
        ("flash", "off", "200", "one time on and one time off"),
        ("drop", "amps", "1e308", "no more than a billion"),
    ],
)
def test_what_cannot_be_answered_says_what_to_enter(
    calculator: Calculator, key: str, field: str, text: str, said: str
) -> None:
    headline, answer = ask(calculator, key, **{field: text})
    assert (headline, answer) == ("—", "")
    assert said in calculator.message.text


def test_it_leaves_the_map_alone_and_the_window_usable(
    window: MainWindow, calculator: Calculator
) -> None:
    assert not calculator.isModal()
    before = window.session.document
    ask(calculator, "drop", amps="12")
    QTest.keyClick(calculator.forms["drop"].fields["amps"], Qt.Key.Key_Return)
    assert calculator.isVisible()
    assert window.session.document is before
    assert window.findings_link.show_calculator() is calculator


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda each: each.key)
def test_each_field_is_reached_by_a_key_of_its_own(
    calculator: Calculator, question: Question
) -> None:
    calculator.choose(question.key)
    seen = [label for label in calculator.findChildren(QLabel) if label.isVisible()]
    seen_buttons = [b for b in calculator.findChildren(QPushButton) if b.isVisible()]
    shown = [*(label.text() for label in seen), *(b.text() for b in seen_buttons)]
    keys = [key for text in shown for key in re.findall(r"(?<!&)&(\w)", text)]
    assert len({key.casefold() for key in keys}) == len(keys), keys
    buddies = {label.buddy(): label.text() for label in seen if label.buddy()}
    for field in calculator.forms[question.key].fields.values():
        key = Qt.Key[f"Key_{buddies[field].split('&', 1)[1][0].upper()}"]
        calculator.list.setFocus()
        QTest.keyClick(calculator, key, Qt.KeyboardModifier.AltModifier)
        assert field.hasFocus(), buddies[field]
    QTest.keyClick(calculator, Qt.Key.Key_Q, Qt.KeyboardModifier.AltModifier)
    assert calculator.list.hasFocus()
