"""What stands on the card: lists by place and by load, spares, patches, off-panel.

Every load of the map is in the list by load, every cavity in the list by place, of
all blocks. Nothing is counted as seen that the map does not say was seen.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from blockmap.analysis.behind.stock import fuse_stock
from blockmap.drawing.picture import amps_text
from blockmap.drawing.primitives import Face
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.document import Cavity, Condition, Map
from blockmap.model.evidence import count_facts, is_doubtful
from blockmap.model.places import PlaceIndex
from blockmap.model.units import number_text
from blockmap.reference.cautions import SHORT_CAUTION
from blockmap.reference.fuse_colours import body_colour
from blockmap.reference.trade_words import SEVERITIES
from blockmap.sheets.card_lines import (
    DOUBT_MM,
    Caption,
    Entry,
    LoadEntry,
    Paragraph,
    PlaceEntry,
    Row,
)
from blockmap.sheets.finding_words import accepted_words, errors_and_accepted
from blockmap.sheets.label_words import DO_NOT_USE
from blockmap.sheets.wire_words import place_words

__all__ = ["Section", "card_sections", "title_section"]


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with its entries; narrow sections run in several columns."""

    title: str
    entries: tuple[Entry, ...]
    narrow: bool = True


def card_sections(document: Map, cap_mm: float) -> tuple[Section, ...]:
    """Return the lists in the order of the card; empty ones are left out."""
    found = (
        Section("Which fuse is it?", tuple(_by_load(document))),
        Section("By place (amps)", tuple(_by_place(document, cap_mm))),
        Section("Spare fuses to carry", tuple(_spares(document))),
        Section("Away from the panel", tuple(_off_panel(document)), narrow=False),
        Section(
            "Damaged, patched, do not use",
            tuple(_damage(document)),
            narrow=False,
        ),
        Section(
            "Wrong by the map, or accepted",
            tuple(_findings(document)),
            narrow=False,
        ),
    )
    return tuple(section for section in found if section.entries)


def title_section(document: Map) -> Section:
    """Return what the first panel says."""
    car = document.car
    volts = f"{number_text(car.volts)} V, {car.polarity}"
    checked = f"checked {car.date}" if car.date else "date not given"
    unusable = [c.designation for c in document.cavities.values() if c.unusable]
    patched = [c.designation for c in document.cavities.values() if c.interim]
    entries: list[Entry] = [
        Paragraph("", head=volts),
        Paragraph(f"Fuses and circuits, {checked}"),
        Paragraph(f"{count_facts(document).words()}"),
        Paragraph("In italics with “?”: not seen on the car", face=Face.ITALIC),
    ]
    if unusable:
        entries.append(Paragraph(", ".join(unusable), head=f"{DO_NOT_USE}:"))
    if patched:
        entries.append(Paragraph(", ".join(patched), head="Patched:"))
    entries.append(Paragraph(SHORT_CAUTION))
    for block in document.blocks.values():
        if block.numbering:
            of = f"{block.name or block.id}: " if len(document.blocks) > 1 else ""
            entries.append(Paragraph(f"{of}{block.numbering}", head="Numbering:"))
    name = " ".join(part for part in (car.name or "Car not named", car.year) if part)
    return Section(name, tuple(entries), narrow=False)


def _place_name(document: Map, cavity: Cavity) -> str:
    """Return the designation, with the block when the map has several."""
    if len(document.blocks) < 2:
        return cavity.designation
    block = document.blocks[cavity.block]
    return f"{cavity.designation}, {block.name or block.id}"


def _legend(cavity: Cavity) -> tuple[str, bool]:
    """Return the longest text of a cavity, and whether nobody has seen it so."""
    if cavity.kind == "blank":
        return "blank", False
    if cavity.circuit and not cavity.legend_long:
        return cavity.circuit, is_doubtful(cavity, "circuit")
    text = cavity.legend_long or cavity.legend or cavity.legend_short
    return text, bool(text) and is_doubtful(cavity, "legend")


def _by_place(document: Map, cap_mm: float) -> Iterable[Entry]:
    several = len(document.blocks) > 1
    for block in document.blocks.values():
        cavities = tuple(document.cavities_of(block.id))
        if several and cavities:
            yield Caption(block.name or block.id)
        widths = [text_width_mm(c.designation, Face.BOLD, cap_mm) for c in cavities]
        name_mm = min(max(widths, default=0.0), 5 * cap_mm) + 1.4 * cap_mm
        amps_mm = _amps_width(cavities, cap_mm)
        for cavity in cavities:
            rated = cavity.rating_a is not None
            legend, doubtful = _legend(cavity)
            yield PlaceEntry(
                cavity.designation,
                amps_text(cavity.rating_a) if cavity.rating_a is not None else "",
                legend or _kind_word(cavity),
                rated and is_doubtful(cavity, "rating_a"),
                doubtful,
                DO_NOT_USE if cavity.unusable else "",
                name_mm,
                amps_mm,
            )


