"""The window of one map: figure, legend, inspector and findings, and what menus do.

It joins the parts and holds no knowledge of maps: every command calls the session, the
selection, the map's file or a view.
"""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QByteArray, QEvent, QPoint, Qt, QTimer, Signal
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QGuiApplication,
)
from PySide6.QtWidgets import (
    QApplication,
    QDockWidget,
    QLabel,
    QLineEdit,
    QMainWindow,
    QMenu,
    QStackedWidget,
    QTabBar,
    QToolBar,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.document import empty_map
from blockmap.model.edits import (
    Direction,
    Edge,
    add_block,
    remove_block,
    set_car_text,
)
from blockmap.model.geometry import Size, View
from blockmap.window.bars import MessageBar
from blockmap.window.canvas.figure_view import FigureView
from blockmap.window.checker import Checker
from blockmap.window.commands import COMMANDS, MENUS, make_actions, tr_command
from blockmap.window.findings_panel import FindingsPanel
from blockmap.window.guard import guarded
from blockmap.window.inspector.panel import InspectorPanel
from blockmap.window.legend.panel import LegendPanel
from blockmap.window.map_file import MapFile
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.settings import Settings
from blockmap.window.start_page import StartPage
from blockmap.window.theme import icon, set_appearance

__all__ = ["MainWindow"]

LAYOUT_VERSION = 1
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
        self.setAcceptDrops(True)
        self.setObjectName("map window")
        self._make_views()
        self._make_docks()
        self._make_commands()
        self._make_status()
        self._connect()
        self._show_title()
        self._show_page()
        self.resize(1280, 800)
        self._first_state = self.saveState(LAYOUT_VERSION)
        self._restore()

    # what the window is made of

    def _make_views(self) -> None:
        self.figure = FigureView(self.session, self.selection, self)
        self.start_page = StartPage(self.settings, self)
        self.bar = MessageBar()
        self.blocks = QTabBar()
        self.blocks.setAccessibleName(self.tr("Blocks of this map"))
        self.blocks.setExpanding(False)
        self.blocks.setDrawBase(False)
        desk = QWidget()
        column = QVBoxLayout(desk)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.blocks)
        column.addWidget(self.figure, 1)
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

    def _make_docks(self) -> None:
        self.legend = LegendPanel(self.session, self.selection, self)
        self.inspector = InspectorPanel(self.session, self.selection, self)
        self.findings = FindingsPanel(self.session, self.selection, self)
        right = Qt.DockWidgetArea.RightDockWidgetArea
        self.docks = {
            "legend": self._dock("legend", self.tr("Legend"), self.legend),
            "inspector": self._dock("inspector", self.tr("Selected"), self.inspector),
            "findings": self._dock("findings", self.tr("Findings"), self.findings),
        }
        for dock in self.docks.values():
            self.addDockWidget(right, dock)
        self.tabifyDockWidget(self.docks["inspector"], self.docks["findings"])
        self.docks["inspector"].raise_()
        docks = list(self.docks.values())[:2]
        self.resizeDocks(docks, [530, 530], Qt.Orientation.Horizontal)
        self.resizeDocks(docks, [400, 300], Qt.Orientation.Vertical)

    def _dock(self, name: str, title: str, widget: QWidget) -> QDockWidget:
        dock = QDockWidget(title, self)
        dock.setObjectName(f"{name} dock")
        dock.setWidget(widget)
        return dock

    def _make_commands(self) -> None:
        self.actions_by_name = make_actions(
            self, {c.name: getattr(self, f"do_{c.name}") for c in COMMANDS}
        )
        menus: dict[str, QMenu] = {}
        for name, title in MENUS:
            menus[name] = self.menuBar().addMenu(tr_command(title))
        for command in COMMANDS:
            menu = menus[command.menu]
            if command.line_before:
                menu.addSeparator()
            menu.addAction(self.actions_by_name[command.name])
            if command.name == "open":
                self._recent_menu = menu.addMenu(self.tr("Open &recent"))
                self._recent_menu.aboutToShow.connect(self._fill_recent)
        panes = menus["view"].addMenu(self.tr("&Panes"))
        for dock in self.docks.values():
            panes.addAction(dock.toggleViewAction())
        self.tools = QToolBar(self.tr("Tools"))
        self.tools.setObjectName("tools")
        self.tools.setMovable(False)
        self.tools.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        for names in TOOL_ROW:
            for name in names:
                action = self.actions_by_name[name]
                action.setIconText(tr_command(SHORT_WORDS.get(name, action.iconText())))
                self.tools.addAction(action)
            if names is not TOOL_ROW[-1]:
                self.tools.addSeparator()
        self.addToolBar(self.tools)
        self.actions_by_name["tool_select"].setChecked(True)
        self.actions_by_name["view_front"].setChecked(True)
        self.actions_by_name["snap"].setChecked(bool(self.settings.value("snap")))
        look = self.settings.value("appearance")
        self.actions_by_name.get(
            f"look_{look}", self.actions_by_name["look_system"]
        ).setChecked(True)

    def _make_status(self) -> None:
        self._pointer = QLabel()
        self._hint = QLabel()
        self._counts = QLabel()
        for label in (self._pointer, self._hint, self._counts):
            label.setTextFormat(Qt.TextFormat.PlainText)
        bar = self.statusBar()
        bar.addWidget(self._pointer)
        bar.addWidget(self._hint, 1)
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
        selection.block_changed.connect(self._show_blocks)
        selection.view_changed.connect(self._show_view)
        self.map_file.opened.connect(self._opened)
        self.map_file.message.connect(self.say)
        self.checker.checked.connect(self._show_findings)
        self.findings.counted.connect(self._show_counts)
        self.figure.pointer_moved.connect(self._pointer.setText)
        self.figure.hint_changed.connect(self._hint.setText)
        self.figure.tool_changed.connect(self._show_tool)
        self.figure.edit_wanted.connect(self.legend.edit_current)
        self.figure.menu_wanted.connect(self._show_context_menu)
        self.legend.message.connect(self.say)
        self.blocks.currentChanged.connect(self._block_chosen)
        page = self.start_page
        page.new_wanted.connect(self.begin)
        page.layout_wanted.connect(self.begin_from)
        page.file_wanted.connect(self.map_file.open)
        page.open_wanted.connect(self.do_open)
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

    def _show_title(self) -> None:
        self.setWindowTitle(f"{self.map_file.name}[*] — blockmap")
        self.setWindowModified(not self.session.saved)
        path = self.session.path
        self.setWindowFilePath(str(path) if path else "")
        self.setWindowTitle(f"{self.map_file.name}[*] — blockmap")

    def _show_page(self) -> None:
        filled = bool(self.session.document.blocks)
        self._pages.setCurrentWidget(self._desk if filled else self.start_page)
        for dock in self.docks.values():
            dock.setVisible(filled and not dock.property("closed by hand"))
        self.tools.setVisible(filled)
        for name in NEEDS_BLOCK:
            self.actions_by_name[name].setEnabled(filled)
        if not filled:
            self.start_page.refresh()

    def _document_changed(self, change: object) -> None:
        del change
        filled = bool(self.session.document.blocks)
        if filled != (self._pages.currentWidget() is self._desk):
            self._show_page()
        self._show_blocks()
        self._show_enabled()

    def _opened(self) -> None:
        self.selection.clear()
        self.selection.set_view(View.FRONT)
        self._show_page()
        self._show_title()
        self._show_blocks()
        self.checker.request()
        if self._pages.currentWidget() is self._desk:
            self.figure.setFocus()
            QTimer.singleShot(0, self.figure, self.figure.zoom_fit)

    def _show_blocks(self) -> None:
        document = self.session.document
        shown = [
            (self.blocks.tabData(i), self.blocks.tabText(i))
            for i in range(self.blocks.count())
        ]
        wanted = [(b.id, b.name or b.id) for b in document.blocks.values()]
        self.blocks.blockSignals(True)
        if shown != [(i, n.replace("&", "&&")) for i, n in wanted]:
            while self.blocks.count():
                self.blocks.removeTab(0)
            for id_, name in wanted:
                self.blocks.setTabData(self.blocks.addTab(name.replace("&", "&&")), id_)
        for index in range(self.blocks.count()):
            if self.blocks.tabData(index) == self.selection.block:
                self.blocks.setCurrentIndex(index)
        self.blocks.blockSignals(False)
        self.blocks.setVisible(len(wanted) > 1)

    def _block_chosen(self, index: int) -> None:
        if index >= 0:
            self.selection.set_block(self.blocks.tabData(index))
            self.figure.zoom_fit()

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
        count = len(self.selection.ids)
        for name, least in NEEDS_SELECTED.items():
            self.actions_by_name[name].setEnabled(count >= least)
        self.actions_by_name["revert"].setEnabled(self.session.path is not None)

    def _show_view(self) -> None:
        self.actions_by_name[f"view_{self.selection.view.value}"].setChecked(True)

    def _show_tool(self, name: str) -> None:
        action = self.actions_by_name.get(f"tool_{name}")
        if action is not None:
            action.setChecked(True)

    def _show_findings(self, found: object) -> None:
        findings = self.checker.latest
        del found
        self.findings.show_findings(findings)
        levels: dict[str, str] = {}
        for finding in reversed(findings):
            for id_ in finding.objects:
                levels[id_] = str(finding.level)
        self.figure.set_findings(levels)

    def _show_counts(self, errors: int, advice: int, information: int) -> None:
        text = self.tr("%1 errors, %2 advice, %3 information")
        for number, count in enumerate((errors, advice, information), 1):
            text = text.replace(f"%{number}", str(count))
        self._counts.setText(text)
        title = self.tr("Findings")
        total = errors + advice + information
        self.docks["findings"].setWindowTitle(f"{title} ({total})" if total else title)

    def _show_context_menu(self, place: QPoint) -> None:
        menu = QMenu(self)
        for name in CONTEXT_MENU:
            if name:
                menu.addAction(self.actions_by_name[name])
            else:
                menu.addSeparator()
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(place)

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

    def begin(self, car: str, block: str, size: Size) -> None:
        """Begin a new map with one block, ready to draw in."""
        document, _ = add_block(set_car_text(empty_map(), "name", car), block, size)
        self.map_file.start(document)
        self.figure.set_tool("row")

    def begin_from(self, path: Path) -> None:
        """Begin a new map from a shipped layout."""
        self.map_file.open(path)

    def open_path(self, path: Path) -> None:
        """Open a map here when this window holds none, else in another window."""
        if self.session.document.blocks:
            self.window_wanted.emit(path)
        else:
            self.map_file.open(path)

    def _restore(self) -> None:
        state = self.settings.state
        geometry, panes = state.value("geometry"), state.value("panes")
        if isinstance(geometry, QByteArray):
            self.restoreGeometry(geometry)
        if isinstance(panes, QByteArray):
            self.restoreState(panes, LAYOUT_VERSION)
        screen = QGuiApplication.primaryScreen().availableGeometry()
        if not screen.intersects(self.frameGeometry()):
            self.move(screen.topLeft())
        self._show_page()

    @guarded()
    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.map_file.may_close():
            event.ignore()
            return
        if self.session.document.blocks:
            self.settings.state.setValue("geometry", self.saveGeometry())
            self.settings.state.setValue("panes", self.saveState(LAYOUT_VERSION))
        self.checker.stop()
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

    # what the menus do: files

    def do_new(self) -> None:
        if self.session.document.blocks:
            self.window_wanted.emit(None)
        else:
            self.start_page.setFocus()

    def do_open(self) -> None:
        from blockmap.window import dialogs

        for path in dialogs.ask_open_files(self, self.settings.last_folder()):
            self.open_path(path)

    def do_save(self) -> None:
        self.map_file.save()

    def do_save_as(self) -> None:
        self.map_file.save_as()

    def do_save_copy(self) -> None:
        self.map_file.save_copy()

    def do_revert(self) -> None:
        self.map_file.revert()

    def do_print(self) -> None:
        from blockmap.window.sheet_preview import SheetPreview

        SheetPreview(self.session, self.selection, self.settings, self).open()

    def do_export_table(self) -> None:
        from blockmap.window.table_files import export_table

        export_table(self)

    def do_fill_table(self) -> None:
        from blockmap.window.table_files import fill_from_file

        fill_from_file(self)

    def do_close(self) -> None:
        self.close()

    def do_quit(self) -> None:
        QApplication.closeAllWindows()

    # editing

    def do_undo(self) -> None:
        self.session.stack.undo()

    def do_redo(self) -> None:
        self.session.stack.redo()

    def do_cut(self) -> None:
        self._to_text_or(self.legend.cut, "cut")

    def do_copy(self) -> None:
        self._to_text_or(self.legend.copy, "copy")

    def do_paste(self) -> None:
        self._to_text_or(self.legend.paste, "paste")

    def _to_text_or(self, otherwise: object, method: str) -> None:
        focus = QApplication.focusWidget()
        if isinstance(focus, QLineEdit) or hasattr(focus, "toPlainText"):
            getattr(focus, method)()
        else:
            otherwise()  # type: ignore[operator]

    def do_duplicate(self) -> None:
        self.figure.commands.duplicate()

    def do_delete(self) -> None:
        self.figure.commands.delete()

    def do_select_all(self) -> None:
        self._to_text_or(self.figure.commands.select_all, "selectAll")

    def do_select_none(self) -> None:
        self.selection.clear()

    def do_invert(self) -> None:
        self.figure.commands.invert_selection()

    def do_find(self) -> None:
        self.docks["legend"].show()
        self.legend.find()

    def do_find_next(self) -> None:
        self.legend.find_next()

    def do_fill_down(self) -> None:
        self.legend.fill_down()

    def do_preferences(self) -> None:
        from blockmap.window.preferences import Preferences

        Preferences(self.settings, self).open()

    # drawing

    def do_tool_select(self) -> None:
        self.figure.set_tool("select")

    def do_tool_cavity(self) -> None:
        self.figure.set_tool("cavity")

    def do_tool_row(self) -> None:
        self.figure.set_tool("row")

    def do_tool_grid(self) -> None:
        self.figure.set_tool("grid")

    def do_tool_outline(self) -> None:
        self.figure.set_tool("outline")

    def do_add_block(self) -> None:
        name = self.tr("Block %1").replace(
            "%1", str(len(self.session.document.blocks) + 1)
        )
        if self.session.edit(self.tr("Add block"), add_block, name, Size(120.0, 80.0)):
            self.selection.clear()
            self.selection.set_block(self.session.last_result)
            self.docks["inspector"].show()
            self.docks["inspector"].raise_()
            self.figure.zoom_fit()

    def do_remove_block(self) -> None:
        block = self.session.document.blocks.get(self.selection.block or "")
        if block is not None:
            text = self.tr("Remove block %1").replace("%1", block.name)
            self.session.edit(text, remove_block, block.id)

    def do_snap(self) -> None:
        on = self.actions_by_name["snap"].isChecked()
        self.settings.set_value("snap", on)
        self.figure.set_snapping(on)

    def do_turn_right(self) -> None:
        self.figure.commands.turn(90.0)

    def do_turn_left(self) -> None:
        self.figure.commands.turn(-90.0)

    def do_align_left(self) -> None:
        self.figure.commands.align(Edge.LEFT)

    def do_align_right(self) -> None:
        self.figure.commands.align(Edge.RIGHT)

    def do_align_top(self) -> None:
        self.figure.commands.align(Edge.TOP)

    def do_align_bottom(self) -> None:
        self.figure.commands.align(Edge.BOTTOM)

    def do_align_column(self) -> None:
        self.figure.commands.align(Edge.MIDDLE_X)

    def do_align_row(self) -> None:
        self.figure.commands.align(Edge.MIDDLE_Y)

    def do_distribute_across(self) -> None:
        self.figure.commands.distribute(Direction.ACROSS)

    def do_distribute_down(self) -> None:
        self.figure.commands.distribute(Direction.DOWN)

    # seeing

    def do_other_side(self) -> None:
        rear = self.selection.view is View.REAR
        self.selection.set_view(View.FRONT if rear else View.REAR)

    def do_view_front(self) -> None:
        self.selection.set_view(View.FRONT)

    def do_view_rear(self) -> None:
        self.selection.set_view(View.REAR)

    def do_view_flipped(self) -> None:
        self.selection.set_view(View.FLIPPED)

    def do_view_turned(self) -> None:
        self.selection.set_view(View.TURNED)

    def do_zoom_in(self) -> None:
        self.figure.zoom_in()

    def do_zoom_out(self) -> None:
        self.figure.zoom_out()

    def do_zoom_fit(self) -> None:
        self.figure.zoom_fit()

    def do_zoom_selection(self) -> None:
        self.figure.zoom_selection()

    def do_zoom_true(self) -> None:
        self.figure.zoom_true()

    def do_next_pane(self) -> None:
        self._step_pane(1)

    def do_previous_pane(self) -> None:
        self._step_pane(-1)

    def _step_pane(self, step: int) -> None:
        panes: list[QWidget] = [self.figure, self.legend, self.inspector, self.findings]
        panes = [p for p in panes if p.isVisible()] or [self.start_page]
        focus = QApplication.focusWidget()
        here = next(
            (
                number
                for number, pane in enumerate(panes)
                if focus is pane or (focus is not None and pane.isAncestorOf(focus))
            ),
            -step if step > 0 else 0,
        )
        panes[(here + step) % len(panes)].setFocus(Qt.FocusReason.ShortcutFocusReason)

    def do_reset_panes(self) -> None:
        self.restoreState(self._first_state, LAYOUT_VERSION)
        self._show_page()

    def do_look_light(self) -> None:
        self._look("light")

    def do_look_dark(self) -> None:
        self._look("dark")

    def do_look_system(self) -> None:
        self._look("system")

    def _look(self, choice: str) -> None:
        self.settings.set_value("appearance", choice)
        set_appearance(choice)
        for command in COMMANDS:
            if command.icon:
                self.actions_by_name[command.name].setIcon(icon(command.icon))
        self.figure.viewport().update()

    def do_full_screen(self) -> None:
        on = self.actions_by_name["full_screen"].isChecked()
        if on:
            self.showFullScreen()
        else:
            self.showNormal()

    # help

    def do_walk(self) -> None:
        from blockmap.window.help_pages import show_walk

        show_walk(self)

    def do_keys(self) -> None:
        from blockmap.window.help_pages import show_keys

        show_keys(self)

    def do_cautions(self) -> None:
        from blockmap.window.help_pages import show_cautions

        show_cautions(self)

    def do_about(self) -> None:
        from blockmap.window.help_pages import show_about

        show_about(self)


