"""A small picture of a layout file, for choosing one by its looks."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtGui import QPainter, QPaintEvent, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from blockmap.drawing.figure import figure_primitives
from blockmap.drawing.frame import FigureStyle
from blockmap.drawing.palette import DARK, LIGHT
from blockmap.files.store import load
from blockmap.model.errors import BlockmapError
from blockmap.window.canvas.batches import Batch, Inks, compiled
from blockmap.window.guard import guarded
from blockmap.window.theme import dark_now

__all__ = ["LayoutPicture"]

WAIT_MS = 30
"""Long enough for the first frame to be shown before."""


@lru_cache(maxsize=32)
def _figure_of(path: Path) -> Batch | None:
    """Return the figure of a file's first block, None when it cannot be read."""
    try:
        document = load(path).document
    except BlockmapError:
        return None
    block = next(iter(document.blocks.values()), None)
    if block is None:
        return None
    style = FigureStyle(
        size=block.size, legend=False, conditions=False, strips=False, doubt=False
    )
    return Batch([compiled(figure_primitives(document, block.id, style))])


class LayoutPicture(QWidget):
    """Shows the figure of one layout as large as there is room."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._path: Path | None = None
        self._figure: Batch | None = None
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(WAIT_MS)
        self._wait.timeout.connect(self._read)
        self.setMinimumSize(160, 160)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_layout(self, path: Path) -> None:
        """Show another layout; it is read when the event loop is next free."""
        self._path = path
        if self.isVisible():
            self._wait.start()

    def _read(self) -> None:
        self._figure = _figure_of(self._path) if self._path else None
        self.update()

    @guarded()
    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._wait.start()

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        figure = self._figure
        if figure is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        bounds = figure.bounds
        scale = min(
            (self.width() - 8) / max(1.0, bounds.width()),
            (self.height() - 8) / max(1.0, bounds.height()),
            6.0,
        )
        painter.translate(self.width() / 2, self.height() / 2)
        painter.scale(scale, scale)
        painter.translate(-bounds.center())
        inks = Inks(DARK if dark_now() else LIGHT)
        figure.draw(painter, inks, scale * self.devicePixelRatioF())
        painter.end()
