"""Takes a picture that is dropped on the figure; a map dropped there is let through."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QMimeData, QObject, Signal
from PySide6.QtGui import QDropEvent

from blockmap.window.guard import guarded

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["PhotoDrops"]

_KINDS = (QEvent.Type.DragEnter, QEvent.Type.DragMove, QEvent.Type.Drop)
_ENDINGS = (".jpg", ".jpeg", ".png")


class PhotoDrops(QObject):
    """Watches the figure; dropped carries the file of a picture."""

    dropped = Signal(Path)

    def __init__(self, figure: FigureView) -> None:
        super().__init__(figure)
        self._figure = figure
        figure.viewport().setAcceptDrops(True)
        figure.viewport().installEventFilter(self)

    @guarded(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take one picture while a block is shown; leave all else to the window."""
        if event.type() not in _KINDS or not isinstance(event, QDropEvent):
            return super().eventFilter(watched, event)
        picture = _picture_of(event.mimeData())
        if picture is None or self._figure.content.block is None:
            return super().eventFilter(watched, event)
        event.acceptProposedAction()
        if event.type() is QEvent.Type.Drop:
            self.dropped.emit(picture)
        return True


def _picture_of(mime: QMimeData) -> Path | None:
    """Return the only dropped file, if it is called like a picture."""
    files = [Path(url.toLocalFile()) for url in mime.urls() if url.isLocalFile()]
    alone = len(files) == 1 and files[0].suffix.lower() in _ENDINGS
    return files[0] if alone else None
