"""Labels with the letter by which their field is reached, unlike any other's."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

__all__ = ["labelled", "with_access_key"]


def with_access_key(title: str, taken: set[str]) -> str:
    """Return the label with '&' before the first letter that is still free.

    First letters of words are preferred. The letter is added to those taken; where
    none is free the label has no key.
    """
    text = title.replace("&", "&&")
    starts = [0, *(n + 1 for n, char in enumerate(text) if char == " ")]
    for place in (*starts, *range(len(text))):
        letter = text[place : place + 1].casefold()
        if letter.isalpha() and letter not in taken:
            taken.add(letter)
            return f"{text[:place]}&{text[place:]}"
    return text


def labelled(text: str, part: QWidget) -> QWidget:
    """Return a part below its label; the letter after '&' leads to the part."""
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(2)
    label = QLabel(text)
    label.setBuddy(part)
    column.addWidget(label)
    column.addWidget(part, 1)
    return holder
