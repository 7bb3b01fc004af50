"""The list of everything the menus offer: words, keys, icons, in menu order.

One table makes menus, tool row, context menu and the list of keys. What a command does
stands in main_window.py; here is only how it is called.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication, QObject
from PySide6.QtGui import QAction, QActionGroup, QKeySequence

from blockmap.window.theme import icon

__all__ = ["COMMANDS", "MENUS", "Command", "make_actions", "tr_command"]

Key = QKeySequence.StandardKey


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One command: its name in code, its words, keys and icon.

    keys are standard keys or texts such as 'Ctrl+Shift+R'; group makes one choice
    out of the commands of that group; checkable alone makes a switch.
    """

    name: str
    menu: str
    text: str
    tip: str = ""
    keys: tuple[Key | str, ...] = ()
    icon: str = ""
    group: str = ""
    checkable: bool = False
    line_before: bool = False


def QT_TRANSLATE_NOOP(context: str, text: str) -> str:
    """Mark a text for the translators' tool, which looks for this very name."""
    del context
    return text


MENUS: tuple[tuple[str, str], ...] = (
    ("file", QT_TRANSLATE_NOOP("commands", "&File")),
    ("edit", QT_TRANSLATE_NOOP("commands", "&Edit")),
    ("draw", QT_TRANSLATE_NOOP("commands", "&Draw")),
    ("arrange", QT_TRANSLATE_NOOP("commands", "&Arrange")),
    ("view", QT_TRANSLATE_NOOP("commands", "&View")),
    ("help", QT_TRANSLATE_NOOP("commands", "&Help")),
)

