"""The figure in words: a name, a description, and a list of what it shows.

Made for screen readers and tests. Words are those of the trade; nothing here draws.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QRectF

from blockmap.drawing.figure import view_heading
from blockmap.drawing.strips import contact_place
from blockmap.model.document import Cavity
from blockmap.model.geometry import View, side_word
from blockmap.model.ids import CavityId, key_of
from blockmap.model.units import number_text
from blockmap.window.canvas.content import FigureContent
from blockmap.window.canvas.tools.tool import Pointer, translate
from blockmap.window.selection import Selection

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = [
    "Drawn",
    "contact_place_said",
    "drawn_list",
    "feed_side_seen",
    "figure_name",
    "pointer_words",
    "sentence",
    "spoken",
]

SPOKEN_NAMES = 5
"""Most designations named one by one in the description."""


class Drawn(NamedTuple):
    """One cavity as it is shown: its words and the pixels it covers."""

    id: CavityId
    designation: str
    words: str
    rect: QRectF
    selected: bool


def sentence(cavity: Cavity, content: FigureContent | None = None) -> str:
    """Return one sentence about a cavity: name, kind, rating, circuit, place.

    In another view than the front one its place there is said as well.
    """
    parts = [cavity.designation, translate("Figure", cavity.kind)]
    if cavity.form and cavity.form != cavity.kind:
        parts.append(translate("Figure", cavity.form))
    if cavity.rating_a is not None:
        parts.append(
            translate("Figure", "%1 A").replace("%1", number_text(cavity.rating_a))
        )
    named = cavity.circuit or cavity.legend
    if named:
        parts.append(named)
    if cavity.unusable:
        parts.append(translate("Figure", "do not use"))
    place = translate(
        "Figure", "at %1 mm from the left and %2 mm from the top of the front view"
    )
    place = place.replace("%1", number_text(round(cavity.x_mm, 1)))
    parts.append(place.replace("%2", number_text(round(cavity.y_mm, 1))))
    if content is not None and content.view is not View.FRONT:
        seen = content.seen(cavity.centre)
        place = translate(
            "Figure", "here at %1 mm from the left and %2 mm from the top"
        )
        place = place.replace("%1", number_text(round(seen.x_mm, 1)))
        parts.append(place.replace("%2", number_text(round(seen.y_mm, 1))))
        parts.append(feed_side_seen(cavity, content))
    return ", ".join(part for part in parts if part)


def contact_place_said(cavity: Cavity, contact: str, content: FigureContent) -> str:
    """Return 'load contact at x 80 mm, y 48.6 mm' as it is seen in the view."""
    x, y = contact_place(cavity, contact, content.book.style)
    text = translate("Figure", "%1 contact at x %2 mm, y %3 mm")
    text = text.replace("%1", contact)
    text = text.replace("%2", number_text(round(x, 1)))
    return text.replace("%3", number_text(round(y, 1)))


def pointer_words(view: FigureView, pointer: Pointer) -> str:
    """Return what the pointer is on, and where that is in the view that is shown."""
    content = view.content
    strip = content.document.strips.get(view.hovered_strip or "")
    under = view.cavity_under(pointer) if strip is None else None
    cavity = content.cavity(under)
    seen = content.seen(pointer.at)
    text = translate("Figure", "x %1 mm, y %2 mm")
    text = text.replace("%1", view.locale().toString(seen.x_mm, "f", 1))
    text = text.replace("%2", view.locale().toString(seen.y_mm, "f", 1))
    parts = [cavity.designation] if cavity else []
    if strip is not None:
        named = translate("Figure", "strip %1")
        parts.append(named.replace("%1", strip.name or key_of(strip.id)))
    if cavity and (cavity.legend or cavity.circuit):
        parts.append(cavity.legend or cavity.circuit)
    side = feed_side_seen(cavity, content) if cavity else ""
    if side:
        parts.append(side)
    heading = translate("Figure", view_heading(content.view, content.block))
    return " · ".join((*parts, text, heading))


def feed_side_seen(cavity: Cavity, content: FigureContent) -> str:
    """Return 'feed left' as the cavity is seen; '' when its side is not known."""
    if cavity.feed_end == "unknown":
        return ""
    start, finish = cavity.ends
    end = content.seen(start if cavity.feed_end == "start" else finish)
    side = side_word(content.seen(cavity.centre), end)
    word = translate("trade", side)
    return translate("Figure", "feed %1").replace("%1", word)


def _contact(selection: Selection, content: FigureContent) -> tuple[str, ...]:
    cavity = content.cavity(selection.current)
    if cavity is None or not selection.contact:
        return ()
    return (contact_place_said(cavity, selection.contact, content),)


def figure_name(content: FigureContent) -> str:
    """Return what the figure is called."""
    if content.block is None:
        return translate("Figure", "Figure: no block")
    text = translate("Figure", "Figure of %1. %2")
    name = content.block.name or content.block.id
    return text.replace("%2", view_heading(content.view, content.block)).replace(
        "%1", name
    )


def spoken(content: FigureContent, selection: Selection) -> str:
    """Return how much is shown and what of it is selected."""
    chosen: Sequence[Cavity] = content.chosen(selection.ids)
    text = translate("Figure", "%n cavities", "", len(content.cavities))
    strip = content.document.strips.get(selection.strip or "")
    if strip is not None:
        named = translate("Figure", "Strip %1 selected")
        text += ". " + named.replace("%1", strip.name or key_of(strip.id))
    if not chosen:
        return text + ". " + translate("Figure", "Nothing selected")
    if len(chosen) == 1:
        return (
            text
            + ". "
            + translate("Figure", "Selected: ")
            + ", ".join((sentence(chosen[0], content), *_contact(selection, content)))
        )
    names = ", ".join(c.designation for c in chosen[:SPOKEN_NAMES])
    if len(chosen) > SPOKEN_NAMES:
        names += ", …"
    return text + ". " + translate("Figure", "%n selected: ", "", len(chosen)) + names


def drawn_list(view: FigureView) -> list[Drawn]:
    """Return every cavity of the figure as it is shown now."""
    chosen = set(view.selection.ids)
    moving = {c.id: c for c in view.preview}
    shown = [moving.pop(c.id, c) for c in view.content.cavities]
    shown += moving.values()
    return [
        Drawn(
            cavity.id,
            cavity.designation,
            sentence(cavity, view.content),
            view.frame_now.rect_px(view.content.seen_box(cavity.bounds)),
            cavity.id in chosen,
        )
        for cavity in shown
    ]
