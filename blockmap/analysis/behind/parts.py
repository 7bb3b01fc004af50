"""Works out from the damage what must be bought, equal parts merged.

The rules are common practice, no source. A single terminal that has lost its grip or
its temper, is burnt, broken or corroded through is replaced from severity 2 on; one
that backs out may do when its tang is lifted, and a spare is listed in case it does
not. A contact of a strip is never listed: the strip is, once, and only where severity
3 says that it cannot stay. A repair that names a part stands over these rules, and a
stage of “watch” means that nothing is bought.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from blockmap.analysis.behind.damage import DONE, Damage, damage_of, repairs_by_place
from blockmap.analysis.behind.part import SORTS, Part, joined, merged
from blockmap.analysis.behind.singly import (
    family_of,
    family_words,
    replaceable_singly,
    strip_of,
)
from blockmap.analysis.numbers.limits import limits_of
from blockmap.model.document import Cavity, Map, Repair, Strip
from blockmap.model.ids import ContactRef, key_of, read_contact
from blockmap.model.places import Place, PlaceIndex, wire_place
from blockmap.model.units import number_text
from blockmap.reference.wire_colours import show_colour

__all__ = ["parts_needed"]

_GONE = (
    "spread",
    "annealed",
    "heat-marked",
    "corroded",
    "broken",
    "missing",
    "wrong terminal",
)
_WANTED = ("part wanted", "ordered", "received")


def parts_needed(document: Map) -> tuple[Part, ...]:
    """Return everything but stock fuses that the damage and the repairs ask for."""
    found: list[Part] = []
    used: set[str] = set()
    for damage in damage_of(document):
        made = list(_for_damage(document, damage))
        if made and damage.repair_key:
            used.add(damage.repair_key)
        found += made
    found += _for_fitted(document)
    found += _for_repairs(document, used)
    return tuple(sorted(merged(found), key=lambda part: SORTS.index(part.sort)))


def _repaired(
    document: Map, part: Part, key: str, repair: Repair | None, stage: str
) -> Part:
    if repair is None:
        return replace(part, stages=(stage,))
    dates = dict(repair.reached)
    return replace(
        part,
        stages=(stage,),
        ordered=dates.get("ordered") or "",
        received=dates.get("received") or "",
        price=repair.price,
        currency=repair.currency or document.car.currency,
        source=repair.source,
        note=joined(part.note, "" if repair.part == part.name else repair.part),
        repairs=(key,),
    )


def _place(document: Map, cavity: Cavity, where: str = "") -> str:
    """Return 'F11 load', with the block's name where the map has several blocks."""
    name = f"{cavity.designation} {where}".strip()
    if len(document.blocks) < 2:
        return name
    block = document.blocks[cavity.block]
    return f"{name}, {block.name or block.id}"


def _for_damage(document: Map, damage: Damage) -> Iterator[Part]:
    if damage.stage in (*DONE, "watch"):
        return
    wanted = damage.stage in _WANTED and damage.repair is not None
    cavity, where = damage.cavity, damage.where
    parts: Iterable[Part]
    if where == "fuse":
        parts = _for_fuse(cavity, damage, wanted)
    elif where == "housing":
        parts = _for_housing(document, damage)
    elif wire_place(where):
        parts = _for_wire(document, cavity, damage)
    else:
        parts = _for_contact(document, damage, wanted)
    for part in parts:
        named = replace(
            part,
            places=(_place(document, cavity, where),),
            at=(f"{cavity.id}.{where}",),
            why=(damage.condition.state,),
        )
        yield _repaired(document, named, damage.repair_key, damage.repair, damage.stage)


def _for_housing(document: Map, damage: Damage) -> Iterator[Part]:
    """Return the block that a housing is part of, once somebody wants a part.

    A repair of the housing says itself which part; see `_for_repairs`.
    """
    if damage.stage in _WANTED and damage.repair is None:
        block = document.blocks[damage.cavity.block]
        name = f"housing of {block.name or block.id}: donor or whole block"
        yield Part(sort="block part", name=name)


