"""The field for the watts of the lamp in a fuse's place, kept in the map."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QWidget

from blockmap.model.edits import set_work
from blockmap.model.units import number_text
from blockmap.reference.work_rows import LAMP_W
from blockmap.window.isolating.beside import tr_job
from blockmap.window.session import Session

__all__ = ["LampField"]


class LampField(QWidget):
    """Its label, number and unit; refused carries a sentence, empty for none."""

    refused = Signal(str)

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.line = QLineEdit()
        self.line.setAccessibleName(tr_job("Watts of the lamp"))
        self.line.setToolTip(
            tr_job("Watts of the lamp put in the fuse's place; kept in the map")
        )
        self.line.setPlaceholderText(number_text(LAMP_W))
        self.line.setFixedWidth(self.fontMetrics().averageCharWidth() * 8)
        self.line.editingFinished.connect(self.commit)
        label = QLabel(tr_job("Lamp"))
        label.setBuddy(self.line)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for widget in (label, self.line, QLabel(tr_job("W"))):
            row.addWidget(widget)

    def refresh(self) -> None:
        """Show the watts of the map, unless others are being typed."""
        if not self.line.hasFocus() or not self.line.isModified():
            self.line.setText(self._held())

    def commit(self) -> None:
        """Keep the watts that are typed; a refused text stays and says why."""
        typed = self.line.text().strip()
        said = ""
        if typed != self._held():
            title = tr_job("Set the lamp in the fuse's place")
            said = self._session.carry_out(title, set_work, "lamp_w", typed) or ""
        self.line.setModified(bool(said))
        self.refused.emit(said)

    def _held(self) -> str:
        own = self._session.document.work.lamp_w
        return "" if own is None else number_text(own)
