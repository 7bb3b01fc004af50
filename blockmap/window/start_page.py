"""The first page: a new map, a starter layout, the demo or a recent file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import (
    QFormLayout,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from blockmap.files.recovery import STALE_DAYS, Kept, kept_maps
from blockmap.model.errors import BadValue
from blockmap.model.geometry import Size
from blockmap.model.units import read_length_mm
from blockmap.resources import layout_files
from blockmap.window.aside import Aside, quickly
from blockmap.window.layout_picture import LayoutPicture
from blockmap.window.safekeeping import kept_words, recovery_folder
from blockmap.window.settings import Settings
from blockmap.window.theme import icon

__all__ = ["StartPage"]

WAIT_MS = 40
"""How long a disk is waited for before the page is shown without what it tells."""

_Listed = tuple[list[tuple[Kept, str]], list[str]]


def _kept_in(folder: Path, *, look: bool = True) -> _Listed:
    """Return unsaved work with its words, and words on what is damaged."""
    found, damaged = kept_maps(folder, lambda _file: look)
    told = [(kept, kept_words(kept, kept.file_now() if look else "")) for kept in found]
    return told, damaged


class StartPage(QScrollArea):
    """Leads to a map; each way is one click or one key away.

    new_wanted carries car, block and size; layout_wanted and file_wanted a path;
    kept_wanted what an earlier run left unsaved.
    """

    new_wanted = Signal(str, str, object)
    layout_wanted = Signal(object)
    file_wanted = Signal(object)
    open_wanted = Signal()
    kept_wanted = Signal(object)

    def __init__(self, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._files = Aside(self._grey_missing, self)
        self._work = Aside(self._list_kept, self)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        page = QWidget()
        grid = QGridLayout(page)
        grid.setContentsMargins(48, 36, 48, 36)
        grid.setHorizontalSpacing(48)
        grid.setVerticalSpacing(20)
        title = QLabel(self.tr("Which block is in front of you?"))
        font = title.font()
        font.setPointSizeF(font.pointSizeF() * 1.9)
        font.setBold(True)
        title.setFont(font)
        grid.addWidget(title, 0, 0, 1, 2)
        grid.addWidget(self._kept_part(), 1, 0, 1, 2)
        grid.addWidget(self._new_part(), 2, 0)
        grid.addWidget(self._demo_part(), 3, 0)
        grid.addWidget(self._recent_part(), 4, 0)
        grid.addWidget(self._layout_part(), 2, 1, 3, 1)
        grid.setRowStretch(4, 1)
        grid.setColumnStretch(0, 2)
        grid.setColumnStretch(1, 3)
        self.setWidget(page)
        self.setFocusProxy(self._car)
        self.refresh()

    def refresh(self) -> None:
        """Read the recent files anew; missing ones are greyed."""
        self._recent.clear()
        for path in self._settings.recent_files():
            item = QListWidgetItem(icon("file-text"), path.name)
            item.setToolTip(str(path))
            item.setData(Qt.ItemDataRole.UserRole, str(path))
            self._recent.addItem(item)
        self._look_for_files()
        self._show_kept()
        empty = self._recent.count() == 0
        self._no_recent.setVisible(empty)
        self._recent.setVisible(not empty)

    def _look_for_files(self) -> None:
        """Grey the recent files that are gone; a disk may take its time to tell."""
        files = self._settings.recent_files()
        self._files.start_next(lambda: [(file, file.is_file()) for file in files])
        self._files.wait(WAIT_MS)

    def _grey_missing(self, found: list[tuple[Path, bool]]) -> None:
        there = dict(found)
        for row in range(self._recent.count()):
            item = self._recent.item(row)
            path = _path_of(item)
            if not there.get(path, True):
                item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEnabled)
                item.setText(self.tr("%1 (missing)").replace("%1", path.name))

    def _kept_part(self) -> QWidget:
        self._kept_holder, column = _part(self.tr("Unsaved work of an earlier run"))
        self._kept = QListWidget()
        self._kept.setAccessibleName(self.tr("Unsaved work of an earlier run"))
        self._kept.setMaximumHeight(self._kept.fontMetrics().height() * 4)
        self._kept.itemActivated.connect(lambda _item: self._open_kept())
        words = QLabel(
            self.tr(
                "The program ended before these maps were saved. Opening one changes "
                "no file until you save it. What is put aside is offered no more; its "
                "file stays in the recovery folder for %1 days."
            ).replace("%1", str(STALE_DAYS))
        )
        words.setWordWrap(True)
        row = QHBoxLayout()
        take = QPushButton(icon("edit-history"), self.tr("Open &unsaved work"))
        take.clicked.connect(self._open_kept)
        drop = QPushButton(icon("edit-delete"), self.tr("Put it aside"))
        drop.setToolTip(str(recovery_folder(self._settings.state_folder)))
        drop.clicked.connect(self._drop_kept)
        for button in (take, drop):
            button.setAutoDefault(False)
        row.addWidget(take)
        row.addWidget(drop)
        row.addStretch(1)
        column.addWidget(words)
        column.addWidget(self._kept)
        column.addLayout(row)
        return self._kept_holder

    def _show_kept(self, first: Callable[[], object] | None = None) -> None:
        """List what earlier runs left, when something else is done first.

        When a disk does not answer, it is listed without looking at the maps' files.
        """
        folder = recovery_folder(self._settings.state_folder)

        def listed() -> _Listed:
            if first is not None:
                first()
            return _kept_in(folder)

        self._work.start_next(listed)
        if not self._work.wait(WAIT_MS):
            self._list_kept(quickly(lambda: _kept_in(folder, look=False), ([], [])))

    def _list_kept(self, listed: _Listed) -> None:
        found, damaged = listed
        self._kept.clear()
        for kept, words in found:
            item = QListWidgetItem(icon("edit-history"), words)
            item.setData(Qt.ItemDataRole.UserRole, kept)
            self._kept.addItem(item)
        for words in damaged:
            item = QListWidgetItem(icon("level-warning"), words)
            item.setFlags(Qt.ItemFlag.NoItemFlags)
            self._kept.addItem(item)
        self._kept_holder.setVisible(self._kept.count() > 0)
        if found:
            self._kept.setCurrentRow(0)

    def _chosen_kept(self) -> Kept | None:
        item = self._kept.currentItem()
        kept = item.data(Qt.ItemDataRole.UserRole) if item else None
        return kept if isinstance(kept, Kept) else None

    def _open_kept(self) -> None:
        kept = self._chosen_kept()
        if kept is not None:
            self.kept_wanted.emit(kept)

    def _drop_kept(self) -> None:
        kept = self._chosen_kept()
        if kept is not None:
            self._show_kept(kept.put_aside)

    def _new_part(self) -> QWidget:
        part, column = _part(self.tr("New map"))
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        self._car = QLineEdit()
        self._car.setPlaceholderText(self.tr("such as Grey estate, 1978"))
        self._block = QLineEdit(self.tr("Fuse panel"))
        self._width = QLineEdit("120")
        self._height = QLineEdit("80")
        size = QHBoxLayout()
        size.addWidget(self._width)
        size.addWidget(QLabel("×"))
        size.addWidget(self._height)
        size.addWidget(QLabel("mm"))
        self._width.setAccessibleName(self.tr("Width in millimetres"))
        self._height.setAccessibleName(self.tr("Height in millimetres"))
        form.addRow(self.tr("&Car"), self._car)
        form.addRow(self.tr("Bloc&k"), self._block)
        measure = QLabel(self.tr("&Width × height"))
        measure.setBuddy(self._width)
        form.addRow(measure, size)
        column.addLayout(form)
        self._wrong = QLabel()
        self._wrong.setTextFormat(Qt.TextFormat.PlainText)
        self._wrong.setWordWrap(True)
        self._wrong.hide()
        column.addWidget(self._wrong)
        start = QPushButton(icon("file-new"), self.tr("&Start drawing"))
        start.setDefault(True)
        start.clicked.connect(self._start)
        for field in (self._car, self._block, self._width, self._height):
            field.returnPressed.connect(self._start)
        column.addWidget(start, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        return part

    def _demo_part(self) -> QWidget:
        part, column = _part(self.tr("See how it looks"))
        words = QLabel(
            self.tr(
                "The demo is a panel of 24 places with damage, patches and an awaited "
                "part. Change what you like; its file stays as it is."
            )
        )
        words.setWordWrap(True)
        demo = QPushButton(icon("fuse"), self.tr("Open the de&mo map"))
        demo.clicked.connect(lambda: self._layout_by_stem("demo"))
        column.addWidget(words)
        column.addWidget(demo, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        return part

    def _layout_part(self) -> QWidget:
        part, column = _part(self.tr("Starter layouts"))
        self._layouts = QListWidget()
        self._layouts.setAccessibleName(self.tr("Starter layouts"))
        self._layouts.setIconSize(QSize(20, 20))
        for path in layout_files():
            stem = path.name.removesuffix(".blockmap.yaml")
            if stem == "demo":
                continue
            item = QListWidgetItem(icon("tool-grid"), _spoken(stem))
            item.setData(Qt.ItemDataRole.UserRole, str(path))
            self._layouts.addItem(item)
        self._layouts.itemActivated.connect(
            lambda item: self.layout_wanted.emit(_path_of(item))
        )
        use = QPushButton(self.tr("Start from this &layout"))
        use.clicked.connect(self._use_layout)
        self._picture = LayoutPicture()
        self._layouts.currentItemChanged.connect(self._show_picture)
        both = QHBoxLayout()
        both.addWidget(self._layouts, 2)
        both.addWidget(self._picture, 3)
        column.addLayout(both, 1)
        column.addWidget(use, 0, Qt.AlignmentFlag.AlignLeft)
        if self._layouts.count():
            self._layouts.setCurrentRow(0)
        return part

    def _show_picture(self, item: QListWidgetItem | None) -> None:
        if item is not None:
            self._picture.show_layout(_path_of(item))

    def _recent_part(self) -> QWidget:
        part, column = _part(self.tr("Recent maps"))
        self._recent = QListWidget()
        self._recent.setAccessibleName(self.tr("Recent maps"))
        self._recent.itemActivated.connect(
            lambda item: self.file_wanted.emit(_path_of(item))
        )
        self._no_recent = QLabel(self.tr("Maps you open are listed here."))
        self._no_recent.setAlignment(Qt.AlignmentFlag.AlignTop)
        find = QPushButton(icon("file-open"), self.tr("&Open a file…"))
        find.clicked.connect(self.open_wanted)
        column.addWidget(self._recent, 1)
        column.addWidget(self._no_recent)
        column.addWidget(find, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(0)
        return part

    def _start(self) -> None:
        try:
            size = Size(
                read_length_mm(self._width.text()), read_length_mm(self._height.text())
            )
        except BadValue as problem:
            self._wrong.setText(str(problem))
            self._wrong.show()
            return
        self._wrong.hide()
        self.new_wanted.emit(self._car.text().strip(), self._block.text().strip(), size)

    def _use_layout(self) -> None:
        item = self._layouts.currentItem()
        if item is not None:
            self.layout_wanted.emit(_path_of(item))

    def _layout_by_stem(self, stem: str) -> None:
        for path in layout_files():
            if path.name == f"{stem}.blockmap.yaml":
                self.layout_wanted.emit(path)


def _part(heading: str) -> tuple[QWidget, QVBoxLayout]:
    part = QWidget()
    column = QVBoxLayout(part)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(10)
    label = QLabel(heading)
    font = label.font()
    font.setPointSizeF(font.pointSizeF() * 1.25)
    font.setBold(True)
    label.setFont(font)
    column.addWidget(label)
    return part, column


def _path_of(item: QListWidgetItem) -> Path:
    return Path(str(item.data(Qt.ItemDataRole.UserRole)))


_COMPOUNDS = ("four-fuse", "home-built", "in-line", "two-column", "under-hood")


def _spoken(stem: str) -> str:
    """Return the file's name as words; compounds keep their hyphen."""
    words = stem.replace("-", " ")
    for compound in _COMPOUNDS:
        words = words.replace(compound.replace("-", " "), compound)
    return words[:1].upper() + words[1:]
