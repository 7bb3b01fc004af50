"""Every question the window asks, in one place that tests can answer.

Each function shows one dialog and returns the answer; none changes anything.
"""

from __future__ import annotations

from enum import Enum
from pathlib import Path

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from blockmap.window.aside import quickly

__all__ = [
    "DiskChoice",
    "UnsavedChoice",
    "ask_changed_on_disk",
    "ask_elsewhere",
    "ask_gone",
    "ask_open_files",
    "ask_pictures",
    "ask_save_file",
    "ask_unsaved",
    "tell",
]

MAP_ENDING = ".blockmap.yaml"


class UnsavedChoice(Enum):
    """What to do with unsaved changes."""

    SAVE = "save"
    DISCARD = "discard"
    CANCEL = "cancel"


class DiskChoice(Enum):
    """What to do when the file has changed under the program."""

    KEEP_MINE = "keep mine"
    TAKE_THEIRS = "take theirs"
    SAVE_BESIDE = "save beside"
    CANCEL = "cancel"


def _tr(text: str) -> str:
    return QCoreApplication.translate("dialogs", text)


def ask_open_files(parent: QWidget, folder: str) -> list[Path]:
    """Ask which maps to open."""
    names, _ = QFileDialog.getOpenFileNames(
        parent,
        _tr("Open map"),
        folder,
        _tr("Maps (*.blockmap.yaml *.blockmap *.yaml);;All files (*)"),
    )
    return [Path(name) for name in names]


def ask_pictures(parent: QWidget, folder: str) -> list[Path]:
    """Ask which pictures to add."""
    names, _ = QFileDialog.getOpenFileNames(
        parent,
        _tr("Add photos"),
        folder,
        _tr("Pictures (*.jpg *.jpeg *.png *.JPG *.JPEG *.PNG);;All files (*)"),
    )
    return [Path(name) for name in names]


def ask_save_file(
    parent: QWidget, title: str, wished: str, kinds: str, ending: str = MAP_ENDING
) -> Path | None:
    """Ask where to save; the ending is added when left out."""
    name, _ = QFileDialog.getSaveFileName(parent, title, wished, kinds)
    if not name:
        return None
    if Path(name).suffix:
        return Path(name)
    whole = Path(name + ending)  # the file dialog did not ask about this one
    there = quickly(whole.exists, True)  # rather ask for nothing than not at all
    return whole if not there or _may_replace(parent, whole) else None


def _may_replace(parent: QWidget, path: Path) -> bool:
    box = _box(
        parent,
        _tr("“%1” is there already").replace("%1", path.name),
        _tr("Replacing it keeps the earlier version of a map beside it."),
    )
    replace = box.addButton(_tr("Replace"), QMessageBox.ButtonRole.AcceptRole)
    box.addButton(_tr("Cancel"), QMessageBox.ButtonRole.RejectRole)
    box.exec()
    return box.clickedButton() is replace


def _box(parent: QWidget, text: str, more: str) -> QMessageBox:
    parent.window().show()  # a question at the start has its window behind it
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(text)
    box.setInformativeText(more)
    return box


def ask_unsaved(parent: QWidget, name: str) -> UnsavedChoice:
    """Ask once what becomes of unsaved changes."""
    box = _box(
        parent,
        _tr("Save the changes to “%1”?").replace("%1", name),
        _tr("What was changed since the last save is lost if it is discarded."),
    )
    save = box.addButton(_tr("Save"), QMessageBox.ButtonRole.AcceptRole)
    discard = box.addButton(_tr("Discard"), QMessageBox.ButtonRole.DestructiveRole)
    box.addButton(_tr("Cancel"), QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(save)
    box.exec()
    answer = {save: UnsavedChoice.SAVE, discard: UnsavedChoice.DISCARD}
    return answer.get(box.clickedButton(), UnsavedChoice.CANCEL)  # type: ignore[call-overload, no-any-return]


def ask_changed_on_disk(parent: QWidget, name: str, difference: str) -> DiskChoice:
    """Ask what to do when another program has written the file."""
    box = _box(
        parent,
        _tr("“%1” was changed by another program").replace("%1", name),
        difference,
    )
    mine = box.addButton(_tr("Keep mine"), QMessageBox.ButtonRole.AcceptRole)
    theirs = box.addButton(_tr("Take theirs"), QMessageBox.ButtonRole.DestructiveRole)
    beside = box.addButton(_tr("Save beside…"), QMessageBox.ButtonRole.ActionRole)
    box.addButton(_tr("Cancel"), QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(beside)
    box.exec()
    answer = {
        mine: DiskChoice.KEEP_MINE,
        theirs: DiskChoice.TAKE_THEIRS,
        beside: DiskChoice.SAVE_BESIDE,
    }
    return answer.get(box.clickedButton(), DiskChoice.CANCEL)  # type: ignore[call-overload, no-any-return]


def ask_gone(parent: QWidget, name: str, disk_gone: bool = False) -> DiskChoice:
    """Ask what to do when the file of the map, or its disk, is there no more."""
    why = _tr("It was removed, renamed or moved. The map is still open here.")
    if disk_gone:
        why = _tr(
            "Its disk was taken out, or its share is not there: what is written now "
            "goes to another disk. The map is still open here; put the disk back and "
            "save again, or save elsewhere."
        )
    box = _box(parent, _tr("The file “%1” is gone").replace("%1", name), why)
    again = box.addButton(_tr("Write it again"), QMessageBox.ButtonRole.AcceptRole)
    beside = box.addButton(_tr("Save as…"), QMessageBox.ButtonRole.ActionRole)
    box.addButton(_tr("Cancel"), QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(beside if disk_gone else again)
    box.exec()
    answer = {again: DiskChoice.KEEP_MINE, beside: DiskChoice.SAVE_BESIDE}
    return answer.get(box.clickedButton(), DiskChoice.CANCEL)  # type: ignore[call-overload, no-any-return]


def ask_elsewhere(parent: QWidget, text: str, more: str) -> bool:
    """Say that the map cannot be saved there; tell whether to choose another place."""
    box = _box(parent, text, more)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    other = box.addButton(_tr("Save as…"), QMessageBox.ButtonRole.AcceptRole)
    box.addButton(_tr("Close"), QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(other)
    box.exec()
    return box.clickedButton() is other


def tell(parent: QWidget, text: str, more: str = "") -> None:
    """Show something that must be read before going on."""
    box = _box(parent, text, more)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    box.addButton(_tr("Close"), QMessageBox.ButtonRole.AcceptRole)
    box.exec()
