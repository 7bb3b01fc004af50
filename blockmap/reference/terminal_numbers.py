"""Holds the terminal numbers of DIN 72552, with old names and what they mean now.

A terminal number is not a wire number: the two ends of one wire may carry different
ones. Where an old name has several present ones all are given; none is chosen.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import MEMORY_NOTE, Source, Status

__all__ = [
    "OLD_NAMES",
    "TERMINAL_NUMBERS",
    "TerminalNumber",
    "present_names",
    "terminal_number",
]


@dataclass(frozen=True, slots=True)
class TerminalNumber:
    """One terminal: its number, meaning, old names, and how the meaning is known."""

    number: str
    meaning: str
    old_names: tuple[str, ...]
    status: Status
    sources: tuple[Source, ...]
    note: str = ""


# Numbers (several share a row) | meaning | old names | documents.
_ROWS = """
1 | ignition coil and distributor, low voltage | | din
1a; 1b | distributor with two circuits, to breaker 1 and 2 | | din
2 | short-circuit terminal of a magneto | | din
4 | ignition coil and distributor, high voltage | | din
4a; 4b | high voltage, two circuits | | din
7 | ballast resistor to distributor | | din
15 | switched supply from the ignition switch | 16 | din
15a | from the ballast resistor to coil and starter | 16 | din
17 | glow plug and starter switch: start | | din
19 | glow plug and starter switch: preheat | | din
30 | supply straight from the battery | 30/51 | din
30a | from the second battery by a 12/24 V relay | | din
31 | return to the battery or ground, direct | | din
31a | return to the battery, 12/24 V relay | | din
31b | return by a switch or relay, switched ground | 85d | din
31c | return, 12/24 V relay | 31; 31a | din
32 | motor return, may be swapped with 33 | 31 | din
33 | motor main terminal | 30 | din
33a | motor limit switch | | din
33b | motor shunt field | 54e | din
33f; 33g; 33h | motor second, third and fourth lower speed | | din
33L | motor anti-clockwise | 30L | din
33R | motor clockwise | 30R | din
45 | starter relay | 30f; 30h | din
45a; 45b | outputs for two starters | 30h I; 30h II | din
49 | flasher in | 15; 15+; 15/54; + | din
49a | flasher out, to the indicator switch | 54L; S; S4 | din
49b; 49c | flasher out, second and third circuit | | din
C | first indicator tell-tale | K; K1; P | din
C2; C3 | second and third tell-tale | K2; K3; K4 | din
L | indicator lamps left | HL; L54; VL | din
R | indicator lamps right | HR; R54; VR | din
50 | starter control | 50b | din
53 | wiper motor supply, first speed | | wiper
53a | wiper supply for self-parking | | wiper
53b | wiper second speed, shunt | | wiper
53c | washer pump | | wiper a
53e | wiper braking on return | | wiper
53i | wiper third brush, higher speed | | memory
54 | brake lamps | | din
54g | trailer: additional equipment | | trailer
55 | front fog lamps | | din
56 | headlamp feed | | din
56a | high beam and its tell-tale | | din
56b | low beam | | din
57 | side and parking light | | din
57a | parking light | | memory
57L; 57R | parking light left, right | PL; PR | old
58 | side, tail, licence and instrument lamps | | din
58L; 58R | tail and side lamps left, right | | trailer
61 | charge warning lamp | | din
71 | horn sequence controller in | H | memory
75 | radio, cigarette lighter | R | memory
85 | relay coil, ground side | | relay
86 | relay coil, supply side | | relay
87 | relay contact, closed when the coil is on | | relay
87a | relay contact, closed at rest | | relay
87b | second output, joined with 87 | | relay b
B+ | battery supply | B+51; B+30 | din
D+ | generator supply, warning lamp | D+/61 | din
D- | generator return | D-/61 | din
DF | generator field | | din
"""
_DOCUMENTS: Mapping[str, tuple[Source, ...]] = {
    "din": (doc.TERMINALS_A, doc.TERMINALS_B, doc.TERMINALS_C),
    "wiper": (doc.WIPER_A, doc.WIPER_B),
    "wiper a": (doc.WIPER_A,),
    "trailer": (doc.TRAILER_PAGE,),
    "old": (doc.TERMINALS_OLD,),
    "relay": (doc.RELAY_LAYOUTS,),
    "relay b": (doc.RELAY_RATINGS,),
    "memory": (),
}

# Old name | present names.
_OLD_ROWS = """
15 | 15; 49 (flasher)
15/54 | 15; 49; 54
16 | 15a; 15
30 | 30; 33 (motor)
30/51 | 30; 87; 88 (relay)
30f | 45
30h | 45; 45a
31a | 31a; 31c
50a | 50; 50a; 50e; 50g
51 | 51; 59; B+
54 | 54; 53a; 54g
54/15 | 15
54d | 53 (wiper)
54e | 33b; 53b (wiper)
54L | 49a
59 | 59a
85d | 31b
D+/61 | D+
D-/61 | D-
H | 71
HL | L (L54b)
HR | R (R54b)
K | C
K1 | C; C2
N | 55
P | C; 57a
PL | 57L
PR | 57R
S | 49a; 53 (wiper)
S4 | 49a
VL | L
VR | R
+ | 15; 49 (flasher); 53; 53a (wiper)
"""


def _split(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(";") if part.strip())


def _terminals() -> tuple[TerminalNumber, ...]:
    found = []
    for line in _ROWS.strip().splitlines():
        numbers, meaning, old, documents = (part.strip() for part in line.split("|"))
        sources = _DOCUMENTS[documents]
        status = Status.VERIFIED if sources else Status.MEMORY
        note = "" if sources else MEMORY_NOTE
        found += [
            TerminalNumber(number, meaning, _split(old), status, sources, note)
            for number in _split(numbers)
        ]
    return tuple(found)


TERMINAL_NUMBERS: Final = _terminals()
"""Every terminal, in the order of the standard."""

OLD_NAMES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        old.strip(): _split(new)
        for old, _, new in (line.partition("|") for line in _OLD_ROWS.split("\n"))
        if new
    }
)
"""Present names by old name. Source: `number_documents.TERMINALS_OLD`, VERIFIED."""


@cache
def _by_number() -> Mapping[str, TerminalNumber]:
    return {terminal.number: terminal for terminal in TERMINAL_NUMBERS}


def terminal_number(number: str) -> TerminalNumber | None:
    """Return what a present terminal number means; None when it is not listed.

    Case counts: 'L' is the left lamps, 'l' is nothing.
    """
    return _by_number().get(number.strip())


def present_names(old: str) -> tuple[str, ...]:
    """Return the present names that an old terminal name may stand for, all of them."""
    return OLD_NAMES.get(old.strip(), ())
