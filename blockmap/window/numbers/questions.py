"""The questions of the calculator: what is asked, and which function answers.

Each answer comes from the very functions that compute the figures of a map. Nothing
is rounded or judged here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from blockmap.analysis.numbers.battery_charge import charge_at_rest
from blockmap.analysis.numbers.figure import Comparison, Figure, exact
from blockmap.analysis.numbers.flash_rate import flash_rate, flash_verdicts, on_share
from blockmap.analysis.numbers.fuse_choice import suggested_rating
from blockmap.analysis.numbers.limits import Limits
from blockmap.analysis.numbers.load_current import current_of, load_sum
from blockmap.analysis.numbers.meter_readings import (
    contact_loss,
    current_through_fuse,
    key_off_verdict,
)
from blockmap.analysis.numbers.opening_time import opening_time
from blockmap.analysis.numbers.voltage_drop import (
    drop_along,
    drop_verdicts,
    left_at_load,
    wire_resistance,
)
from blockmap.analysis.numbers.wire_choice import wire_for
from blockmap.analysis.numbers.wires import wire_amps
from blockmap.model.document import Load
from blockmap.model.errors import BadValue
from blockmap.model.units import read_number
from blockmap.reference.forms import closest_forms, form_named
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.numbers.wording import (
    tr_number,
    value_words,
    verdict_words,
)

__all__ = ["QUESTIONS", "Ask", "Given", "Question", "Said"]


MOST = 1e9
"""No number of a car is larger; beyond it sums lose their meaning."""


@dataclass(frozen=True, slots=True)
class Ask:
    """One thing to type: its label with the unit, the first text, what one may pick."""

    key: str
    label: str
    first: str = ""
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Said:
    """An answer: its headline, verdicts in words, and the figures behind it."""

    headline: str
    verdicts: tuple[str, ...]
    figures: tuple[Figure, ...]


class Given:
    """What was typed. Reading it raises BadValue with what may be written."""

    def __init__(self, question: Question, texts: Mapping[str, str]) -> None:
        self._labels = {ask.key: tr_number(ask.label) for ask in question.asks}
        self._texts = texts

    def text(self, key: str) -> str:
        """Return a text as typed."""
        return " ".join(self._texts.get(key, "").split())

    def number(self, key: str, *, least: float | None = None) -> float:
        """Return a number; one at or below least is refused."""
        text, label = self.text(key), self._labels[key]
        if not text:
            raise BadValue(tr_number("Enter: %1").replace("%1", label))
        value = read_number(text, typed=True)
        if least is not None and value <= least:
            words = tr_number("%1 is above %2")
            raise BadValue(words.replace("%1", label).replace("%2", f"{least:g}"))
        if abs(value) > MOST:
            words = tr_number("%1 is no more than a billion")
            raise BadValue(words.replace("%1", label))
        return value

    def length(self, key: str) -> float:
        """Return a length in metres; empty is none."""
        if not self.text(key):
            return 0.0
        value = self.number(key)
        if not 0 <= value <= 1000:
            raise BadValue(
                tr_number("%1 is from 0 to 1000 m").replace("%1", self._labels[key])
            )
        return value

    def numbers(self, key: str) -> list[float]:
        """Return several numbers parted by spaces or semicolons."""
        parts = self._texts.get(key, "").replace(";", " ").split()
        if not parts:
            label = self._labels[key]
            raise BadValue(tr_number("Enter: %1").replace("%1", label))
        return [read_number(part, typed=True) for part in parts[:1000]]

    def form(self, key: str) -> str:
        """Return the name of a body."""
        text = self.text(key)
        form = form_named(text)
        if form is None:
            near = ", ".join(closest_forms(text))
            words = tr_number("“%1” is no body of a fuse; nearest are %2")
            raise BadValue(words.replace("%1", text[:40]).replace("%2", near or "—"))
        return form.name


Answer = Callable[[Given, Limits], Said]


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its name, what it is good for, what is typed, who answers."""

    key: str
    title: str
    help: str
    asks: tuple[Ask, ...]
    answer: Answer

    def ask(self, texts: Mapping[str, str], limits: Limits) -> Said:
        """Return the answer to what was typed. Raises BadValue."""
        try:
            return self.answer(Given(self, texts), limits)
        except (ValueError, OverflowError) as problem:
            raise BadValue(tr_number(str(problem))) from None


