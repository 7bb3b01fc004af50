"""Fills the card's panels with sections: columns, headings, panel after panel.

Nothing is cut off: what does not fit goes on to the next column, then to the next
panel, under its heading again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from blockmap.drawing.primitives import Face, Primitive, Text, line
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.geometry import Box, Point, Size
from blockmap.sheets.card_lines import Caption, Line, wrapped
from blockmap.sheets.card_lists import Section
from blockmap.sheets.pages import cut_to_width

__all__ = ["PAD_MM", "CardType", "Panel", "PanelFiller"]

PAD_MM = 3.2
_PITCH = 1.56
_COLUMN = 15.5
"""A column is at least this many heights of a capital wide."""
_GAP = 1.8
_TITLE_LINES = 2
_AGAIN = " (continued)"


@dataclass(frozen=True, slots=True)
class CardType:
    """The three sizes of type on a card, as heights of capitals."""

    small_mm: float
    list_mm: float
    heading_mm: float

    @classmethod
    def for_least(cls, least_mm: float) -> CardType:
        """Return the sizes for the least legible height."""
        return cls(least_mm, least_mm * 1.15, least_mm * 1.5)

    @property
    def pitch_mm(self) -> float:
        """Distance of the baselines of lists."""
        return self.list_mm * _PITCH


@dataclass(slots=True)
class Panel:
    """One panel being filled, about its top left corner; span counts panels high."""

    items: list[Primitive] = field(default_factory=list)
    span: int = 1


@dataclass(slots=True)
class PanelFiller:
    """Fills panels of one size from the top down."""

    size: Size
    type: CardType
    panels: list[Panel] = field(default_factory=list)
    _y: float = 0.0

    @property
    def _wide(self) -> float:
        return self.size.width_mm - 2 * PAD_MM

    @property
    def _bottom(self) -> float:
        return self.size.height_mm - PAD_MM

    def _new_panel(self) -> None:
        self.panels.append(Panel())
        self._y = PAD_MM

    def picture_room(self, name: str, view: str, *, span: int = 0) -> Box:
        """Return a room for a picture under a heading of its name and view.

        A name that leaves no room for the view beside it has the view below it; the
        view is never shortened. span 0 takes what is left of the panel in hand, else
        a new panel that is so many panels high.
        """
        if span:
            self._new_panel()
            self.panels[-1].span = span
        else:
            self._y += 0.8 * self.type.pitch_mm
        for row in self._picture_rows(name, view):
            self._heading(row, rule=False)
        high = self.size.height_mm * max(span, 1)
        return Box(PAD_MM, self._y, self.size.width_mm - PAD_MM, high - PAD_MM)

    def _picture_rows(self, name: str, view: str) -> tuple[str, ...]:
        """Return the heading of a picture: one line where any panel has room for it."""
        whole = f"{name}: {view}"
        room = self._wide - self._number_mm
        if text_width_mm(whole, Face.BOLD, self.type.heading_mm) <= room:
            return (whole,)
        return (
            *self._title_rows(name, room, self.type.heading_mm),
            f"{view[:1].upper()}{view[1:]}",
        )

    def room_left(self, name: str, view: str) -> Size:
        """Return the room for a picture below what the panel in hand holds."""
        rows = len(self._picture_rows(name, view))
        taken = self._y + 0.8 * self.type.pitch_mm + rows * self.heading_height()
        return Size(self._wide, self._bottom - taken)

    def room_new(self, name: str, view: str, span: int = 1) -> Size:
        """Return the room for a picture on a new panel."""
        rows = len(self._picture_rows(name, view))
        taken = PAD_MM + rows * self.heading_height() + PAD_MM
        return Size(self._wide, self.size.height_mm * span - taken)

    def drawn_to(self, items: Sequence[Primitive], bottom_mm: float) -> None:
        """Put a picture on the panel in hand; what follows stands below it."""
        panel = self.panels[-1]
        panel.items += items
        self._y = bottom_mm if panel.span == 1 else self._bottom

    def heading_height(self) -> float:
        """Return how much a heading takes."""
        return self.type.heading_mm + 1.7

    def _heading_width(self) -> float:
        first = self._y <= PAD_MM
        return self._wide - (self._number_mm if first else 0.0)

    @property
    def _number_mm(self) -> float:
        """Width that the number of a panel takes beside its first heading."""
        return 6 * self.type.small_mm

    def _heading(self, text: str, *, rule: bool = True) -> None:
        """Set a heading; the first of a panel leaves room for the panel's number."""
        cap, room = self.type.heading_mm, self._heading_width()
        baseline = self._y + cap
        if text_width_mm(text, Face.BOLD, cap) > room:
            text = text.removesuffix(_AGAIN)
        shown = cut_to_width(text, room, Face.BOLD, cap)
        at = Point(PAD_MM, baseline)
        items = self.panels[-1].items
        items.append(Text(shown, at, cap, Face.BOLD, "start"))
        if rule:
            y = baseline + 0.9
            ends = (Point(PAD_MM, y), Point(PAD_MM + self._wide, y))
            items.append(line(ends, "ink", 0.15))
        self._y = baseline + 1.7

    def title(self, section: Section) -> None:
        """Fill the first panel: the heading may take several lines."""
        self._new_panel()
        cap = self.type.heading_mm * 1.25
        room = self._wide - self._number_mm
        for row in self._title_rows(section.title, room, cap):
            at = Point(PAD_MM, self._y + cap)
            self.panels[-1].items.append(Text(row, at, cap, Face.BOLD, "start"))
            self._y += cap * 1.35
        self._y += 1.0
        self._fill(section, again=section.title + _AGAIN)

    def _title_rows(self, title: str, room_mm: float, cap_mm: float) -> tuple[str, ...]:
        """Return a title in two lines at most, the second shortened if it must be."""
        rows = wrapped(title, room_mm, Face.BOLD, cap_mm)
        if len(rows) <= _TITLE_LINES:
            return rows
        rest = " ".join(rows[_TITLE_LINES - 1 :])
        last = cut_to_width(rest, room_mm, Face.BOLD, cap_mm)
        return (*rows[: _TITLE_LINES - 1], last)

    def section(self, section: Section) -> None:
        """Add a section, on the panel in hand if a few lines of it fit there."""
        need = self.heading_height() + 4 * self.type.pitch_mm
        if self.panels and self._y > PAD_MM:
            self._y += 0.8 * self.type.pitch_mm
        if not self.panels or self._y + need > self._bottom:
            self._new_panel()
        self._heading(section.title)
        self._fill(section, again=section.title + _AGAIN)

    def _columns(self, section: Section) -> tuple[int, float, float]:
        """Return how many columns, how wide, and how far apart."""
        gap = _GAP * self.type.list_mm
        least = _COLUMN * self.type.list_mm
        count = int((self._wide + gap) // (least + gap)) if section.narrow else 1
        count = max(1, count)
        return count, (self._wide - gap * (count - 1)) / count, gap

    def _fill(self, section: Section, again: str) -> None:
        count, width, gap = self._columns(section)
        groups = _groups(section, width, self.type.list_mm)
        single = _groups(section, self._wide, self.type.list_mm)
        if sum(map(len, single)) <= 1.1 * sum(map(len, groups)) / count:
            count, width, groups = 1, self._wide, single
        while groups:
            room = int((self._bottom - self._y) / self.type.pitch_mm + 1e-6)
            columns, groups = _filled(groups, count, max(room, 1))
            self._set(columns, width, gap)
            if groups:
                self._new_panel()
                self._heading(again)

    def _set(self, columns: Sequence[Sequence[Line]], width: float, gap: float) -> None:
        pitch, cap = self.type.pitch_mm, self.type.list_mm
        first = self._y + cap + 0.3
        items = self.panels[-1].items
        for number, column in enumerate(columns):
            x = PAD_MM + number * (width + gap)
            for row, each in enumerate(column):
                items += each.drawn(Point(x, first + row * pitch), cap)
        deepest = max((len(column) for column in columns), default=0)
        self._y += deepest * pitch
        if len(columns) > 1 and deepest:
            for number in range(1, len(columns)):
                x = PAD_MM + number * (width + gap) - gap / 2
                ends = (Point(x, self._y - deepest * pitch), Point(x, self._y))
                items.append(line(ends, "faint", 0.12))


def _groups(section: Section, width_mm: float, cap_mm: float) -> list[list[Line]]:
    """Return the lines that stay together: an entry, with its captions before it."""
    found: list[list[Line]] = []
    held: list[Line] = []
    for entry in section.entries:
        rows = list(entry.lines(width_mm, cap_mm))
        held += rows
        if not isinstance(entry, Caption):
            found.append(held)
            held = []
    return [*found, held] if held else found


def _filled(
    groups: list[list[Line]], count: int, room: int
) -> tuple[list[list[Line]], list[list[Line]]]:
    """Return the columns of one panel and the groups left over.

    When everything fits, the columns are made as even as they can be.
    """
    for height in range(1, room + 1):
        columns, rest = _poured(groups, count, height)
        if not rest:
            return columns, []
    return _poured(groups, count, room)


def _poured(
    groups: list[list[Line]], count: int, height: int
) -> tuple[list[list[Line]], list[list[Line]]]:
    columns: list[list[Line]] = [[]]
    left = list(groups)
    while left:
        group, column = left[0], columns[-1]
        if len(column) + len(group) <= height:
            column += left.pop(0)
        elif len(group) > height or (len(group) > 6 and len(column) < height - 2):
            free = height - len(column)
            column += group[:free]
            left[0] = group[free:]
            if len(columns) == count:
                return columns, left
            columns.append([])
        elif len(columns) == count:
            return columns, left
        else:
            columns.append([])
    return columns, left
