"""Writes pages as a PDF: the only module that knows reportlab.

Millimetres become points here, once, and y is turned up. The file asks for no print
scaling, embeds the parts of the fonts it uses, and is the same bytes each time. It
decides nothing about what is on a page.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any

from blockmap.drawing.palette import PRINT, Palette
from blockmap.drawing.primitives import Ellipse, Face, Path, Text
from blockmap.drawing.typeface import cap_to_em, font_file, runs, text_width_mm
from blockmap.sheets.pages import Clipped, Page, PageItem, Picture, Sheet

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["pdf_bytes"]

POINTS_PER_MM = 72 / 25.4
"""A point is 1/72 inch: PDF 32000-1, 8.3.2.3, default user space."""

_KAPPA = 4 * (math.sqrt(2) - 1) / 3
"""Control length of the cubic that comes nearest to a quarter circle."""


def pdf_bytes(sheet: Sheet, document_title: str) -> bytes:
    """Return the sheet as a PDF whose window title is the document's title."""
    from io import BytesIO

    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    # Bytes as they are: letters in place of bytes cost time and a quarter more room.
    rl_config.useA85 = 0
    buffer = BytesIO()
    canvas = Canvas(
        buffer,
        invariant=1,
        pageCompression=1,
        lang="en-GB",
        # Otherwise each page names a font that is neither used nor embedded. The
        # type stub takes the name for a number.
        initialFontName=_font_name(Face.REGULAR),  # type: ignore[arg-type]
    )
    canvas.setTitle(document_title)
    canvas.setSubject(sheet.title)
    canvas.setAuthor("")
    canvas.setCreator("blockmap")
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    for page in sheet.pages:
        _draw_page(canvas, page)
    canvas.save()
    return buffer.getvalue()


def _draw_page(canvas: Canvas, page: Page) -> None:
    width, height = page.width_mm * POINTS_PER_MM, page.height_mm * POINTS_PER_MM
    canvas.setPageSize((width, height))
    _Pen(canvas, height, PRINT).draw(page.primitives)
    canvas.showPage()


