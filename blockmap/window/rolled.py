"""A part of a page that rolls where there is not enough room for it."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QApplication, QFrame, QScrollArea, QWidget

__all__ = ["rolled"]


def rolled(part: QWidget, *, sideways: bool = True, typed: bool = False) -> QScrollArea:
    """Return an area without a frame that holds the part; it may roll down only.

    Tab stops at it, to roll words by keys, unless it is typed into: then at its fields.
    """
    area = QScrollArea()
    area.setWidget(part)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    if typed:
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        _FieldInSight(area)
    if not sideways:
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    return area


class _FieldInSight(QObject):
    """Rolls an area to the field that the keyboard goes to.

    Qt does so only where Tab comes from another field of the same area.
    """

    def __init__(self, area: QScrollArea) -> None:
        super().__init__(area)
        self._area = area
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._follow)

    def _follow(self, _before: QWidget | None, now: QWidget | None) -> None:
        if now is not None and self._area.isAncestorOf(now):
            self._area.ensureWidgetVisible(now)
