"""The window of one map: it joins its parts, begins and opens maps, and closes.

It holds no knowledge of maps: every command calls the session, the selection, the
map's file or a view. What the first frame does not need is imported and made after it,
or when it is first asked for: see after_frame.py, and the cached properties here.
"""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QTimer, Signal
from PySide6.QtGui import QAction, QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from blockmap.model.geometry import View
from blockmap.window import garbage
from blockmap.window.after_frame import AfterFrame
from blockmap.window.bars import MessageBar
from blockmap.window.bottom_line import BottomLine
from blockmap.window.guard import guarded
from blockmap.window.keyboard_in_sight import TabInSight
from blockmap.window.menus.commands import Commands
from blockmap.window.panes import NamedPanes, Panes
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.settings import Settings
from blockmap.window.start_page import StartPage
from blockmap.window.theme import set_appearance
from blockmap.window.window_place import remember_place, restore_place

if TYPE_CHECKING:
    from blockmap.files.recovery import Kept
    from blockmap.model.geometry import Size
    from blockmap.window.behind.link import BehindLink
    from blockmap.window.block_tabs import BlockTabs
    from blockmap.window.canvas.figure_view import FigureView
    from blockmap.window.checker import Checker
    from blockmap.window.desk import Desk
    from blockmap.window.disk_strip import DiskJob, DiskStrip
    from blockmap.window.figure_key_strip import FigureKeyStrip
    from blockmap.window.findings_link import FindingsLink
    from blockmap.window.map_file import MapFile
    from blockmap.window.safekeeping import SafeKeeping

__all__ = ["MainWindow"]

SETTLED_MS = 2_000
DROP_LIMIT = 10
"""Most files taken from one drop."""


