"""Help that needs no network: the walk, the keys, the cautions, and about."""

from __future__ import annotations

import html
import platform
from collections.abc import Sequence
from typing import TYPE_CHECKING

import PySide6
from PySide6.QtCore import QCoreApplication, QSize, Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from blockmap import __version__
from blockmap.reference.cautions import CAUTIONS
from blockmap.resources import asset
from blockmap.window.menus import all_commands
from blockmap.window.row_table import show_rows
from blockmap.window.window_place import fit_on_screen

if TYPE_CHECKING:
    from blockmap.window.main_window import MainWindow

__all__ = ["show_about", "show_cautions", "show_keys", "show_walk"]


NEW_LINE = "\n"


def _tr(text: str) -> str:
    return QCoreApplication.translate("help", text)


class _Page(QDialog):
    """A window with a title, something to read and a Close button."""

    def __init__(self, parent: QWidget, title: str) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title)
        self.column = QVBoxLayout(self)
        self.box = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        self.box.rejected.connect(self.close)
        unit = self.fontMetrics().averageCharWidth()
        fit_on_screen(self, QSize(unit * 105, unit * 75))

    def show_with(self, widget: QWidget) -> None:
        """Fill the page and show it; the window behind stays usable."""
        self.column.addWidget(widget, 1)
        self.column.addWidget(self.box)
        self.show()


def _text_page(parent: QWidget, title: str, paragraphs: list[tuple[str, str]]) -> _Page:
    page = _Page(parent, title)
    browser = QTextBrowser()
    browser.setOpenLinks(False)
    browser.setHtml(
        "".join(
            (f"<h3>{html.escape(head)}</h3>" if head else "")
            + f"<p>{html.escape(body).replace(NEW_LINE, '<br>')}</p>"
            for head, body in paragraphs
        )
    )
    page.show_with(browser)
    return page


def show_walk(window: MainWindow) -> _Page:
    """Show the five-minute walk from an empty map to a printed sheet."""
    return _text_page(
        window,
        _tr("Five-minute walk"),
        [
            (
                _tr("1. The block"),
                _tr(
                    "Measure the block with a ruler and enter width and height on the "
                    "first page. The front view is what you see with the fuses in."
                ),
            ),
            (
                _tr("2. The places"),
                _tr(
                    "Choose Row or Grid, set the form and the first designation, and "
                    "drag from the first place to the last. The arrow shows which way "
                    "the count runs. Exact numbers go into the pane Selected. A photo "
                    "of the block can lie under the figure: Draw > Photo to draw over."
                ),
            ),
            (
                _tr("3. The legend"),
                _tr(
                    "Type in the table: Enter goes down, Tab goes right, Ctrl+D fills "
                    "down. Rows copied in a spreadsheet can be pasted."
                ),
            ),
            (
                _tr("4. The other side"),
                _tr(
                    "F4 shows the block from behind. The name of the view stands in "
                    "the corner of the figure."
                ),
            ),
            (
                _tr("5. The sheets"),
                _tr(
                    "Ctrl+P shows labels and card page by page. Print at 100 % and "
                    "hold a ruler against the 100 mm marks before cutting."
                ),
            ),
        ],
    )


def show_cautions(window: MainWindow) -> _Page:
    """Show the cautions that every sheet carries in short."""
    return _text_page(
        window, _tr("Cautions"), [(caution.name, caution.text) for caution in CAUTIONS]
    )


def show_keys(window: MainWindow) -> _Page:
    """Show every command with its keys; typing narrows the list."""
    page = _Page(window, _tr("Keys"))
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    search = QLineEdit()
    search.setPlaceholderText(_tr("Type to narrow the list"))
    table = QTableWidget()
    show_rows(table, _tr("Keys"), [_tr("Command"), _tr("Keys")], several=True)
    rows = [
        (command.plain, keys_text(window.actions_by_name[command.name].shortcuts()))
        for command in all_commands()
    ]
    rows = [row for row in rows if row[1]] + [
        (_tr(what), keys) for what, keys in _FIGURE_KEYS
    ]
    table.setRowCount(len(rows))
    for number, row in enumerate(rows):
        for place, text in enumerate(row):
            table.setItem(number, place, QTableWidgetItem(text))
    table.horizontalHeader().setStretchLastSection(True)
    table.setWordWrap(False)
    table.resizeColumnsToContents()

    def narrow(text: str) -> None:
        for number, row in enumerate(rows):
            hit = text.lower() in " ".join(row).lower()
            table.setRowHidden(number, not hit)

    search.textChanged.connect(narrow)
    column.addWidget(search)
    column.addWidget(table)
    page.show_with(holder)
    search.setFocus()
    return page


