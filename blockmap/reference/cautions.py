"""Holds the cautions that the program shows and every sheet carries.

They remind; they do not teach the work. The service manual, local rules and licensed
practice decide, and no caution here gives a waiting time, because makers differ from
ten seconds to ten minutes.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.reference.sources import COMMON_PRACTICE_NOTE, Source, Status

__all__ = ["CAUTIONS", "SHORT_CAUTION", "Caution", "caution_named"]


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: a name to find it by, its text, and how it is known."""

    name: str
    text: str
    status: Status
    sources: tuple[Source, ...] = ()
    note: str = ""


def _usual(name: str, text: str) -> Caution:
    return Caution(name, text, Status.COMMON_PRACTICE, (), COMMON_PRACTICE_NOTE)


_BATTERY_PAGES = (Source("Two trade pages on disconnecting a vehicle battery"),)
_MINES_RULE = (
    Source(
        "30 CFR 56.12036, fuse removal or replacement",
        "http://www.msha.gov/30cfr/56.12036.htm",
    ),
)
_FUSE_COURSE = (Source("Training text on the proper replacement fuse"),)
_AIRBAG_MANUALS = (
    Source("Service manuals of five makers, 1989 to 2011, airbag precautions"),
)
_AIRBAG_PROBING = (
    Source("Service manuals of two makers, 1994 and 2000, airbag precautions"),
)
_INSULATED_TOOLS = (
    Source("Safety authority's letter of 1991-12-27 on 29 CFR 1910.335(a)(2)(i)"),
)

CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "battery",
        "Disconnect the battery, ground cable first, before a block is moved or a "
        "terminal is released; connect it again last. Take off rings and watch.",
        Status.COMMON_PRACTICE,
        _BATTERY_PAGES,
        "no regulation found",
    ),
    Caution(
        "battery gas",
        "Batteries give off explosive gas: keep sparks and flames away and wear eye "
        "protection.",
        Status.COMMON_PRACTICE,
        _BATTERY_PAGES,
    ),
    _usual("fuses out", "Remove the fuses before moving the block."),
    Caution(
        "circuit off",
        "Pull and fit fuses with their circuit switched off.",
        Status.VERIFIED,
        _MINES_RULE,
        "the wording is that of a rule for mines",
    ),
    Caution(
        "same fuse",
        "Never fit a larger, slower or lower-voltage fuse than specified.",
        Status.VERIFIED,
        _FUSE_COURSE,
    ),
    _usual("no bridging", "Never put foil, wire or a coin in place of a fuse."),
    _usual(
        "find the cause",
        "A fuse that blows again means a fault: find it before fitting another.",
    ),
    Caution(
        "airbag",
        "Do not probe airbag or seat-belt pretensioner circuits, with a meter or with "
        "a test lamp, and do not repair their wires.",
        Status.VERIFIED,
        _AIRBAG_PROBING,
    ),
    Caution(
        "airbag wait",
        "In a car with airbags, read the service manual first, disconnect the battery "
        "and wait as long as that manual says.",
        Status.VERIFIED,
        _AIRBAG_MANUALS,
        "the wait differs from 10 seconds to 10 minutes by maker",
    ),
    _usual(
        "high voltage",
        "High-voltage hybrid and electric systems are outside this tool: keep off "
        "orange cables.",
    ),
    _usual(
        "test lamp",
        "A filament test lamp can harm electronic circuits: use a meter there.",
    ),
    _usual(
        "female terminals",
        "Never push a meter probe into a female terminal: it spreads the contact.",
    ),
    Caution(
        "insulated tools",
        "Tools that may touch live parts must be insulated.",
        Status.VERIFIED,
        _INSULATED_TOOLS,
    ),
    _usual("added wire", "Any added wire needs its own fuse near the supply."),
    _usual(
        "cranking",
        "Before the engine is cranked: gear in neutral or park, parking brake on, "
        "hands, hair and leads clear of belts and fan. Keep it from starting as the "
        "service manual says, and crank for no longer than it allows.",
    ),
    _usual(
        "warm fuse",
        "A warm fuse or brown plastic means a bad contact: load it no further.",
    ),
    _usual(
        "who decides",
        "blockmap records and computes; the service manual, local rules and licensed "
        "practice decide.",
    ),
)

SHORT_CAUTION = (
    "Battery off, ground first. Never a larger fuse. Do not probe airbag circuits. "
    "The service manual decides."
)
"""One line for the foot of every sheet."""


def caution_named(name: str) -> Caution:
    """Return the caution of this name.

    Raises KeyError when there is none.
    """
    for caution in CAUTIONS:
        if caution.name == name:
            return caution
    raise KeyError(name)
