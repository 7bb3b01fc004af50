"""A labelled list of choices that is no property of the map, such as a part."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QSignalBlocker, Qt
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QSizePolicy, QWidget

__all__ = ["Chooser", "place_word"]


class Chooser(QWidget):
    """A labelled list of choices that is no property of the map."""

    def __init__(self, label: str) -> None:
        super().__init__()
        self.box = QComboBox()
        self.box.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.box.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.box.setMinimumContentsLength(12)
        self.box.setAccessibleName(label)
        name = QLabel(label)
        name.setTextFormat(Qt.TextFormat.PlainText)
        name.setBuddy(self.box)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(name)
        row.addWidget(self.box, 1)
        self.setFocusProxy(self.box)
        self._filled: list[tuple[str, str]] = []

    def fill(self, choices: Sequence[tuple[str, str]], chosen: str) -> None:
        """Offer pairs of what is meant and what is shown, one of them chosen."""
        with QSignalBlocker(self.box):
            if list(choices) != self._filled:
                self._filled = list(choices)
                self.box.clear()
                for meant, shown in choices:
                    self.box.addItem(shown, meant)
            self.box.setCurrentIndex(max(self.box.findData(chosen), 0))

    @property
    def chosen(self) -> str:
        """What is meant by the current choice; '' when there is none."""
        return str(self.box.currentData() or "")


def place_word(place: str) -> str:
    """Return what a part of a cavity is called in the list."""
    if place == "fuse":
        return QCoreApplication.translate("behind", "fuse or part in it")
    if place == "housing":
        return QCoreApplication.translate("trade", place)
    if " wire" in place:
        return place
    return QCoreApplication.translate("behind", "%1 contact").replace("%1", place)
