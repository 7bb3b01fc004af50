"""Lays the reference tables out for reading, each row with its status and documents.

It holds no numbers of its own. Rows from memory stand among the others and say so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from blockmap.reference import documents as paper
from blockmap.reference import number_documents as doc
from blockmap.reference.batteries import CHARGING_VOLTS, REST_TABLES
from blockmap.reference.conductors import (
    AWG_AMPS,
    BOAT_WIRE_TABLE,
    INSULATION_CLASSES_C,
)
from blockmap.reference.drops import ALLOWED_DROPS
from blockmap.reference.flash_rates import FLASH_LIMITS
from blockmap.reference.forms import FORMS
from blockmap.reference.fuse_colours import body_colour, standard_ratings
from blockmap.reference.fuse_curves import OPENING_POINTS
from blockmap.reference.fuse_resistance import (
    cold_resistance,
    drop_at_rating,
    known_ratings,
)
from blockmap.reference.gauges import awg_area_mm2
from blockmap.reference.insulation import (
    BUNDLE_FACTORS,
    bundle_factor,
    engine_space_factor,
)
from blockmap.reference.lamps import LAMPS
from blockmap.reference.relays import RELAY_CONTACTS, RELAY_FACTS
from blockmap.reference.sources import (
    COMMON_PRACTICE_NOTE,
    MEMORY_NOTE,
    Source,
    Status,
)
from blockmap.reference.terminal_capacity import AMPS_BY_WIDTH
from blockmap.reference.terminal_numbers import OLD_NAMES, TERMINAL_NUMBERS
from blockmap.reference.wire_amps import FUSE_BY_AREA, FUSE_BY_GAUGE, listed_fuse
from blockmap.reference.wire_codes import FROM_MEMORY, TABLES
from blockmap.reference.wire_resistance import (
    COPPER_OHM_MM2_PER_M,
    FLEXIBLE_MOHM_PER_M,
)

__all__ = ["PUBLISHED", "PublishedRow", "PublishedTable"]


@dataclass(frozen=True, slots=True)
class PublishedRow:
    """One row: its cells, how it is known, the documents, and a note."""

    cells: tuple[str, ...]
    status: Status
    sources: tuple[Source, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class PublishedTable:
    """One table: its title, its columns with units, and what makes its rows."""

    title: str
    columns: tuple[str, ...]
    make: Callable[[], Iterator[PublishedRow]]

    def rows(self) -> tuple[PublishedRow, ...]:
        """Return the rows in the order of the table."""
        return tuple(self.make())


_READ = Status.VERIFIED


def _text(number: float | None) -> str:
    return "" if number is None else f"{number:g}"


def _colours() -> Iterator[PublishedRow]:
    for form in FORMS.values():
        for rating_a in standard_ratings(form.name):
            colour = body_colour(form.name, rating_a)
            if colour is not None:
                cells = (form.name, _text(rating_a), colour.name)
                yield PublishedRow(cells, colour.status, colour.sources, colour.note)


def _resistances() -> Iterator[PublishedRow]:
    for form in FORMS:
        for rating_a in known_ratings(form):
            cold, drop = cold_resistance(form, rating_a), drop_at_rating(form, rating_a)
            assert cold is not None
            lost = _text(drop.value) if drop else ""
            cells = (form, _text(rating_a), _text(cold.value), lost)
            note = drop.note if drop else cold.note
            yield PublishedRow(cells, cold.status, cold.sources, note)


def _openings() -> Iterator[PublishedRow]:
    for form, points in OPENING_POINTS.items():
        for point in points:
            cells = (
                form,
                f"{_text(point.from_a)} to {_text(point.to_a)}",
                _text(point.percent),
                _text(point.least_s),
                _text(point.most_s),
            )
            yield PublishedRow(cells, point.status, point.sources, point.note)


def _wires() -> Iterator[PublishedRow]:
    for gauge in ("24", "22", "20", *AWG_AMPS):
        area = awg_area_mm2(gauge)
        mohm = 1000 * COPPER_OHM_MM2_PER_M.value / area
        cells = (f"{gauge} AWG", f"{area:.3g}", f"{mohm:.3g}")
        sources = (doc.AWG_FORMULA, *COPPER_OHM_MM2_PER_M.sources)
        yield PublishedRow(cells, Status.DERIVED, sources, "copper at 20 °C")
    for size_mm2, number in FLEXIBLE_MOHM_PER_M.items():
        cells = (f"{size_mm2:g} mm²", f"{size_mm2:g}", _text(number.value))
        note = "greatest value at 20 °C, flexible wire"
        yield PublishedRow(cells, number.status, number.sources, note)


def _amps() -> Iterator[PublishedRow]:
    for gauge, amps in AWG_AMPS.items():
        cells = (f"{gauge} AWG", *map(_text, amps))
        yield PublishedRow(cells, _READ, (BOAT_WIRE_TABLE,), "single wire, boats")


def _fuses() -> Iterator[PublishedRow]:
    note = "a strict list of the trade: advice only"
    for gauge in FUSE_BY_GAUGE:
        number = listed_fuse(gauge)
        assert number is not None
        cells = (f"{gauge} AWG", _text(number.value))
        yield PublishedRow(cells, number.status, number.sources, note)
    for size_mm2 in FUSE_BY_AREA:
        number = listed_fuse(size_mm2=size_mm2)
        assert number is not None
        cells = (f"{size_mm2:g} mm²", _text(number.value))
        yield PublishedRow(cells, number.status, number.sources, note)


def _factors() -> Iterator[PublishedRow]:
    for least, _, _ in BUNDLE_FACTORS:
        number = bundle_factor(least)
        cells = (f"{least} or more wires in the bundle", _text(number.value))
        yield PublishedRow(cells, number.status, number.sources, number.note)
    for class_c in INSULATION_CLASSES_C:
        number = engine_space_factor(class_c)
        cells = (f"engine space, insulation of {class_c} °C", _text(number.value))
        yield PublishedRow(cells, number.status, number.sources, number.note)


def _drops() -> Iterator[PublishedRow]:
    for drop in ALLOWED_DROPS:
        band = drop.least_v != drop.most_v
        volts = f"{drop.least_v:g} to {drop.most_v:g}" if band else f"{drop.most_v:g}"
        yield PublishedRow((drop.place, volts), drop.status, drop.sources, drop.note)


def _rest() -> Iterator[PublishedRow]:
    for table in REST_TABLES:
        for percent, volts in table.points:
            cells = (_text(percent), _text(volts))
            yield PublishedRow(cells, table.status, (table.source,), "12 V, at rest")


def _charging() -> Iterator[PublishedRow]:
    for what, low, high, sources in CHARGING_VOLTS:
        volts = f"{low:g} to {high:g}" if low != high else f"{low:g}"
        yield PublishedRow((what, volts), Status.COMMON_PRACTICE, sources)


def _lamps() -> Iterator[PublishedRow]:
    for lamp in LAMPS:
        cells = (
            lamp.title,
            _text(lamp.rated_w),
            _text(lamp.test_v),
            f"{lamp.amps_a:.3g}",
            f"{lamp.tolerance:.0%}",
        )
        yield PublishedRow(cells, lamp.status, lamp.sources, lamp.note)


def _flashes() -> Iterator[PublishedRow]:
    for limit in FLASH_LIMITS:
        cells = (limit.name, _text(limit.least_per_min), _text(limit.most_per_min))
        yield PublishedRow(cells, limit.status, limit.sources, limit.measured)


def _terminals() -> Iterator[PublishedRow]:
    for each in TERMINAL_NUMBERS:
        cells = (each.number, each.meaning, ", ".join(each.old_names))
        yield PublishedRow(cells, each.status, each.sources, each.note)


def _old_terminals() -> Iterator[PublishedRow]:
    for old, new in OLD_NAMES.items():
        yield PublishedRow((old, ", ".join(new)), _READ, (doc.TERMINALS_OLD,))


def _relays() -> Iterator[PublishedRow]:
    sources = (doc.RELAY_LAYOUTS, doc.RELAY_RATINGS)
    for contact, means in RELAY_CONTACTS.items():
        yield PublishedRow((contact, means), _READ, sources)
    for name, words in RELAY_FACTS:
        yield PublishedRow((name, words), _READ, sources)


def _contacts() -> Iterator[PublishedRow]:
    for width_mm, amps_a in AMPS_BY_WIDTH.items():
        cells = (_text(width_mm), _text(amps_a))
        yield PublishedRow(cells, Status.COMMON_PRACTICE, (), COMMON_PRACTICE_NOTE)


_CODE_SOURCES: dict[str, tuple[Source, ...]] = {
    "north american": (paper.THREE_LETTER_COURSE,),
    "iec 60757": (paper.IEC_60757,),
    "german": (paper.GERMAN_COLOURS_A, paper.GERMAN_COLOURS_B, paper.GERMAN_COLOURS_C),
}


def _codes() -> Iterator[PublishedRow]:
    for code, letters in TABLES.items():
        for short, colour in letters.items():
            cells = (code, short, colour)
            if short in FROM_MEMORY[code]:
                yield PublishedRow(cells, Status.MEMORY, (), MEMORY_NOTE)
            else:
                yield PublishedRow(cells, _READ, _CODE_SOURCES[code])


_FUSE_COLUMNS = ("Body", "Rating, A")

PUBLISHED: tuple[PublishedTable, ...] = (
    PublishedTable("Fuse body colours", (*_FUSE_COLUMNS, "Colour"), _colours),
    PublishedTable(
        "Fuse resistance and drop",
        (*_FUSE_COLUMNS, "Cold, mΩ", "Drop at the rating, mV"),
        _resistances,
    ),
    PublishedTable(
        "Fuse opening times",
        ("Body", "Ratings, A", "Load, % of rating", "Not before, s", "Within, s"),
        _openings,
    ),
    PublishedTable(
        "Wire area and resistance", ("Gauge", "Area, mm²", "mΩ per m"), _wires
    ),
    PublishedTable(
        "Amps of a wire by its insulation",
        ("Gauge", *(f"{each} °C" for each in INSULATION_CLASSES_C)),
        _amps,
    ),
    PublishedTable(
        "Bundles and engine space", ("Where", "Factor on the amps"), _factors
    ),
    PublishedTable("Largest fuse by lists", ("Gauge", "Fuse, A"), _fuses),
    PublishedTable("Contacts by width", ("Blade, mm", "About, A"), _contacts),
    PublishedTable("Allowed drops, 12 V", ("Where", "Volts"), _drops),
    PublishedTable("Battery at rest", ("Charge, %", "Volts"), _rest),
    PublishedTable("Battery while charging", ("What", "Volts"), _charging),
    PublishedTable(
        "Lamps",
        ("Lamp", "Rated, W", "At, V", "Draws, A", "Give or take"),
        _lamps,
    ),
    PublishedTable("Flash rates", ("Rule", "Least, /min", "Most, /min"), _flashes),
    PublishedTable("Terminal numbers", ("Number", "Meaning", "Old names"), _terminals),
    PublishedTable("Old terminal names", ("Old name", "Now"), _old_terminals),
    PublishedTable("Relays", ("Contact", "What it is"), _relays),
    PublishedTable("Wire colour letters", ("Code", "Letters", "Colour"), _codes),
)
"""Every table, in the order of the list."""
