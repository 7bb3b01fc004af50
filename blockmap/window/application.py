"""Starts Qt, opens windows and ends cleanly.

Everything that must stand before the first window is here: names, typefaces, looks,
the report of failures, and the signals of the operating system.
"""

from __future__ import annotations

import contextlib
import gc
import re
import signal
import socket
import sys
import threading
import traceback
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import TracebackType

import PySide6
from PySide6.QtCore import (
    QCoreApplication,
    QObject,
    QSocketNotifier,
    Qt,
    QTimer,
    Signal,
)
from PySide6.QtGui import QGuiApplication, QIcon
from PySide6.QtWidgets import QApplication

from blockmap import __version__
from blockmap.resources import asset
from blockmap.window import garbage
from blockmap.window.aside import wait_for_calls
from blockmap.window.guard import report_exception, set_report_hook
from blockmap.window.main_window import MainWindow
from blockmap.window.settings import Settings
from blockmap.window.theme import load_fonts, set_appearance

__all__ = [
    "Windows",
    "failure_report",
    "leave_text_on_clipboard",
    "prepare",
    "run",
    "without_paths",
]

COLLECT_AFTER_MS = 1_500
"""When garbage is collected again; a start pauses it, which makes it quicker."""
MAP_WITHIN_S = 0.3
"""So long a window that nobody sees yet waits for its map; then it is shown."""
END_WAIT_S = 1.0
"""How long what still waits for a disk is waited for when the program ends."""
WORKER_TURN_S = 0.0002
"""So long a worker keeps Python to itself while the window waits for it.

Python's own 5 ms are waited for anew after each call into Qt, and made a window that
opened while sheets were composed take six times as long.
"""


def run(paths: Sequence[str] = ()) -> int:
    """Open a window for each path, or the start page; return the exit code."""
    application = prepare()
    settings = Settings(parent=application)
    set_appearance(settings.value("appearance"))
    windows = Windows(settings, application)
    set_report_hook(windows.failed.emit)
    application.aboutToQuit.connect(windows.keep_all)
    application.aboutToQuit.connect(windows.stop_work)
    application.aboutToQuit.connect(leave_text_on_clipboard)
    application.commitDataRequest.connect(windows.keep_all)
    with _operating_system_signals(windows):
        for path in paths or [""]:
            windows.open(Path(path) if path else None)
        QTimer.singleShot(COLLECT_AFTER_MS, lambda: _collect_garbage(application))
        code = application.exec()
        wait_for_calls(END_WAIT_S)
        return code


def _collect_garbage(application: QApplication) -> None:
    garbage.begin(application)
    gc.freeze()


def prepare() -> QApplication:
    """Return the application, named and with the shipped typefaces loaded."""
    existing = QApplication.instance()
    if isinstance(existing, QApplication):
        return existing
    sys.setswitchinterval(WORKER_TURN_S)
    QCoreApplication.setOrganizationName("blockmap")
    QCoreApplication.setApplicationName("blockmap")
    QCoreApplication.setApplicationVersion(__version__)
    QGuiApplication.setDesktopFileName("org.blockmap.Blockmap")
    # Named here, not by setStyle: that would make Python's side of a style, which
    # takes longer than the rest of this function.
    application = QApplication([sys.argv[0] or "blockmap", "-style", "Fusion"])
    application.setWindowIcon(QIcon(str(asset("icons/blockmap.svg"))))
    load_fonts()
    sys.excepthook = _uncaught
    sys.unraisablehook = _unraisable
    threading.excepthook = _uncaught_in_thread
    return application


