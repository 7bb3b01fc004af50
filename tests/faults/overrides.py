"""Finds every function of ours that Qt calls, and makes it fail.

Run as python -m tests.faults.overrides KIND: the real window is used by hand while
every one of them raises that kind of exception, or with "mixed" each another kind. It
ends with 0 when the process lives, each failure was told once and the map is as it was.
"""

from __future__ import annotations

import importlib
import inspect
import os
import pkgutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import blockmap.window
from blockmap.window.guard import is_guarded, set_report_hook

__all__ = ["KINDS", "Override", "overrides"]


_NOT_VIRTUAL = {"setText"}
"""Functions of Qt that Qt itself never calls by way of ours."""


class Override(NamedTuple):
    """A function of one of our classes that a Qt class has too."""

    owner: type
    name: str
    function: Any

    @property
    def words(self) -> str:
        """The name it is known by in a report."""
        return f"{self.owner.__name__}.{self.name}"

    @property
    def guarded(self) -> bool:
        """True when it carries the guard."""
        return is_guarded(self.function)

    def put(self, function: Callable[..., Any]) -> Callable[..., Any]:
        """Put another function behind the guard; return the one that was there."""

        def named(*given: Any, **words: Any) -> Any:
            return function(*given, **words)

        named.__qualname__ = self.words
        names = self.function.__code__.co_freevars
        cell = self.function.__closure__[names.index("function")]
        before: Callable[..., Any] = cell.cell_contents
        cell.cell_contents = named
        return before


_ROUNDS = 4


def _is_qt(kind: type) -> bool:
    return kind.__module__.split(".")[0] in ("PySide6", "Shiboken", "shiboken6")


def overrides() -> Iterator[Override]:
    """Yield every override in the package of the window."""
    for found in pkgutil.walk_packages(blockmap.window.__path__, "blockmap.window."):
        module = importlib.import_module(found.name)
        for kind in vars(module).values():
            if not inspect.isclass(kind) or kind.__module__ != module.__name__:
                continue
            bases = [base for base in kind.__mro__ if _is_qt(base)]
            for name, function in vars(kind).items():
                if name.startswith("__") or name in _NOT_VIRTUAL:
                    continue
                if not inspect.isfunction(function):
                    continue
                if any(name in vars(base) for base in bases):
                    yield Override(kind, name, function)


class _OwnKind(Exception):
    """An exception that no other code knows."""


def _divide(*_given: Any, **_named: Any) -> Any:
    return 1 // 0


def _index(*_given: Any, **_named: Any) -> Any:
    return list(_given)[1000]


def _key(*_given: Any, **_named: Any) -> Any:
    nothing: dict[str, str] = {}
    return nothing["/home/anna/secret.yaml"]


def _number(*_given: Any, **_named: Any) -> Any:
    return int("x")


def _own(*_given: Any, **_named: Any) -> Any:
    raise _OwnKind


KINDS: dict[str, Callable[..., Any]] = {
    "division": _divide,
    "index": _index,
    "key": _key,
    "number": _number,
    "own": _own,
}


def _is_ours(widget: object) -> bool:
    return type(widget).__module__.startswith("blockmap.")


