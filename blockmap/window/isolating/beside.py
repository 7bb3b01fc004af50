"""A window that stands beside the figure, over the panes: one job of the meter each.

It leaves the figure in sight, keeps the keys of the main window working, and is
closed with Escape. What is noted in it is in the map at once.
"""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QSize, Qt
from PySide6.QtGui import QCloseEvent, QHideEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from blockmap.reference.cautions import caution_named
from blockmap.window.guard import guarded
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.theme import show_sign

__all__ = ["BesideWindow", "Page", "Warnings", "plain_label", "tr_job"]

_SHARE = 0.43
"""Share of the main window's width; the figure keeps the rest."""
_LEAST_LETTERS, _LEAST_LINES = 66, 36
_FRAME = QSize(8, 40)


def tr_job(text: str) -> str:
    """Return a text of the jobs in the language of the window."""
    return QCoreApplication.translate("isolating", text)


def plain_label(text: str = "", *, bold: bool = False) -> QLabel:
    """Return a label of plain text that wraps and can be copied from."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    if bold:
        font = label.font()
        font.setBold(True)
        label.setFont(font)
    return label


class Warnings(QWidget):
    """Cautions by their names, or sentences, each with its sign."""

    def __init__(self, *texts: str) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        for text in texts:
            try:
                text = caution_named(text).text
            except KeyError:
                text = tr_job(text)
            sign = QLabel()
            show_sign(sign, "level-warning")
            sign.setAccessibleName(tr_job("Caution"))
            row = QHBoxLayout()
            row.addWidget(sign, 0, Qt.AlignmentFlag.AlignTop)
            row.addWidget(plain_label(text), 1)
            column.addLayout(row)


class Page(QWidget):
    """What stands in such a window: refreshed when it is seen and the map changes."""

    def __init__(self) -> None:
        super().__init__()
        self.message = InlineMessage()

    def refresh(self) -> None:
        """Show the map as it is now."""
        raise NotImplementedError

    def commit(self) -> None:
        """Write what is typed and not committed yet."""

    def stop(self) -> None:
        """Wait for what is being worked out; nothing comes after."""

    def put_away(self) -> None:
        """Take marks off the figure; the window is closed or hidden."""

    def first_field(self) -> QWidget:
        """Return what the keyboard goes to first."""
        return self

    def say(self, sentence: str) -> None:
        """Show why something was refused; empty takes it away."""
        if sentence:
            self.message.say(sentence)
        else:
            self.message.clear()


class BesideWindow(QWidget):
    """One page in a window of its own, kept above the window it belongs to."""

    def __init__(self, page: Page, title: str, main: QWidget) -> None:
        super().__init__(main, Qt.WindowType.Tool)
        self.page = page
        self._main = main
        self._placed = False
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(8, 8, 8, 8)
        whole.addWidget(page)

    def come(self) -> None:
        """Come to the front, over the panes the first time."""
        if not self._placed:
            self._placed = True
            self._place()
        self.show()
        self.raise_()
        self.activateWindow()
        self.page.first_field().setFocus(Qt.FocusReason.OtherFocusReason)

    def _place(self) -> None:
        main, letter = self._main, self.fontMetrics().averageCharWidth()
        room = main.screen().availableGeometry()
        wide = max(round(main.width() * _SHARE), _LEAST_LETTERS * letter)
        least = _LEAST_LINES * self.fontMetrics().height()
        size = QSize(wide, max(main.height() - 2 * _FRAME.height(), least))
        size = size.expandedTo(self.minimumSizeHint())
        self.resize(size.boundedTo(room.size() - _FRAME))
        corner = main.frameGeometry().topRight()
        x = min(corner.x(), room.right()) - self.width() - _FRAME.width()
        lowest = room.bottom() - self.height() - _FRAME.height()
        y = min(corner.y() + _FRAME.height(), lowest)
        self.move(max(room.left(), x), max(room.top(), y))

    # what Qt calls

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.close()
        else:
            super().keyPressEvent(event)

    @guarded()
    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.page.refresh()

    @guarded()
    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self.page.put_away()

    @guarded()
    def closeEvent(self, event: QCloseEvent) -> None:
        self.page.commit()
        super().closeEvent(event)