def keys_text(keys: Sequence[QKeySequence]) -> str:
    """Return the keys of a command that every keyboard has."""
    native = QKeySequence.SequenceFormat.NativeText
    return ", ".join(key.toString(native) for key in keys if _on_every_keyboard(key))


def _on_every_keyboard(keys: QKeySequence) -> bool:
    """Tell whether a key is none of those that only some keyboards have."""
    name = keys.toString(QKeySequence.SequenceFormat.PortableText)
    last = name.rpartition("+")[2]
    if last.startswith("F") and last[1:].isdecimal():
        return int(last[1:]) <= 12
    return "+" in name or len(name) == 1 or name in ("Del", "Ins", "Esc", "Menu")


_FIGURE_KEYS = (
    ("Figure: nearest cavity that way", "←  →  ↑  ↓"),
    ("Figure: take in the nearest cavity too", "Shift+arrow"),
    ("Figure: next or previous cavity", "Tab, Shift+Tab"),
    ("Figure: nudge the selected cavities", "Ctrl+arrow, Ctrl+Shift+arrow"),
    ("Figure: type the legend, or add the places of the row tools", "Enter"),
    ("Figure: delete the selected cavities", "Delete"),
    ("Figure: move without snapping", "Alt and drag"),
    ("Figure: menu of the selected cavities", "Menu, Shift+F10"),
    ("Figure: end the gesture, then select nothing", "Esc"),
    ("Figure: pan", "Space and drag, or the middle button"),
    ("Figure: zoom at the pointer", "Ctrl and wheel"),
    ("Table: commit and go down, up", "Enter, Shift+Enter"),
    ("Table: commit and go right, left", "Tab, Shift+Tab"),
    ("Table: edit in place", "F2"),
    ("Table: write what is typed into every selected cell", "Ctrl+Enter"),
    ("Table: to the end of what is filled", "Ctrl+arrow"),
    ("Table: first or last cell of the row", "Home, End"),
    ("Table: first or last cell of all", "Ctrl+Home, Ctrl+End"),
    ("Table: select cells up to there", "Shift with any of these"),
    (
        "Table: select the column, the row, every cell",
        "Ctrl+Space, Shift+Space, Ctrl+A",
    ),
    ("Table: fill down, fill right", "Ctrl+D, Ctrl+R"),
    ("Table: clear the cells", "Delete"),
    ("Table: list what can be meant", "Alt+Down"),
    ("Table: leave it", "Ctrl+Tab"),
    ("Fields and cells: write the date of today", "Ctrl+;"),
    ("Survey: note live, dead, dim and go on", "L, D, M, or +, /, *"),
    ("Survey: note volts and go on", "the number, Enter"),
    ("Survey: go on without an entry", "Enter"),
    ("Survey: go back and clear, clear here", "Backspace, Delete"),
    ("Survey: next, last contact not tested", "Tab, Shift+Tab"),
)


def show_about(window: MainWindow) -> _Page:
    """Show version, licences of what is bundled, and facts for a report."""
    facts = (
        f"blockmap {__version__}\nPython {platform.python_version()}\n"
        f"PySide6 {PySide6.__version__}\n{platform.platform()}"
    )
    files = [*asset("fonts").glob("*LICENSE*"), *asset("icons").glob("*LICENSE*")]
    licences = [
        file.read_text(encoding="utf-8", errors="replace").strip()
        for file in sorted(files)
    ]
    page = _text_page(
        window,
        _tr("About blockmap"),
        [
            (
                f"blockmap {__version__}",
                _tr(
                    "Draws the fuse panels and connectors of old cars as they are, "
                    "and prints what belongs on them."
                ),
            ),
            (_tr("This machine"), facts),
            (
                "",
                _tr(
                    "The program records and computes. The service manual, local "
                    "rules and licensed practice decide."
                ),
            ),
            (
                _tr("Typefaces and icons"),
                _tr(
                    "Those shipped with the program are free to use and to pass on; "
                    "their terms follow."
                ),
            ),
            *(("", terms) for terms in licences),
        ],
    )
    copy = QPushButton(_tr("Copy facts"))
    copy.clicked.connect(lambda: QGuiApplication.clipboard().setText(facts))
    page.box.addButton(copy, QDialogButtonBox.ButtonRole.ActionRole)
    return page
