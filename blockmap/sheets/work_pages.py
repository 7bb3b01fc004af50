"""Fills the pages of the work sheets: headings, running text, boxes to tick, tables.

Nothing is cut off: a text wraps in its column, a row that does not fit goes on the
next page under its headings again. A box to tick is large enough for a pencil. It
knows nothing of what a sheet says.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from blockmap.drawing.key import KEY_BOX, KeyEntry
from blockmap.drawing.primitives import (
    Face,
    Path,
    Primitive,
    Text,
    line,
    moved,
    rectangle,
)
from blockmap.model.document import Block, Map
from blockmap.model.geometry import Box, Point, Size
from blockmap.reference.cautions import caution_named
from blockmap.sheets.card_lines import wrapped
from blockmap.sheets.key_grid import key_grid
from blockmap.sheets.pages import (
    GRID_MM,
    MARGIN_MM,
    SMALL_CAP_MM,
    TEXT_CAP_MM,
    Draft,
    PageItem,
    Picture,
    Remarks,
    Sheet,
    facts_line,
    finished,
    oriented,
    paper_of,
)

__all__ = ["NO_VIEW", "Cell", "TableColumn", "WorkPages", "tick_box"]

NO_VIEW = "No view: places by name"
"""What stands for the view on a sheet that shows places by their names alone."""

_TOP_MM = 20.0
_FOOT_MM = 13.0
_HEADING_CAP_MM = 2.8
BOX_MM = 3.4
_PAD_MM = 1.8
_END_MM = 3.0
_READ_PAD_MM, _WRITE_PAD_MM = 0.9, 1.5
"""Free paper below a row of words, and below one that is written in or has marks."""
_SHORT_MM = 50.0
"""A table of this height at most is not parted."""
_KEEP_MM = 14.0
"""A heading stays with so much of what follows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TableColumn:
    """One column: its heading and its width; widths are scaled to the page."""

    title: str
    width_mm: float
    ends: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What stands in one cell: text, boxes to tick with their words, or a mark.

    Each line of the text begins a row of its own. ``mark`` is drawn within the box
    of the figure's key. ``blank`` draws a line to write on.
    """

    text: str = ""
    face: Face = Face.REGULAR
    boxes: tuple[str, ...] = ()
    mark: tuple[Primitive, ...] = ()
    blank: bool = False


def tick_box(at: Point) -> Primitive:
    """Return an empty box to tick, its lower left corner at a point."""
    x, y = at
    return rectangle(Box(x, y - BOX_MM, x + BOX_MM, y), "paper", "ink", 0.25)


@dataclass(slots=True)
class _Page:
    items: list[PageItem]
    view: str
    details: str
    title: str


@dataclass(slots=True)
class WorkPages:
    """The pages of one sheet while they are filled, from the top down."""

    document: Map
    name: str
    title: str
    paper: str = "a4"
    lying: bool = False
    view: str = NO_VIEW
    block: Block | None = None
    remarks: Remarks = field(default_factory=Remarks)
    y: float = 0.0
    _pages: list[_Page] = field(default_factory=list)
    _x: float = 0.0
    _shelf: float = 0.0

    @property
    def size(self) -> Size:
        """The paper as it lies."""
        return oriented(paper_of(self.paper), lying=self.lying)

    @property
    def area(self) -> Box:
        """What the furniture leaves free."""
        width, height = self.size
        return Box(MARGIN_MM, _TOP_MM, width - MARGIN_MM, height - _FOOT_MM)

    def new_page(self) -> None:
        """Start a page; what is set of view and block now is what it says."""
        block = self.block
        if block is not None and self.title.endswith(block.name or block.id):
            block = None  # the title names it
        details = facts_line(self.document, block)
        self._pages.append(_Page([], self.view, details, self.title))
        self.y = self.area.top_mm
        self._x, self._shelf = self.area.left_mm, 0.0

    @property
    def left_mm(self) -> float:
        """The height still free on the page in hand."""
        return self.area.bottom_mm - self.y if self._pages else 0.0

    def room(self, height_mm: float) -> None:
        """Go to a new page unless this height is free."""
        self.end_shelf()
        if not self._pages or (
            self.y + height_mm > self.area.bottom_mm + 1e-6
            and self.y > self.area.top_mm + 1e-6
        ):
            self.new_page()

    def put(self, items: Iterable[Primitive], height_mm: float) -> None:
        """Draw on the page in hand what is placed already, and go below it."""
        self._pages[-1].items += items
        self.y += height_mm

    def heading(self, text: str, keep_mm: float = _KEEP_MM) -> None:
        """Start a section with a heading that stays with what follows."""
        self.end_shelf()
        if self._pages and self.y > self.area.top_mm + 1e-6:
            self.y += GRID_MM * 0.75
        self.room(_HEADING_CAP_MM + GRID_MM * 0.6 + keep_mm)
        at = Point(self.area.left_mm, self.y + _HEADING_CAP_MM)
        items = [Text(text, at, _HEADING_CAP_MM, Face.BOLD, "start")]
        self.put(items, _HEADING_CAP_MM + GRID_MM * 0.6)

    def paragraph(
        self, text: str, face: Face = Face.REGULAR, cap_mm: float = TEXT_CAP_MM
    ) -> None:
        """Set running text over the whole width."""
        pitch = cap_mm * 1.75
        for row in wrapped(text, self.area.width_mm, face, cap_mm):
            self.room(pitch)
            at = Point(self.area.left_mm, self.y + cap_mm)
            self.put([Text(row, at, cap_mm, face, "start")], pitch)

    def cautions(self, names: Iterable[str]) -> None:
        """Set cautions of the trade in bold; nobody ticks them off, they hold."""
        text = " ".join(caution_named(name).text for name in names)
        self.paragraph(text, Face.BOLD)

    def checks(self, sentences: Iterable[str]) -> None:
        """Set sentences one below the other, each after a box to tick."""
        start = BOX_MM + 2.2
        for sentence in sentences:
            rows = wrapped(
                sentence, self.area.width_mm - start, Face.REGULAR, TEXT_CAP_MM
            )
            height = max(len(rows) * GRID_MM, BOX_MM) + 1.1
            self.room(height)
            x, y = self.area.left_mm, self.y
            items: list[Primitive] = [tick_box(Point(x, y + BOX_MM))]
            for number, row in enumerate(rows):
                at = Point(x + start, y + 2.9 + number * GRID_MM)
                items.append(Text(row, at, TEXT_CAP_MM, Face.REGULAR, "start"))
            self.put(items, height)

    def shelf(
        self,
        items: Iterable[Primitive],
        size: Size,
        gap_mm: float,
        beside_mm: float | None = None,
        pictures: Iterable[Picture] = (),
    ) -> None:
        """Put a piece beside the one before it, or on the next shelf, or page.

        gap_mm is left below it, and beside it too unless beside_mm is given.
        """
        right = self.area.right_mm + 1e-6
        if self._pages and self._shelf and self._x + size.width_mm > right:
            self.end_shelf()
        if not self._pages or self.y + size.height_mm > self.area.bottom_mm + 1e-6:
            self.new_page()
        self._pages[-1].items += moved(items, self._x, self.y)
        self._pages[-1].items += (p.moved(self._x, self.y) for p in pictures)
        self._x += size.width_mm + (gap_mm if beside_mm is None else beside_mm)
        self._shelf = max(self._shelf, size.height_mm + gap_mm)

    def end_shelf(self) -> None:
        """Go below the pieces that stand beside each other."""
        if self._shelf:
            self.y += self._shelf
            self._x, self._shelf = self.area.left_mm, 0.0

    def key(self, entries: Sequence[KeyEntry]) -> None:
        """Set the key of a figure's marks."""
        items, size = key_grid(entries, self.area.width_mm)
        self.room(size.height_mm)
        self.put(moved(items, self.area.left_mm, self.y), size.height_mm)

    def table(
        self,
        columns: Sequence[TableColumn],
        rows: Iterable[Sequence[Cell | str]],
        *,
        title: str = "",
        groups: Sequence[int] = (),
        fill: bool = True,
    ) -> None:
        """Set a table under its title; groups are the numbers of rows that begin one.

        Rows inside a group are parted by no line and stay on one page, and so does a
        short table. Without fill the columns keep their widths where the page is
        wider.
        """
        whole = sum(column.width_mm for column in columns)
        scale = self.area.width_mm / whole
        if not fill:
            scale = min(scale, 1.0)
        widths = [column.width_mm * scale for column in columns]
        right = self.area.left_mm + sum(widths)
        head = _head_height(columns, widths)
        made = [_row(row, columns, widths) for row in rows]
        starts = sorted({0, *(groups or range(len(made)))})
        tall = [
            sum(height for _, height in made[first:last])
            for first, last in zip(starts, (*starts[1:], len(made)), strict=True)
        ]
        heights = dict(zip(starts, tall, strict=True))
        keep = head + (tall[0] if tall else 0.0)
        if head + sum(tall) <= _SHORT_MM:
            keep = head + sum(tall)
        if title:
            self.heading(title, keep)
        self.room(keep)
        self._table_head(columns, widths, head)
        for number, (items, height) in enumerate(made):
            needed = min(heights.get(number, height), self.area.height_mm - head)
            if self.y + needed > self.area.bottom_mm + 1e-6:
                self.new_page()
                self._table_head(columns, widths, head)
            elif number in heights and number:
                y = self.y
                ends = Point(self.area.left_mm, y), Point(right, y)
                self.put([line(ends, "faint", 0.15)], 0.0)
            self.put(moved(items, self.area.left_mm, self.y), height)
        ends = Point(self.area.left_mm, self.y), Point(right, self.y)
        self.put([line(ends, "ink", 0.25)], GRID_MM / 2)

    def _table_head(
        self, columns: Sequence[TableColumn], widths: Sequence[float], height: float
    ) -> None:
        items: list[Primitive] = []
        x = self.area.left_mm
        for column, width in zip(columns, widths, strict=True):
            titles = wrapped(column.title, width - _PAD_MM, Face.BOLD, SMALL_CAP_MM)
            for number, title in enumerate(reversed(titles)):
                y = self.y + height - 1.3 - number * GRID_MM * 0.8
                at = Point(x + width - _END_MM, y) if column.ends else Point(x, y)
                anchor = "end" if column.ends else "start"
                items.append(
                    Text(title, at, SMALL_CAP_MM, Face.BOLD, anchor)  # type: ignore[arg-type]
                )
            x += width
        ends = (
            Point(self.area.left_mm, self.y + height),
            Point(x, self.y + height),
        )
        items.append(line(ends, "ink", 0.25))
        self.put(items, height)

    def sheet(self) -> Sheet:
        """Return the finished sheet with the furniture on every page."""
        if not self._pages:
            self.new_page()
        for page in self._pages:
            for item in page.items:
                if isinstance(item, Text):
                    self.remarks.check(self.title, item.text)
        drafts = [
            Draft(
                size=self.size,
                items=tuple(page.items),
                title=page.title,
                view=page.view,
                details=page.details,
            )
            for page in self._pages
        ]
        return finished(self.name, self.title, drafts, self.remarks.sentences())