def _use(window: Any, process: Callable[[], None]) -> None:
    """Use every part of the window, as far as it goes without its overrides."""
    from PySide6.QtCore import QEvent, QMimeData, QPoint, QPointF, Qt, QUrl
    from PySide6.QtGui import (
        QDragEnterEvent,
        QDropEvent,
        QFocusEvent,
        QHideEvent,
        QKeyEvent,
        QMouseEvent,
        QWheelEvent,
    )
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import (
        QAbstractItemView,
        QAbstractScrollArea,
        QApplication,
        QWidget,
    )

    from blockmap.model.edits import set_texts

    none, left = Qt.KeyboardModifier.NoModifier, Qt.MouseButton.LeftButton
    ids = list(window.session.document.cavities)
    window.session.edit("Set", set_texts, ids[:1], "legend", "NEVER")
    window.selection.select(ids[:2])
    process()
    at = QPointF(5, 5)
    files = QMimeData()
    files.setUrls([QUrl.fromLocalFile("/nowhere")])
    copy = Qt.DropAction.CopyAction
    widgets = [window, *window.findChildren(QWidget)]
    for widget in widgets:
        above = widget.parent()
        if not _is_ours(widget) and not (
            _is_ours(above) and isinstance(above, QAbstractScrollArea)
        ):
            continue
        widget.updateGeometry()
        widget.sizeHint()
        widget.hasHeightForWidth()
        widget.heightForWidth(100)
        for event in (
            QFocusEvent(QEvent.Type.FocusIn),
            QMouseEvent(QEvent.Type.MouseMove, at, at, left, left, none),
            QMouseEvent(QEvent.Type.MouseButtonDblClick, at, at, left, left, none),
            QWheelEvent(
                at,
                at,
                QPoint(0, 120),
                QPoint(0, 120),
                Qt.MouseButton.NoButton,
                none,
                Qt.ScrollPhase.NoScrollPhase,
                False,
            ),
            QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Tab, none),
            QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Down, none),
            QKeyEvent(QEvent.Type.KeyRelease, Qt.Key.Key_Down, none),
            QEvent(QEvent.Type.ActivationChange),
            QEvent(QEvent.Type.FontChange),
            QEvent(QEvent.Type.ToolTip),
            QDragEnterEvent(QPoint(1, 1), copy, files, left, none),
            QDropEvent(at, copy, files, left, none),
            QFocusEvent(QEvent.Type.FocusOut),
            QHideEvent(),
        ):
            QApplication.sendEvent(widget, event)
        if isinstance(widget, QAbstractItemView) and widget.model() is not None:
            index = widget.model().index(0, 0)
            widget.setCurrentIndex(index)
            widget.edit(index)
            widget.viewport().update()
        widget.resize(widget.width() + 3, widget.height() + 3)
        widget.update()
    process()
    QTest.keyClick(window.figure, Qt.Key.Key_Escape)
    QTest.mouseClick(window.figure.viewport(), left)
    window.figure.zoom_in()
    window.session.stack.undo()
    window.session.stack.redo()
    window.keeping.keep_now()
    window.actions_by_name["print"].trigger()
    process()
    window.grab()


def main(kind: str) -> int:
    """Use the window while all overrides fail; return the exit code."""
    from blockmap.resources import layout
    from blockmap.window import application, dialogs, garbage
    from blockmap.window.isolating.jobs import JOBS
    from blockmap.window.main_window import MainWindow
    from blockmap.window.panes import PANES
    from blockmap.window.settings import Settings

    app = application.prepare()
    garbage.begin(app)
    for name in dialogs.__all__:  # a question would wait for an answer
        if name.startswith("ask") or name == "tell":
            setattr(dialogs, name, lambda *_given: None)
    dialogs.ask_unsaved = lambda *_given: dialogs.UnsavedChoice.DISCARD
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        window = MainWindow(Settings(place / "config", place / "state"))
        window.map_file.open(layout("demo")).wait()
        window.show()
        for pane in PANES:
            window.panes.made(pane)
        for job in JOBS:
            window.fault.jobs.bring(job)
        app.processEvents()
        before = window.session.document
        told: list[str] = []
        set_report_hook(lambda where, _problem: told.append(where))
        every = list(overrides())
        left = list(every)
        kinds = list(KINDS.values()) if kind == "mixed" else [KINDS[kind]]

        def failing(one: Override) -> Callable[..., Any]:
            return kinds[every.index(one) % len(kinds)]

        for _ in range(_ROUNDS):  # one that fails may keep others from being called
            earlier = [one.put(failing(one)) for one in left]
            window.show()
            _use(window, app.processEvents)
            window.keeping._stop()
            _close_dialogs()
            window.close()
            app.processEvents()
            for one, function in zip(left, earlier, strict=True):
                one.put(function)
            left = [one for one in left if one.words not in told]
        reached = len(every) - len(left)
        for one in left:  # those that no event reached are called by hand
            function = one.put(failing(one))
            one.function(None)
            one.put(function)
            assert one.words in told, one.words
        assert len(told) == len(set(told)), "told more than once"
        while window.session.stack.canUndo():
            window.session.stack.undo()
        assert window.session.document is before
        window.session.mark_saved()
        _close_dialogs()
        window.close()
        app.processEvents()
        sys.stdout.write(f"{reached} of {len(every)} reached through Qt\n")
    return 0


def _close_dialogs() -> None:
    from PySide6.QtWidgets import QApplication, QDialog

    for widget in QApplication.topLevelWidgets():
        if isinstance(widget, QDialog):
            widget.close()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
