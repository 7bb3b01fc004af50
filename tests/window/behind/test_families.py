"""Terminal families in the window: looked up, copied, changed, given to places."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QKeySequence, QScreen
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from blockmap.analysis.behind.singly import family_of
from blockmap.model.document import TerminalFamily
from blockmap.model.ids import ContactRef
from blockmap.model.schema import properties
from blockmap.sheets.release_sheet import compose_release
from blockmap.window.behind.families_window import FamiliesWindow
from blockmap.window.inspector.fields import Field
from blockmap.window.main_window import MainWindow
from tests.window.behind.conftest import type_into

ONE_TANG = "single female, one tang"


@pytest.fixture
def families(demo: MainWindow) -> Iterator[FamiliesWindow]:
    demo.actions_by_name["families"].trigger()
    shown = demo.behind.show_families()
    yield shown
    shown.close()


def names(window: FamiliesWindow) -> list[str]:
    return [row.family.name for row in window.rows]


def field(window: FamiliesWindow, key: str) -> Field:
    return next(f for f in window.form.fields if f.path == key)


def test_families_of_this_map_come_first_and_every_property_is_shown(
    families: FamiliesWindow,
) -> None:
    assert names(families)[0] == ONE_TANG
    assert families.rows[0].used
    assert not any(row.used for row in families.rows[1:])
    shown = {f.path for f in families.form.fields}
    assert shown == {row.key for row in properties(TerminalFamily)}
    tool = field(families, "tool").focusProxy()
    assert isinstance(tool, QLineEdit)
    assert tool.text() == "flat pick about 1.2 mm wide"


def test_what_ships_is_read_and_a_copy_is_changed(
    demo: MainWindow, families: FamiliesWindow
) -> None:
    session = demo.session
    type_into(field(families, "tool").focusProxy(), "hairpin")
    chooser = field(families, "leaves_to").focusProxy()
    assert isinstance(chooser, QComboBox)
    chooser.setCurrentIndex(chooser.findData("front"))
    chooser.activated.emit(chooser.currentIndex())
    assert field(families, "leaves_to").message.text
    assert not session.document.families
    families.copy_button.click()
    (key,) = session.document.families
    assert families.windowTitle() == "Terminal families"
    type_into(field(families, "name").focusProxy(), "brass clip")
    type_into(field(families, "strip_mm").focusProxy(), "4,5")
    type_into(field(families, "tool").focusProxy(), "hairpin")
    own = session.document.families[key]
    assert (own.name, own.strip_mm, own.tool) == ("brass clip", 4.5, "hairpin")
    assert session.stack.undoText() == "Set tool of family brass clip"
    type_into(field(families, "capacity_a").focusProxy(), "much")
    assert field(families, "capacity_a").message.text
    session.stack.undo()
    assert session.document.families[key].tool == "flat pick about 1.2 mm wide"
    families.remove_button.click()
    assert not session.document.families
    assert "brass clip" not in names(families)


def test_a_family_is_given_to_contacts_and_the_release_card_follows(
    demo: MainWindow, families: FamiliesWindow
) -> None:
    session = demo.session
    families.copy_button.click()
    type_into(field(families, "name").focusProxy(), "brass clip")
    demo.selection.select(["panel/F5", "panel/F9"])
    families.contact.setCurrentIndex(families.contact.findData("load"))
    families.give_button.click()
    for id_ in ("panel/F5", "panel/F9"):
        family = family_of(session.document, ContactRef(id_, "load"))
        assert family is not None
        assert family.name == "brass clip"
        assert session.document.cavities[id_].contact("feed").terminal == ""
    assert names(families)[0] == "brass clip"
    assert "F5" in families.where.text()
    words = str(compose_release(session.document).pages)
    assert "brass clip" in words
    session.stack.undo()
    assert session.document.cavities["panel/F5"].contact("load").terminal == ""
    families.block_button.click()
    assert session.document.blocks["panel"].terminal == "brass clip"


def test_the_page_of_a_contact_leads_to_its_family(
    demo: MainWindow, qtbot: QtBot
) -> None:
    demo.selection.select(["panel/F5"])
    labels = demo.behind.contacts.labels
    qtbot.waitUntil(lambda: any("family:" in label.text() for label in labels))
    label = next(label for label in labels if f"family:{ONE_TANG}" in label.text())
    label.linkActivated.emit(f"family:{ONE_TANG}")
    shown = demo.behind.show_families()
    assert shown.isVisible()
    assert shown.rows[shown.table.currentRow()].family.name == ONE_TANG
    shown.close()


def test_the_window_fits_a_small_screen(
    demo: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A screen of 1280 by 800 at 200 % has 640 by 400 points.
    monkeypatch.setattr(QScreen, "availableGeometry", lambda _s: QRect(0, 0, 640, 400))
    shown = demo.behind.show_families()
    parts = demo.behind_link.show_parts()
    for window in (shown, parts):
        assert window.width() <= 640, window.windowTitle()
        assert window.height() <= 400, window.windowTitle()
        window.close()


def test_no_two_controls_share_an_access_key(
    demo: MainWindow, families: FamiliesWindow
) -> None:
    demo.selection.select(["panel/F1"])
    texts = [b.text() for b in families.findChildren(QPushButton)]
    texts += [label.text() for label in families.findChildren(QLabel) if label.buddy()]
    keys = [key for t in texts if (key := QKeySequence.mnemonic(t).toString())]
    assert len(keys) > 10
    assert sorted(keys) == sorted(set(keys))