def _no_area(gauge: str) -> BadValue:
    words = tr_number("No area follows from “%1”; write 16 AWG, 1.5 mm2 or 14/0.30")
    return BadValue(words.replace("%1", gauge[:40]))


def _drop(given: Given, limits: Limits) -> Said:
    gauge = given.text("gauge")
    resistance = wire_resistance(
        gauge, given.length("out"), given.length("back"), limits
    )
    if resistance is None:
        raise _no_area(gauge)
    supply_v = given.number("volts", least=0)
    current = exact("Current", given.number("amps", least=0), "A")
    drop = drop_along(resistance, current)
    held = drop_verdicts(drop, supply_v, limits)
    left = left_at_load(supply_v, [drop])
    return Said(drop.text, _verdicts(*held), (drop, left, held[0].limit, held[1].limit))


def _verdicts(*held: Comparison) -> tuple[str, ...]:
    return tuple(f"{tr_number(each.name)}: {verdict_words(each)}" for each in held)


def _wire(given: Given, limits: Limits) -> Said:
    found = wire_for(
        given.number("amps", least=0),
        given.length("out"),
        given.length("back"),
        given.number("volts", least=0),
        "mm2" if given.text("system").startswith("mm") else "AWG",
        limits,
    )
    compared = (found.bears, found.drop) if found.drop else (found.bears,)
    figures = tuple(f for held in compared for f in (held.figure, held.limit))
    headline = found.gauge or tr_number("none of the usual gauges is thick enough")
    return Said(headline, _verdicts(*compared), figures)


def _fuse(given: Given, limits: Limits) -> Said:
    volts = given.number("volts", least=0)
    if given.text("watts"):
        load = Load(name="load", watts_w=given.number("watts", least=0), at_volts=volts)
    else:
        load = Load(name="load", amps_a=given.number("amps", least=0))
    current = current_of(load, volts, limits)
    assert current is not None
    loads = load_sum([current], [current], [current], ())
    gauge = given.text("gauge")
    wire = wire_amps(gauge, "", limits) if gauge else None
    if gauge and wire is None:
        raise _no_area(gauge)
    found = suggested_rating(given.form("form"), loads, wire, limits)
    parts = (found.rating, found.wanted, found.most)
    figures = tuple(part for part in parts if part is not None)
    verdicts = (tr_number(found.why),) if found.why else ()
    return Said(tr_number(found.text), verdicts, figures)


def _millivolts(given: Given, limits: Limits) -> Said:
    form, rating_a = given.form("form"), given.number("rating", least=0)
    current = current_through_fuse(form, rating_a, given.number("mv"), limits)
    if current is None:
        words = tr_number("No resistance was read for a %1 of %2 A")
        raise BadValue(words.replace("%1", form).replace("%2", f"{rating_a:g}"))
    held = key_off_verdict(current, limits)
    return Said(current.band_text, _verdicts(held), (current, held.limit))


def _contact(given: Given, limits: Limits) -> Said:
    step_v = limits.value("meter_step_mv") / 1000
    loss = contact_loss(given.number("mv") / 1000, given.number("amps"), step_v)
    headline = f"{loss.resistance.text}, {loss.heat.text}"
    return Said(headline, (), (loss.resistance, loss.heat))


def _charge(given: Given, limits: Limits) -> Said:
    del limits
    charge = charge_at_rest(
        given.number("volts"), given.number("system"), given.number("temperature")
    )
    return Said(charge.band_text, (), (charge,))


def _opening(given: Given, limits: Limits) -> Said:
    del limits
    form, rating_a = given.form("form"), given.number("rating", least=0)
    amps_a = given.number("amps", least=0)
    figure = opening_time(form, rating_a, amps_a)
    figure = figure or opening_time(form, rating_a, amps_a, with_memory=True)
    if figure is None:
        words = tr_number("No opening times were read for a %1 of %2 A")
        raise BadValue(words.replace("%1", form).replace("%2", f"{rating_a:g}"))
    return Said(value_words(figure), (), (figure,))


