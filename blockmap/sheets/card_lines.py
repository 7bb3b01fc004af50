"""Lines of the card's lists: entries that wrap in a column of a given width.

An entry gives its lines for a width, each a few texts on one baseline. It never cuts a
word off: a word wider than the column is broken, a long entry takes more lines.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from blockmap.drawing.primitives import Anchor, Face, Primitive, Text, line
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.geometry import Point

__all__ = [
    "DOUBT_MM",
    "Caption",
    "Entry",
    "Line",
    "LoadEntry",
    "Paragraph",
    "PlaceEntry",
    "Row",
    "wrapped",
]


DOUBT_MM = 1.15
"""Room after the amps for a question mark, in heights of a capital."""


@dataclass(frozen=True, slots=True)
class Bit:
    """A text on a line: where along it, and how it is set."""

    text: str
    x_mm: float
    face: Face = Face.REGULAR
    anchor: Anchor = "start"


@dataclass(frozen=True, slots=True)
class Line:
    """One line: its texts, and the span of a dotted leader if it has one."""

    bits: tuple[Bit, ...]
    leader: tuple[float, float] | None = None

    def drawn(self, at: Point, cap_mm: float) -> list[Primitive]:
        """Return the line with its baseline starting at a point."""
        x, y = at
        items: list[Primitive] = [
            Text(bit.text, Point(x + bit.x_mm, y), cap_mm, bit.face, bit.anchor)
            for bit in self.bits
            if bit.text
        ]
        if self.leader and self.leader[1] - self.leader[0] > 2.0:
            ends = (Point(x + self.leader[0], y), Point(x + self.leader[1], y))
            items.append(line(ends, "faint", 0.2, (0.3, 0.9)))
        return items


class Entry(Protocol):
    """Something that takes whole lines of a column."""

    def lines(self, width_mm: float, cap_mm: float) -> tuple[Line, ...]:
        """Return the lines for a column of this width."""


def wrapped(text: str, width_mm: float, face: Face, cap_mm: float) -> tuple[str, ...]:
    """Return a text in lines of at most this width; words that are wider are broken."""
    found: list[str] = []
    row = ""
    for word in text.split():
        longer = f"{row} {word}" if row else word
        if text_width_mm(longer, face, cap_mm) <= width_mm:
            row = longer
            continue
        if row:
            found.append(row)
        row = word
        while text_width_mm(row, face, cap_mm) > width_mm and len(row) > 1:
            fits = _fitting(row, width_mm, face, cap_mm)
            found.append(row[:fits])
            row = row[fits:]
    return (*found, row) if row else tuple(found)


def _fitting(word: str, width_mm: float, face: Face, cap_mm: float) -> int:
    """Return how many characters of a word fit, at least one."""
    count = 1
    while (
        count < len(word) and text_width_mm(word[: count + 1], face, cap_mm) <= width_mm
    ):
        count += 1
    for place in range(count, max(count // 2, 1), -1):
        if word[place - 1] in "-/,;_" and place < len(word):
            return place
    return count


@dataclass(frozen=True, slots=True)
class Caption:
    """A bold line over what follows; it stays with the next entry."""

    text: str

    def lines(self, width_mm: float, cap_mm: float) -> tuple[Line, ...]:
        """Return the caption's lines."""
        rows = wrapped(self.text, width_mm, Face.BOLD, cap_mm)
        return tuple(Line((Bit(row, 0.0, Face.BOLD),)) for row in rows)


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text, its first words bold when there is a head."""

    text: str
    head: str = ""
    face: Face = Face.REGULAR
    indent_mm: float = 0.0

    def lines(self, width_mm: float, cap_mm: float) -> tuple[Line, ...]:
        """Return the paragraph's lines; the head stands before the first."""
        found: list[Line] = []
        text = " ".join(self.text.split())
        if self.head:
            wide = text_width_mm(self.head, Face.BOLD, cap_mm) + cap_mm
            if wide < 0.5 * width_mm:
                first = wrapped(text, width_mm - wide, self.face, cap_mm)
                bits: tuple[Bit, ...] = (Bit(self.head, 0.0, Face.BOLD),)
                if first:
                    bits = (*bits, Bit(first[0], wide, self.face))
                found.append(Line(bits))
                rest = text[len(first[0]) :] if first else ""
                return (*found, *self._rows(rest.strip(), width_mm, cap_mm))
            heads = wrapped(self.head, width_mm, Face.BOLD, cap_mm)
            found += [Line((Bit(row, 0.0, Face.BOLD),)) for row in heads]
        return (*found, *self._rows(text, width_mm, cap_mm))

    def _rows(self, text: str, width_mm: float, cap_mm: float) -> tuple[Line, ...]:
        indent = self.indent_mm
        rows = wrapped(text, width_mm - indent, self.face, cap_mm)
        return tuple(Line((Bit(row, indent, self.face),)) for row in rows)