class Windows(QObject):
    """The open windows; each holds one map, and a file is open in one of them.

    failed carries place and exception of a failure, from whatever thread.
    """

    failed = Signal(str, object)

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._open: list[MainWindow] = []
        self.failed.connect(self._tell_failure)

    @property
    def shown(self) -> tuple[MainWindow, ...]:
        """The windows that are open now."""
        return tuple(self._open)

    def open(self, path: Path | None) -> MainWindow:
        """Open a window, or bring the one to the front that has the file."""
        window = self._with_file(path) if path is not None else None
        if window is not None:
            window.setWindowState(
                window.windowState() & ~Qt.WindowState.WindowMinimized
            )
            window.raise_()
            window.activateWindow()
            window.say(self.tr("This map is open here already"))
            return window
        beside = any(other.after_frame.painted for other in self._open)
        window = MainWindow(self._settings)
        window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._open.append(window)
        window.window_wanted.connect(self.open)
        window.destroyed.connect(lambda _o=None, w=window: self._forget(w))
        if path is None:
            window.show()
            return window
        # Before it is shown: what the disk gives soon is in the first frame. Another
        # window that is on the screen already does not wait for the disk.
        within_s = 0.0 if beside else MAP_WITHIN_S
        opening = window.map_file.open(path, within_s=within_s)
        if beside:
            QTimer.singleShot(round(MAP_WITHIN_S * 1000), window, window.show)
            opening.then(lambda _result: window.show())
        else:
            window.show()
        return window

    def _with_file(self, path: Path) -> MainWindow | None:
        for window in self._open:
            if window.session.is_its_file(path):
                return window
        return None

    def _forget(self, window: MainWindow) -> None:
        with contextlib.suppress(ValueError):
            self._open.remove(window)

    def stop_work(self) -> None:
        """Wait for the workers, before the windows that they report to are gone."""
        for window in self._open:
            window.checker.stop()
            window.keeping.let_go()

    def keep_all(self, *_manager: object) -> None:
        """Keep what is unsaved: the session or the program is being ended."""
        for window in self._open:
            try:
                window.keeping.flush()
            except Exception as problem:
                report_exception("keeping", problem)

    def end(self) -> None:
        """End at once and ask nothing: unsaved work is offered at the next start."""
        self.keep_all()
        QCoreApplication.exit(0)

    def _tell_failure(self, where: str, problem: BaseException) -> None:
        report = failure_report(where, problem)
        for window in self._open:
            window.show_failure(report)


def leave_text_on_clipboard() -> None:
    """Let the clipboard keep the text alone, before Python ends.

    Data that Python made for the clipboard must not outlive Python: the process would
    end with a segmentation fault. Data of other programs is left alone.
    """
    clipboard = QGuiApplication.clipboard()
    if clipboard.ownsClipboard() or QGuiApplication.platformName() == "offscreen":
        clipboard.setText(clipboard.text())


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
    return without_paths("\n".join(lines))


_PATH = re.compile(
    r"""(?:\b[A-Za-z]:[\\/]|\\\\|~[\\/]|(?<![\w.])/(?=[^\s/]))[^\n'"“”<>|]*"""
)


def without_paths(text: str) -> str:
    """Return the text with every path of a file replaced: it may name a person."""
    text = text.replace(str(Path.home()), "~").replace(socket.gethostname(), "(host)")
    return _PATH.sub("(path)", text)


def _uncaught(
    kind: type[BaseException], problem: BaseException, trace: TracebackType | None
) -> None:
    if issubclass(kind, KeyboardInterrupt):
        QCoreApplication.exit(0)
        return
    del trace
    report_exception("a slot", problem)


def _unraisable(caught: sys.UnraisableHookArgs) -> None:
    if caught.exc_value is not None:
        report_exception("a part being let go of", caught.exc_value)


def _uncaught_in_thread(caught: threading.ExceptHookArgs) -> None:
    if caught.exc_value is not None and caught.exc_type is not SystemExit:
        report_exception("a thread", caught.exc_value)


@contextlib.contextmanager
def _operating_system_signals(windows: Windows) -> Iterator[None]:
    """Let SIGINT, SIGTERM and SIGHUP end the event loop within a moment.

    It is ended, not asked to quit: that would ask about unsaved changes, and nobody
    may be there to answer. They are kept.

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
        signal.signal(getattr(signal, name), lambda *_args: windows.end())
    try:
        yield
    finally:
        for name, handler in old.items():
            signal.signal(getattr(signal, name), handler)
        signal.set_wakeup_fd(old_fd)
        notifier.setEnabled(False)
        near.close()
        far.close()