TOOL_ROW: tuple[tuple[str, ...], ...] = (
    ("save", "undo", "redo"),
    ("tool_select", "tool_cavity", "tool_row", "tool_grid", "tool_outline"),
    ("snap", "turn_right"),
    ("other_side", "zoom_fit"),
    ("find", "print"),
)

SHORT_WORDS = {
    "tool_cavity": "Cavity",
    "turn_right": "Turn",
    "other_side": "Other side",
    "zoom_fit": "Fit",
    "find": "Find",
    "print": "Sheets",
}

CONTEXT_MENU = (
    "cut",
    "copy",
    "paste",
    "",
    "duplicate",
    "delete",
    "",
    "turn_right",
    "turn_left",
    "",
    "zoom_selection",
    "other_side",
)

NEEDS_SELECTED = {
    "duplicate": 1,
    "delete": 1,
    "turn_right": 1,
    "turn_left": 1,
    "zoom_selection": 1,
    "align_left": 2,
    "align_right": 2,
    "align_top": 2,
    "align_bottom": 2,
    "align_column": 2,
    "align_row": 2,
    "distribute_across": 3,
    "distribute_down": 3,
}

NEEDS_BLOCK = (
    "save",
    "save_as",
    "save_copy",
    "print",
    "export_table",
    "fill_table",
    "find",
    "find_next",
    "fill_down",
    "paste",
    "select_all",
    "invert",
    "tool_select",
    "tool_cavity",
    "tool_row",
    "tool_grid",
    "tool_outline",
    "remove_block",
    "other_side",
    "view_front",
    "view_rear",
    "view_flipped",
    "view_turned",
    "zoom_in",
    "zoom_out",
    "zoom_fit",
    "zoom_true",
)