def _for_contact(document: Map, damage: Damage, wanted: bool) -> Iterator[Part]:
    ref = ContactRef(damage.cavity.id, damage.where)
    state, severity = damage.condition.state, damage.condition.severity or 2
    gone = state in ("broken", "missing")
    held = strip_of(document, ref)
    answer = replaceable_singly(document, ref)
    if held and held[1] and answer.word != "yes":
        bad = severity == 3 and state != "untested"
        if bad or gone or wanted:
            yield _strip_part(document, held[0])
        return
    if answer.word == "no":
        if (severity == 3 and state != "untested") or gone or wanted:
            block = document.blocks[damage.cavity.block]
            yield Part(
                sort="block part",
                name=f"{family_words(document, ref)} in {block.name or block.id}: "
                "donor part or whole block",
                side=damage.where,
            )
        return
    if gone or wanted or (severity >= 2 and state in _GONE):
        yield from _terminals(document, ref, split=state == "wrong terminal")
    elif severity >= 2 and state == "backed out":
        for part in _terminals(document, ref):
            yield replace(part, count=0, perhaps=part.count)
    elif severity == 3 and state == "loose rivet":
        yield from _terminals(document, ref)


def _strip_part(document: Map, strip: Strip) -> Part:
    names = []
    for text in strip.members:
        ref = read_contact(text, strip.block)
        cavity = document.cavities.get(ref.cavity) if ref else None
        names.append(cavity.designation if cavity else text)
    made = f", {strip.made}" if strip.made else ""
    what = "the bar, or a donor block" if _unbolts(strip) else "donor or whole block"
    block = document.blocks[strip.block]
    where = f" in {block.name or block.id}" if len(document.blocks) > 1 else ""
    return Part(
        sort="strip",
        name=f"strip {strip.name or key_of(strip.id)} ({', '.join(names)}){where}"
        f"{made}: {what}",
        side="feed",
        note="" if strip.made else "how the strip is made is not noted",
    )


def _unbolts(strip: Strip) -> bool:
    return strip.made == "solid bar that unbolts"


def _terminals(document: Map, ref: ContactRef, split: bool = False) -> Iterator[Part]:
    """Return the terminal of a contact; one a wire where wires are to be parted."""
    family = family_of(document, ref)
    words = family_words(document, ref)
    gauges = _gauges(document, ref)
    groups = gauges if split and gauges else [" + ".join(gauges)]
    for gauge in groups:
        seal = family.seal if family else ""
        yield Part(
            sort="terminal",
            name=family.name if family else words or "terminal, family not noted",
            family=family.name if family else words,
            gauge=gauge,
            seal=f"{seal} for {gauge or 'a gauge not noted'}" if seal else "",
            side=ref.contact,
        )


def _gauges(document: Map, ref: ContactRef) -> list[str]:
    wires = document.cavities[ref.cavity].contact(ref.contact).wires
    if wires:
        return [wire.gauge or "gauge not noted" for wire in wires]
    held = strip_of(document, ref)
    if held is None:
        return []
    for jumper in held[0].jumpers:
        if read_contact(jumper.to, held[0].block) == ref and jumper.gauge:
            return [jumper.gauge]
    return []


def _for_wire(document: Map, cavity: Cavity, damage: Damage) -> Iterator[Part]:
    severity = damage.condition.severity or 2
    found = wire_place(damage.where)
    if severity < 2 or damage.condition.state == "untested" or found is None:
        return
    wires = cavity.contact(found[0]).wires
    wire = wires[found[1]] if found[1] < len(wires) else None
    gauge = wire.gauge if wire else ""
    if cavity.kind == "link":
        name, thinner = _link(document, gauge)
        yield Part(sort="wire", name=name, gauge=thinner, side="link")
        return
    colour = wire.colour if wire else None
    shown = show_colour(colour, document.car.colour_code) if colour else "wire"
    yield Part(
        sort="wire",
        name=f"{shown}: a piece of wire and a splice",
        gauge=gauge,
        side=found[0],
    )