def _flash(given: Given, limits: Limits) -> Said:
    del limits
    on_ms, off_ms = given.numbers("on"), given.numbers("off")
    if len(on_ms) != len(off_ms):
        raise BadValue(tr_number("Each cycle has one time on and one time off"))
    cycles = list(zip(on_ms, off_ms, strict=True))
    rate = flash_rate(cycles)
    verdicts = []
    for found in flash_verdicts(rate):
        limit = found.limit
        words = tr_number("%1: %2 (%3 to %4 /min)").replace("%1", limit.name)
        words = words.replace("%2", tr_number(found.verdict))
        words = words.replace("%3", f"{limit.least_per_min:g}")
        verdicts.append(words.replace("%4", f"{limit.most_per_min:g}"))
    return Said(rate.text, tuple(verdicts), (rate, on_share(cycles)))


_N = QT_TRANSLATE_NOOP
_GAUGE = Ask("gauge", _N("numbers", "Gauge as written"), "16 AWG")
_SYSTEM = Ask("system", _N("numbers", "Gauges in"), "AWG", ("AWG", "mm²"))
_AMPS = Ask("amps", _N("numbers", "Current (A)"), "10")
_VOLTS = Ask("volts", _N("numbers", "Supply (V)"), "12")
_OUT = Ask("out", _N("numbers", "Length out (m)"), "4")
_BACK = Ask("back", _N("numbers", "Length back by wire (m), empty by the body"))
_FORM = Ask("form", _N("numbers", "Body of the fuse"), "medium blade")
_RATING = Ask("rating", _N("numbers", "Rating (A)"), "10")

QUESTIONS: tuple[Question, ...] = (
    Question(
        "drop",
        _N("numbers", "Drop along a wire"),
        _N("numbers", "Volts lost along a wire, and what is left at the load"),
        (_GAUGE, _OUT, _BACK, _AMPS, _VOLTS),
        _drop,
    ),
    Question(
        "wire",
        _N("numbers", "Wire for a load"),
        _N("numbers", "The thinnest usual wire that bears it and loses little"),
        (_AMPS, _OUT, _BACK, _VOLTS, _SYSTEM),
        _wire,
    ),
    Question(
        "fuse",
        _N("numbers", "Fuse for a load"),
        _N("numbers", "The next usual rating; never larger than specified"),
        (
            Ask("watts", _N("numbers", "Power (W), or empty")),
            _AMPS,
            _VOLTS,
            _FORM,
            Ask(
                "gauge", _N("numbers", "Gauge of its thinnest wire, or empty"), "14 AWG"
            ),
        ),
        _fuse,
    ),
    Question(
        "millivolts",
        _N("numbers", "Current from millivolts"),
        _N("numbers", "Milliamps through a fuse from the millivolts across it"),
        (_FORM, _RATING, Ask("mv", _N("numbers", "Across the fuse (mV)"), "0.7")),
        _millivolts,
    ),
    Question(
        "contact",
        _N("numbers", "Loss in a contact"),
        _N("numbers", "Milliohms and watts of a contact from its drop"),
        (Ask("mv", _N("numbers", "Drop (mV)"), "400"), _AMPS),
        _contact,
    ),
    Question(
        "charge",
        _N("numbers", "Battery at rest"),
        _N("numbers", "State of charge from the volts after hours of rest"),
        (
            Ask("volts", _N("numbers", "At rest (V)"), "12.4"),
            Ask("system", _N("numbers", "System (V)"), "12", ("6", "12", "24")),
            Ask("temperature", _N("numbers", "Temperature (°C)"), "27"),
        ),
        _charge,
    ),
    Question(
        "opening",
        _N("numbers", "Opening time of a fuse"),
        _N("numbers", "How soon a fuse opens at an overload, as a band"),
        (_FORM, _RATING, Ask("amps", _N("numbers", "Current (A)"), "20")),
        _opening,
    ),
    Question(
        "flash",
        _N("numbers", "Flash rate"),
        _N("numbers", "Flashes a minute from the times on and off"),
        (
            Ask("on", _N("numbers", "Times on (ms)"), "360 365 355"),
            Ask("off", _N("numbers", "Times off (ms)"), "340 345 350"),
        ),
        _flash,
    ),
)
"""Every question, in the order of the list."""
