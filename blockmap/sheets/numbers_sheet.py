"""The numbers sheet: loads, fuses, wires and drops of every place, with their origin.

Each number refers to its formula, each formula to its documents at the end. Verdicts
stand in words. What the map does not say is left open, never guessed.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from blockmap.analysis.findings import Checked, Level, checked
from blockmap.analysis.numbers.cavity_figures import CavityFigures, DropFigures
from blockmap.analysis.numbers.figure import Comparison, Figure, shown
from blockmap.analysis.numbers.limits import LIMIT_ROWS
from blockmap.drawing.primitives import Face
from blockmap.model.document import Cavity, Map
from blockmap.model.edits import limit_text
from blockmap.model.ids import key_of
from blockmap.model.units import number_text
from blockmap.reference.sources import Status
from blockmap.sheets.finding_words import put_findings
from blockmap.sheets.pages import Sheet
from blockmap.sheets.work_pages import Cell, TableColumn, WorkPages

__all__ = ["compose_numbers"]

_PLACES = (
    TableColumn(title="Place", width_mm=15),
    TableColumn(title="Circuit", width_mm=40),
    TableColumn(title="Rating, A", width_mm=13, ends=True),
    TableColumn(title="Fitted, A", width_mm=13, ends=True),
    TableColumn(title="Load all the time, A", width_mm=23, ends=True),
    TableColumn(title="Running at once, A", width_mm=25, ends=True),
    TableColumn(title="Thinnest wire", width_mm=21),
    TableColumn(title="It bears, A", width_mm=15, ends=True),
    TableColumn(title="Drop along it, V", width_mm=23, ends=True),
    TableColumn(title="Left, V", width_mm=12, ends=True),
    TableColumn(title="Verdict", width_mm=50),
    TableColumn(title="Formulas", width_mm=26),
)
_FEEDS = (
    TableColumn(title="Strip or supply", width_mm=40),
    TableColumn(title="Running at once, A", width_mm=24, ends=True),
    TableColumn(title="Worst, with rush, A", width_mm=24, ends=True),
    TableColumn(title="Supply wire", width_mm=26),
    TableColumn(title="It bears, A", width_mm=20, ends=True),
    TableColumn(title="Verdict", width_mm=70),
    TableColumn(title="Formulas", width_mm=28),
)
_FORMULAS = (
    TableColumn(title="No.", width_mm=12, ends=True),
    TableColumn(title="Number", width_mm=54),
    TableColumn(title="Value", width_mm=38),
    TableColumn(title="Formula with its numbers", width_mm=88),
    TableColumn(title="Known how", width_mm=36),
    TableColumn(title="Sources", width_mm=22),
)
_LIMITS = (
    TableColumn(title="Limit", width_mm=50),
    TableColumn(title="For this map", width_mm=36),
    TableColumn(title="Default", width_mm=30),
    TableColumn(title="What it is", width_mm=110),
)


@dataclass(slots=True)
class _Origins:
    """Numbers formulas and documents as they come up, each once."""

    formulas: dict[tuple[str, str, str], int] = field(default_factory=dict)
    figures: list[Figure] = field(default_factory=list)
    sources: dict[str, int] = field(default_factory=dict)

    def of(self, *figures: Figure) -> str:
        """Return the numbers of the formulas behind figures, such as '3, 4, 7'."""
        numbers: dict[int, None] = {}
        for figure in figures:
            for step in figure.trail():
                if step.formula == step.text and not step.sources:
                    continue  # as it was entered: nothing to explain
                numbers[self._number(step)] = None
        return ", ".join(map(str, sorted(numbers)))

    def _number(self, figure: Figure) -> int:
        key = (figure.name, figure.formula, figure.band_text)
        if key not in self.formulas:
            self.formulas[key] = len(self.formulas) + 1
            self.figures.append(figure)
        return self.formulas[key]

    def documents(self, figure: Figure) -> str:
        """Return the letters of the documents of a figure, such as 'S2, S5'."""
        marks = []
        for source in figure.sources:
            where = f" ({source.address})" if source.address else ""
            number = self.sources.setdefault(
                source.title + where, len(self.sources) + 1
            )
            marks.append(f"S{number}")
        return ", ".join(marks)


def compose_numbers(document: Map, *, paper: str = "a4") -> Sheet:
    """Return the numbers of a whole map.

    Raises ValueError for a paper that is not known.
    """
    pages = WorkPages(
        document, "numbers", "Numbers: loads, fuses, wires, drops", paper, lying=True
    )
    result = checked(document)
    origins = _Origins()
    pages.new_page()
    pages.paragraph(
        "Computed from what the map says, by the formulas and documents named below. "
        "A fuse protects the wire: never fit a larger one than specified. The service "
        "manual, local rules and licensed practice decide."
    )
    _places(pages, document, result, origins)
    _feeds(pages, document, result, origins)
    counted = tuple(
        finding
        for finding in result.findings
        if finding.figures
        or finding.level is Level.ERROR
        or finding.accepted is not None
    )
    put_findings(pages, document, counted)
    _limits(pages, document)
    _formulas(pages, origins)
    return pages.sheet()


def _places(
    pages: WorkPages, document: Map, result: Checked, origins: _Origins
) -> None:
    said = False
    for block in document.blocks.values():
        rows = [
            _place(cavity, result.figures.cavities[cavity.id], origins)
            for cavity in document.cavities_of(block.id)
            if _worth_a_row(result.figures.cavities[cavity.id])
        ]
        if rows:
            pages.table(_PLACES, rows, title=block.name or block.id)
            said = True
    if not said:
        pages.paragraph(
            "No number follows yet: enter loads with amps or watts, and the gauge of "
            "the wires."
        )


def _worth_a_row(own: CavityFigures) -> bool:
    return bool(own.loads or own.rating_and_wire or own.fitted_and_wire or own.drops)


def _place(cavity: Cavity, own: CavityFigures, origins: _Origins) -> list[Cell | str]:
    loads = own.loads
    bears = [wire for wire in own.guarded if wire.most is not None]
    thinnest = min(bears, key=lambda w: w.most.value if w.most else 0.0, default=None)
    drop = max(own.drops, key=lambda each: each.drop.value, default=None)
    used = [*(() if loads is None else (loads.continuous, loads.running))]
    if thinnest is not None and thinnest.most is not None:
        used.append(thinnest.most)
    if own.share_and_load is not None:
        used.append(own.share_and_load.limit)
    if drop is not None:
        used += [drop.drop, drop.left, drop.advice.limit]
    return [
        Cell(text=cavity.designation, face=Face.BOLD),
        cavity.circuit or cavity.legend,
        _amps(cavity.rating_a),
        _amps(cavity.fitted_a),
        "" if loads is None else _with_band(loads.continuous),
        "" if loads is None else _with_band(loads.running),
        "" if thinnest is None else thinnest.gauge,
        "" if thinnest is None or thinnest.most is None else shown(thinnest.most.value),
        "" if drop is None else _with_band(drop.drop),
        "" if drop is None else shown(drop.left.value),
        _verdict(own, drop),
        origins.of(*used),
    ]


def _amps(amps_a: float | None) -> str:
    return "" if amps_a is None else number_text(amps_a)


def _with_band(figure: Figure) -> str:
    if figure.is_least:
        return f"{shown(figure.low)} or more" if figure.low else "not known"
    low, value, high = map(shown, (figure.low, figure.value, figure.high))
    return value if low == high else f"{value} ({low} to {high})"


def _verdict(own: CavityFigures, drop: DropFigures | None) -> Cell:
    held = (
        ("load all the time", own.share_and_load),
        ("load", own.rating_and_load),
        ("load on the fitted fuse", own.fitted_and_load),
        ("rating on the wire", own.rating_and_wire),
        ("fitted fuse on the wire", own.fitted_and_wire),
        ("load on the contact", own.contact),
        ("drop", drop.advice if drop else None),
    )
    above = [_above(name, each) for name, each in held if each and not each.holds]
    if above:
        return Cell(text="; ".join(above), face=Face.BOLD)
    judged = [each for _, each in held if each is not None]
    if any(each.holds_so_far for each in judged):
        return Cell(text="holds so far")
    return Cell(text="holds" if judged else "")


def _above(name: str, held: Comparison) -> str:
    word = "ABOVE" if held.surely_broken else "perhaps above"
    share = f"{held.share:.0%}".replace("%", " %")
    return f"{name} {word}: {share} of {held.limit.text}"


def _feeds(pages: WorkPages, document: Map, result: Checked, origins: _Origins) -> None:
    rows: list[list[Cell | str]] = []
    for strip in document.strips.values():
        found = result.figures.strips[strip.id]
        if found.loads is None:
            continue
        held, used = found.supply, [found.loads.running]
        if held is not None:
            used.append(held.limit)
        word = ""
        if held is not None:
            word = "holds so far" if held.holds_so_far else "holds"
            word = word if held.holds else _above("load", held)
        rows.append(
            [
                Cell(text=strip.name or key_of(strip.id), face=Face.BOLD),
                _with_band(found.loads.running),
                _with_band(found.loads.worst),
                strip.supply_gauge,
                "" if held is None else shown(held.limit.value),
                word,
                origins.of(*used),
            ]
        )
    for node, loads in result.figures.supplies.items():
        if node.kind == "supply":
            running, worst = _with_band(loads.running), _with_band(loads.worst)
            numbers = origins.of(loads.running)
            name = Cell(text=node.name or "Supply", face=Face.BOLD)
            rows.append([name, running, worst, "", "", "", numbers])
    if rows:
        pages.table(_FEEDS, rows, title="Strips and supplies")


def _limits(pages: WorkPages, document: Map) -> None:
    rows: list[list[Cell | str]] = []
    for key, row in LIMIT_ROWS.items():
        own = getattr(document.limits, key)
        unit = "%" if row.share else row.default.unit
        if own is not None:
            mine = f"{limit_text(key, own)} {unit}".rstrip()
            default = f"{limit_text(key, row.default.value)} {unit}".rstrip()
            said = Cell(text=f"{mine}, set by the owner", face=Face.BOLD)
            rows.append([row.label, said, default, row.help])
    if rows:
        pages.table(
            _LIMITS, rows, title="Limits set for this map in place of the defaults"
        )


def _formulas(pages: WorkPages, origins: _Origins) -> None:
    if not origins.figures:
        return
    rows: list[list[Cell | str]] = []
    for number, figure in enumerate(origins.figures, start=1):
        documents = origins.documents(figure)
        known = figure.status.value
        if figure.status is Status.COMMON_PRACTICE and not documents:
            known += ", no source"
        if figure.status is Status.MEMORY:
            known = "from memory, not checked"
        if "limit set by you" in figure.note:
            known += ", limit set by the owner"
        value, formula = figure.band_text, figure.formula
        rows.append([str(number), figure.name, value, formula, known, documents])
    pages.table(_FORMULAS, rows, title="Formulas with their numbers")
    if origins.sources:
        pages.heading("Sources")
        for title, number in origins.sources.items():
            pages.paragraph(f"S{number}: {title}")