COMMANDS: tuple[Command, ...] = (
    Command(
        name="new",
        menu="file",
        text=QT_TRANSLATE_NOOP("commands", "&New map"),
        keys=(Key.New,),
        icon="file-new",
        tip=QT_TRANSLATE_NOOP("commands", "Begin a new map"),
    ),
    Command(
        name="open",
        menu="file",
        text=QT_TRANSLATE_NOOP("commands", "&Open…"),
        keys=(Key.Open,),
        icon="file-open",
        tip=QT_TRANSLATE_NOOP("commands", "Open a map from a file"),
    ),
    Command(
        name="save",
        menu="file",
        text=QT_TRANSLATE_NOOP("commands", "&Save"),
        keys=(Key.Save,),
        icon="file-save",
        tip=QT_TRANSLATE_NOOP("commands", "Save the map"),
        line_before=True,
    ),
    Command(
        name="save_as",
        menu="file",
        text=QT_TRANSLATE_NOOP("commands", "Save &as…"),
        keys=("Ctrl+Shift+S",),
        icon="file-save-as",
    ),
    Command(
        name="save_copy",
        menu="file",
        text=QT_TRANSLATE_NOOP("commands", "Save a &copy…"),
    ),
    Command(
        name="revert",
        menu="file",
        text=QT_TRANSLATE_NOOP("commands", "&Revert to saved"),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Take the map as its file has it; undo brings this one back"
        ),
    ),
    Command(
        name="print",
        menu="file",
        text=QT_TRANSLATE_NOOP("commands", "&Print sheets…"),
        keys=(Key.Print,),
        icon="file-print",
        tip=QT_TRANSLATE_NOOP(
            "commands", "Look at the sheets page by page, then print them"
        ),
        line_before=True,
    ),
    Command(
        name="export_table",
        menu="file",
        text=QT_TRANSLATE_NOOP("commands", "&Write table as CSV…"),
        icon="file-export",
    ),
    Command(
        name="fill_table",
        menu="file",
        text=QT_TRANSLATE_NOOP("commands", "&Fill from a table…"),
        icon="file-import",
        tip=QT_TRANSLATE_NOOP(
            "commands", "Take properties from a CSV file, matched by designation"
        ),
    ),
    Command(
        name="close",
        menu="file",
        text=QT_TRANSLATE_NOOP("commands", "C&lose"),
        keys=(Key.Close,),
        line_before=True,
    ),
    Command(
        name="quit",
        menu="file",
        text=QT_TRANSLATE_NOOP("commands", "&Quit"),
        keys=("Ctrl+Q",),
    ),
    Command(
        name="undo",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "&Undo"),
        keys=(Key.Undo,),
        icon="edit-undo",
    ),
    Command(
        name="redo",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "&Redo"),
        keys=("Ctrl+Shift+Z", "Ctrl+Y"),
        icon="edit-redo",
    ),
    Command(
        name="cut",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "Cu&t"),
        keys=(Key.Cut,),
        line_before=True,
    ),
    Command(
        name="copy",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "&Copy"),
        keys=(Key.Copy,),
        icon="edit-copy",
    ),
    Command(
        name="paste",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "&Paste"),
        keys=(Key.Paste,),
        icon="edit-paste",
    ),
    Command(
        name="duplicate",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "Dupl&icate"),
        keys=("Ctrl+Shift+D",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Add a copy of the selected cavities beside them"
        ),
    ),
    Command(
        name="delete",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "&Delete cavities"),
        keys=("Ctrl+Backspace",),
        icon="edit-delete",
    ),
    Command(
        name="select_all",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "Select &all"),
        keys=(Key.SelectAll,),
        line_before=True,
    ),
    Command(
        name="select_none",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "Select &none"),
        keys=("Ctrl+Shift+A",),
    ),
    Command(
        name="invert",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "In&vert selection"),
    ),
    Command(
        name="find",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "&Find…"),
        keys=(Key.Find,),
        icon="search",
        tip=QT_TRANSLATE_NOOP("commands", "Find a circuit, load, wire or place"),
        line_before=True,
    ),
    Command(
        name="find_next",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "Find ne&xt"),
        keys=("F3",),
    ),
    Command(
        name="fill_down",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "Fill d&own"),
        keys=("Ctrl+D",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Write the top cell into the cells selected below it"
        ),
    ),
    Command(
        name="preferences",
        menu="edit",
        text=QT_TRANSLATE_NOOP("commands", "Pre&ferences…"),
        keys=("Ctrl+,",),
        icon="settings",
        line_before=True,
    ),
    Command(
        name="tool_select",
        menu="draw",
        text=QT_TRANSLATE_NOOP("commands", "&Select"),
        icon="tool-select",
        group="tool",
        keys=("Ctrl+1",),
        tip=QT_TRANSLATE_NOOP("commands", "Select, move, resize and turn"),
    ),
    Command(
        name="tool_cavity",
        menu="draw",
        text=QT_TRANSLATE_NOOP("commands", "Single &cavity"),
        icon="tool-cavity",
        group="tool",
        keys=("Ctrl+2",),
        tip=QT_TRANSLATE_NOOP("commands", "Click where one cavity is"),
    ),
    Command(
        name="tool_row",
        menu="draw",
        text=QT_TRANSLATE_NOOP("commands", "&Row"),
        icon="tool-row",
        group="tool",
        keys=("Ctrl+3",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Drag from the first place of a row to the last"
        ),
    ),
    Command(
        name="tool_grid",
        menu="draw",
        text=QT_TRANSLATE_NOOP("commands", "&Grid"),
        icon="tool-grid",
        group="tool",
        keys=("Ctrl+4",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Drag from the first place of a grid to the last"
        ),
    ),
    Command(
        name="tool_outline",
        menu="draw",
        text=QT_TRANSLATE_NOOP("commands", "&Outline"),
        icon="tool-outline",
        group="tool",
        keys=("Ctrl+5",),
        tip=QT_TRANSLATE_NOOP("commands", "Click the corners of the block"),
    ),
    Command(
        name="add_block",
        menu="draw",
        text=QT_TRANSLATE_NOOP("commands", "Add &block"),
        icon="add",
        line_before=True,
    ),
    Command(
        name="remove_block",
        menu="draw",
        text=QT_TRANSLATE_NOOP("commands", "Remove b&lock"),
    ),
    Command(
        name="snap",
        menu="draw",
        text=QT_TRANSLATE_NOOP("commands", "S&nap"),
        icon="tool-snap",
        checkable=True,
        line_before=True,
        tip=QT_TRANSLATE_NOOP(
            "commands", "Snap to pitch, neighbours and outline; hold Alt to suspend"
        ),
    ),
    Command(
        name="turn_right",
        menu="arrange",
        text=QT_TRANSLATE_NOOP("commands", "&Turn right 90°"),
        keys=("Ctrl+R",),
        icon="tool-rotate",
    ),
    Command(
        name="turn_left",
        menu="arrange",
        text=QT_TRANSLATE_NOOP("commands", "Turn &left 90°"),
        keys=("Ctrl+Shift+R",),
        icon="tool-rotate-left",
    ),
    Command(
        name="align_left",
        menu="arrange",
        text=QT_TRANSLATE_NOOP("commands", "Align left &edges"),
        icon="align-left",
        line_before=True,
    ),
    Command(
        name="align_right",
        menu="arrange",
        text=QT_TRANSLATE_NOOP("commands", "Align &right edges"),
        icon="align-right",
    ),
    Command(
        name="align_top",
        menu="arrange",
        text=QT_TRANSLATE_NOOP("commands", "Align to&p edges"),
        icon="align-top",
    ),
    Command(
        name="align_bottom",
        menu="arrange",
        text=QT_TRANSLATE_NOOP("commands", "Align &bottom edges"),
        icon="align-bottom",
    ),
    Command(
        name="align_column",
        menu="arrange",
        text=QT_TRANSLATE_NOOP("commands", "Middles in one &column"),
        icon="align-centre-across",
    ),
    Command(
        name="align_row",
        menu="arrange",
        text=QT_TRANSLATE_NOOP("commands", "&Middles in one row"),
        icon="align-centre-down",
    ),
    Command(
        name="distribute_across",
        menu="arrange",
        text=QT_TRANSLATE_NOOP("commands", "Distribute &across"),
        icon="distribute-across",
        line_before=True,
    ),
    Command(
        name="distribute_down",
        menu="arrange",
        text=QT_TRANSLATE_NOOP("commands", "Distribute &down"),
        icon="distribute-down",
    ),
    Command(
        name="other_side",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Front or &rear"),
        keys=("F4",),
        icon="view-mirror",
        tip=QT_TRANSLATE_NOOP("commands", "See the block from the other side"),
    ),
    Command(
        name="view_front",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "&Front view"),
        group="view",
    ),
    Command(
        name="view_rear",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Rear view: &mirrored"),
        group="view",
    ),
    Command(
        name="view_flipped",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Flipped &top to bottom"),
        group="view",
    ),
    Command(
        name="view_turned",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Turned &180 degrees"),
        group="view",
    ),
    Command(
        name="zoom_in",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Zoom &in"),
        keys=(Key.ZoomIn, "Ctrl+="),
        icon="zoom-in",
        line_before=True,
    ),
    Command(
        name="zoom_out",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Zoom &out"),
        keys=(Key.ZoomOut,),
        icon="zoom-out",
    ),
    Command(
        name="zoom_fit",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Fit &block"),
        keys=("Ctrl+0",),
        icon="zoom-fit",
    ),
    Command(
        name="zoom_selection",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Fit &selection"),
    ),
    Command(
        name="zoom_true", menu="view", text=QT_TRANSLATE_NOOP("commands", "&True size")
    ),
    Command(
        name="next_pane",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Next &pane"),
        keys=("F6",),
        line_before=True,
    ),
    Command(
        name="previous_pane",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Previo&us pane"),
        keys=("Shift+F6",),
    ),
    Command(
        name="reset_panes",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Reset &layout"),
    ),
    Command(
        name="look_light",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "Li&ght"),
        group="look",
        line_before=True,
    ),
    Command(
        name="look_dark",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "&Dark"),
        group="look",
    ),
    Command(
        name="look_system",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "&As the system"),
        group="look",
    ),
    Command(
        name="full_screen",
        menu="view",
        text=QT_TRANSLATE_NOOP("commands", "F&ull screen"),
        keys=("F11",),
        checkable=True,
        line_before=True,
    ),
    Command(
        name="walk",
        menu="help",
        text=QT_TRANSLATE_NOOP("commands", "&Five-minute walk"),
        keys=(Key.HelpContents,),
        icon="help",
    ),
    Command(
        name="keys",
        menu="help",
        text=QT_TRANSLATE_NOOP("commands", "&Keys"),
        keys=("Ctrl+F1",),
    ),
    Command(
        name="cautions", menu="help", text=QT_TRANSLATE_NOOP("commands", "&Cautions")
    ),
    Command(
        name="about",
        menu="help",
        text=QT_TRANSLATE_NOOP("commands", "&About blockmap"),
        line_before=True,
    ),
)


