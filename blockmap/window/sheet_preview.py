"""The sheets as they will be printed, page by page, before anything is printed.

The bytes shown are the bytes saved and printed: one PDF is composed off the window's
thread, the latest choice winning, and its pages are drawn by a PDF renderer.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPlainTextEdit,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError
from blockmap.model.geometry import View
from blockmap.sheets.catalogue import CARD_FORMS, SHEETS, SheetKind, SheetOptions
from blockmap.sheets.pdf import pdf_bytes
from blockmap.window import dialogs
from blockmap.window.aside import Aside
from blockmap.window.disk_strip import DiskStrip
from blockmap.window.guard import guarded, report_exception
from blockmap.window.page_view import PageList, PageView
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.settings import Settings
from blockmap.window.theme import icon
from blockmap.window.window_place import fit_on_screen

__all__ = ["SheetPreview"]

LEFT_SHARE = 0.34
"""Most of the screen's width that the choices beside the pages take."""


@dataclass(frozen=True, slots=True)
class _Wish:
    """What to compose: a snapshot, so that editing may go on."""

    document: Map
    kind: SheetKind
    options: SheetOptions
    title: str


def _composed(wish: _Wish) -> tuple[_Wish, bytes, tuple[str, ...]]:
    """Return the PDF of a wish and its notes; it may run in any thread."""
    try:
        sheet = wish.kind.compose(wish.document, wish.options)
        return wish, pdf_bytes(sheet, wish.title), sheet.notes
    except (BlockmapError, ValueError) as refused:
        return wish, b"", (str(refused),)
    except Exception as problem:
        report_exception("a sheet", problem)
        return wish, b"", (f"This sheet could not be composed: {problem}",)


