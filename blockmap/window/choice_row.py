"""A row of buttons of which one is down: which page or part of a pane is in front."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QPushButton, QWidget

__all__ = ["ChoiceRow"]


class ChoiceRow(QHBoxLayout):
    """Buttons by name; chosen carries the name of the one that was pressed."""

    chosen = Signal(str)

    def __init__(self, texts: Mapping[str, str], owner: QWidget) -> None:
        super().__init__()
        self.buttons = {name: QPushButton(text) for name, text in texts.items()}
        group = QButtonGroup(owner)
        for name, button in self.buttons.items():
            button.setCheckable(True)
            button.toggled.connect(self._embolden)
            button.clicked.connect(lambda _on=False, n=name: self.chosen.emit(n))
            group.addButton(button)
            self.addWidget(button)
        self.show_chosen(next(iter(texts)))

    def show_chosen(self, name: str) -> None:
        """Put a button down; the others come up."""
        self.buttons[name].setChecked(True)

    def _embolden(self) -> None:
        """Write the name of what is in front bold: a shade alone is hard to see."""
        for button in self.buttons.values():
            font = button.font()
            font.setBold(button.isChecked())
            button.setFont(font)