def _link(document: Map, gauge: str) -> tuple[str, str]:
    """Return name and gauge of the link wire that guards a wire of this gauge."""
    limits = limits_of(document)
    steps = int(limits.value("link_steps"))
    own = "link_steps" in limits.set_by_you
    how = "set by you" if own else "common practice"
    match = re.fullmatch(r"(\d+) AWG", gauge)
    if match is None:
        thinner = f"{steps} gauge numbers thinner than its wire"
        return f"fusible link wire, {thinner} ({how})", ""
    thinner = f"{int(match[1]) + steps} AWG"
    return f"fusible link wire, to guard {gauge} ({how})", thinner


def _fuse_name(cavity: Cavity) -> str:
    rating = number_text(cavity.rating_a) if cavity.rating_a else "rating not known"
    amps = f"{rating} A" if cavity.rating_a else rating
    return f"{cavity.form or cavity.kind}, {amps}"


def _for_fuse(cavity: Cavity, damage: Damage, wanted: bool) -> Iterator[Part]:
    state, severity = damage.condition.state, damage.condition.severity or 2
    worn = severity >= 2 and state in _GONE
    if wanted or worn or state in ("broken", "missing") or _is_unlike(cavity):
        named = damage.repair.part if damage.repair else ""
        yield Part(sort="fuse", name=named or _fuse_name(cavity))


def _is_unlike(cavity: Cavity) -> bool:
    """Tell whether what is fitted is not what the cavity is specified for."""
    if cavity.kind not in ("fuse", "breaker") or cavity.do_not_use:
        return False
    other_amps = (
        cavity.fitted_a is not None
        and cavity.rating_a is not None
        and cavity.fitted_a != cavity.rating_a
    )
    return other_amps or bool(
        cavity.fitted_form and cavity.form and cavity.fitted_form != cavity.form
    )


def _for_fitted(document: Map) -> Iterator[Part]:
    """Return the fuses for cavities that hold another than the specified one."""
    for cavity in document.cavities.values():
        if not _is_unlike(cavity):
            continue
        if cavity.fuse and (cavity.fuse.stage or "") in (*DONE, "watch"):
            continue
        fitted = number_text(cavity.fitted_a) if cavity.fitted_a else ""
        why = f"{fitted} A is fitted" if fitted else f"{cavity.fitted_form} is fitted"
        yield Part(
            sort="fuse",
            name=_fuse_name(cavity),
            places=(_place(document, cavity, "fuse"),),
            at=(f"{cavity.id}.fuse",),
            why=(why,),
            stages=((cavity.fuse.stage if cavity.fuse else None) or "found",),
        )


def _for_repairs(document: Map, used: set[str]) -> Iterator[Part]:
    """Return the parts of repairs that no damage has asked for yet."""
    at = {key: place for place, key in repairs_by_place(document).items()}
    index = PlaceIndex(document)
    for key, repair in document.repairs.items():
        if key in used or repair.stage in (*DONE, "watch"):
            continue
        if not repair.part and repair.stage not in _WANTED:
            continue
        place = at.get(key) or index.place(repair.at)
        part = _repair_part(document, repair, place)
        named = f"{place.cavity}.{place.where}".rstrip(".") if place else repair.at
        part = replace(part, at=(named,))
        yield _repaired(document, part, key, repair, repair.stage)


def _repair_part(document: Map, repair: Repair, place: Place | None) -> Part:
    if place is None:
        for strip in document.strips.values():
            if repair.at in (strip.id, strip.name, key_of(strip.id)):
                return replace(_strip_part(document, strip), places=(repair.at,))
        return Part(sort="other", name=_described(repair), places=(repair.at,))
    cavity = document.cavities[place.cavity]
    where = _place(document, cavity, place.where)
    why = (repair.what,) if repair.what else ()
    if place.where == "fuse":
        name = repair.part or _fuse_name(cavity)
        return Part(sort="fuse", name=name, places=(where,), why=why)
    ref = ContactRef(cavity.id, place.where)
    if place.where in cavity.contact_names:
        held = strip_of(document, ref)
        if held and held[1] and replaceable_singly(document, ref).word != "yes":
            part = _strip_part(document, held[0])
            return replace(part, places=(where,), why=why)
        first = next(_terminals(document, ref))
        return replace(first, places=(where,), why=why)
    return Part(sort="other", name=_described(repair), places=(where,), why=why)


def _described(repair: Repair) -> str:
    return repair.part or repair.what or "part, not described"
