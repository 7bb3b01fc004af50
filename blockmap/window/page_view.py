"""Shows the pages of a PDF: a scrolling view and a list of small pages."""

from __future__ import annotations

import threading
from functools import lru_cache

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QIcon,
    QImage,
    QPainter,
    QPaintEvent,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import (
    QListWidget,
    QListWidgetItem,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from blockmap.window.guard import guarded

__all__ = ["PageList", "PageView", "page_image", "page_sizes_mm"]

_RENDERER = threading.Lock()
"""The renderer serves one thread at a time; pages are printed in another."""
MM_PER_POINT = 25.4 / 72
GAP_PX = 14


def page_sizes_mm(data: bytes) -> list[tuple[float, float]]:
    """Return width and height of each page of a PDF."""
    import pypdfium2

    with _RENDERER:
        pdf = pypdfium2.PdfDocument(data)
        try:
            sizes = [pdf.get_page_size(i) for i in range(len(pdf))]
        finally:
            pdf.close()
    return [(w * MM_PER_POINT, h * MM_PER_POINT) for w, h in sizes]


def page_image(data: bytes, number: int, dots_per_mm: float) -> QImage:
    """Return one page as an image of this many device pixels to the millimetre."""
    import pypdfium2

    with _RENDERER:
        pdf = pypdfium2.PdfDocument(data)
        try:
            bitmap = pdf[number].render(
                scale=dots_per_mm * MM_PER_POINT, rev_byteorder=True
            )
            picture = QImage(
                bytes(bitmap.buffer),
                bitmap.width,
                bitmap.height,
                bitmap.stride,
                QImage.Format.Format_RGB888
                if bitmap.n_channels == 3
                else QImage.Format.Format_RGBX8888,
            ).copy()
        finally:
            pdf.close()
    return picture


_shown_image = lru_cache(maxsize=48)(page_image)
"""Pages at the sizes of the screen; at that of a printer each takes 100 MB."""


class _Sheet(QWidget):
    """One page at one zoom, rendered when it is first painted."""

    def __init__(self, data: bytes, number: int, size_mm: tuple[float, float]) -> None:
        super().__init__()
        self._data, self._number, self._size_mm = data, number, size_mm
        self.setAccessibleName(self.tr("Page %1").replace("%1", str(number + 1)))

    def set_zoom(self, px_per_mm: float) -> None:
        width, height = (round(side * px_per_mm) for side in self._size_mm)
        self.setFixedSize(width, height)
        self._zoom = px_per_mm
        self.update()

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        painter = QPainter(self)
        ratio = self.devicePixelRatioF()
        picture = _shown_image(self._data, self._number, self._zoom * ratio)
        painter.drawImage(QRectF(self.rect()), picture)
        painter.setPen(QColor("#8a867c"))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()


class PageView(QScrollArea):
    """All pages one under another; page_shown tells which is on top."""

    page_shown = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.setWidgetResizable(True)
        self.setAccessibleName(self.tr("Pages"))
        self._sheets: list[_Sheet] = []
        self._sizes: list[tuple[float, float]] = []
        self._zoom: float | None = None
        self.verticalScrollBar().valueChanged.connect(self._tell_page)

    def show_pdf(self, data: bytes) -> int:
        """Show a PDF; return how many pages it has."""
        place = self.verticalScrollBar().value()
        self._sizes = page_sizes_mm(data) if data else []
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setSpacing(GAP_PX)
        self._sheets = [_Sheet(data, i, size) for i, size in enumerate(self._sizes)]
        for sheet in self._sheets:
            column.addWidget(sheet, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addStretch(1)
        self.setWidget(holder)
        self._apply()
        self.verticalScrollBar().setValue(place)
        return len(self._sheets)

    def show_page(self, number: int) -> None:
        """Scroll to a page."""
        if 0 <= number < len(self._sheets):
            self.verticalScrollBar().setValue(self._sheets[number].y() - GAP_PX // 2)

    def zoom_in(self) -> None:
        """Show pages larger."""
        self._zoom = min(40.0, self._px_per_mm() * 1.25)
        self._apply()

    def zoom_out(self) -> None:
        """Show pages smaller."""
        self._zoom = max(0.5, self._px_per_mm() / 1.25)
        self._apply()

    def zoom_page(self) -> None:
        """Show a whole page at a time."""
        self._zoom = None
        self._apply()

    def _px_per_mm(self) -> float:
        if self._zoom is not None or not self._sizes:
            return self._zoom or 3.0
        width = max(w for w, _ in self._sizes)
        height = max(h for _, h in self._sizes)
        room = self.viewport().size()
        return max(
            0.5,
            min(
                (room.width() - 3 * GAP_PX) / width,
                (room.height() - 2 * GAP_PX) / height,
            ),
        )

    def _apply(self) -> None:
        zoom = self._px_per_mm()
        for sheet in self._sheets:
            sheet.set_zoom(zoom)

    def _tell_page(self, value: int) -> None:
        middle = value + self.viewport().height() // 2
        for number, sheet in enumerate(self._sheets):
            if sheet.y() <= middle <= sheet.y() + sheet.height():
                self.page_shown.emit(number)
                return

    @guarded()
    def wheelEvent(self, event: QWheelEvent) -> None:
        if not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            super().wheelEvent(event)
            return
        if event.angleDelta().y():
            (self.zoom_in if event.angleDelta().y() > 0 else self.zoom_out)()
        event.accept()

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._zoom is None:
            self._apply()


class PageList(QListWidget):
    """Small pictures of the pages; page_chosen carries the number of one."""

    page_chosen = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("List of pages"))
        self.setIconSize(QSize(96, 124))
        self.setSpacing(4)
        self.currentRowChanged.connect(self.page_chosen)

    def show_pdf(self, data: bytes) -> None:
        """List the pages of a PDF."""
        self.blockSignals(True)
        self.clear()
        for number, (width, height) in enumerate(page_sizes_mm(data) if data else []):
            scale = min(96 / width, 124 / height) * self.devicePixelRatioF()
            pixmap = QPixmap.fromImage(_shown_image(data, number, scale))
            pixmap.setDevicePixelRatio(self.devicePixelRatioF())
            self.addItem(QListWidgetItem(QIcon(pixmap), str(number + 1)))
        self.blockSignals(False)

    def mark_page(self, number: int) -> None:
        """Mark the page that is shown, without asking for it again."""
        self.blockSignals(True)
        self.setCurrentRow(number)
        self.blockSignals(False)
