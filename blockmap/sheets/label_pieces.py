"""Label strips and single labels: pieces of paper to be cut out.

A piece is drawn about its own top left corner, its cut lines included. No text comes
nearer to a cut line than `PAD_MM`. What does not fit at the least height is left out
and remarked; it is never set smaller and never cut off.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from blockmap.drawing.fit import LINE_PITCH, Fitted, fit_text
from blockmap.drawing.primitives import Face, Path, Primitive, Text, line, rectangle
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.document import Cavity
from blockmap.model.geometry import Box, Point, Size
from blockmap.sheets.label_words import LabelWords, fit_label, label_words
from blockmap.sheets.pages import Remarks
from blockmap.sheets.rows import Cell, Row

__all__ = [
    "PAD_MM",
    "Piece",
    "cut_outline",
    "not_fitting",
    "single_label",
    "single_size",
    "strips",
    "turned_lines",
]

PAD_MM = 1.0
"""Free paper between text and cut line."""
CUT_DASH_MM = (1.0, 1.0)
_HEAD = 1.25
"""Designations stand this much taller than the text."""
_TURNED_LENGTH_MM = 22.0
_WIDTHS_MM = (14.0, 17.0, 20.0, 24.0, 28.0, 32.0, 36.0, 42.0, 50.0)


@dataclass(frozen=True, slots=True)
class Piece:
    """Something to cut out: its size, its drawing, and a caption that stays behind."""

    size: Size
    items: tuple[Primitive, ...]
    caption: str = ""


def cut_outline(box: Box) -> Path:
    """Return the dashed line along which a piece is cut."""
    corners = rectangle(box).points
    return Path(corners, True, "", "faint", 0.15, CUT_DASH_MM)


def _cut(start: Point, finish: Point) -> Path:
    return line((start, finish), "faint", 0.15, CUT_DASH_MM)


def not_fitting(where: str, words: LabelWords, cap_mm: float) -> str:
    """Return the remark about a text that does not fit."""
    said = words.texts[-1] if words.texts else words.designation
    return (
        f"{where} of {words.designation}: “{said}” does not fit with capitals of "
        f"{cap_mm:.3g} mm; give it a shorter legend"
    )


@dataclass(frozen=True, slots=True)
class _Plan:
    """How every cell of one strip is laid out."""

    cross_mm: float
    one_head_line: bool
    turned: bool
    fitted: tuple[Fitted | None, ...]
    text_mm: float


def strips(
    row: Row, least_cap_mm: float, longest_mm: float, remarks: Remarks
) -> tuple[Piece, ...]:
    """Return a row's strip, in as many parts as the paper's length asks for."""
    words = [label_words(cell.cavity) for cell in row.cells]
    plan = (_plan_down if row.down else _plan_across)(row.cells, words, least_cap_mm)
    for each, fitted in zip(words, plan.fitted, strict=True):
        if fitted is None and each.texts:
            remarks.add(not_fitting("Label strip", each, least_cap_mm))
    parts = _parts(row.cells, longest_mm)
    found = []
    for number, (first, last) in enumerate(parts, start=1):
        cells = row.cells[first:last]
        caption = (
            f"{'Column' if row.down else 'Row'} {cells[0].cavity.designation} to "
            f"{cells[-1].cavity.designation}"
        )
        if len(parts) > 1:
            caption += f", part {number} of {len(parts)}"
        items = _strip_items(
            row.down,
            cells,
            words[first:last],
            plan,
            plan.fitted[first:last],
            least_cap_mm,
            remarks,
        )
        length = cells[-1].finish_mm - cells[0].start_mm
        size = Size(plan.cross_mm, length) if row.down else Size(length, plan.cross_mm)
        found.append(Piece(size, items, caption))
    return tuple(found)


def _parts(cells: Sequence[Cell], longest_mm: float) -> list[tuple[int, int]]:
    """Return the runs of cells that each fit on the paper, of about equal length."""
    total = cells[-1].finish_mm - cells[0].start_mm
    count = math.ceil(total / longest_mm - 1e-9)
    widest = max(cell.length_mm for cell in cells)
    even = _runs(cells, min(longest_mm, total / count + widest / 2))
    return even if len(even) <= count else _runs(cells, longest_mm)


def _runs(cells: Sequence[Cell], longest_mm: float) -> list[tuple[int, int]]:
    found, first = [], 0
    for number, cell in enumerate(cells):
        length = cell.finish_mm - cells[first].start_mm
        if length > longest_mm + 1e-9 and number > first:
            found.append((first, number))
            first = number
    return [*found, (first, len(cells))]


def _inner(cell: Cell) -> float:
    return cell.length_mm - 2 * PAD_MM


def _head_width(words: LabelWords, cap_mm: float) -> float:
    width = text_width_mm(words.designation, Face.BOLD, cap_mm * _HEAD)
    if words.rating:
        width += 1.5 * cap_mm + text_width_mm(words.rating, Face.REGULAR, cap_mm)
    return width


def _head_mm(one_line: bool, cap_mm: float) -> float:
    """Return the height from the top of the designation to the top of the text."""
    head = cap_mm * _HEAD + 0.6 * cap_mm
    return head if one_line else head + LINE_PITCH * cap_mm


def _plan_across(
    cells: Sequence[Cell], words: Sequence[LabelWords], cap_mm: float
) -> _Plan:
    one_line = all(
        _head_width(each, cap_mm) <= _inner(cell)
        for cell, each in zip(cells, words, strict=True)
    )
    head = _head_mm(one_line, cap_mm)
    lines = 3
    deepest = cap_mm * (1 + LINE_PITCH * (lines - 1))
    upright = tuple(
        fit_label(each.texts, _inner(cell), deepest, cap_mm, lines)
        for cell, each in zip(cells, words, strict=True)
    )
    turned = tuple(
        fit_label(each.texts, _TURNED_LENGTH_MM, _inner(cell), cap_mm)
        for cell, each in zip(cells, words, strict=True)
    )
    turn = _unfit(turned, words) < _unfit(upright, words)
    fitted = turned if turn else upright
    used = [each.width_mm if turn else each.height_mm for each in fitted if each]
    text = max(used, default=0.0)
    if not text:
        head -= 0.6 * cap_mm
    return _Plan(head + text + 2 * PAD_MM, one_line, turn, fitted, text)


def _plan_down(
    cells: Sequence[Cell], words: Sequence[LabelWords], cap_mm: float
) -> _Plan:
    """Choose the narrowest strip on which most cells have their longest text."""
    best: tuple[tuple[int, int], _Plan] | None = None
    head = _head_mm(True, cap_mm)
    for width in _WIDTHS_MM:
        inner = width - 2 * PAD_MM
        fitted = tuple(
            fit_label(each.texts, inner, _inner(cell) - head, cap_mm, 3)
            for cell, each in zip(cells, words, strict=True)
        )
        if any(_head_width(each, cap_mm) > inner for each in words):
            continue
        shorter = sum(
            1
            for each, fit in zip(words, fitted, strict=True)
            if fit and _joined(fit) != _joined_text(each.texts[0])
        )
        score = (_unfit(fitted, words), shorter)
        if best is None or score < best[0]:
            best = (score, _Plan(width, True, False, fitted, 0.0))
    if best is None:
        width = max(_head_width(each, cap_mm) for each in words) + 2 * PAD_MM
        return _Plan(width, True, False, tuple(None for _ in cells), 0.0)
    return best[1]


def _joined(fitted: Fitted) -> str:
    return _joined_text("".join(fitted.lines))


def _joined_text(text: str) -> str:
    return "".join(text.split())


def _unfit(fitted: Sequence[Fitted | None], words: Sequence[LabelWords]) -> int:
    return sum(
        1 for each, fit in zip(words, fitted, strict=True) if each.texts and not fit
    )


def _strip_items(
    down: bool,
    cells: Sequence[Cell],
    words: Sequence[LabelWords],
    plan: _Plan,
    fitted: Sequence[Fitted | None],
    cap_mm: float,
    remarks: Remarks,
) -> tuple[Primitive, ...]:
    start, cross = cells[0].start_mm, plan.cross_mm
    items: list[Primitive] = []
    for cell, each, fit in zip(cells, words, fitted, strict=True):
        near, far = cell.start_mm - start, cell.finish_mm - start
        box = Box(0.0, near, cross, far) if down else Box(near, 0.0, far, cross)
        items += _label_in(box, each, fit, plan, cap_mm, remarks)
        if cell is not cells[-1]:
            items.append(
                _cut(Point(0.0, far), Point(cross, far))
                if down
                else _cut(Point(far, 0.0), Point(far, cross))
            )
    length = cells[-1].finish_mm - start
    whole = Box(0.0, 0.0, cross, length) if down else Box(0.0, 0.0, length, cross)
    return (cut_outline(whole), *items)


def _label_in(
    box: Box,
    words: LabelWords,
    fit: Fitted | None,
    plan: _Plan,
    cap_mm: float,
    remarks: Remarks,
) -> list[Primitive]:
    """Set one label in a box: designation, rating, then the text below."""
    middle, inner = box.centre.x_mm, box.width_mm - 2 * PAD_MM
    head = _head_mm(plan.one_head_line, cap_mm)
    high = plan.text_mm if plan.text_mm else fit.height_mm if fit else -0.6 * cap_mm
    top = box.centre.y_mm - (head + high) / 2
    items = _head(words, middle, top, inner, plan.one_head_line, cap_mm)
    if not items:
        remarks.add(
            f"Label of {words.designation}: the designation does not fit with "
            f"capitals of {cap_mm:.3g} mm; give it a shorter one"
        )
    if fit is None:
        return items
    under = top + head
    if plan.turned:
        items += turned_lines(fit, Point(middle, under + plan.text_mm / 2))
    else:
        items += fit.texts(Point(middle, under + fit.height_mm / 2))
    return items


def _head(
    words: LabelWords,
    middle_mm: float,
    top_mm: float,
    inner_mm: float,
    one_line: bool,
    cap_mm: float,
) -> list[Primitive]:
    """Set designation and rating; nothing when the designation is too wide."""
    name, bold = words.designation, Face.BOLD
    baseline = top_mm + cap_mm * _HEAD
    if one_line:
        width = _head_width(words, cap_mm)
        if width > inner_mm + 1e-6:
            return []
        at = Point(middle_mm - width / 2, baseline)
        items: list[Primitive] = [Text(name, at, cap_mm * _HEAD, bold, "start")]
        if words.rating:
            end = Point(middle_mm + width / 2, baseline)
            items.append(Text(words.rating, end, cap_mm, Face.REGULAR, "end"))
        return items
    fitted = fit_text((name,), inner_mm, 99.0, cap_mm, cap_mm * _HEAD, bold, lines=1)
    if fitted is None:
        return []
    items = [Text(name, Point(middle_mm, baseline), fitted.cap_mm, bold)]
    if words.rating:
        at = Point(middle_mm, baseline + LINE_PITCH * cap_mm)
        items.append(Text(words.rating, at, cap_mm))
    return items


def turned_lines(fit: Fitted, centre: Point) -> list[Primitive]:
    """Return lines that read upwards, the stack centred on a point."""
    pitch = LINE_PITCH * fit.cap_mm
    first = centre.x_mm - fit.height_mm / 2 + fit.cap_mm
    return [
        Text(
            text,
            Point(first + number * pitch, centre.y_mm),
            fit.cap_mm,
            fit.face,
            turn_deg=-90.0,
        )
        for number, text in enumerate(fit.lines)
    ]


def single_size(cavities: Sequence[Cavity], cap_mm: float) -> Size:
    """Return one size for all single labels: as narrow as most texts allow."""
    wide, lines = 14.0, 0
    for cavity in cavities:
        words = label_words(cavity)
        wide = max(wide, min(_WIDEST_MM, _head_width(words, cap_mm) + 2 * PAD_MM))
        fit = _single_fit(words, _WIDEST_MM - 2 * PAD_MM, cap_mm)
        if fit:
            wide = max(wide, fit.width_mm + 2 * PAD_MM)
    for cavity in cavities:
        fit = _single_fit(label_words(cavity), wide - 2 * PAD_MM, cap_mm)
        lines = max(lines, len(fit.lines) if fit else 0)
    text = cap_mm * (1 + LINE_PITCH * (lines - 1)) if lines else -0.6 * cap_mm
    return Size(wide, _head_mm(True, cap_mm) + text + 2.4 * PAD_MM)


_WIDEST_MM = 44.0


def _single_fit(words: LabelWords, inner_mm: float, cap_mm: float) -> Fitted | None:
    return fit_label(words.texts, inner_mm + 1e-6, 2.5 * cap_mm, cap_mm)


def single_label(cavity: Cavity, size: Size, cap_mm: float, remarks: Remarks) -> Piece:
    """Return one label with its cut line round it."""
    words = label_words(cavity)
    inner = size.width_mm - 2 * PAD_MM
    fit = _single_fit(words, inner, cap_mm)
    if fit is None and words.texts:
        remarks.add(not_fitting("Single label", words, cap_mm))
    box = Box(0.0, 0.0, size.width_mm, size.height_mm)
    plan = _Plan(size.height_mm, True, False, (fit,), 0.0)
    label = _label_in(box, words, fit, plan, cap_mm, remarks)
    return Piece(size, (cut_outline(box), *label))
