"""The survey sheet: a grid of contacts and states to fill in by pencil at the car.

What the readings of the map say already stands in its box. The second table is for
pulling: what stopped with each fuse out. It teaches no probing; places that are not to
be probed have no boxes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.survey import Found, Survey, survey_of
from blockmap.drawing.figure import view_heading
from blockmap.drawing.primitives import Face, Path, rectangle
from blockmap.model.document import Cavity, Map
from blockmap.model.geometry import Box, View
from blockmap.model.ids import BlockId, ContactRef
from blockmap.reference.cautions import caution_named
from blockmap.sheets.label_words import DO_NOT_USE
from blockmap.sheets.pages import Sheet
from blockmap.sheets.work_pages import Cell, TableColumn, WorkPages

__all__ = ["compose_survey"]

_PLACE_MM, _CONTACT_MM, _STATE_MM = 42.0, 26.0, 20.0
_MOST_UPRIGHT = 9
"""More states than these make boxes too narrow for a pencil on upright paper."""
_BOX_HIGH_MM = 4.7
_GAP_MM = 2.4
_CAUTIONS = ("female terminals", "airbag", "test lamp", "high voltage")
_PULLED_KINDS = ("fuse", "breaker", "link", "flasher", "relay")
_PULLED = (
    TableColumn(title="Out", width_mm=46),
    TableColumn(title="Should stop, by the map", width_mm=80),
    TableColumn(title="Stopped", width_mm=70),
    TableColumn(title="Went on", width_mm=60),
)


def compose_survey(document: Map, block: BlockId, *, paper: str = "a4") -> Sheet:
    """Return the survey sheet of one block.

    Raises KeyError for a block the map has not, ValueError for an unknown paper.
    """
    part = document.blocks[block]
    title = f"Survey: {part.name or part.id}"
    pages = WorkPages(document, "survey", title, paper, block=part)
    network = network_of(document)
    survey = survey_of(document, network)
    pages.lying = len(survey.states) > _MOST_UPRIGHT
    pages.view = view_heading(View.FRONT, part)
    pages.new_page()
    pages.paragraph(
        "Meter minus on clean ground, plus at the fuse's own test point or at bare "
        "metal. Write volts, or L live, D dead, M dim. Left, right, top and bottom are "
        "as seen from the front. Nothing in a box means not tested."
    )
    pages.cautions(_CAUTIONS)
    barred = {
        (point.cavity, point.contact)
        for point in network.points.values()
        if point.off_limits
    }
    cavities = [c for c in document.cavities_of(block) if c.kind != "blank"]
    pages.heading("Which contact is live in which state")
    if not cavities:
        pages.paragraph("This block has no places yet. Enter them, and print again.")
        return pages.sheet()
    _grid(pages, cavities, survey, barred)
    pulled = [c for c in cavities if c.kind in _PULLED_KINDS]
    if pulled:
        pages.heading("By pulling: with this one out, what stopped and what went on")
        pages.paragraph(
            f"{caution_named('circuit off').text} One at a time; the same fuse goes "
            "back before the next comes out."
        )
        told = {each.cavity: each for each in survey.pulled}
        rows: list[list[Cell | str]] = []
        for cavity in pulled:
            known = told.get(cavity.id)
            rows.append(
                [
                    Cell(text=_named(cavity), face=Face.BOLD),
                    "; ".join(load.name for load in cavity.loads),
                    _filled(known.stopped if known else ()),
                    _filled(known.still if known else ()),
                ]
            )
        pages.table(_PULLED, rows)
    return pages.sheet()


def _filled(names: tuple[str, ...]) -> Cell:
    return Cell(text="; ".join(names)) if names else Cell(blank=True)


def _named(cavity: Cavity) -> str:
    """Return designation and legend, and below them that it is not to be used."""
    legend = cavity.legend or cavity.circuit
    named = f"{cavity.designation}  {legend}" if legend else cavity.designation
    return f"{named}\n{DO_NOT_USE}" if cavity.unusable else named


def _contacts(cavity: Cavity) -> Iterator[tuple[str, str]]:
    """Yield each contact with its words: the feed says on which side it lies."""
    for name in cavity.contact_names:
        side = cavity.feed_side if name == "feed" else "unknown"
        yield name, f"{name}, {side}" if side != "unknown" else name


def _grid(
    pages: WorkPages,
    cavities: list[Cavity],
    survey: Survey,
    barred: set[tuple[str, str]],
) -> None:
    states = survey.states
    whole = _PLACE_MM + _CONTACT_MM + _STATE_MM * len(states)
    box = _box(_STATE_MM * pages.area.width_mm / whole)
    columns = [
        TableColumn(title="Place", width_mm=_PLACE_MM),
        TableColumn(title="Contact", width_mm=_CONTACT_MM),
        *(TableColumn(title=state, width_mm=_STATE_MM) for state in states),
    ]
    rows: list[list[Cell | str]] = []
    groups: list[int] = []
    for cavity in cavities:
        groups.append(len(rows))
        for number, (name, words) in enumerate(_contacts(cavity)):
            known = survey.grid.get(ContactRef(cavity.id, name), {})
            place = Cell(text=_named(cavity), face=Face.BOLD) if not number else ""
            closed = (cavity.id, name) in barred or (cavity.id, "b1") in barred
            rows.append([place, words, *_boxes(states, known, box, closed=closed)])
    pages.table(columns, rows, groups=groups)
    pages.paragraph(
        f"{survey.tested} tested, {survey.untested} feed contacts and states not "
        "tested, in the whole map."
    )


def _box(column_mm: float) -> Path:
    """Return an empty box to write in, as wide as its column allows."""
    wide = column_mm - _GAP_MM
    return rectangle(Box(0.0, 0.3, wide, _BOX_HIGH_MM), "paper", "ink", 0.2)


def _boxes(
    states: tuple[str, ...], known: Mapping[str, Found], box: Path, *, closed: bool
) -> Iterator[Cell]:
    for number, state in enumerate(states):
        if closed:
            yield Cell(text="not to be probed" if not number else "", face=Face.ITALIC)
        elif state in known:
            yield Cell(text=known[state].text())
        else:
            yield Cell(mark=(box,))
