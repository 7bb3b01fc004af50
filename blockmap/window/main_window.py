"""The window of one map: figure, legend, inspector and findings, and what menus do.

It joins the parts and holds no knowledge of maps: every command calls the session, the
selection, the map's file or a view.
"""

from __future__ import annotations

import gc
from pathlib import Path

from PySide6.QtCore import QEvent, QPoint, Qt, QTimer, Signal
from PySide6.QtGui import (
    QAction,
    QActionGroup,
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
)
from PySide6.QtWidgets import (
    QLabel,
    QMainWindow,
    QMenu,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from blockmap.files.recovery import Kept
from blockmap.model.document import empty_map
from blockmap.model.edits import add_block, set_car_text
from blockmap.model.geometry import Size, View
from blockmap.window.bars import MessageBar
from blockmap.window.behind.link import BehindLink
from blockmap.window.behind.panel import BehindPanel
from blockmap.window.block_tabs import BlockTabs
from blockmap.window.canvas.figure_view import FigureView
from blockmap.window.checker import Checker
from blockmap.window.elided_label import ElidedLabel
from blockmap.window.figure_key_strip import FigureKeyStrip
from blockmap.window.findings_link import FindingsLink
from blockmap.window.findings_panel import FindingsPanel
from blockmap.window.guard import guarded
from blockmap.window.inspector.panel import InspectorPanel
from blockmap.window.isolating.link import FaultLink
from blockmap.window.isolating.panel import FaultPanel
from blockmap.window.legend.panel import LegendPanel
from blockmap.window.map_file import MapFile
from blockmap.window.menus import MENUS, all_commands, make_actions, tr_command
from blockmap.window.menus.tool_row import cavity_menu, tool_row
from blockmap.window.numbers.panel import NumbersPanel
from blockmap.window.panes import Panes
from blockmap.window.safekeeping import SafeKeeping, kept_words, recovery_folder
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.settings import Settings
from blockmap.window.start_page import StartPage
from blockmap.window.theme import icon, set_appearance

__all__ = ["MainWindow"]

SETTLED_MS = 2_000
DROP_LIMIT = 10
"""Most files taken from one drop."""


class MainWindow(QMainWindow):
    """One window for one map; window_wanted carries a path, or None for a new one."""

    window_wanted = Signal(object)

    def __init__(self, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.settings = settings
        self.session = Session(parent=self)
        self.selection = Selection(self.session, self)
        self.map_file = MapFile(self.session, settings, self)
        self.checker = Checker(self.session, self)
        self.keeping = SafeKeeping(
            self.session,
            recovery_folder(settings.state_folder),
            lambda: self.map_file.fingerprint,
            self,
        )
        self.setAcceptDrops(True)
        self.setObjectName("map window")
        self._make_views()
        self._make_panes()
        self._make_commands()
        self._make_status()
        self._connect()
        self._show_title()
        self.resize(1280, 800)
        self.panes.restore(settings)
        self._filled: bool | None = None
        self.show_page()

    # what the window is made of

    def _make_views(self) -> None:
        self.figure = FigureView(self.session, self.selection, self)
        self.start_page = StartPage(self.settings, self)
        self.bar = MessageBar()
        self.blocks = BlockTabs(self.session, self.selection)
        desk = QWidget()
        column = QVBoxLayout(desk)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.blocks)
        column.addWidget(self.figure, 1)
        self.key = FigureKeyStrip(self.session, self.selection)
        column.addWidget(self.key)
        self._desk = desk
        self._pages = QStackedWidget()
        self._pages.addWidget(self.start_page)
        self._pages.addWidget(desk)
        whole = QWidget()
        outer = QVBoxLayout(whole)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(self.bar)
        outer.addWidget(self._pages, 1)
        self.setCentralWidget(whole)

    def _make_panes(self) -> None:
        self.legend = LegendPanel(
            self.session, self.selection, self, store=self.settings.state
        )
        self.inspector = InspectorPanel(self.session, self.selection, self)
        self.behind = BehindPanel(self.session, self.selection, self)
        self.numbers = NumbersPanel(self.session, self.selection, self.checker, self)
        self.fault = FaultPanel(self.session, self.selection, self)
        self.findings = FindingsPanel(self.session, self.selection, self)
        self.panes = Panes(
            self,
            {
                "legend": (self.tr("Legend"), self.legend),
                "inspector": (self.tr("Selected"), self.inspector),
                "behind": (self.tr("Behind"), self.behind),
                "numbers": (self.tr("Numbers"), self.numbers),
                "fault": (self.tr("Fault"), self.fault),
                "findings": (self.tr("Findings"), self.findings),
            },
        )

    def _make_commands(self) -> None:
        groups: dict[str, QActionGroup] = {}
        self.actions_by_name: dict[str, QAction] = {}
        shown: dict[str, QMenu] = {}
        for kind in MENUS:
            menu = kind(self)
            made = make_actions(menu, groups)
            self.actions_by_name |= made
            bar_menu = self.menuBar().addMenu(tr_command(kind.title))
            for command in kind.commands:
                if command.line_before:
                    bar_menu.addSeparator()
                bar_menu.addAction(made[command.name])
                shown[command.name] = bar_menu
        self._recent_menu = QMenu(self.tr("Open &recent"), self)
        self._recent_menu.aboutToShow.connect(self._fill_recent)
        entries = shown["open"].actions()
        after_open = entries[entries.index(self.actions_by_name["open"]) + 1]
        shown["open"].insertMenu(after_open, self._recent_menu)
        panes = QMenu(self.tr("&Panes"), self)
        shown["reset_panes"].insertMenu(self.actions_by_name["reset_panes"], panes)
        for dock in self.panes.docks.values():
            panes.addAction(dock.toggleViewAction())
        self.tools = tool_row(self.actions_by_name, self.tr("Tools"))
        self.addToolBar(self.tools)
        on = self.actions_by_name
        for name in ("tool_select", "view_front", f"look_{self._look_chosen()}"):
            on[name].setChecked(True)
        for name in ("snap", "figure_key"):
            on[name].setChecked(bool(self.settings.value(name)))
        self.key.put_away(not self.settings.value("figure_key"))

    def _look_chosen(self) -> str:
        look = str(self.settings.value("appearance"))
        return look if f"look_{look}" in self.actions_by_name else "system"

    def _make_status(self) -> None:
        self._pointer = QLabel()
        self._hint = ElidedLabel()
        self._zoom = QLabel()
        self._counts = QLabel()
        for label in (self._pointer, self._hint, self._zoom, self._counts):
            label.setTextFormat(Qt.TextFormat.PlainText)
        bar = self.statusBar()
        bar.addWidget(self._pointer)
        bar.addWidget(self._hint, 1)
        bar.addPermanentWidget(self._zoom)
        bar.addPermanentWidget(self._counts)

    def _connect(self) -> None:
        session, selection = self.session, self.selection
        session.changed.connect(self._document_changed)
        session.refused.connect(self.say)
        session.saved_changed.connect(self._show_title)
        session.path_changed.connect(self._show_title)
        session.stack.undoTextChanged.connect(self._show_undo)
        session.stack.redoTextChanged.connect(self._show_undo)
        session.stack.indexChanged.connect(self._show_undo)
        selection.changed.connect(self._show_enabled)
        selection.view_changed.connect(self._show_view)
        self.map_file.opened.connect(self._opened)
        self.map_file.saving.connect(self._take_typed)
        self.map_file.message.connect(self.say)
        self.map_file.noted.connect(self.bar.say)
        self.map_file.kept_found.connect(self._offer_kept)
        self.map_file.elsewhere.connect(self.window_wanted)
        self.keeping.failed.connect(self._keeping_failed)
        self.findings_link = FindingsLink(self, self._counts)
        self.behind_link = BehindLink(self)
        self.fault_link = FaultLink(self)
        self.figure.pointer_moved.connect(self._pointer.setText)
        self.figure.hint_changed.connect(self._hint.setText)
        self.figure.zoomed.connect(self._show_zoom)
        self.figure.tool_changed.connect(self._show_tool)
        self.figure.edit_wanted.connect(self._edit_at)
        self.figure.paste_wanted.connect(self.legend.paste)
        self.legend.add_row_wanted.connect(self._add_row_wanted)
        self.figure.menu_wanted.connect(self._show_context_menu)
        self.legend.message.connect(self.say)
        self.legend.add_row_wanted.connect(lambda _count: self.figure.set_tool("row"))
        self.blocks.chosen.connect(self.figure.zoom_fit)
        page = self.start_page
        page.new_wanted.connect(self.begin)
        page.layout_wanted.connect(self.begin_from)
        page.file_wanted.connect(self.map_file.open)
        page.kept_wanted.connect(self.take_kept)
        page.open_wanted.connect(self.actions_by_name["open"].trigger)
        self.settings.changed.connect(self._setting_changed)
        self._setting_changed("screen_share")
        self._show_undo()
        self._show_enabled()

    # what is shown

    def say(self, text: str) -> None:
        """Show a passing sentence at the bottom."""
        self.statusBar().showMessage(text, 12_000)

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

    def _show_title(self) -> None:
        self.setWindowTitle(f"{self.map_file.name}[*] — blockmap")
        self.setWindowModified(not self.session.saved)
        path = self.session.path
        self.setWindowFilePath(str(path) if path else "")
        self.setWindowTitle(f"{self.map_file.name}[*] — blockmap")

    def show_page(self) -> None:
        filled = bool(self.session.document.blocks)
        self._pages.setCurrentWidget(self._desk if filled else self.start_page)
        if filled != self._filled:
            self._filled = filled
            self.panes.set_shown(filled)
        self.tools.setVisible(filled)
        self._zoom.setVisible(filled)
        self._counts.setVisible(filled)
        for command in all_commands():
            if command.block:
                self.actions_by_name[command.name].setEnabled(filled)
        if not filled:
            self.start_page.refresh()

    def _document_changed(self, change: object) -> None:
        del change
        filled = bool(self.session.document.blocks)
        if filled != (self._pages.currentWidget() is self._desk):
            self.show_page()
        self._show_enabled()

    def _opened(self) -> None:
        self.selection.clear()
        self.selection.set_view(View.FRONT)
        self.show_page()
        self._show_title()
        self.checker.request()
        if self._pages.currentWidget() is self._desk:
            self.figure.setFocus()
            QTimer.singleShot(0, self.figure, self.figure.zoom_fit)
            # What was just opened stays: collecting need not look at it at each edit.
            QTimer.singleShot(SETTLED_MS, gc.freeze)

    def _show_undo(self, *_text: object) -> None:
        stack = self.session.stack
        for name, can, what in (
            ("undo", stack.canUndo(), stack.undoText()),
            ("redo", stack.canRedo(), stack.redoText()),
        ):
            action = self.actions_by_name[name]
            word = self.tr("&Undo") if name == "undo" else self.tr("&Redo")
            action.setText(f"{word}: {what}" if what else word)
            action.setIconText(word.replace("&", ""))
            action.setEnabled(can)
        self._show_title()

    def _show_enabled(self) -> None:
        self._show_zoom()
        count = len(self.selection.ids)
        for command in all_commands():
            if command.selected:
                enough = count >= command.selected
                self.actions_by_name[command.name].setEnabled(enough)
        self.actions_by_name["revert"].setEnabled(self.session.path is not None)

    def _show_view(self) -> None:
        self.actions_by_name[f"view_{self.selection.view.value}"].setChecked(True)

    def _show_zoom(self, _zoom: float = 1.0) -> None:
        count = len(self.selection.ids)
        words = self.tr("%1 selected, ").replace("%1", str(count)) if count else ""
        zoom = self.tr("zoom %1 %").replace("%1", str(self.figure.percent))
        self._zoom.setText(words + zoom)

    def _show_tool(self, name: str) -> None:
        action = self.actions_by_name.get(f"tool_{name}")
        if action is not None:
            action.setChecked(True)

    def _show_context_menu(self, place: QPoint) -> None:
        cavity_menu(self.actions_by_name, self).popup(place)

    def _edit_at(self, _id: str) -> None:
        self.panes.bring("legend")
        self.legend.edit_current()

    def _add_row_wanted(self, _count: int) -> None:
        self.figure.setFocus()
        self.figure.set_tool("row")

    def _fill_recent(self) -> None:
        menu = self._recent_menu
        menu.clear()
        for path in self.settings.recent_files():
            action = menu.addAction(icon("file-text"), path.name.replace("&", "&&"))
            action.setToolTip(str(path))
            action.setEnabled(path.is_file())
            action.triggered.connect(lambda _c=False, p=path: self.open_path(p))
        menu.addSeparator()
        clear = menu.addAction(self.tr("&Clear list"))
        clear.triggered.connect(self.settings.clear_recent)
        clear.setEnabled(bool(self.settings.recent_files()))

    # beginning and ending

    def _take_typed(self) -> None:
        """Enter what stands in an open cell or field; what is refused stays there."""
        self.legend.table.typing.finish()
        for pane in (self.inspector, self.behind, self.fault):
            pane.commit()

    def begin(self, car: str, block: str, size: Size) -> None:
        """Begin a new map with one block, ready to draw in."""
        document, _ = add_block(set_car_text(empty_map(), "name", car), block, size)
        self.map_file.start(document)
        self.figure.set_tool("row")

    def begin_from(self, path: Path) -> None:
        """Begin a new map from a shipped layout."""
        self.map_file.open(path)

    def take_kept(self, kept: Kept) -> None:
        """Go on with unsaved work of an earlier run, and keep it anew at once."""
        kept.note_try()
        if not self.map_file.take_kept(kept):
            kept.note_try(0)
            return
        self.keeping.note_tries(kept.tries + 1)
        self.keeping.flush()
        if self.keeping.keeper.file.exists():
            kept.discard()

    def _offer_kept(self, kept: Kept) -> None:
        def take() -> None:
            if self.map_file.may_close():
                self.take_kept(kept)

        self.bar.say(
            self.tr("There is unsaved work on this file: %1").replace(
                "%1", kept_words(kept)
            ),
            action=(self.tr("Open unsaved work"), take),
            about="kept",
        )

    def open_path(self, path: Path) -> None:
        """Open a map here when this window holds none, else in another window."""
        if self.session.document.blocks:
            self.window_wanted.emit(path)
        else:
            self.map_file.open(path)

    def _setting_changed(self, name: str) -> None:
        if name == "screen_share":
            self.figure.measure_screen(float(self.settings.value(name)))
        if name != "appearance":
            return
        set_appearance(self._look_chosen())
        self.actions_by_name[f"look_{self._look_chosen()}"].setChecked(True)
        for command in all_commands():
            if command.icon:
                self.actions_by_name[command.name].setIcon(icon(command.icon))

    @guarded()
    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.map_file.may_close():
            event.ignore()
            return
        if self.session.document.blocks:
            self.panes.remember(self.settings)
        self.checker.stop()
        self.behind_link.stop()
        self.fault_link.stop()
        self.keeping.close()
        self.map_file.let_go()
        event.accept()

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
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
            self.say(
                self.tr("Opened the first %1 of the dropped files").replace(
                    "%1", str(DROP_LIMIT)
                )
            )
