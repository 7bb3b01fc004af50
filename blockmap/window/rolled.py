"""A part of a page that rolls where there is not enough room for it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

__all__ = ["rolled"]


def rolled(part: QWidget, *, sideways: bool = True) -> QScrollArea:
    """Return an area without a frame that holds the part; it may roll down only."""
    area = QScrollArea()
    area.setWidget(part)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    if not sideways:
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    return area
