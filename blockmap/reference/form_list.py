"""Holds every body that a cavity takes, with its size and how the size is known.

A size is that of the body's face seen from the front with its two contacts left and
right. Names are trade words and standard designations, never makers' catalogue
codes. Looking a form up by what a person writes is the matter of `forms`.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.reference import documents as doc
from blockmap.reference.sources import (
    COMMON_PRACTICE_NOTE,
    MEMORY_NOTE,
    Source,
    Sourced,
    Status,
)

__all__ = ["ALL_FORMS", "KINDS", "Form"]

KINDS = (
    "fuse",
    "breaker",
    "relay",
    "flasher",
    "tab",
    "stud",
    "link",
    "terminal",
    "blank",
)


@dataclass(frozen=True, slots=True)
class Form:
    """A body that a cavity takes.

    ``length_mm`` runs along the line through the two contacts, ``width_mm`` across.
    ``contact_pitch_mm`` is the distance between the contacts' centres, None when no
    document gives it. ``word`` is the word that tells the body in a drawing.
    ``colour_table`` names the body-colour table, empty when bodies are not coloured
    by rating. ``size`` carries the length and where both sizes come from.
    """

    name: str
    word: str
    kind: str
    outline: str
    length_mm: float
    width_mm: float
    contact_pitch_mm: float | None
    contact_names: tuple[str, ...]
    colour_table: str
    aliases: tuple[str, ...]
    size: Sourced


_TWO = ("feed", "load")
_PIN = ("pin",)
_RELAY = ("30", "87", "85", "86")


def _form(
    name: str,
    kind: str,
    outline: str,
    size_mm: tuple[float, float],
    status: Status,
    *,
    word: str = "",
    sources: tuple[Source, ...] = (),
    note: str = "",
    pitch_mm: float | None = None,
    contacts: tuple[str, ...] = _TWO,
    colours: str = "",
    aliases: tuple[str, ...] = (),
) -> Form:
    if not note and status is Status.COMMON_PRACTICE:
        note = COMMON_PRACTICE_NOTE
    if not note and status is Status.MEMORY:
        note = MEMORY_NOTE
    length_mm, width_mm = size_mm
    return Form(
        name=name,
        word=word or kind,
        kind=kind,
        outline=outline,
        length_mm=length_mm,
        width_mm=width_mm,
        contact_pitch_mm=pitch_mm,
        contact_names=contacts,
        colour_table=colours,
        aliases=aliases,
        size=Sourced(length_mm, "mm", status, sources, note),
    )


def _blades() -> tuple[Form, ...]:
    return (
        _form(
            "medium blade",
            "fuse",
            "blade",
            (19.1, 5.1),
            Status.VERIFIED,
            sources=(
                doc.ENCYCLOPEDIA_FUSES,
                doc.MEDIUM_MAXI_DATASHEETS,
                doc.MEDIUM_DATASHEET,
            ),
            note="contact pitch derived: 14.5 mm over the blades less 5.2 mm",
            pitch_mm=9.3,
            colours="medium",
            aliases=("blade", "medium", "regular blade", "standard blade", "type c"),
        ),
        _form(
            "mini blade",
            "fuse",
            "blade",
            (10.9, 3.6),
            Status.VERIFIED,
            sources=(doc.ENCYCLOPEDIA_FUSES, doc.MINI_DATASHEET),
            note="contact pitch derived: 10.9 mm less a blade of 2.8 mm; unconfirmed",
            pitch_mm=8.1,
            colours="mini",
            aliases=("mini", "miniature blade", "type f"),
        ),
        _form(
            "low mini blade",
            "fuse",
            "blade",
            (10.9, 3.81),
            Status.MEMORY,
            colours="mini",
            aliases=("low mini", "low-profile mini", "low profile mini blade"),
        ),
        _form(
            "micro blade",
            "fuse",
            "blade",
            (9.1, 3.8),
            Status.MEMORY,
            colours="micro",
            aliases=("micro", "micro blade 2-leg", "2-leg micro", "micro2"),
        ),
        _form(
            "micro blade 3-leg",
            "fuse",
            "blade",
            (14.4, 4.2),
            Status.MEMORY,
            contacts=("feed", "load", "load 2"),
            colours="micro",
            aliases=("micro 3-leg", "3-leg micro", "micro3"),
        ),
        _form(
            "maxi blade",
            "fuse",
            "blade",
            (29.2, 8.5),
            Status.VERIFIED,
            sources=(doc.ENCYCLOPEDIA_FUSES, doc.TRADE_ARTICLE_MAXI),
            colours="maxi",
            aliases=("maxi", "large blade", "type e"),
        ),
    )


def _glass(
    name: str,
    size_mm: tuple[float, float],
    aliases: tuple[str, ...],
    sources: tuple[Source, ...] = (doc.GLASS_SIZES,),
    status: Status = Status.VERIFIED,
    note: str = "",
) -> Form:
    return _form(
        name,
        "fuse",
        "glass",
        size_mm,
        status,
        sources=sources,
        note=note,
        aliases=aliases,
    )


def _glasses() -> tuple[Form, ...]:
    ag, by_rating = doc.GLASS_SIZES, doc.GLASS_BY_RATING
    both = (ag, by_rating)
    return (
        _glass(
            "glass 6.3 x 32",
            (31.75, 6.35),
            ("glass", "1/4 x 1-1/4", "glass 1/4 x 1-1/4", "3ag", "sfe 20", "6.3 x 32"),
            both,
        ),
        _glass("glass 6.3 x 25", (25.4, 6.35), ("1/4 x 1", "glass 1/4 x 1", "8ag")),
        _glass(
            "glass 6.3 x 22",
            (22.2, 6.35),
            ("1/4 x 7/8", "glass 1/4 x 7/8", "7ag", "sfe 7.5", "sfe 9"),
            both,
            note="7.5 A and 9 A share this length: a length check cannot tell them",
        ),
        _glass(
            "glass 6.3 x 15.9",
            (15.9, 6.35),
            ("glass 6.3 x 16", "1/4 x 5/8", "glass 1/4 x 5/8", "1ag", "sfe 4"),
            both,
        ),
        _glass(
            "glass 6.3 x 19",
            (19.0, 6.35),
            ("1/4 x 3/4", "glass 1/4 x 3/4", "sfe 6", "glass 6.3 x 19.0"),
            (by_rating,),
        ),
        _glass(
            "glass 6.3 x 27",
            (27.0, 6.35),
            ("1/4 x 1-1/16", "glass 1/4 x 1-1/16", "sfe 14", "glass 6.3 x 27.0"),
            (by_rating,),
        ),
        _glass(
            "glass 6.3 x 36.5",
            (36.5, 6.35),
            ("1/4 x 1-7/16", "glass 1/4 x 1-7/16", "sfe 30", "glass 6.3 x 36"),
            (by_rating,),
        ),
        _glass(
            "glass 6.3 x 29",
            (29.4, 6.35),
            ("1/4 x 1-5/32", "glass 1/4 x 1-5/32", "british glass"),
            (),
            Status.COMMON_PRACTICE,
            "common practice, no source; British panels print the fusing current, "
            "twice the continuous rating",
        ),
        _glass("glass 7.1 x 32", (31.75, 7.14), ("9/32 x 1-1/4", "4ag")),
        _glass("glass 10.3 x 38", (38.1, 10.32), ("13/32 x 1-1/2", "5ag")),
        _glass("glass 4.5 x 15", (14.9, 4.5), ("0.177 x 0.588", "2ag")),
        _glass(
            "glass 5 x 20",
            (20.0, 5.0),
            ("5 x 20", "glass 20", "glass 20 mm", "small glass"),
            (),
            Status.MEMORY,
        ),
        _form(
            "ceramic 6 x 25",
            "fuse",
            "ceramic",
            (25.0, 6.0),
            Status.VERIFIED,
            sources=(doc.ENCYCLOPEDIA_FUSES,),
            note="DIN 72581-1, conical ends",
            colours="torpedo",
            aliases=("ceramic", "torpedo", "continental", "6 x 25"),
        ),
    )


def _other_protection() -> tuple[Form, ...]:
    usual = Status.COMMON_PRACTICE
    return (
        _form(
            "blade breaker",
            "breaker",
            "breaker",
            (19.1, 12.0),
            usual,
            note="tabs of the medium blade; the can's size is common practice",
            pitch_mm=9.3,
            aliases=(
                "breaker",
                "circuit breaker",
                "self-reset breaker",
                "self-reset breaker blade",
            ),
        ),
        _form(
            "stud breaker",
            "breaker",
            "breaker",
            (45.0, 20.0),
            usual,
            aliases=("two-stud breaker", "bolted breaker"),
        ),
        _form(
            "fusible link",
            "link",
            "link",
            (40.0, 5.0),
            usual,
            aliases=("link", "fuse link", "fusible link wire"),
        ),
        _form(
            "bolted strip fuse",
            "fuse",
            "link",
            (41.0, 12.0),
            Status.MEMORY,
            word="strip fuse",
            pitch_mm=30.0,
            aliases=("strip fuse", "bolted fuse", "bolt-down fuse"),
        ),
    )


def _switching() -> tuple[Form, ...]:
    usual = Status.COMMON_PRACTICE
    cube = (28.0, 28.0)
    documents = (doc.RELAY_TERMINALS, doc.RELAY_RATINGS)
    cube_note = "terminals as in the sources; the cube's size is common practice"
    can_note = "diameter of the round can, common practice, no source"
    return (
        _form(
            "relay 4-pin",
            "relay",
            "box",
            cube,
            usual,
            sources=documents,
            note=cube_note,
            contacts=_RELAY,
            aliases=("relay", "4-pin relay", "mini relay", "cube relay"),
        ),
        _form(
            "relay 3-pin",
            "relay",
            "box",
            cube,
            usual,
            contacts=("30", "87", "85"),
            aliases=("3-pin relay",),
        ),
        _form(
            "relay 5-pin",
            "relay",
            "box",
            cube,
            usual,
            sources=documents,
            note=cube_note,
            contacts=(*_RELAY, "87a"),
            aliases=("5-pin relay", "changeover relay"),
        ),
        _form(
            "micro relay",
            "relay",
            "box",
            (23.0, 15.5),
            Status.MEMORY,
            contacts=_RELAY,
            note="from memory; the order of its moulded numbers 1 to 5 is uncertain",
            aliases=("relay micro",),
        ),
        _form(
            "relay socket",
            "relay",
            "box",
            (30.0, 30.0),
            usual,
            word="socket",
            contacts=(*_RELAY, "87a"),
        ),
        _form(
            "flasher 2-pin",
            "flasher",
            "can",
            (32.0, 32.0),
            usual,
            note=can_note,
            aliases=("flasher", "2-pin flasher"),
        ),
        _form(
            "flasher 3-pin",
            "flasher",
            "can",
            (32.0, 32.0),
            usual,
            note=can_note,
            contacts=("feed", "load", "P"),
            aliases=("3-pin flasher",),
        ),
    )


def _single(
    name: str,
    kind: str,
    size_mm: tuple[float, float],
    note: str,
    *aliases: str,
) -> Form:
    return _form(
        name,
        kind,
        kind,
        size_mm,
        Status.COMMON_PRACTICE,
        note=f"{note}; common practice, no source",
        contacts=_PIN,
        aliases=aliases,
    )


def _single_contacts() -> tuple[Form, ...]:
    room = "room the push-on terminal takes round the tab"
    washer = "diameter of a plain washer"
    pocket = "room of one pocket in a connector"
    return (
        _single("tab 6.3", "tab", (8.0, 4.0), room, "tab", "1/4 in tab", "1/4 tab"),
        _single("tab 4.8", "tab", (6.4, 3.6), room, "3/16 in tab"),
        _single("tab 2.8", "tab", (4.4, 3.2), room, "1/8 in tab"),
        _single("stud M6", "stud", (12.0, 12.0), washer, "stud", "m6", "m6 stud"),
        _single("stud M8", "stud", (16.0, 16.0), washer, "m8", "m8 stud"),
        _single("stud M5", "stud", (10.0, 10.0), washer, "m5", "m5 stud"),
        _single("terminal 1.5", "terminal", (3.2, 3.2), pocket, "1.5 terminal"),
        _single(
            "terminal 2.8", "terminal", (4.6, 4.0), pocket, "terminal", "2.8 terminal"
        ),
        _single("terminal 6.3", "terminal", (8.4, 4.8), pocket, "6.3 terminal"),
        _form(
            "blank",
            "blank",
            "blank",
            (19.1, 5.1),
            Status.COMMON_PRACTICE,
            note="drawn at the size of a medium blade; common practice, no source",
            contacts=(),
            aliases=("empty", "no cavity"),
        ),
    )


ALL_FORMS = (
    *_blades(),
    *_glasses(),
    *_other_protection(),
    *_switching(),
    *_single_contacts(),
)
"""Every form, in the order in which a list of choices shows them."""
