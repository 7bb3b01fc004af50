"""A drag on the round handle turns a cavity about its middle."""

from __future__ import annotations

import dataclasses
import math
from typing import TYPE_CHECKING

from PySide6.QtGui import QPainter

from blockmap.model.document import Cavity
from blockmap.model.edits import turn_cavities
from blockmap.window.canvas.overlay import draw_badge
from blockmap.window.canvas.tools.tool import Pointer, translate
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["TurnGesture"]

STEP_DEG, FINE_STEP_DEG = 15.0, 1.0


class TurnGesture:
    """Follows the pointer round the middle in steps of 15 degrees, 1 with Alt."""

    def __init__(self, view: FigureView, cavity: Cavity, pressed: Pointer) -> None:
        self._view, self._cavity, self._pressed = view, cavity, pressed
        self._start_deg = self._angle(pressed)
        self._by_deg = 0.0

    def _angle(self, pointer: Pointer) -> float:
        centre = self._cavity.centre
        return math.degrees(
            math.atan2(pointer.at.y_mm - centre.y_mm, pointer.at.x_mm - centre.x_mm)
        )

    def hint(self) -> str:
        """Return what letting go does."""
        return translate(
            "Figure",
            "Let go to turn it; Alt turns by single degrees, Escape puts it back; "
            "Ctrl+R turns by 90 degrees",
        )

    def move(self, pointer: Pointer) -> None:
        """Preview the cavity turned."""
        old = self._cavity.turn_deg
        step = FINE_STEP_DEG if pointer.free else STEP_DEG
        wished = old + self._angle(pointer) - self._start_deg
        new = round(wished / step) * step
        self._by_deg = (new - old + 180) % 360 - 180
        turned = (old + self._by_deg) % 360
        self._view.set_preview([dataclasses.replace(self._cavity, turn_deg=turned)])

    def release(self, pointer: Pointer) -> None:
        """Turn the cavity in the map; a mere click changes nothing."""
        if pointer.far_from(self._pressed):
            self.move(pointer)
        view, id_ = self._view, self._cavity.id
        view.clear_preview()
        if self._by_deg:
            view.session.edit(
                view.commands.named(
                    QT_TRANSLATE_NOOP("Figure", "Turn %1"),
                    QT_TRANSLATE_NOOP("Figure", "Turn %n cavities"),
                    [id_],
                ),
                turn_cavities,
                [id_],
                self._by_deg,
            )

    def cancel(self) -> None:
        """Show the cavity as it is."""
        self._view.clear_preview()

    def paint(self, painter: QPainter) -> None:
        """Write the angle beside the cavity."""
        turned = (self._cavity.turn_deg + self._by_deg) % 360
        text = f"{turned:g}°"
        draw_badge(
            painter, self._view.inks, self._view.px_of(self._cavity.centre), text
        )