class _Pen:
    """Draws primitives on one page, leaving out what has not changed since the last."""

    def __init__(self, canvas: Canvas, height_pt: float, palette: Palette) -> None:
        self._canvas = canvas
        self._height_pt = height_pt
        self._palette = palette
        self._inks: dict[tuple[str, str], str] = {}
        self._state: dict[str, str] = {}
        self._waiting: list[str] = []

    def draw(self, items: Iterable[PageItem]) -> None:
        for item in items:
            self._draw_one(item)
        self._flush()

    def _draw_one(self, item: PageItem) -> None:
        if isinstance(item, Text):
            self._text(item)
        elif isinstance(item, Path):
            if item.points:
                self._shape(item, " ".join(self._path(item)), item.dash_mm)
        elif isinstance(item, Ellipse):
            self._shape(item, " ".join(self._ellipse(item)), ())
        elif isinstance(item, Picture):
            self._picture(item)
        else:
            self._clipped(item)

    def _picture(self, item: Picture) -> None:
        from io import BytesIO

        from reportlab.lib.utils import ImageReader

        self._flush()
        left, top, right, bottom = item.box
        self._canvas.drawImage(
            ImageReader(BytesIO(item.data)),
            left * POINTS_PER_MM,
            self._height_pt - bottom * POINTS_PER_MM,
            (right - left) * POINTS_PER_MM,
            (bottom - top) * POINTS_PER_MM,
        )

    def _clipped(self, item: Clipped) -> None:
        left, top, right, bottom = item.box
        x, y = self._place(left, bottom)
        wide, high = (right - left) * POINTS_PER_MM, (bottom - top) * POINTS_PER_MM
        kept = dict(self._state)
        self._waiting.append(f"q {x} {y} {wide:.4f} {high:.4f} re W n")
        for inner in item.primitives:
            self._draw_one(inner)
        self._waiting.append("Q")
        self._state = kept

    def _place(self, x_mm: float, y_mm: float) -> tuple[str, str]:
        return (
            f"{x_mm * POINTS_PER_MM:.4f}",
            f"{self._height_pt - y_mm * POINTS_PER_MM:.4f}",
        )

    def _flush(self) -> None:
        if self._waiting:
            self._canvas.addLiteral("\n".join(self._waiting), escaped=1)
            self._waiting.clear()

    def _set(self, name: str, operators: str) -> None:
        if self._state.get(name) != operators:
            self._state[name] = operators
            self._waiting.append(operators)

    def _ink(self, colour: str, operator: str) -> str:
        found = self._inks.get((colour, operator))
        if found is None:
            rgb = self._palette.resolve(colour)
            parts = (f"{int(rgb[i : i + 2], 16) / 255:.4g}" for i in (1, 3, 5))
            found = f"{' '.join(parts)} {operator}"
            self._inks[colour, operator] = found
        return found

    def _shape(
        self, item: Path | Ellipse, outline: str, dash_mm: tuple[float, ...]
    ) -> None:
        if item.fill:
            self._set("fill", self._ink(item.fill, "rg"))
        if item.stroke:
            self._set("stroke", self._ink(item.stroke, "RG"))
            self._set("width", f"{item.width_mm * POINTS_PER_MM:.4f} w")
            dash = " ".join(f"{length * POINTS_PER_MM:.3f}" for length in dash_mm)
            self._set("dash", f"[{dash}] 0 d")
        operator = _PAINT[bool(item.fill), bool(item.stroke)]
        if operator:
            self._waiting.append(f"{outline} {operator}")

    def _path(self, item: Path) -> Iterator[str]:
        for number, (x_mm, y_mm) in enumerate(item.points):
            x, y = self._place(x_mm, y_mm)
            yield f"{x} {y} {'l' if number else 'm'}"
        if item.closed:
            yield "h"

    def _ellipse(self, item: Ellipse) -> Iterator[str]:
        (cx, cy), rx, ry = item.centre, item.rx_mm, item.ry_mm
        kx, ky = rx * _KAPPA, ry * _KAPPA
        yield " ".join((*self._place(cx + rx, cy), "m"))
        for curve in (
            ((rx, ky), (kx, ry), (0.0, ry)),
            ((-kx, ry), (-rx, ky), (-rx, 0.0)),
            ((-rx, -ky), (-kx, -ry), (0.0, -ry)),
            ((kx, -ry), (rx, -ky), (rx, 0.0)),
        ):
            places = (self._place(cx + dx, cy + dy) for dx, dy in curve)
            yield " ".join(" ".join(place) for place in places) + " c"
        yield "h"

    def _text(self, item: Text) -> None:
        if not item.text:
            return
        self._set("fill", self._ink(item.ink, "rg"))
        size = item.cap_mm * cap_to_em(item.face) * POINTS_PER_MM
        shift = 0.0
        if item.anchor != "start":
            width = text_width_mm(item.text, item.face, item.cap_mm) * POINTS_PER_MM
            shift = width / 2 if item.anchor == "middle" else width
        x = item.at.x_mm * POINTS_PER_MM
        y = self._height_pt - item.at.y_mm * POINTS_PER_MM
        turn = "1 0 0 1"
        if item.turn_deg:
            angle = math.radians(-item.turn_deg)
            cos, sin = round(math.cos(angle), 9), round(math.sin(angle), 9)
            turn = f"{cos:.6f} {sin:.6f} {-sin:.6f} {cos:.6f}"
            x, y = x - shift * cos, y - shift * sin
        else:
            x -= shift
        shown = " ".join(self._shown(item, f"{size:.4f}"))
        self._waiting.append(f"BT {turn} {x:.4f} {y:.4f} Tm {shown} ET")

    def _shown(self, item: Text, size: str) -> Iterator[str]:
        """Yield the operators that show a text, each part in the font that has it.

        They are written here because the canvas takes several times as long for it;
        which part of a font a character is in, the fonts know.
        """
        # Fonts and escapes belong to the document, of which the type stub says nothing.
        canvas: Any = self._canvas
        document = canvas._doc
        parts: Iterable[tuple[str, FilePath]] = ((item.text, font_file(item.face)),)
        if not (item.text.isascii() and item.text.isprintable()):
            parts = runs(item.text, item.face)
        for text, file in parts:
            font = _font(file)
            for subset, codes in font.splitString(text, document):
                name = font.getSubsetInternalName(subset, document)
                yield f"{name} {size} Tf ({canvas._escape(codes)}) Tj"


_PAINT = {
    (True, True): "B",
    (True, False): "f",
    (False, True): "S",
    (False, False): "",
}


def _font_name(face: Face) -> str:
    return _font(font_file(face)).fontName


@cache
def _font(file: FilePath) -> TTFont:
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    font = TTFont(file.stem, str(file))
    registerFont(font)
    return font
