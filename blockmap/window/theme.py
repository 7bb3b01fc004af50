"""How the window looks: palettes for light and dark, icons in the text colour.

Sheet and figure colours come from blockmap.drawing; here are those of the widgets.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFontDatabase,
    QGuiApplication,
    QIcon,
    QPainter,
    QPalette,
    QPixmap,
)
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QListWidget

from blockmap.drawing.palette import DARK, LIGHT
from blockmap.resources import asset

__all__ = ["dark_now", "icon", "load_fonts", "set_appearance", "show_sign"]

_ROLES: dict[QPalette.ColorRole, tuple[str, str]] = {
    QPalette.ColorRole.Window: ("#f4f2ec", "#34353a"),
    QPalette.ColorRole.WindowText: ("#1b1b1a", "#ece9e2"),
    QPalette.ColorRole.Base: ("#fffdf8", "#191a1d"),
    QPalette.ColorRole.AlternateBase: ("#f7f4ec", "#202125"),
    QPalette.ColorRole.Text: ("#1b1b1a", "#ece9e2"),
    QPalette.ColorRole.Button: ("#ebe8e0", "#47484e"),
    QPalette.ColorRole.ButtonText: ("#1b1b1a", "#ece9e2"),
    QPalette.ColorRole.BrightText: ("#ffffff", "#ffffff"),
    QPalette.ColorRole.ToolTipBase: ("#1b1b1a", "#ece9e2"),
    QPalette.ColorRole.ToolTipText: ("#fffdf8", "#17181a"),
    QPalette.ColorRole.PlaceholderText: ("#6b675f", "#a6a299"),
    QPalette.ColorRole.Highlight: (LIGHT.resolve("select"), DARK.resolve("select")),
    QPalette.ColorRole.HighlightedText: (
        LIGHT.resolve("select ink"),
        DARK.resolve("select ink"),
    ),
    QPalette.ColorRole.Link: ("#0b4fb8", "#9cc1ff"),
    QPalette.ColorRole.LinkVisited: ("#5b3a9e", "#c3b0f5"),
    QPalette.ColorRole.Light: ("#ffffff", "#5a5b62"),
    QPalette.ColorRole.Midlight: ("#f2efe8", "#4a4b51"),
    QPalette.ColorRole.Mid: ("#bdb8ac", "#77787f"),
    QPalette.ColorRole.Dark: ("#9a9588", "#141518"),
    QPalette.ColorRole.Shadow: ("#77736a", "#000000"),
}
SIDES_PX = (24, 48)
"""Sizes an icon is drawn in; Qt scales down from them."""

_SIGN = "sign"
_names: dict[int, str] = {}
"""What the icons are called that were drawn since the look was chosen."""

_FADED = ("#77736a", "#8d8a83")
"""Text of what cannot be used now."""


def dark_now() -> bool:
    """Tell whether the window is dark at the moment."""
    window = QGuiApplication.palette().color(QPalette.ColorRole.Window)
    return window.lightness() < 128


def widget_palette(dark: bool) -> QPalette:
    """Return the palette of the widgets: ink on paper, or paper on ink."""
    palette = QPalette()
    for role, pair in _ROLES.items():
        palette.setColor(role, QColor(pair[dark]))
    for role in (
        QPalette.ColorRole.WindowText,
        QPalette.ColorRole.Text,
        QPalette.ColorRole.ButtonText,
    ):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(_FADED[dark]))
    return palette


def _ticked(palette: QPalette) -> QPalette:
    """Return a dark palette in which an empty box to be ticked stands out."""
    found = QPalette(palette)
    found.setColor(QPalette.ColorRole.Base, QColor("#8b8c93"))
    found.setColor(QPalette.ColorRole.Text, QColor("#141518"))
    return found


def set_appearance(choice: str) -> None:
    """Show the window 'light', 'dark' or as the 'system' does."""
    dark = choice == "dark"
    if choice == "system":
        scheme = QGuiApplication.styleHints().colorScheme()
        dark = scheme == Qt.ColorScheme.Dark
    palette = widget_palette(dark)
    QApplication.setPalette(palette)
    if dark:
        for kind in ("QCheckBox", "QRadioButton"):
            # The types of PySide ask for bytes, its code takes a text alone.
            QApplication.setPalette(_ticked(palette), kind)  # type: ignore[arg-type]
    before = dict(_names)
    _names.clear()
    icon.cache_clear()
    if before:
        _draw_anew(before)


def _draw_anew(names: Mapping[int, str]) -> None:
    """Draw every icon that is shown somewhere in the ink of now."""
    for widget in QApplication.allWidgets():
        if isinstance(widget, QAbstractButton):
            name = names.get(widget.icon().cacheKey())
            if name:
                widget.setIcon(icon(name))
        elif isinstance(widget, QListWidget):
            for row in range(widget.count()):
                item = widget.item(row)
                name = names.get(item.icon().cacheKey())
                if name:
                    item.setIcon(icon(name))
        elif isinstance(widget, QLabel) and widget.property(_SIGN):
            show_sign(widget, str(widget.property(_SIGN)))


def show_sign(label: QLabel, name: str) -> None:
    """Show an icon in a label, as high as its text, in whatever look comes."""
    side = label.fontMetrics().height()
    label.setPixmap(icon(name).pixmap(side, side))
    label.setProperty(_SIGN, name)


def load_fonts() -> None:
    """Make the shipped typefaces known to Qt."""
    for file in sorted(asset("fonts").glob("*.ttf")):
        QFontDatabase.addApplicationFont(str(file))


@lru_cache(maxsize=256)
def icon(name: str) -> QIcon:
    """Return the icon of this name, drawn in the colour of the text.

    Its sizes cover 200 % scaling; Qt greys it where it cannot be used. A missing file
    gives an empty icon: a button still has its words.
    """
    try:
        source = asset(f"icons/{name}.svg").read_text(encoding="utf-8")
    except OSError:
        return QIcon()
    ink = QGuiApplication.palette().color(QPalette.ColorRole.ButtonText).name()
    renderer = QSvgRenderer(QByteArray(source.replace("currentColor", ink).encode()))
    made = QIcon()
    for side in SIDES_PX:
        made.addPixmap(_pixmap(renderer, side))
    if name.startswith("level-"):
        _add_selected(made, source)
    _names[made.cacheKey()] = name
    return made


def _add_selected(made: QIcon, source: str) -> None:
    """Draw the sign of a row anew for when the row is selected, in its ink."""
    ink = QGuiApplication.palette().color(QPalette.ColorRole.HighlightedText).name()
    renderer = QSvgRenderer(QByteArray(source.replace("currentColor", ink).encode()))
    for side in SIDES_PX:
        made.addPixmap(_pixmap(renderer, side), QIcon.Mode.Selected)


def _pixmap(renderer: QSvgRenderer, side: int) -> QPixmap:
    pixmap = QPixmap(side, side)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    renderer.render(painter, QRectF(0, 0, side, side))
    painter.end()
    return pixmap
