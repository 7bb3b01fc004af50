"""Starts the program in a process of its own, up to its first frame."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

__all__ = ["BARE", "REAL", "first_frame"]

_WHEN_PAINTED = """
import os, sys, time
from PySide6.QtCore import QEvent, QObject, QTimer
class Painted(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            QTimer.singleShot(0, self.say)  # the parts paint after the window
        return False
    def say(self):
        print(time.process_time() * 1000, *sys.modules, flush=True)
        os._exit(0)
painted = Painted()
"""

BARE = f"""
from PySide6.QtWidgets import QApplication, QGraphicsScene, QGraphicsView, QMainWindow
app = QApplication([])
window = QMainWindow()
scene = QGraphicsScene()
window.setCentralWidget(QGraphicsView(scene))
{_WHEN_PAINTED}
window.installEventFilter(painted)
window.resize(1280, 800)
window.show()
app.exec()
"""
"""An empty main window with a graphics view: the least that a start can take."""

REAL = f"""
from blockmap import __main__ as start
imported = start._import_before_qt
def and_watched(**given):
    imported(**given)
    exec(WATCH, globals())
start._import_before_qt = and_watched
WATCH = '''
{_WHEN_PAINTED}
from blockmap.window.main_window import MainWindow
show = MainWindow.show
def shown(window):
    window.installEventFilter(painted)
    show(window)
MainWindow.show = shown
'''
import sys
sys.exit(start.main(sys.argv[1:]))
"""
"""The program as it is started by hand."""


def first_frame(code: str, folder: Path, *arguments: str) -> tuple[float, set[str]]:
    """Return the processor time to the first frame in milliseconds, and the modules.

    folder holds what the program remembers, and the compiled modules.
    """
    own = {
        f"XDG_{name}_HOME": str(folder / name.lower())
        for name in ("CONFIG", "STATE", "CACHE")
    }
    surroundings = os.environ | own | {"PYTHONPYCACHEPREFIX": str(folder / "compiled")}
    surroundings.pop("PYTHONDONTWRITEBYTECODE", None)
    ended = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        env=surroundings | {"QT_QPA_PLATFORM": "offscreen"},
    )
    if ended.returncode:
        raise RuntimeError(ended.stderr)
    took_ms, *modules = ended.stdout.split()
    return float(took_ms), set(modules)
