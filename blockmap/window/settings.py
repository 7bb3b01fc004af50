"""What the program remembers between starts: preferences, recent files, layout.

Preferences stand in the user's configuration folder, what was open and where in the
state folder. Damaged or unwritable settings count as none; nothing here stops a start.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from platformdirs import user_config_path, user_state_path
from PySide6.QtCore import QObject, QSettings, Signal

__all__ = ["RECENT_LIMIT", "Settings", "state_folder"]

RECENT_LIMIT = 10

_DEFAULTS: dict[str, Any] = {
    "appearance": "system",
    "paper": "a4",
    "correct_x": 1.0,
    "correct_y": 1.0,
    "screen_share": 1.0,
    "photo_shown": True,
    "snap": True,
    "figure_key": True,
}


def state_folder() -> Path:
    """Return the folder for recent files, layout and recovery."""
    return user_state_path("blockmap", appauthor=False)


class Settings(QObject):
    """Reads and writes what is remembered; changed tells the name of a preference."""

    changed = Signal(str)

    def __init__(
        self,
        config: Path | None = None,
        state: Path | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        config = config or user_config_path("blockmap", appauthor=False)
        self.state_folder = state or state_folder()
        self._config = _ini(config / "preferences.ini")
        self.state = _ini(self.state_folder / "window.ini")

    @property
    def recovery_folder(self) -> Path:
        """The folder that unsaved work is kept in."""
        return self.state_folder / "recovery"

    def value(self, name: str) -> Any:
        """Return a preference, its default when missing or unreadable."""
        default = _DEFAULTS[name]
        stored = self._config.value(name)
        if stored is None:
            return default
        try:
            if isinstance(default, bool):
                return str(stored).lower() == "true"
            return type(default)(stored)
        except (TypeError, ValueError):
            return default

    def set_value(self, name: str, value: Any) -> None:
        """Keep a preference."""
        if self.value(name) != value:
            text = str(value).lower() if isinstance(value, bool) else value
            self._config.setValue(name, text)
            self.changed.emit(name)

    def recent_files(self) -> list[Path]:
        """Return the files opened last, the latest first."""
        stored = self.state.value("recent") or []
        names = [stored] if isinstance(stored, str) else list(stored)
        return [Path(str(name)) for name in names[:RECENT_LIMIT]]

    def add_recent(self, path: Path) -> None:
        """Put a file at the top of the recent ones."""
        path = path.absolute()
        others = [p for p in self.recent_files() if p != path]
        self.state.setValue("recent", [str(p) for p in [path, *others][:RECENT_LIMIT]])

    def clear_recent(self) -> None:
        """Forget the recent files."""
        self.state.remove("recent")

    def last_folder(self) -> str:
        """Return the folder the last file dialog ended in."""
        return str(self.state.value("folder") or Path.home())

    def set_last_folder(self, path: Path) -> None:
        """Keep the folder of a chosen file."""
        self.state.setValue("folder", str(path.parent))


def _ini(path: Path) -> QSettings:
    return QSettings(str(path), QSettings.Format.IniFormat)