def tr_command(text: str) -> str:
    """Return a text of this table in the user's language."""
    return QCoreApplication.translate("commands", text)


def make_actions(
    parent: QObject, does: Mapping[str, Callable[[], object]]
) -> dict[str, QAction]:
    """Return one QAction for each command; does says what each one calls."""
    groups: dict[str, QActionGroup] = {}
    actions: dict[str, QAction] = {}
    for command in COMMANDS:
        action = QAction(tr_command(command.text), parent)
        action.setObjectName(command.name)
        keys = [k for key in command.keys for k in _sequences(key)]
        action.setShortcuts(list(dict.fromkeys(keys)))
        plain = tr_command(command.text).replace("&", "").rstrip("…")
        tip = tr_command(command.tip) if command.tip else plain
        shown = f" ({keys[0].toString(_NATIVE)})" if keys else ""
        action.setToolTip(tip + shown)
        action.setStatusTip(tip)
        if command.icon:
            action.setIcon(icon(command.icon))
        if command.group or command.checkable:
            action.setCheckable(True)
        if command.group:
            group = groups.setdefault(command.group, QActionGroup(parent))
            group.addAction(action)
        action.triggered.connect(_calls(does[command.name]))
        actions[command.name] = action
    return actions


_NATIVE = QKeySequence.SequenceFormat.NativeText


def _sequences(key: Key | str) -> list[QKeySequence]:
    if isinstance(key, str):
        return [QKeySequence(key)]
    return QKeySequence.keyBindings(key)


def _calls(function: Callable[[], object]) -> Callable[..., None]:
    def triggered(*_checked: object) -> None:
        function()

    return triggered
