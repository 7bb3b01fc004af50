"""The command that names suspects and the next reading from the readings in a map."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import click

from blockmap.cli.given_map import read_given_map
from blockmap.cli.streams import put_bytes, put_text, say
from blockmap.files.shown import shown_name, shown_text

if TYPE_CHECKING:
    from blockmap.analysis.isolation.isolate import Isolation
    from blockmap.analysis.isolation.suspects import Suspect
    from blockmap.analysis.isolation.telling import NextReading

__all__ = ["isolate_command"]


@click.command("isolate")
@click.argument("file")
@click.option("--json", "as_json", is_flag=True, help="write the answer as JSON")
@click.option(
    "--most",
    type=click.IntRange(1, 200),
    default=12,
    show_default=True,
    help="most suspects to name",
)
def isolate_command(file: str, as_json: bool, most: int) -> int:
    """Rank the suspects and propose the next reading.

    Works from the readings in the map. It records and computes; the service manual,
    local rules and licensed practice decide.
    """
    from blockmap.analysis.isolation.isolate import isolate

    found = isolate(read_given_map(file).document, most=most)
    name = shown_name(file)
    if as_json:
        put_bytes(_json(name, found))
    else:
        put_text(_text(found))
        for key, why in found.unused:
            said = shown_text(f"reading {key} is left out: {why}", 300)
            say(f"{name}: note: {said}")
    return 0


def _suspect(suspect: Suspect) -> dict[str, Any]:
    return {
        "element": " or ".join(suspect.elements),
        "fault": suspect.fault,
        "probability": round(suspect.probability, 4),
        "why": suspect.why,
        "alike": list(suspect.elements),
        "ohms": None if suspect.ohms is None else [round(r, 4) for r in suspect.ohms],
        "with": " or ".join(suspect.second) or None,
        "places": [
            {"cavity": cavity, "contact": contact} for cavity, contact in suspect.places
        ],
    }


def _next(reading: NextReading) -> dict[str, Any]:
    return {
        "do": reading.do,
        "kind": reading.kind,
        "point": reading.point,
        "against": reading.against or None,
        "state": reading.state,
        "states": list(reading.states),
        "loads_on": list(reading.loads_on),
        "out": list(reading.out),
        "place": dict(zip(("cavity", "contact"), reading.place, strict=True)),
        "view": reading.view.value,
        "access": reading.access,
        "expected_v": None
        if reading.expected_v is None
        else round(reading.expected_v, 3),
        "expected": reading.expected,
        "why": reading.why,
        "answers": [
            {
                "shows": answer.shows,
                "probability": round(answer.chance, 4),
                "leaves": list(answer.leaves),
                "rules_out": list(answer.rules_out),
            }
            for answer in reading.answers
        ],
        "warnings": list(reading.warnings),
        "bits": round(reading.bits, 3),
        "minutes": reading.minutes,
    }


def _json(name: str, found: Isolation) -> bytes:
    content = {
        "file": name,
        "sentence": found.sentence(),
        "suspects": [_suspect(suspect) for suspect in found.suspects],
        "next": None if found.next is None else _next(found.next),
        "contradicted": [{"reading": k, "says": t} for k, t in found.contradicted],
        "unused": [{"reading": key, "why": why} for key, why in found.unused],
        "assumed": list(found.assumed),
    }
    text = json.dumps(content, ensure_ascii=False, indent=2) + "\n"
    return text.encode("utf-8", "backslashreplace")


def _text(found: Isolation) -> str:
    lines = [found.sentence()]
    lines += ["", "Suspects"] if found.suspects else []
    for suspect in found.suspects:
        percent = f"{100 * suspect.probability:5.1f} %"
        lines.append(f"  {percent}  {shown_text(suspect.words(), 200)}")
        if suspect.ohms is not None:
            low, high = (f"{1000 * size:.0f}" for size in suspect.ohms)
            band = low if low == high else f"{low} to {high}"
            lines.append(f"           about {band} mΩ")
        lines.append(f"           {shown_text(suspect.why, 500)}")
    reading = found.next
    lines += ["", "Next"]
    if reading is None:
        none = "Nothing is left to prove." if found.sound else ""
        lines.append(f"  {none or 'No reading on this map would tell more.'}")
        return "\n".join(lines) + "\n"
    lines.append(f"  {shown_text(reading.do, 300)}")
    seen = f"{reading.view.words}, {reading.access}"
    lines.append(f"  Where: {seen}; about {reading.minutes:g} min of work")
    lines.append(f"  Sound: {reading.expected}")
    if found.sound:
        why = f"{reading.why[:1].upper()}{reading.why[1:]}"
        lines.append(f"  {shown_text(why, 300)}")
    elif not found.following:
        lines.append("  Nothing is left to find out: take it again after the repair.")
    for answer in reading.answers:
        leaves = shown_text("; ".join(answer.leaves), 300)
        lines.append(f"  If {answer.shows}: {leaves}")
    lines += [f"  Caution: {warning}" for warning in reading.warnings]
    return "\n".join(lines) + "\n"
