"""Arranging: turn, align and distribute the selected cavities."""

from __future__ import annotations

from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.menus.command import Command, Menu

__all__ = ["ArrangeMenu"]

COMMANDS = (
    Command(
        name="turn_right",
        selected=1,
        text=QT_TRANSLATE_NOOP("commands", "&Turn right 90°"),
        keys=("Ctrl+R",),
        icon="tool-rotate",
    ),
    Command(
        name="turn_left",
        selected=1,
        text=QT_TRANSLATE_NOOP("commands", "Turn &left 90°"),
        keys=("Ctrl+Shift+R",),
        icon="tool-rotate-left",
    ),
    Command(
        name="align_left",
        selected=2,
        text=QT_TRANSLATE_NOOP("commands", "Align left &edges"),
        icon="align-left",
        line_before=True,
    ),
    Command(
        name="align_right",
        selected=2,
        text=QT_TRANSLATE_NOOP("commands", "Align &right edges"),
        icon="align-right",
    ),
    Command(
        name="align_top",
        selected=2,
        text=QT_TRANSLATE_NOOP("commands", "Align to&p edges"),
        icon="align-top",
    ),
    Command(
        name="align_bottom",
        selected=2,
        text=QT_TRANSLATE_NOOP("commands", "Align &bottom edges"),
        icon="align-bottom",
    ),
    Command(
        name="align_column",
        selected=2,
        text=QT_TRANSLATE_NOOP("commands", "Middles in one &column"),
        icon="align-centre-across",
    ),
    Command(
        name="align_row",
        selected=2,
        text=QT_TRANSLATE_NOOP("commands", "&Middles in one row"),
        icon="align-centre-down",
    ),
    Command(
        name="distribute_across",
        selected=3,
        text=QT_TRANSLATE_NOOP("commands", "Distribute &across"),
        icon="distribute-across",
        line_before=True,
    ),
    Command(
        name="distribute_down",
        selected=3,
        text=QT_TRANSLATE_NOOP("commands", "Distribute &down"),
        icon="distribute-down",
    ),
)


class ArrangeMenu(Menu):
    """Arranging: turn, align and distribute the selected cavities."""

    title = QT_TRANSLATE_NOOP("commands", "&Arrange")
    commands = COMMANDS

    def turn_right(self) -> None:
        self.window.figure.commands.turn(90.0)

    def turn_left(self) -> None:
        self.window.figure.commands.turn(-90.0)

    def align_left(self) -> None:
        self._align("LEFT")

    def align_right(self) -> None:
        self._align("RIGHT")

    def align_top(self) -> None:
        self._align("TOP")

    def align_bottom(self) -> None:
        self._align("BOTTOM")

    def align_column(self) -> None:
        self._align("MIDDLE_X")

    def align_row(self) -> None:
        self._align("MIDDLE_Y")

    def distribute_across(self) -> None:
        self._distribute("ACROSS")

    def distribute_down(self) -> None:
        self._distribute("DOWN")

    def _align(self, edge: str) -> None:
        from blockmap.model.edits import Edge

        self.window.figure.commands.align(Edge[edge])

    def _distribute(self, direction: str) -> None:
        from blockmap.model.edits import Direction

        self.window.figure.commands.distribute(Direction[direction])