@dataclass(frozen=True, slots=True)
class PlaceEntry:
    """One place: designation, amps, legend; italics and a question mark for doubt.

    name_mm and amps_mm are the widths of the first two columns.
    """

    designation: str
    amps: str
    legend: str
    amps_doubtful: bool
    legend_doubtful: bool
    warning: str
    name_mm: float
    amps_mm: float

    def lines(self, width_mm: float, cap_mm: float) -> tuple[Line, ...]:
        """Return designation and amps on the first line, the legend in the rest."""
        start = self.name_mm + self.amps_mm
        face = Face.ITALIC if self.legend_doubtful else Face.REGULAR
        texts = list(self._texts(width_mm - start, face, cap_mm))
        names = wrapped(self.designation, self.name_mm, Face.BOLD, cap_mm)
        found = []
        for number in range(max(len(texts), len(names), 1)):
            bits: list[Bit] = []
            if number < len(names):
                bits.append(Bit(names[number], 0.0, Face.BOLD))
            if number == 0 and self.amps:
                end = start - DOUBT_MM * cap_mm
                amps_face = Face.ITALIC if self.amps_doubtful else Face.REGULAR
                bits.append(Bit(self.amps, end, amps_face, "end"))
                if self.amps_doubtful:
                    bits.append(Bit("?", end, amps_face))
            if number < len(texts):
                bits += [
                    Bit(bit.text, bit.x_mm + start, bit.face) for bit in texts[number]
                ]
            found.append(Line(tuple(bits)))
        return tuple(found)

    def _texts(
        self, width_mm: float, face: Face, cap_mm: float
    ) -> tuple[tuple[Bit, ...], ...]:
        """Return the rows of warning and legend, the warning bold before it."""
        paragraph = Paragraph(self.legend, head=self.warning, face=face)
        return tuple(row.bits for row in paragraph.lines(width_mm, cap_mm))


@dataclass(frozen=True, slots=True)
class LoadEntry:
    """One load and, at the end of a dotted leader, the places that feed it."""

    name: str
    places: str

    def lines(self, width_mm: float, cap_mm: float) -> tuple[Line, ...]:
        """Return the name, wrapped, and the places after it or on lines of their own.

        The name is never squeezed beside its places: it is what is looked for.
        """
        wide = text_width_mm(self.places, Face.BOLD, cap_mm)
        rows = wrapped(self.name, width_mm, Face.REGULAR, cap_mm) or ("",)
        last = text_width_mm(rows[-1], Face.REGULAR, cap_mm)
        if last + wide + 1.5 * cap_mm > width_mm:
            rows, last = (*rows, ""), cap_mm
        found = [Line((Bit(row, 0.0),)) for row in rows[:-1]]
        if wide + cap_mm > width_mm:
            places = wrapped(self.places, width_mm - cap_mm, Face.BOLD, cap_mm)
            ends = (Line((Bit(row, width_mm, Face.BOLD, "end"),)) for row in places)
            return (*found, *ends)
        bits = (Bit(rows[-1], 0.0), Bit(self.places, width_mm, Face.BOLD, "end"))
        leader = (last + 0.5 * cap_mm, width_mm - wide - 0.5 * cap_mm)
        return (*found, Line(bits, leader))


@dataclass(frozen=True, slots=True)
class Row:
    """Cells of a table: shares of the width at which each starts or ends."""

    cells: Sequence[str]
    stops: Sequence[float]
    ends: Sequence[bool]
    face: Face = Face.REGULAR

    def lines(self, width_mm: float, cap_mm: float) -> tuple[Line, ...]:
        """Return one line."""
        del cap_mm
        bits = tuple(
            Bit(text, stop * width_mm, self.face, "end" if end else "start")
            for text, stop, end in zip(self.cells, self.stops, self.ends, strict=True)
        )
        return (Line(bits),)
