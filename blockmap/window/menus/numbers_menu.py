"""Numbers: figures, limits, findings and the calculator."""

from __future__ import annotations

from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.menus.command import Command, Menu

__all__ = ["NumbersMenu"]

COMMANDS = (
    Command(
        name="figures",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Values of the selection"),
        keys=("F7",),
        tip=QT_TRANSLATE_NOOP("commands", "Show what the map implies, with its origin"),
    ),
    Command(
        name="limits",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Limits of this map"),
        tip=QT_TRANSLATE_NOOP("commands", "Set what counts as too much in this map"),
    ),
    Command(
        name="calculator",
        text=QT_TRANSLATE_NOOP("commands", "&Calculator"),
        keys=("Ctrl+Shift+N",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Ask for drop, wire, fuse, millivolts and more, away from a map"
        ),
    ),
    Command(
        name="tables",
        text=QT_TRANSLATE_NOOP("commands", "&Tables with their sources"),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Look up fuses, wires, lamps, terminal numbers and more"
        ),
    ),
    Command(
        name="next_finding",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Next finding"),
        keys=("F8",),
        line_before=True,
    ),
    Command(
        name="previous_finding",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Previous finding"),
        keys=("Shift+F8",),
    ),
    Command(
        name="accept_current",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Accept the finding with a reason"),
    ),
)


class NumbersMenu(Menu):
    """Numbers: figures, limits, findings and the calculator."""

    title = QT_TRANSLATE_NOOP("commands", "&Numbers")
    commands = COMMANDS

    def figures(self) -> None:
        self.window.panes.bring("numbers")
        self.window.numbers.show_figures()

    def limits(self) -> None:
        self.window.panes.bring("numbers")
        self.window.numbers.show_limits()

    def calculator(self) -> None:
        self.window.findings_link.show_calculator()

    def tables(self) -> None:
        self.window.findings_link.show_tables()

    def next_finding(self) -> None:
        self.window.panes.bring("findings")
        self.window.findings.step(1)

    def previous_finding(self) -> None:
        self.window.panes.bring("findings")
        self.window.findings.step(-1)

    def accept_current(self) -> None:
        self.window.panes.bring("findings")
        self.window.findings.accept_current()