def _amps_width(cavities: Iterable[Cavity], cap_mm: float) -> float:
    """Return the width of the amps column with its question mark; 0 without amps."""
    widths = [
        text_width_mm(amps_text(cavity.rating_a), Face.REGULAR, cap_mm)
        for cavity in cavities
        if cavity.rating_a is not None
    ]
    return max(widths) + DOUBT_MM * cap_mm if widths else 0.0


def _kind_word(cavity: Cavity) -> str:
    return "" if cavity.kind == "fuse" else cavity.kind


def _by_load(document: Map) -> Iterable[Entry]:
    found: dict[str, tuple[str, list[str]]] = {}
    for cavity in document.cavities.values():
        names = [load.name for load in cavity.loads]
        if not names and cavity.kind != "blank" and _legend(cavity)[0]:
            names = [_legend(cavity)[0]]
        for name in names:
            _, places = found.setdefault(name.casefold(), (name, []))
            place = _place_name(document, cavity)
            warnings = ("do not use" if cavity.unusable else "", _patched(cavity))
            said = ", ".join(warning for warning in warnings if warning)
            if said:
                place += f" ({said})"
            if place not in places:
                places.append(place)
    for key in sorted(found):
        name, places = found[key]
        yield LoadEntry(name, ", ".join(places))


def _patched(cavity: Cavity) -> str:
    return "patched" if cavity.interim else ""


def _spares(document: Map) -> Iterable[Entry]:
    """Tell by form and rating how many are in use and how many spares to carry."""
    last = ""
    for stock in fuse_stock(document):
        form = stock.form
        if form != last:
            yield Caption(f"{form[:1].upper()}{form[1:]} (× in use)")
            last = form
        colour = body_colour(form, stock.rating_a)
        cells = (
            f"{amps_text(stock.rating_a)} A",
            colour.name if colour else "",
            f"{stock.in_use} ×",
            f"carry {stock.spares}",
        )
        yield Row(cells, (0.0, 0.25, 0.62, 1.0), (False, False, True, True))


def _off_panel(document: Map) -> Iterable[Entry]:
    index = PlaceIndex(document)
    for cavity in document.cavities.values():
        away = document.blocks[cavity.block].kind == "in-line holders"
        if not (cavity.off_panel or away):
            continue
        rating = "" if cavity.rating_a is None else f"{amps_text(cavity.rating_a)} A"
        loads = ", ".join(load.name for load in cavity.loads)
        fed = cavity.contact("feed").fed_from
        parts = (
            rating,
            cavity.form,
            _legend(cavity)[0],
            loads,
            f"fed from {place_words(document, index, fed)}" if fed else "",
            " ".join(cavity.notes.split()),
        )
        yield Paragraph("; ".join(p for p in parts if p), head=cavity.designation)


def _damage(document: Map) -> Iterable[Entry]:
    for cavity in document.cavities.values():
        said = [*_patch(cavity), *_conditions(_noted(cavity))]
        head = _place_name(document, cavity)
        if cavity.unusable:
            head = f"{head} {DO_NOT_USE}"
            said = said or [""]
        for number, text in enumerate(said):
            yield Paragraph(text, head="" if number else head, indent_mm=2.0)
    index = PlaceIndex(document)
    for repair in document.repairs.values():
        if repair.stage in ("proved", "retired"):
            continue
        parts = (repair.stage, repair.what, repair.part, repair.date or "")
        yield Paragraph(
            ", ".join(p for p in parts if p),
            head=place_words(document, index, repair.at),
        )


def _findings(document: Map) -> Iterable[Entry]:
    """Say what is an error, and what was accepted with which reason."""
    for finding in errors_and_accepted(document):
        accepted = accepted_words(finding)
        text = f"{finding.what}; {accepted or finding.todo}"
        yield Paragraph(text, head="" if accepted else "ERROR:")


def _noted(cavity: Cavity) -> list[tuple[str, Condition]]:
    """Return the conditions that say something is wrong and not yet mended."""
    return [
        (where, condition)
        for where, condition in cavity.conditions
        if condition.stage not in ("fitted", "proved", "retired")
        and (condition.state not in ("sound", "untested") or condition.severity)
    ]


def _patch(cavity: Cavity) -> Iterable[str]:
    """Say how a place was patched, since when and until what."""
    patch = cavity.interim
    if patch is None:
        return
    since = f" since {patch.since}" if patch.since else ""
    until = f" until {patch.until}" if patch.until else ""
    where = f", {patch.where}" if patch.where else ""
    yield f"Patched{since}{until}: {patch.what}{where}"


def _conditions(noted: Iterable[tuple[str, Condition]]) -> Iterable[str]:
    """Say each condition; what was noted of several parts alike is said once."""
    alike: dict[tuple[str, str], list[str]] = {}
    for where, condition in noted:
        severity = SEVERITIES.get(condition.severity or 0, "")
        head = ", ".join(p for p in (f"{where}: {condition.state}", severity) if p)
        key = condition.note, condition.date or ""
        alike.setdefault(key, []).append(head)
    for (note, date), heads in alike.items():
        text = "; ".join(heads) + (f" ({date})" if date else "")
        yield f"{text}. {note}" if note else text
