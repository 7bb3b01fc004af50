"""Selecting, searching and listing again and again leaves nothing behind."""

from __future__ import annotations

import gc

from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.files.store import load
from blockmap.model.document import Block, Cavity, Map
from blockmap.resources import layout
from blockmap.window.legend.search import find_cavities
from blockmap.window.main_window import MainWindow
from blockmap.window.settings import Settings
from tests.faults.weights import weigh


def test_choosing_places_leaves_neither_memory_nor_references(
    qtbot: QtBot, settings: Settings
) -> None:
    window = MainWindow(settings)
    qtbot.addWidget(window, before_close_func=lambda w: w.session.mark_saved())
    with qtbot.waitSignal(window.checker.checked):
        window.map_file.start(load(layout("demo")).document)
    window.show()
    window.panes.bring("numbers")
    ids = tuple(window.session.document.cavities)

    def choose(times: int) -> None:
        for number in range(times):
            window.selection.select(ids[number % 8 : number % 8 + 1 + number % 3])
            QApplication.processEvents()

    choose(120)
    before = weigh()
    choose(240)
    after = weigh()
    assert window.numbers.rows, "the pane lists what follows from the places"
    # A cell of a list made from Python would cost two a row and change.
    assert after.none_elsewhere - before.none_elsewhere < 240
    assert after.live_objects - before.live_objects < 5 * 240
    assert after.native_kb - before.native_kb < 80


def _fresh(number: int) -> Map:
    named = [f"N{number}X{place}" for place in range(40)]
    return Map(
        blocks={"panel": Block(id="panel", name="Panel", width_mm=90, height_mm=90)},
        cavities={
            f"panel/{name}": Cavity(
                id=f"panel/{name}",
                block="panel",
                own=name,
                x_mm=20.0,
                y_mm=20.0,
                width_mm=10.0,
                height_mm=5.0,
            )
            for name in named
        },
    )


def test_searching_map_after_map_keeps_no_old_ones() -> None:
    def living() -> int:
        gc.collect()
        return sum(isinstance(each, Cavity) for each in gc.get_objects())

    before = living()
    for number in range(25):
        assert not find_cavities(_fresh(number), "clock").ids
    assert living() - before < 5 * 40
