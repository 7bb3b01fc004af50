"""The first page: a new map, a starter layout, the demo or a recent file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
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
    QWidget,
)

from blockmap.files.shown import shown_name
from blockmap.model.errors import BadValue
from blockmap.model.geometry import Size
from blockmap.model.units import read_length_mm
from blockmap.resources import layout_files
from blockmap.window.aside import Aside, quickly
from blockmap.window.guard import guarded
from blockmap.window.headed_part import WAIT_MS, headed_part
from blockmap.window.layout_picture import LayoutPicture
from blockmap.window.plain_tip import plain_tip
from blockmap.window.settings import Settings
from blockmap.window.theme import icon

if TYPE_CHECKING:
    from blockmap.window.kept_part import KeptPart

__all__ = ["StartPage"]

_BESIDE_LETTERS = 140
"""Width from which the layouts have room beside the other parts."""


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
        self.kept: KeptPart | None = None
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        page = QWidget()
        grid = QGridLayout(page)
        grid.setHorizontalSpacing(48)
        grid.setVerticalSpacing(20)
        title = QLabel(self.tr("Which block is in front of you?"))
        font = title.font()
        font.setPointSizeF(font.pointSizeF() * 1.9)
        font.setBold(True)
        title.setFont(font)
        grid.addWidget(title, 0, 0, 1, 2)
        self._grid = grid
        grid.addWidget(self._new_part(), 2, 0)
        grid.addWidget(self._demo_part(), 3, 0)
        grid.addWidget(self._recent_part(), 4, 0)
        self._starters = self._layout_part()
        grid.setRowStretch(4, 1)
        self._narrow: bool | None = None
        self._arrange(narrow=False)
        self.setWidget(page)
        self.setFocusProxy(self._car)
        self.refresh()

    def _arrange(self, *, narrow: bool) -> None:
        """Put the layouts beside the other parts, or below where it is narrow."""
        if narrow == self._narrow:
            return
        self._narrow = narrow
        grid, starters = self._grid, self._starters
        grid.removeWidget(starters)
        if narrow:
            grid.addWidget(starters, 5, 0, 1, 2)
            grid.setContentsMargins(16, 12, 16, 12)
        else:
            grid.addWidget(starters, 2, 1, 3, 1)
            grid.setContentsMargins(48, 36, 48, 36)
        grid.setColumnStretch(0, 2)
        grid.setColumnStretch(1, 0 if narrow else 3)

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        letters = self.width() / self.fontMetrics().averageCharWidth()
        self._arrange(narrow=letters < _BESIDE_LETTERS)

    def refresh(self) -> None:
        """Read the recent files anew; missing ones are greyed."""
        self._recent.clear()
        for path in self._settings.recent_files():
            item = QListWidgetItem(icon("file-text"), shown_name(path.name))
            item.setToolTip(plain_tip(str(path)))
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
                said = self.tr("%1 (missing)")
                item.setText(said.replace("%1", shown_name(path.name)))

    def _show_kept(self) -> None:
        """List what earlier runs left unsaved; most times that is nothing."""
        folder = self._settings.recovery_folder
        if self.kept is None:
            if not quickly(lambda: folder.is_dir() and any(folder.iterdir()), True):
                return
            from blockmap.window.kept_part import KeptPart

            self.kept = KeptPart(folder)
            self.kept.wanted.connect(self.kept_wanted)
            self._grid.addWidget(self.kept, 1, 0, 1, 2)
        self.kept.refresh()

    def _new_part(self) -> QWidget:
        part, column = headed_part(self.tr("New map"))
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
        part, column = headed_part(self.tr("See how it looks"))
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
        part, column = headed_part(self.tr("Starter layouts"))
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
        part, column = headed_part(self.tr("Recent maps"))
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


def _path_of(item: QListWidgetItem) -> Path:
    return Path(str(item.data(Qt.ItemDataRole.UserRole)))


_COMPOUNDS = ("four-fuse", "home-built", "in-line", "two-column", "under-hood")


def _spoken(stem: str) -> str:
    """Return the file's name as words; compounds keep their hyphen."""
    words = stem.replace("-", " ")
    for compound in _COMPOUNDS:
        words = words.replace(compound.replace("-", " "), compound)
    return words[:1].upper() + words[1:]
