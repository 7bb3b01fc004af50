"""The figure of a block on a work sheet: as large as fits, with a scale of millimetres.

The scale under the figure counts from the left edge of the block as it is seen, so a
place is found with a ruler held against the part. Labels can say the wires instead of
the legends.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from blockmap.drawing.figure import (
    FigureStyle,
    KeyEntry,
    figure_bounds,
    figure_key,
    figure_primitives,
    layout_labels,
    view_heading,
)
from blockmap.drawing.primitives import Face, Primitive, Text, line, moved
from blockmap.model.document import Block, Cavity, Evidence, Map
from blockmap.model.geometry import Box, Point, Size, View
from blockmap.model.units import number_text
from blockmap.model.written import wire_text
from blockmap.reference.wire_colours import show_colour
from blockmap.sheets.pages import SMALL_CAP_MM
from blockmap.sheets.wire_words import words_at_ends
from blockmap.sheets.work_pages import WorkPages

__all__ = ["put_figure", "put_figure_key", "with_wires_as_labels"]

_LARGEST = 3.0
_AXIS_MM = 9.0
_BESIDE_MM = 6.0
"""Room beside the figure for the last number of the scale."""
_LETTERS_MM = 2.0
_KEY_LEFT_OUT = ("body blade", "body plain", "body colour")


def with_wires_as_labels(document: Map, block: Block) -> Map:
    """Return the map with the wires of each cavity of a block in place of its legend.

    How the wires are known becomes how the legend is known, so that wires nobody has
    seen stand in italics with a question mark.
    """
    cavities = dict(document.cavities)
    code = document.car.colour_code
    for cavity in document.cavities_of(block.id):
        cavities[cavity.id] = _rewritten(cavity, code)
    return replace(document, cavities=cavities)


def _rewritten(cavity: Cavity, code: str) -> Cavity:
    parts: list[str] = []
    short: list[str] = []
    bare = ""
    for name in cavity.contact_names:
        wires = cavity.contact(name).wires
        if not wires:
            continue
        said = " + ".join(_short(wire_text(wire, code)) for wire in wires)
        plain = name in (cavity.main_contact, "pin")
        parts.append(said if plain else f"{name}: {said}")
        if plain:
            short = [said]
            colours = [show_colour(w.colour, code) for w in wires if w.colour]
            bare = " + ".join(colours)
    known: Mapping[str, Evidence] = {
        key: value for key, value in cavity.evidence.items() if key != "legend"
    }
    if "wires" in known:
        known = {**known, "legend": known["wires"]}
    return replace(
        cavity,
        circuit="",
        legend_long="; ".join(parts),
        legend=" ".join(short),
        legend_short=bare,
        evidence=known,
    )


def _short(text: str) -> str:
    return text.replace(" AWG", "").replace(" mm2", "")


def _style(block: Block, view: View, scale: float, *, legend: bool) -> FigureStyle:
    return FigureStyle(
        block.size,
        view,
        least_cap_mm=1.5 / scale,
        label_cap_mm=_LETTERS_MM / scale,
        line_mm=0.18 / scale,
        legend=legend,
    )


def _scale(document: Map, block: Block, view: View, room: Size, legend: bool) -> float:
    """Return the largest scale at which everything drawn fits, in two steps."""
    scale = _LARGEST
    for _ in range(4):
        style = _style(block, view, scale, legend=legend)
        bounds = figure_bounds(document, block.id, style)
        fits = min(room.width_mm / bounds.width_mm, room.height_mm / bounds.height_mm)
        if fits >= scale - 1e-6:
            break
        scale = min(fits, scale)
    return scale


def put_figure(
    pages: WorkPages,
    document: Map,
    block: Block,
    view: View,
    *,
    most_mm: float,
    legend: bool = True,
    at_ends: bool = False,
) -> float:
    """Draw the figure of a block in the middle of the page, with its scale below.

    most_mm is the most height it may take, unless the figure would come out below
    true size: then it has the rest of the page. With at_ends legends that find no
    room beside a body may stand beyond its main contact. Returns the scale.
    """
    area = pages.area
    room = Size(area.width_mm - _BESIDE_MM, min(most_mm, pages.left_mm) - _AXIS_MM)
    scale = _scale(document, block, view, room, legend)
    if scale < 1.0 and pages.left_mm > most_mm:
        room = Size(room.width_mm, pages.left_mm - _AXIS_MM)
        scale = min(1.0, _scale(document, block, view, room, legend))
    style = _style(block, view, scale, legend=legend)
    bounds = figure_bounds(document, block.id, style)
    high = bounds.height_mm * scale + _AXIS_MM
    pages.room(high)
    dx = area.centre.x_mm - bounds.centre.x_mm * scale
    dy = pages.y - bounds.top_mm * scale
    figure = list(figure_primitives(document, block.id, style))
    if at_ends:
        labels = layout_labels(document, block.id, style)
        figure += words_at_ends(document, block, style, labels)
    items = moved(figure, dx, dy, scale)
    base = pages.y + bounds.height_mm * scale + 1.8
    axis = _axis(block, dx, base, scale, view, area)
    pages.put((*items, *axis), high)
    return scale


def _axis(
    block: Block, left: float, y: float, scale: float, view: View, area: Box
) -> list[Primitive]:
    """Return the scale of millimetres from the left edge as seen."""
    step = next(s for s in (5, 10, 20, 50, 100, 200, 500) if s * scale >= 9)
    width = block.width_mm * scale
    items: list[Primitive] = [line((Point(left, y), Point(left + width, y)), "ink")]
    count = int(block.width_mm // step)
    for number in range(count + 1):
        x = left + number * step * scale
        items.append(line((Point(x, y), Point(x, y + 1.4)), "ink"))
        at = Point(x, y + 1.8 + SMALL_CAP_MM)
        items.append(Text(str(number * step), at, SMALL_CAP_MM))
    words = f"mm from the left edge; {view_heading(view, block).lower()}"
    if abs(scale - 1) > 0.005:
        words += f"; drawn at {number_text(round(scale, 2))} times true size"
    at = Point(area.centre.x_mm, y + 2.9 + 2 * SMALL_CAP_MM)
    items.append(Text(words, at, SMALL_CAP_MM, Face.REGULAR))
    return items


def put_figure_key(
    pages: WorkPages,
    document: Map,
    block: Block,
    view: View,
    *,
    left_out: Collection[str] = _KEY_LEFT_OUT,
) -> None:
    """Set the key of the marks that a figure uses."""
    style = _style(block, view, 1.0, legend=True)
    entries: tuple[KeyEntry, ...] = tuple(
        entry
        for entry in figure_key(document, block.id, style)
        if entry.mark not in left_out
    )
    if entries:
        pages.heading("Marks of the figure", 6.0)
        pages.key(entries)
