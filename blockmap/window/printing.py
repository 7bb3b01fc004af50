"""Sends the pages of a PDF to a printer at true size, without scaling.

Where the system has a spooler it gets the PDF itself. Else pages are painted, in
another thread: each takes its time, and so may the printer.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QMarginsF, QRectF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QWidget

from blockmap.files.disk import StoppableDisk, Stopped
from blockmap.window import dialogs
from blockmap.window.disk_strip import DiskStrip, Steps
from blockmap.window.page_view import page_image, page_sizes_mm
from blockmap.window.spooling import spool, spool_command

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
            problem = yield lambda: _print(printer, data, disk.go_on)
        except Stopped:
            dialogs.tell(
                parent,
                _tr("Printing was cancelled"),
                _tr("Pages that the printer has already may still come."),
            )
            return False
        if problem is not None:
            words = _tr("Save the PDF and print it from another program at 100 %.")
            what = _tr("The printer did not take the pages")
            dialogs.tell(parent, what, f"{problem}\n\n{words}".strip())
        return problem is None

    strip.run(_tr("Printing"), steps, writes=True)


def _print(printer: QPrinter, data: bytes, go_on: Callable[[], None]) -> str | None:
    """Print every page; return what is known of why it failed, None when it did not."""
    command = spool_command(printer, data)
    if command is not None:
        return spool(command, data, go_on) or None
    return None if paint_pages(printer, data, go_on) else ""


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
