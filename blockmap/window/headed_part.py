"""What the parts of the start page have in common: a heading, and their patience."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

__all__ = ["WAIT_MS", "headed_part"]

WAIT_MS = 40
"""How long a disk is waited for before the page is shown without what it tells."""


def headed_part(heading: str) -> tuple[QWidget, QVBoxLayout]:
    """Return a part of the page with its heading, and the column below that."""
    part = QWidget()
    column = QVBoxLayout(part)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(10)
    label = QLabel(heading)
    font = label.font()
    font.setPointSizeF(font.pointSizeF() * 1.25)
    font.setBold(True)
    label.setFont(font)
    column.addWidget(label)
    return part, column