class MainWindow(TabInSight, NamedPanes):
    """One window for one map; window_wanted carries a path, or None for a new one."""

    window_wanted = Signal(object)

    def __init__(self, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.settings = settings
        self.session = Session(parent=self)
        self.selection = Selection(self.session, self)
        self.after_frame = AfterFrame(self)
        self.setAcceptDrops(True)
        self.setObjectName("map window")
        self._filled: bool | None = None
        self._left = False
        self._make_pages()
        self.bottom_line = BottomLine(self.statusBar())
        self.commands = Commands(self)
        self._connect()
        restore_place(self, settings)
        self.show_page()
        self.after_frame.then(
            self.commands.show_icons,
            lambda: self.keeping,
            lambda: self.map_file,
            lambda: self.desk,
            lambda: self.findings_link,
            lambda: self.behind_link,
            lambda: self.panes,
        )

    def _make_pages(self) -> None:
        self.start_page = StartPage(self.settings, self)
        self.bar = MessageBar()
        self._pages = QStackedWidget()
        self._pages.addWidget(self.start_page)
        whole = QWidget()
        outer = self._column = QVBoxLayout(whole)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(self.bar)
        outer.addWidget(self._pages, 1)
        self.setCentralWidget(whole)

    def _connect(self) -> None:
        session = self.session
        session.changed.connect(self._document_changed)
        session.refused.connect(self.say)
        session.saved_changed.connect(self._show_title)
        session.path_changed.connect(self._show_title)
        session.stack.undoTextChanged.connect(self._show_undo)
        session.stack.redoTextChanged.connect(self._show_undo)
        session.stack.indexChanged.connect(self._show_undo)
        self.selection.changed.connect(self.show_zoom)
        page = self.start_page
        page.new_wanted.connect(self.begin)
        page.layout_wanted.connect(self.begin_from)
        page.file_wanted.connect(self.begin_from)
        page.kept_wanted.connect(self.take_kept)
        page.open_wanted.connect(self.actions_by_name["open"].trigger)
        self.settings.changed.connect(self._setting_changed)

    # what is made when it is first needed

    @cached_property
    def disk(self) -> DiskStrip:
        """What waits for the disk, and shows it when that takes long."""
        from blockmap.window.disk_strip import DiskStrip

        made = DiskStrip()
        self._column.insertWidget(0, made)
        return made

    @cached_property
    def map_file(self) -> MapFile:
        """The file behind the session."""
        from blockmap.window.map_file import MapFile

        made = MapFile(self.session, self.settings, self.disk, self)
        made.opened.connect(self._opened)
        made.saving.connect(self._take_typed)
        made.message.connect(self.say)
        made.noted.connect(self.bar.say)
        made.warned.connect(self.bar.warn)
        made.kept_found.connect(self._offer_kept)
        made.taken.connect(self.keeping.take_over)
        made.elsewhere.connect(self.window_wanted)
        return made

    @cached_property
    def keeping(self) -> SafeKeeping:
        """What keeps unsaved work for recovery."""
        from blockmap.window.safekeeping import SafeKeeping

        made = SafeKeeping(
            self.session,
            self.settings.recovery_folder,
            lambda: self.map_file.fingerprint,
            self,
        )
        made.failed.connect(self._keeping_failed)
        return made

    @cached_property
    def checker(self) -> Checker:
        """What checks the map after each edit."""
        from blockmap.window.checker import Checker

        made = Checker(self.session, self)
        made.request()
        return made

    @cached_property
    def findings_link(self) -> FindingsLink:
        """What shows the findings everywhere."""
        from blockmap.window.findings_link import FindingsLink

        return FindingsLink(self, self.bottom_line.counts)

    @cached_property
    def behind_link(self) -> BehindLink:
        """What shows the selected strip everywhere."""
        from blockmap.window.behind.link import BehindLink

        return BehindLink(self)

    @cached_property
    def desk(self) -> Desk:
        """The page of an open map."""
        from blockmap.window.desk import Desk

        made = Desk(self)
        self._pages.addWidget(made)
        return made

    @cached_property
    def panes(self) -> Panes:
        """The panes beside the figure."""
        made = Panes(self)
        self.commands.list_panes(made.docks.values())
        made.restore(self.settings)
        made.set_shown(self.has_map)
        return made

    def _is_made(self, name: str) -> bool:
        """Tell whether one of these is made; asking for it would make it."""
        return name in self.__dict__

    @property
    def actions_by_name(self) -> dict[str, QAction]:
        """Every command, by its name."""
        return self.commands.actions

    @property
    def figure(self) -> FigureView:
        """The figure of the shown block."""
        return self.desk.figure

    @property
    def blocks(self) -> BlockTabs:
        """The tabs of the blocks above the figure."""
        return self.desk.blocks

    @property
    def key(self) -> FigureKeyStrip:
        """The key below the figure."""
        return self.desk.key

    # what is shown

    def say(self, text: str) -> None:
        """Show a passing sentence at the bottom."""
        self.bottom_line.say(text)

    def show_failure(self, report: str) -> None:
        """Say that something failed inside the program; the map is safe."""
        self.bar.say(
            self.tr(
                "Something failed inside the program. The map is as it was; save it "
                "now to be sure."
            ),
            report=report,
            level="error",
        )

    def _keeping_failed(self, trouble: str) -> None:
        if not trouble:
            self.bar.unsay("recovery")
            return
        text = self.tr("Recovery is off, save often: %1").replace("%1", trouble)
        self.bar.say(text, about="recovery")

    @property
    def has_map(self) -> bool:
        """True while a map is open; without one the start page is shown."""
        return bool(self.session.document.blocks)

    def show_page(self) -> None:
        """Show the open map with its panes, or the start page."""
        filled = self.has_map
        page = self.desk if filled else self.start_page
        self._pages.setCurrentWidget(page)
        if filled != self._filled:
            self._filled = filled
            if filled or self._is_made("panes"):
                self.panes.set_shown(filled)
        self.commands.show_map(filled)
        self.bottom_line.show_map(filled)
        self._show_title()
        if filled:
            self.show_zoom()
        else:
            self.start_page.refresh()

    def _document_changed(self, change: object) -> None:
        del change
        if self.has_map != self._filled:
            self.show_page()
        self.commands.show_enabled()

    def _opened(self) -> None:
        self.selection.clear()
        self.selection.set_view(View.FRONT)
        self.show_page()
        if self.after_frame.painted:
            self.checker.request()
        if self.has_map:
            self.figure.setFocus()
            QTimer.singleShot(0, self.figure, self.figure.zoom_fit)
            # What was just opened stays: collecting need not look at it at each edit.
            QTimer.singleShot(SETTLED_MS, self, garbage.leave_out)

    def _show_title(self, *_what: object) -> None:
        name = f"{self.map_file.name}[*] — blockmap" if self._filled else "blockmap[*]"
        self.setWindowTitle(name)
        self.setWindowModified(not self.session.saved)
        path = self.session.path
        self.setWindowFilePath(str(path) if path else "")
        self.setWindowTitle(name)

    def _show_undo(self, *_what: object) -> None:
        self.commands.show_undo()
        self._show_title()

    def show_zoom(self) -> None:
        """Show the zoom of the figure and how many cavities are selected."""
        if self._filled:
            percent, count = self.figure.percent, len(self.selection.ids)
            self.bottom_line.show_zoom(percent, count)

    def _setting_changed(self, name: str) -> None:
        if name == "appearance":
            set_appearance(self.commands.look)
            self.commands.show_look()

    # beginning and ending

    def _take_typed(self) -> None:
        """Enter what stands in an open cell or field; what is refused stays there."""
        if self._is_made("panes"):
            self.panes.commit()

    def begin(self, car: str, block: str, size: Size) -> None:
        """Begin a new map with one block, ready to draw in."""
        from blockmap.model.document import empty_map
        from blockmap.model.edits import add_block, set_car_text

        document, _ = add_block(set_car_text(empty_map(), "name", car), block, size)
        self.map_file.start(document)
        self.figure.set_tool("row")

    def begin_from(self, path: Path) -> None:
        """Open a file, or begin a new map from a shipped layout."""
        self.map_file.open(path)

    def take_kept(self, kept: Kept) -> DiskJob:
        """Go on with unsaved work of an earlier run, and keep it anew at once."""
        return self.map_file.take_kept(kept)

    def _offer_kept(self, kept: Kept, file_now: str) -> None:
        from blockmap.window.safekeeping import kept_words

        def take() -> None:
            if self.map_file.may_close(take):
                self.take_kept(kept)

        text = self.tr("There is unsaved work on this file: %1")
        self.bar.say(
            text.replace("%1", kept_words(kept, file_now)),
            action=(self.tr("Open unsaved work"), take),
            about="kept",
        )

    def open_path(self, path: Path) -> None:
        """Open a map here when this window holds none, else in another window."""
        if self.has_map or self.map_file.busy:
            self.window_wanted.emit(path)
        else:
            self.map_file.open(path)

    def _leave(self) -> None:
        """Close without waiting for a disk; unsaved work is kept for the next start."""
        self._left = True
        self.close()

    @guarded()
    def closeEvent(self, event: QCloseEvent) -> None:
        asks = self._is_made("map_file") and not self._left
        if asks and not self.map_file.may_close(self.close, self._leave):
            event.ignore()
            return
        self.after_frame.stop()
        if self.has_map:
            remember_place(self, self.settings)
            self.panes.remember(self.settings)
        for name in ("disk", "checker", "behind_link", "panes"):
            if self._is_made(name):
                getattr(self, name).stop()
        if self._is_made("keeping"):
            if self._left:
                self.keeping.leave()
            else:
                self.keeping.close()
        if self._is_made("map_file"):
            self.map_file.let_go()
        event.accept()

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        activated = event.type() == QEvent.Type.ActivationChange
        if activated and self.isActiveWindow() and self.session.path is not None:
            self.map_file.look_at_disk()

    @guarded()
    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()

    @guarded()
    def dropEvent(self, event: QDropEvent) -> None:
        files = [u.toLocalFile() for u in event.mimeData().urls() if u.isLocalFile()]
        for name in files[:DROP_LIMIT]:
            self.open_path(Path(name))
        if len(files) > DROP_LIMIT:
            text = self.tr("Opened the first %1 of the dropped files")
            self.say(text.replace("%1", str(DROP_LIMIT)))
