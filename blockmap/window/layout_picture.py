"""A small picture of a layout file, for choosing one by its looks."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from blockmap.drawing.palette import DARK, LIGHT
from blockmap.window.guard import guarded
from blockmap.window.theme import dark_now

if TYPE_CHECKING:
    from blockmap.window.canvas.batches import Batch

__all__ = ["LayoutPicture"]

WAIT_MS = 30
"""After a frame without it, so that the frame stands and keys come in between."""


@lru_cache(maxsize=32)
def _figure_of(path: Path) -> Batch | None:
    """Return the figure of a file's first block, None when it cannot be read."""
    from blockmap.drawing.figure import figure_primitives
    from blockmap.drawing.frame import FigureStyle
    from blockmap.files.store import load
    from blockmap.model.errors import BlockmapError
    from blockmap.window.canvas.batches import Batch, compiled

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
        self._read_path: Path | None = None
        self._figure: Batch | None = None
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(WAIT_MS)
        self._wait.timeout.connect(self._read)
        self.setMinimumSize(160, 160)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_layout(self, path: Path) -> None:
        """Show another layout; it is read soon after it is first to be painted."""
        self._path = path
        self.update()

    def _read(self) -> None:
        self._read_path = self._path
        self._figure = _figure_of(self._path) if self._path else None
        self.update()

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        if self._read_path != self._path:
            self._wait.start()
        figure = self._figure
        if figure is None:
            return
        from blockmap.window.canvas.batches import Inks

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
