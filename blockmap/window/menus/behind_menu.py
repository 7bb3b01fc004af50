"""Behind the panel: contacts, strips, damage, repairs, parts list, families."""

from __future__ import annotations

from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.menus.command import Command, Menu

__all__ = ["BehindMenu"]

COMMANDS = (
    Command(
        name="contacts",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Contacts of the place"),
        keys=("F9",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Show what is behind the selected place and where it leads"
        ),
    ),
    Command(
        name="strips",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Strips of the block"),
        keys=("Shift+F9",),
        tip=QT_TRANSLATE_NOOP("commands", "Show the strips and what hangs on each"),
    ),
    Command(
        name="damage",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Damage and repairs"),
        keys=("Ctrl+F9",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Note condition, repairs, interim measure and log of the place"
        ),
    ),
    Command(
        name="make_strip",
        selected=1,
        text=QT_TRANSLATE_NOOP("commands", "&Make a strip"),
        icon="tool-strip",
        tip=QT_TRANSLATE_NOOP(
            "commands", "Make a strip of the feed contacts of the selected places"
        ),
        line_before=True,
    ),
    Command(
        name="add_repair",
        selected=1,
        text=QT_TRANSLATE_NOOP("commands", "Add &repair"),
        icon="repair",
        tip=QT_TRANSLATE_NOOP("commands", "Enter a repair of the selected place"),
    ),
    Command(
        name="parts_list",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Parts list"),
        keys=("Ctrl+Shift+L",),
        icon="part-list",
        tip=QT_TRANSLATE_NOOP("commands", "Show what the damage asks to be bought"),
        line_before=True,
    ),
    Command(
        name="families",
        text=QT_TRANSLATE_NOOP("commands", "&Terminal families"),
        tip=QT_TRANSLATE_NOOP(
            "commands",
            "Show how each kind of terminal is released, change it, give it to places",
        ),
    ),
)


class BehindMenu(Menu):
    """Behind the panel: contacts, strips, damage, repairs, parts list, families."""

    title = QT_TRANSLATE_NOOP("commands", "&Behind")
    commands = COMMANDS

    def contacts(self) -> None:
        self._show("contacts")
        self.window.behind.contacts.setFocus()

    def strips(self) -> None:
        self._show("strips")
        self.window.behind.strips.table.setFocus()

    def damage(self) -> None:
        self._show("damage")
        self.window.behind.damage.where.setFocus()

    def make_strip(self) -> None:
        self._show("strips")
        self.window.behind.strips.make_strip()

    def add_repair(self) -> None:
        self._show("damage")
        self.window.behind.damage.add_repair()

    def parts_list(self) -> None:
        self.window.behind_link.show_parts()

    def families(self) -> None:
        self.window.behind.show_families()

    def _show(self, page: str) -> None:
        self.window.panes.bring("behind")
        self.window.behind.show_page(page)
