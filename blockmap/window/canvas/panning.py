"""An area that is zoomed and panned: wheel, pinch, middle drag, Space and drag, bars.

Subclasses say how large the figure is and draw it. Zooming keeps what is under the
pointer where it is. Nothing here knows what the figure shows.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QMouseEvent,
    QNativeGestureEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea, QGestureEvent, QPinchGesture, QWidget

from blockmap.model.geometry import Box
from blockmap.window.canvas.frame import TRUE_SIZE, Frame
from blockmap.window.guard import guarded

__all__ = ["PannedArea"]

STEP = 1.25
"""One step of zooming by menu or key."""

WHEEL_BASE = 1.0015
"""Zoom for one eighth of a degree of the wheel: a notch is about 1.2."""

IN_SIGHT_PX = 48.0
"""So much of the figure always stays in sight."""

BAR_ROOM_PX = 24.0


class PannedArea(QAbstractScrollArea):
    """Keeps the frame and the scroll bars in step; zoomed carries the zoom."""

    zoomed = Signal(float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.frame_now = Frame()
        self._true_px_per_mm = TRUE_SIZE
        self._fitted = True
        self._pan_from: QPointF | None = None
        self._space = False
        self._following = False
        self._fitting = False
        self.viewport().grabGesture(Qt.GestureType.PinchGesture)
        self.viewport().setMouseTracking(True)

    # what subclasses say

    def seen_bounds(self) -> Box:
        """Return the box of the figure in millimetres as seen."""
        return Box(0.0, 0.0, 100.0, 60.0)

    def fit_rect(self) -> QRectF:
        """Return the pixels that the fitted figure may take."""
        return QRectF(self.viewport().rect()).adjusted(16, 16, -16, -16)

    def frame_changed(self) -> None:
        """Take note that the frame is another one."""

    # frame and bars

    def set_frame(self, frame: Frame, *, fitted: bool = False) -> None:
        """Look at the figure through another frame."""
        self._fitted = fitted
        frame = self._in_sight(frame)
        if frame == self.frame_now:
            self._show_bars()
            return
        zoom = self.frame_now.zoom
        self.frame_now = frame
        self._show_bars()
        self.frame_changed()
        self.viewport().update()
        if zoom != frame.zoom:
            self.zoomed.emit(frame.zoom)

    def _in_sight(self, frame: Frame) -> Frame:
        content = frame.rect_px(self.seen_bounds())
        view = QRectF(self.viewport().rect())
        room = min(IN_SIGHT_PX, view.width() / 2, view.height() / 2)
        dx = max(room - content.right(), 0.0) + min(
            view.width() - room - content.left(), 0.0
        )
        dy = max(room - content.bottom(), 0.0) + min(
            view.height() - room - content.top(), 0.0
        )
        # Whole pixels keep lines as sharp after a pan as before.
        return Frame(frame.scale, round(frame.x_px + dx), round(frame.y_px + dy))

    def _show_bars(self) -> None:
        content = self.frame_now.rect_px(self.seen_bounds())
        view = self.viewport().rect()
        self._following = True
        for bar, low, high, room in (
            (
                self.horizontalScrollBar(),
                content.left(),
                content.right() - view.width(),
                view.width(),
            ),
            (
                self.verticalScrollBar(),
                content.top(),
                content.bottom() - view.height(),
                view.height(),
            ),
        ):
            least = min(0, round(low - BAR_ROOM_PX)) if low < 0 else 0
            most = max(0, round(high + BAR_ROOM_PX)) if high > 0 else 0
            bar.setRange(least, most)
            bar.setPageStep(room)
            bar.setSingleStep(20)
            bar.setValue(0)
        self._following = False

    @guarded()
    def scrollContentsBy(self, dx: int, dy: int) -> None:
        # Each pan re-bases the bars, so what they say is always a step from here.
        if not self._following:
            self.set_frame(self.frame_now.shifted(dx, dy))

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._fitted and not self._fitting:
            # Bars that come or go resize the area once more; one fit is enough.
            self._fitting = True
            self.zoom_fit()
            self._fitting = False
        elif not self._fitted:
            self._show_bars()
            self.frame_changed()

    def fit_again(self) -> None:
        """Fit the figure when it was fitted before."""
        if self._fitted:
            self.zoom_fit()

    # zooming

    def zoom_by(self, factor: float, about: QPointF | None = None) -> None:
        """Zoom about a pixel, by default the middle of what is seen."""
        middle = about or QPointF(self.viewport().rect().center())
        self.set_frame(self.frame_now.zoomed(factor, middle))

    def zoom_in(self) -> None:
        """Show things larger."""
        self.zoom_by(STEP)

    def zoom_out(self) -> None:
        """Show things smaller."""
        self.zoom_by(1 / STEP)

    def zoom_true(self) -> None:
        """Show things at true size, as far as it is known how large the screen is."""
        self.zoom_by(self._true_px_per_mm / self.frame_now.scale)

    def measure_screen(self, share: float) -> None:
        """Take note how many pixels a millimetre has, as a share of the usual ones."""
        usable = share if 0.1 <= share <= 10 else 1.0
        self._true_px_per_mm = TRUE_SIZE * usable
        self.zoomed.emit(self.frame_now.zoom)

    @property
    def percent(self) -> int:
        """The zoom against true size on this screen."""
        return round(self.frame_now.scale / self._true_px_per_mm * 100)

    def zoom_fit(self) -> None:
        """Show the whole figure."""
        self.set_frame(Frame.fitted(self.seen_bounds(), self.fit_rect()), fitted=True)

    def zoom_box(self, seen: Box) -> None:
        """Show one part of the figure."""
        self.set_frame(Frame.fitted(seen, self.fit_rect()))

    def bring_into_sight(self, seen: Box) -> None:
        """Pan as little as needed to show a part of the figure.

        A figure that was fitted is fitted again, so that it stays whole.
        """
        if self._fitted:
            self.zoom_fit()
            return
        rect = self.frame_now.rect_px(seen).adjusted(-24, -24, 24, 24)
        view = QRectF(self.viewport().rect())
        dx = max(view.left() - rect.left(), 0.0) or min(view.right() - rect.right(), 0)
        dy = max(view.top() - rect.top(), 0.0) or min(view.bottom() - rect.bottom(), 0)
        if dx or dy:
            self.set_frame(self.frame_now.shifted(dx, dy))

    @guarded()
    def wheelEvent(self, event: QWheelEvent) -> None:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            turn = event.angleDelta().y() or event.angleDelta().x()
            self.zoom_by(WHEEL_BASE**turn, event.position())
        else:
            step: QPoint | QPointF = event.pixelDelta()
            if event.pixelDelta().isNull():
                step = QPointF(event.angleDelta()) * 0.5
            dx, dy = step.x(), step.y()
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier and not dx:
                dx, dy = dy, 0
            self.set_frame(self.frame_now.shifted(dx, dy))
        event.accept()

    @guarded(False)
    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Gesture and isinstance(event, QGestureEvent):
            pinch = event.gesture(Qt.GestureType.PinchGesture)
            if isinstance(pinch, QPinchGesture):
                about = self.viewport().mapFromGlobal(pinch.centerPoint().toPoint())
                self.zoom_by(pinch.scaleFactor(), QPointF(about))
                event.accept(pinch)
                return True
        zooming = Qt.NativeGestureType.ZoomNativeGesture
        if isinstance(event, QNativeGestureEvent) and event.gestureType() == zooming:
            self.zoom_by(1.0 + event.value(), event.position())
            return True
        return bool(super().viewportEvent(event))

    def follow_out(self, px: QPointF) -> None:
        """Pan a little when a drag goes over the edge of what is seen."""
        view = self.viewport().rect()
        dx = max(-px.x(), 0.0) + min(view.width() - px.x(), 0.0)
        dy = max(-px.y(), 0.0) + min(view.height() - px.y(), 0.0)
        if dx or dy:
            most = 24.0
            self.set_frame(
                self.frame_now.shifted(
                    max(-most, min(dx, most)), max(-most, min(dy, most))
                )
            )

    # panning by drag

    def pan_ready(self, event: QMouseEvent) -> bool:
        """Tell whether a press pans: the middle button, or Space and the left."""
        left = event.button() == Qt.MouseButton.LeftButton
        return event.button() == Qt.MouseButton.MiddleButton or (left and self._space)

    def pan_begin(self, event: QMouseEvent) -> None:
        """Take hold of the paper."""
        self._pan_from = event.position()
        self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)

    def pan_move(self, event: QMouseEvent) -> bool:
        """Move the paper with the pointer; False when it is not held."""
        if self._pan_from is None:
            return False
        step = event.position() - self._pan_from
        self._pan_from = event.position()
        self.set_frame(self.frame_now.shifted(step.x(), step.y()))
        return True

    def pan_end(self) -> bool:
        """Let go of the paper; False when it was not held."""
        if self._pan_from is None:
            return False
        self._pan_from = None
        return True

    def hold_space(self, held: bool) -> None:
        """Take note whether Space is held."""
        self._space = held
        shape = Qt.CursorShape.OpenHandCursor if held else Qt.CursorShape.ArrowCursor
        self.viewport().setCursor(shape)
