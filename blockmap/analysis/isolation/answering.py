"""Turns the answer to a proposed test into a reading for the map, or an observation."""

from __future__ import annotations

from blockmap.analysis.isolation.belief import Belief
from blockmap.analysis.isolation.network import GROUND
from blockmap.analysis.isolation.observations import Observation
from blockmap.analysis.isolation.telling import NextReading
from blockmap.analysis.isolation.trial import Trial
from blockmap.model.document import Reading

__all__ = ["answered", "reading_for"]


def reading_for(
    proposed: NextReading,
    *,
    value_v: float | None = None,
    seen: str = "",
    date: str | None = None,
) -> Reading:
    """Return the reading to add to the map when a proposed test has been made.

    ``value_v`` is in volts; ``seen`` is a word such as works, dim, dead, whole,
    broken or bright.
    """
    in_millivolts = proposed.kind == "drop" and abs(value_v or 0.0) < 1.0
    value = value_v
    if in_millivolts and value_v is not None:
        value = round(1000 * value_v, 3)
    return Reading(
        point=proposed.point,
        against="" if proposed.against == "ground" else proposed.against,
        states=proposed.states,
        load="; ".join(proposed.loads_on),
        out=proposed.out,
        value=value,
        unit="mV" if in_millivolts and value_v is not None else "V",
        seen=seen,
        meter="lamp in place" if proposed.kind == "in place" else "",
        date=date,
    )


def answered(
    trial: Trial, belief: Belief, key: str, *, value_v: float = 0.0, seen: str = ""
) -> Observation:
    """Return what a test showed as an observation: volts, or a word."""
    network = belief.network
    if trial.kind in ("looked", "in place"):
        return Observation(
            key=key,
            kind=trial.kind,
            state=trial.state,
            element=trial.element,
            seen=seen,
            text=f"{network.elements[trial.element].name}: {seen}",
        )
    probe = trial.probe(belief)
    assert probe is not None
    if trial.kind == "load":
        at = network.loads[trial.load]
        return Observation(
            key=key,
            kind="load",
            state=trial.state,
            point=probe.point,
            against=probe.against,
            seen=seen,
            places=(at.cavity, at.cavity),
            contacts=(trial.load, trial.load),
            text=f"{trial.load}: {seen}",
        )
    assumed = network.assumed
    step = 0.0005 if trial.kind == "drop" else assumed.meter_v
    point, against = trial.point, trial.against
    return Observation(
        key=key,
        kind="volts",
        state=trial.state,
        point=probe.point,
        against=probe.against if against else GROUND,
        value=value_v,
        sigma_v=step + assumed.meter_share * abs(value_v),
        places=(point.cavity if point else "", against.cavity if against else ""),
        contacts=(point.contact if point else "", against.contact if against else ""),
        text=f"{point.name if point else ''}: {value_v:.2f} V",
    )
