"""Starts Qt, opens windows and ends cleanly.

Everything that must stand before the first window is here: names, typefaces, looks,
the report of failures, and the signals of the operating system.
"""

from __future__ import annotations

import contextlib
import signal
import socket
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType

import PySide6
from PySide6.QtCore import QCoreApplication, QSocketNotifier, Qt, QTimer
from PySide6.QtGui import QGuiApplication, QIcon
from PySide6.QtWidgets import QApplication

from blockmap import __version__
from blockmap.resources import asset
from blockmap.window.guard import report_exception, set_report_hook
from blockmap.window.main_window import MainWindow
from blockmap.window.settings import Settings
from blockmap.window.theme import load_fonts, set_appearance

__all__ = ["run"]


def run(paths: Sequence[str] = ()) -> int:
    """Open a window for each path, or the start page; return the exit code."""
    application = prepare()
    settings = Settings(parent=application)
    set_appearance(settings.value("appearance"))
    windows = _Windows(settings)
    set_report_hook(windows.tell_failure)
    application.aboutToQuit.connect(windows.keep_all)
    application.commitDataRequest.connect(windows.keep_all)
    with _operating_system_signals(application):
        for path in paths or [""]:
            windows.open(Path(path) if path else None)
        return application.exec()


def prepare() -> QApplication:
    """Return the application, named and with the shipped typefaces loaded."""
    existing = QApplication.instance()
    if isinstance(existing, QApplication):
        return existing
    QCoreApplication.setOrganizationName("blockmap")
    QCoreApplication.setApplicationName("blockmap")
    QCoreApplication.setApplicationVersion(__version__)
    QGuiApplication.setDesktopFileName("org.blockmap.Blockmap")
    application = QApplication([sys.argv[0] or "blockmap"])
    application.setStyle("Fusion")
    application.setWindowIcon(QIcon(str(asset("icons/blockmap.svg"))))
    load_fonts()
    sys.excepthook = _uncaught
    return application


class _Windows:
    """The open windows; each holds one map."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._open: list[MainWindow] = []

    def open(self, path: Path | None) -> MainWindow:
        window = MainWindow(self._settings)
        window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._open.append(window)
        window.window_wanted.connect(self.open)
        window.destroyed.connect(lambda _o=None, w=window: self._forget(w))
        window.show()
        if path is not None:
            QTimer.singleShot(0, window, lambda: window.map_file.open(path))
        return window

    def _forget(self, window: MainWindow) -> None:
        with contextlib.suppress(ValueError):
            self._open.remove(window)

    def keep_all(self, *_manager: object) -> None:
        """Keep what is unsaved: the session or the program is being ended."""
        for window in self._open:
            window.keeping.flush()

    def tell_failure(self, where: str, problem: BaseException) -> None:
        report = failure_report(where, problem)
        for window in self._open:
            window.show_failure(report)


def failure_report(where: str, problem: BaseException) -> str:
    """Return a report of an exception that names no folder of the user's."""
    import platform  # slow to import, and needed only here

    lines = [
        f"blockmap {__version__}, Python {platform.python_version()}, "
        f"PySide6 {PySide6.__version__}, {platform.system()}",
        f"in {where}: {type(problem).__name__}: {problem}",
    ]
    lines += [
        f"  {Path(frame.filename).name}:{frame.lineno} in {frame.name}"
        for frame in traceback.extract_tb(problem.__traceback__)
    ]
    return "\n".join(lines).replace(str(Path.home()), "~")


def _uncaught(
    kind: type[BaseException], problem: BaseException, trace: TracebackType | None
) -> None:
    if issubclass(kind, KeyboardInterrupt):
        QApplication.quit()
        return
    del trace
    report_exception("a slot", problem)


@contextlib.contextmanager
def _operating_system_signals(application: QApplication):  # type: ignore[no-untyped-def]
    """Let SIGINT and SIGTERM end the event loop within a moment.

    Python handles a signal only between its own instructions; a byte on a socket wakes
    Qt's loop so that it gets there.
    """
    near, far = socket.socketpair()
    near.setblocking(False)
    far.setblocking(False)
    notifier = QSocketNotifier(near.fileno(), QSocketNotifier.Type.Read)

    def wake(*_read: object) -> None:
        with contextlib.suppress(OSError):
            near.recv(64)

    notifier.activated.connect(wake)
    old_fd = signal.set_wakeup_fd(far.fileno(), warn_on_full_buffer=False)
    names = [n for n in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, n)]
    old = {n: signal.getsignal(getattr(signal, n)) for n in names}
    for name in names:
        signal.signal(getattr(signal, name), lambda *_args: application.quit())
    try:
        yield
    finally:
        for name, handler in old.items():
            signal.signal(getattr(signal, name), handler)
        signal.set_wakeup_fd(old_fd)
        notifier.setEnabled(False)
        near.close()
        far.close()
