"""Sends the pages of a PDF to a printer at true size, without scaling.

Pages are painted in another thread: each takes its time, and so may the printer.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QMarginsF, QRectF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QWidget

from blockmap.files.disk import StoppableDisk, Stopped
from blockmap.window.dialogs import tell
from blockmap.window.disk_strip import DiskStrip, Steps
from blockmap.window.page_view import page_image, page_sizes_mm

__all__ = ["paint_pages", "print_pdf"]

DOTS_PER_INCH = 600


def _tr(text: str) -> str:
    return QCoreApplication.translate("printing", text)


def print_pdf(parent: QWidget, strip: DiskStrip, data: bytes) -> None:
    """Ask for a printer and print every page at 100 %; the strip shows how it goes."""
    if not data:
        return
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setResolution(DOTS_PER_INCH)
    dialog = QPrintDialog(printer, parent)
    dialog.setWindowTitle(_tr("Print sheets at 100 %"))
    if not dialog.exec():
        return

    def steps(disk: StoppableDisk) -> Steps:
        try:
            taken = yield lambda: paint_pages(printer, data, disk.go_on)
        except Stopped:
            tell(
                parent,
                _tr("Printing was cancelled"),
                _tr("Pages that the printer has already may still come."),
            )
            return False
        if not taken:
            tell(
                parent,
                _tr("The printer did not take the pages"),
                _tr("Save the PDF and print it from another program at 100 %."),
            )
        return bool(taken)

    strip.run(_tr("Printing"), steps, writes=True)


def paint_pages(
    printer: QPrinter, data: bytes, go_on: Callable[[], None] = lambda: None
) -> bool:
    """Paint each page with its true size on the whole paper; False on a failure.

    It may run in any thread. go_on is called before each page and raises to stop.
    """
    sizes = page_sizes_mm(data)
    painter = QPainter()
    dots_per_mm = printer.resolution() / 25.4
    for number, (width, height) in enumerate(sizes):
        try:
            go_on()
        except Stopped:
            if painter.isActive():
                printer.abort()
                painter.end()
            raise
        layout = QPageLayout(
            QPageSize(QSizeF(width, height), QPageSize.Unit.Millimeter),
            QPageLayout.Orientation.Portrait,
            QMarginsF(0, 0, 0, 0),
        )
        layout.setMode(QPageLayout.Mode.FullPageMode)
        printer.setPageLayout(layout)
        printer.setFullPage(True)
        started = painter.begin(printer) if number == 0 else printer.newPage()
        if not started:
            painter.end()
            return False
        picture = page_image(data, number, dots_per_mm)
        where = QRectF(0, 0, width * dots_per_mm, height * dots_per_mm)
        painter.drawImage(where, picture)
    painter.end()
    return True