def _head_height(columns: Sequence[TableColumn], widths: Sequence[float]) -> float:
    lines = max(
        len(wrapped(column.title, width - _PAD_MM, Face.BOLD, SMALL_CAP_MM))
        for column, width in zip(columns, widths, strict=True)
    )
    return SMALL_CAP_MM + 2.4 + (lines - 1) * GRID_MM * 0.8


def _row(
    cells: Sequence[Cell | str],
    columns: Sequence[TableColumn],
    widths: Sequence[float],
) -> tuple[list[Primitive], float]:
    """Return a row about its top left corner, and its height."""
    items: list[Primitive] = []
    height = GRID_MM
    x = 0.0
    for given, column, width in zip(cells, columns, widths, strict=True):
        cell = Cell(text=given) if isinstance(given, str) else given
        used = _cell(items, cell, column, x, width)
        height = max(height, used)
        x += width
    return items, height + (_WRITE_PAD_MM if _is_filled_in(cells) else _READ_PAD_MM)


def _is_filled_in(cells: Sequence[Cell | str]) -> bool:
    """Tell whether a row has boxes, lines or marks, which need more air than words."""
    return any(
        isinstance(cell, Cell) and (cell.boxes or cell.mark or cell.blank)
        for cell in cells
    )


def _cell(
    items: list[Primitive], cell: Cell, column: TableColumn, x: float, width: float
) -> float:
    """Draw one cell with its left edge at x; return how high it is."""
    top = 0.9
    if cell.mark:
        items += moved(cell.mark, x, top - 0.4)
        x, width = x + KEY_BOX.width_mm + 0.8, width - KEY_BOX.width_mm - 0.8
    for number, words in enumerate(cell.boxes):
        y = top + BOX_MM + number * (BOX_MM + 1.4)
        items.append(tick_box(Point(x, y)))
        at = Point(x + BOX_MM + 1.0, y - 0.5)
        items.append(Text(words, at, TEXT_CAP_MM, Face.REGULAR, "start"))
    if cell.blank:
        y = top + GRID_MM - 0.2
        ends = Point(x, y), Point(x + width - 2 * _PAD_MM, y)
        items.append(line(ends, "ink", 0.15))
    rows = [
        row
        for part in cell.text.split("\n")
        for row in wrapped(part, width - _PAD_MM, cell.face, TEXT_CAP_MM)
    ]
    for number, row in enumerate(rows):
        y = top + TEXT_CAP_MM + 0.4 + number * GRID_MM * 0.95
        at = Point(x + width - _END_MM, y) if column.ends else Point(x, y)
        anchor = "end" if column.ends else "start"
        items.append(Text(row, at, TEXT_CAP_MM, cell.face, anchor))  # type: ignore[arg-type]
    if cell.boxes:
        return len(cell.boxes) * (BOX_MM + 1.4)
    return max(len(rows) * GRID_MM * 0.95, GRID_MM if cell.mark or cell.blank else 0)


def fold_line(start: Point, finish: Point) -> Path:
    """Return the dashed line along which paper is folded."""
    return line((start, finish), "faint", 0.15, (1.6, 1.2))
