"""The few things worth choosing: looks, paper, what printer and screen get wrong."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QLabel,
    QVBoxLayout,
    QWidget,
)

from blockmap.window.card_measure import CardMeasure
from blockmap.window.rolled import rolled
from blockmap.window.settings import Settings
from blockmap.window.window_place import fit_on_screen

__all__ = ["Preferences"]


class Preferences(QDialog):
    """Every choice holds at once; there is nothing to confirm."""

    def __init__(self, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Preferences"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._settings = settings
        form = QFormLayout()
        form.addRow(
            self.tr("&Look"),
            self._choice(
                "appearance",
                (
                    ("system", self.tr("As the system")),
                    ("light", self.tr("Light")),
                    ("dark", self.tr("Dark")),
                ),
            ),
        )
        form.addRow(
            self.tr("&Paper"),
            self._choice("paper", (("a4", "A4"), ("letter", self.tr("US Letter")))),
        )
        form.addRow(self.tr("Ruler &across measures"), self._measured("correct_x"))
        form.addRow(self.tr("Ruler &down measures"), self._measured("correct_y"))
        words = QLabel(
            self.tr(
                "Print the printer proof sheet once, measure its two 100 mm rulers "
                "and enter what you read. Sheets of true size are then corrected."
            )
        )
        words.setWordWrap(True)
        words.setMinimumWidth(words.fontMetrics().averageCharWidth() * 60)
        screen = QLabel(
            self.tr(
                "&True size on this screen: hold a bank card against the outline and "
                "move the slider until both are alike."
            )
        )
        screen.setWordWrap(True)
        self.card = CardMeasure(float(settings.value("screen_share")))
        self.card.measured.connect(
            lambda share: settings.set_value("screen_share", share)
        )
        screen.setBuddy(self.card)
        box = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        box.rejected.connect(self.close)
        choices = QWidget()
        column = QVBoxLayout(choices)
        column.addLayout(form)
        column.addWidget(words)
        column.addWidget(screen)
        column.addWidget(self.card)
        column.addStretch(1)
        whole = QVBoxLayout(self)
        whole.addWidget(rolled(choices, typed=True), 1)
        whole.addWidget(box)
        around = QSize(40, 4 * box.sizeHint().height())
        fit_on_screen(self, choices.sizeHint() + around)

    def _choice(self, name: str, choices: tuple[tuple[str, str], ...]) -> QComboBox:
        combo = QComboBox()
        for value, words in choices:
            combo.addItem(words, value)
        combo.setCurrentIndex(max(0, combo.findData(self._settings.value(name))))
        combo.currentIndexChanged.connect(
            lambda _i: self._settings.set_value(name, combo.currentData())
        )
        return combo

    def _measured(self, name: str) -> QDoubleSpinBox:
        """A field for what a 100 mm ruler measures; the factor is its inverse."""
        field = QDoubleSpinBox()
        field.setRange(97.1, 103.0)
        field.setDecimals(2)
        field.setSingleStep(0.05)
        field.setSuffix(" mm")
        field.setValue(100.0 / float(self._settings.value(name)))
        field.valueChanged.connect(
            lambda measured: self._settings.set_value(name, 100.0 / measured)
        )
        return field
