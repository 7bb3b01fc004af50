"""Lists written as one line of text: wires, loads and conditions of a cavity.

The legend table, pasted rows and CSV files use these short forms. Reading one back
keeps what the short form does not say of the same wire or load.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress

from blockmap.model.document import Cavity, Condition, Contact, Load, Map, Strip, Wire
from blockmap.model.errors import BadValue
from blockmap.model.ids import read_contact
from blockmap.model.schema import property_named, read_value, value_text
from blockmap.model.units import number_text, read_number

__all__ = [
    "condition_text",
    "landing_text",
    "loads_text",
    "outgoing_wires_text",
    "read_condition",
    "read_loads",
    "read_wires",
    "wire_text",
    "wires_text",
    "with_outgoing_wires",
]

_COLOUR = property_named(Wire, "colour")
_GAUGE = property_named(Wire, "gauge")
_LOAD_AMPS = property_named(Load, "amps_a")
_LOAD_WATTS = property_named(Load, "watts_w")
_LOAD_NAME = property_named(Load, "name")
_GAUGE_AT_END = re.compile(
    r"(?P<colour>.*?)\s*(?P<gauge>(?:\d+\s*/\s*0?[.,]\d+|\d+(?:[.,]\d+)?)"
    r"\s*(?:AWG|SAE|GA|ga|mm2|mm²|mm)?|\d/0\s*(?:AWG)?)",
    re.IGNORECASE,
)


MOST_WORDS = 8
"""A wire of more words than this is not tried in another order."""

PART_LIMIT = 500
"""Most characters of one wire or load; longer ones would take seconds to take apart."""


def _short(part: str) -> str:
    """Return a part with single spaces. Raises BadValue when it is too long."""
    part = " ".join(part.split())
    if len(part) > PART_LIMIT:
        raise BadValue(
            f"“{part[:40]}…” is longer than {PART_LIMIT} characters; shorten it"
        )
    return part


def wire_text(wire: Wire, code: str) -> str:
    """Return one wire as 'BRN/WHT 16 AWG', its colour in the given code."""
    colour = value_text(_COLOUR, wire.colour, code=code)
    return " ".join(part for part in (colour, wire.gauge) if part) or "?"


def landing_text(document: Map, strip: Strip) -> str:
    """Return where a strip's supply lands, as 'in the middle, by F4 feed'; else ''."""
    ref = read_contact(strip.lands_at, strip.block) if strip.lands_at else None
    cavity = document.cavities.get(ref.cavity) if ref else None
    near = f"{cavity.designation} {ref.contact}" if ref and cavity else strip.lands_at
    if strip.lands is None:
        return f"at {near}" if near else ""
    how = {"end": "at the end" if near else "at one end", "middle": "in the middle"}
    said = how.get(strip.lands, strip.lands)
    return f"{said}, by {near}" if near else said


def wires_text(wires: Sequence[Wire], code: str) -> str:
    """Return wires parted by semicolons."""
    return "; ".join(wire_text(wire, code) for wire in wires)


def read_wires(text: str, code: str, before: Sequence[Wire] = ()) -> tuple[Wire, ...]:
    """Return the wires that text says; the n-th keeps what else the n-th one held.

    Raises BadValue.
    """
    found: list[Wire] = []
    for number, part in enumerate(re.split(r"[;\n]", text)):
        part = _short(part)
        if not part:
            continue
        old = before[number] if number < len(before) else Wire()
        if part == "?":
            found.append(dataclasses.replace(old, colour=None, gauge=""))
            continue
        match = _GAUGE_AT_END.fullmatch(part)
        colour, gauge = (match["colour"], match["gauge"]) if match else (part, "")
        try:
            found.append(_wire_of(old, colour, gauge, code))
        except BadValue as problem:
            other = _wire_otherwise(old, part, code)
            if other is None:
                raise problem from None
            found.append(other)
    return tuple(found)


def _wire_of(old: Wire, colour: str, gauge: str, code: str) -> Wire:
    return dataclasses.replace(
        old,
        colour=read_value(_COLOUR, colour, typed=True, code=code),
        gauge=read_value(_GAUGE, gauge, typed=True),
    )


def _wire_otherwise(old: Wire, part: str, code: str) -> Wire | None:
    """Return the wire of a text with the gauge first, or of several words; or None."""
    words = part.split()
    for number in range(1, min(len(words), MOST_WORDS)):
        head, rest = " ".join(words[:number]), " ".join(words[number:])
        for colour, gauge in ((rest, head), (head, rest)):
            with suppress(BadValue):
                return _wire_of(old, colour, gauge, code)
    return None


def outgoing_wires_text(cavity: Cavity, code: str) -> str:
    """Return the wires of every contact but the feed.

    Those of contacts other than the main one carry its name: '85: BLK 18 AWG'.
    """
    main = cavity.main_contact
    parts = [
        (f"{name}: " if name != main else "") + wire_text(wire, code)
        for name in _main_first(cavity)
        for wire in cavity.contact(name).wires
    ]
    return "; ".join(parts)


def with_outgoing_wires(cavity: Cavity, text: str, code: str) -> Cavity:
    """Return the cavity with the wires that outgoing_wires_text would show as text.

    Raises BadValue.
    """
    by_contact: dict[str, list[str]] = {name: [] for name in _main_first(cavity)}
    for part in re.split(r"[;\n]", text):
        name, colon, rest = part.partition(":")
        if colon and name.strip() in by_contact:
            by_contact[name.strip()].append(rest)
        elif part.strip():
            by_contact.setdefault(cavity.main_contact, []).append(part)
    contacts: dict[str, Contact] = dict(cavity.contacts)
    for name, parts in by_contact.items():
        old = cavity.contact(name)
        wires = read_wires(";".join(parts), code, old.wires)
        put_contact(contacts, name, dataclasses.replace(old, wires=wires))
    return dataclasses.replace(cavity, contacts=contacts)