class SheetPreview(QDialog):
    """Choose a sheet, look at its pages, then print or save it."""

    def __init__(
        self,
        session: Session,
        selection: Selection,
        settings: Settings,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(self.tr("Sheets"))
        self._session, self._selection, self._settings = session, selection, settings
        self.pdf = b""
        self._wish: _Wish | None = None
        self._composer = Aside(self._take, self)
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(400)
        self._make_choices()
        self._make_pages()
        self._lay_out()
        self._wait.timeout.connect(self._busy.show)
        self._kinds.setCurrentRow(0)
        self._kinds.currentRowChanged.connect(self._compose)
        for combo in (self._block, self._view, self._paper, self._form):
            combo.currentIndexChanged.connect(self._compose)
        session.changed.connect(self._compose)
        fit_on_screen(self, QSize(1120, 760))
        self._kinds.setFocus()  # up and down go through the sheets
        self._compose()

    def _make_choices(self) -> None:
        document = self._session.document
        self._kinds = QListWidget()
        self._kinds.setAccessibleName(self.tr("Which sheet"))
        for kind in SHEETS:
            self._kinds.addItem(kind.title)
            self._kinds.item(self._kinds.count() - 1).setToolTip(kind.help)
        rows = max(3, len(SHEETS)) * (self._kinds.sizeHintForRow(0) + 2) + 6
        self._kinds.setMaximumHeight(rows)
        self._block = _combo([(b.id, b.name or b.id) for b in document.blocks.values()])
        self._block.setCurrentIndex(max(0, self._block.findData(self._selection.block)))
        self._view = _combo([(view.value, self.tr(view.words)) for view in View])
        self._view.setCurrentIndex(self._view.findData(self._selection.view.value))
        self._paper = _combo([("a4", "A4"), ("letter", self.tr("US Letter"))])
        self._paper.setCurrentIndex(
            max(0, self._paper.findData(self._settings.value("paper")))
        )
        self._form = _combo(list(CARD_FORMS.items()))

    def _make_pages(self) -> None:
        self._pages = PageView(self)
        self._thumbs = PageList(self)
        self._thumbs.page_chosen.connect(self._pages.show_page)
        self._pages.page_shown.connect(self._thumbs.mark_page)
        self._count = QLabel()
        self._notes = QPlainTextEdit()
        self._notes.setReadOnly(True)
        self._notes.setAccessibleName(self.tr("What to know before printing"))
        self._notes.setMaximumHeight(self._notes.fontMetrics().height() * 6)
        self._busy = QProgressBar()
        self._busy.setRange(0, 0)
        self._busy.hide()

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow(self.tr("&Block"), self._block)
        form.addRow(self.tr("&View"), self._view)
        form.addRow(self.tr("&Paper"), self._paper)
        form.addRow(self.tr("&Card form"), self._form)
        self._rows = form
        left = QVBoxLayout()
        left.addWidget(self._kinds)
        left.addLayout(form)
        left.addWidget(self._thumbs, 1)
        right = QVBoxLayout()
        head = QHBoxLayout()
        head.addWidget(self._count, 1)
        standard = QKeySequence.StandardKey
        for words, name, slot, keys in (
            (self.tr("S&maller"), "zoom-out", self._pages.zoom_out, standard.ZoomOut),
            (self.tr("&Larger"), "zoom-in", self._pages.zoom_in, standard.ZoomIn),
            (self.tr("&Whole page"), "zoom-fit", self._pages.zoom_page, "Ctrl+0"),
        ):
            button = QPushButton(icon(name), words)
            QShortcut(QKeySequence(keys), self, slot)
            button.setAutoDefault(False)
            button.clicked.connect(slot)
            head.addWidget(button)
        right.addLayout(head)
        right.addWidget(self._pages, 1)
        right.addWidget(self._busy)
        self.disk = DiskStrip()
        right.addWidget(self.disk)
        right.addWidget(self._notes)
        box = QDialogButtonBox()
        self._print = box.addButton(
            self.tr("P&rint…"), QDialogButtonBox.ButtonRole.AcceptRole
        )
        self._save = box.addButton(
            self.tr("&Save PDF…"), QDialogButtonBox.ButtonRole.ActionRole
        )
        box.addButton(QDialogButtonBox.StandardButton.Close)
        box.rejected.connect(self.close)
        self._print.clicked.connect(self.print_pages)
        self._save.clicked.connect(self.save_pdf)
        right.addWidget(box)
        whole = QHBoxLayout(self)
        holder = QWidget()
        holder.setLayout(left)
        most = self.screen().availableGeometry().width() * LEFT_SHARE
        wide = self.fontMetrics().averageCharWidth() * 50
        holder.setFixedWidth(min(wide, round(most)))
        whole.addWidget(holder)
        whole.addLayout(right, 1)

    def _kind(self) -> SheetKind:
        return SHEETS[max(0, self._kinds.currentRow())]

    def _compose(self, *_changed: object) -> None:
        kind = self._kind()
        document = self._session.document
        self._settings.set_value("paper", self._paper.currentData())
        for combo, used in (
            (self._block, "block"),
            (self._view, "view"),
            (self._form, "form"),
        ):
            self._rows.setRowVisible(combo, used in kind.uses)
        options = SheetOptions(
            block=self._block.currentData(),
            view=View(self._view.currentData()),
            paper=self._paper.currentData(),
            form=self._form.currentData(),
            correction=(
                float(self._settings.value("correct_x")),
                float(self._settings.value("correct_y")),
            ),
            map_file=self._session.path,
        )
        title = f"{document.car.name or 'blockmap'}: {kind.title}"
        self._wish = _Wish(document, kind, options, title)
        self._print.setEnabled(False)
        self._save.setEnabled(False)
        self._wait.start()
        self._composer.start_next(partial(_composed, self._wish))

    def _take(self, composed: tuple[_Wish, bytes, tuple[str, ...]]) -> None:
        wish, data, notes = composed
        if wish is not self._wish:
            return
        self._wait.stop()
        self._busy.hide()
        self.pdf = data
        pages = self._pages.show_pdf(data)
        self._thumbs.show_pdf(data)
        words = self.tr("1 page") if pages == 1 else self.tr("%1 pages")
        self._count.setText(words.replace("%1", str(pages)))
        self._notes.setPlainText("\n".join(notes))
        self._notes.setVisible(bool(notes))
        self._print.setEnabled(bool(data))
        self._save.setEnabled(bool(data))

    def save_pdf(self) -> None:
        """Ask where and save the pages that are shown."""
        car = (self._session.document.car.name or "map").replace("/", "-")
        wished = Path(self._settings.last_folder()) / f"{car} {self._kind().name}.pdf"
        path = dialogs.ask_save_file(
            self, self.tr("Save PDF"), str(wished), self.tr("PDF (*.pdf)"), ".pdf"
        )
        if path is None:
            return
        if self._session.is_its_file(path):
            words = self.tr("This is the file of the map; choose another name.")
            dialogs.tell(self, self.tr("The PDF was not saved"), words)
            return

        def written() -> None:
            self._settings.set_last_folder(path)
            self._count.setText(self.tr("Saved %1").replace("%1", path.name))

        pdf = self.pdf
        self.disk.write(
            path,
            lambda: pdf,
            lambda why: dialogs.tell(self, self.tr("The PDF was not saved"), why),
            written,
        )

    def print_pages(self) -> None:
        """Print the pages that are shown, without scaling."""
        from blockmap.window.printing import print_pdf

        print_pdf(self, self.disk, self.pdf)

    @guarded()
    def done(self, result: int) -> None:
        if self.disk.hold_closing(lambda: self.done(result)):
            return  # it is closed once the PDF is on the disk, or saving is cancelled
        self.disk.stop()
        self._session.changed.disconnect(self._compose)
        self._composer.leave()
        super().done(result)


def _combo(choices: list[tuple[str, str]]) -> QComboBox:
    combo = QComboBox()
    for value, words in choices:
        combo.addItem(words, value)
    combo.setMinimumContentsLength(12)
    return combo