def put_contact(contacts: dict[str, Contact], name: str, contact: Contact) -> None:
    """Set one contact, or drop it when nothing is noted of it."""
    if contact == Contact():
        contacts.pop(name, None)
    else:
        contacts[name] = contact


def _main_first(cavity: Cavity) -> list[str]:
    main = cavity.main_contact
    return [main, *(n for n in cavity.contact_names if n not in (main, "feed"))]


_HOW_MUCH = (
    r"(?:(?P<pieces>\d{1,2})\s*[x×]\s*)?"
    r"(?P<number>\d+(?:[.,]\d+)?)\s*(?P<unit>ma|a|amps?|w|watts?)"
)
_AMOUNT = re.compile(rf"(?P<name>.*?)\s*{_HOW_MUCH}", re.IGNORECASE)
_AMOUNT_FIRST = re.compile(rf"{_HOW_MUCH}\s+(?P<name>.+)", re.IGNORECASE)
_DUTY_WORDS = {"intermittent": "for short times", "in-rush": "at switching on"}
_DUTY = re.compile(
    r"(?P<rest>.*?)\s*(?:(?P<short>for (?:a )?short times?|intermittent)"
    r"|(?P<rush>(?:rush )?at switching on|in-?rush))",
    re.IGNORECASE,
)


def loads_text(loads: Sequence[Load]) -> str:
    """Return loads as 'stop lamps 4.2 A; washer pump 55 W'."""
    return "; ".join(_load_text(load) for load in loads)


def _load_text(load: Load) -> str:
    words = [load.name]
    if load.amps_a is not None:
        words.append(f"{number_text(load.amps_a)} A")
    elif load.watts_w is not None:
        words.append(f"{number_text(load.watts_w)} W")
    if load.duty in _DUTY_WORDS:
        words.append(_DUTY_WORDS[load.duty])
    return " ".join(words)


def _load_parts(text: str) -> Iterator[str]:
    """Yield what stands between semicolons, and between commas after an amount."""
    for chunk in re.split(r"[;\n]", text):
        pieces: list[str] = []
        for piece in chunk.split(","):
            rest = _duty(_short(piece))[0]
            begins = not pieces and _AMOUNT_FIRST.fullmatch(rest)
            pieces.append(piece)
            if begins or _AMOUNT.fullmatch(rest):
                yield _short(",".join(pieces))
                pieces = []
        if part := _short(",".join(pieces)):
            yield part


def _amount(part: str) -> re.Match[str] | None:
    return _AMOUNT.fullmatch(part) or _AMOUNT_FIRST.fullmatch(part)


def _duty(part: str) -> tuple[str, str | None]:
    """Return a load without the words of its duty, and the duty that they say."""
    match = _DUTY.fullmatch(part)
    if match is None or not match["rest"]:
        return part, None
    return match["rest"], "intermittent" if match["short"] else "in-rush"


def read_loads(text: str, before: Sequence[Load] = ()) -> tuple[Load, ...]:
    """Return the loads that text says; one of an earlier name keeps what else it held.

    Raises BadValue.
    """
    kept: Mapping[str, Load] = {load.name: load for load in before}
    found: list[Load] = []
    for part in _load_parts(text):
        rest, duty = _duty(part)
        match = _amount(rest)
        name = (match["name"] if match else rest).strip()
        if not name:
            raise BadValue(f"“{part}” names no load; write one such as horn 5 A")
        name = read_value(_LOAD_NAME, name)
        old = kept.get(name, Load(name=name))
        amps, watts = None, None
        if match:
            number = read_number(match["number"], typed=True)
            number *= int(match["pieces"] or 1)
            unit = match["unit"].lower()
            power = unit.startswith("w")
            amps = None if power else number / (1000 if unit == "ma" else 1)
            watts = number if power else old.watts_w
            for row, value in ((_LOAD_AMPS, amps), (_LOAD_WATTS, watts)):
                read_value(row, value_text(row, value))  # it must be in the range
        if duty is None and old.duty not in _DUTY_WORDS:
            duty = old.duty  # what the text does not say stays
        found.append(dataclasses.replace(old, amps_a=amps, watts_w=watts, duty=duty))
    return tuple(found)


def condition_text(condition: Condition | None) -> str:
    """Return a condition as 'spread 2: by a test lead'; '' for none."""
    if condition is None:
        return ""
    text = condition.state
    if condition.severity:
        text += f" {condition.severity}"
    if condition.note:
        text += f": {condition.note}"
    return text


def read_condition(text: str, before: Condition | None = None) -> Condition | None:
    """Return the condition that text says, keeping date and judgement of the earlier.

    Raises BadValue.
    """
    text = " ".join(text.split())
    if not text:
        return None
    head, _, note = text.partition(":")
    match = re.fullmatch(r"(.*?)[\s,]*([0-9]+)?", head.strip())
    word = (match[1] if match else head).strip()
    severity_text = (match[2] if match else None) or ""
    state = read_value(property_named(Condition, "state"), word, typed=True)
    severity = read_value(property_named(Condition, "severity"), severity_text)
    note = read_value(property_named(Condition, "note"), note.strip())
    return dataclasses.replace(
        before or Condition(), state=state, severity=severity, note=note
    )
