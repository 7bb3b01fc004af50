"""Computes the resistance of wires, fuses and loads of a map, assumed where not noted.

Fuses count cold, as the tables have them. A filament counts at its hot resistance.
"""

from __future__ import annotations

from blockmap.analysis.isolation.assumptions import Assumptions
from blockmap.analysis.numbers.wires import resistance_per_m
from blockmap.model.document import Cavity, Load
from blockmap.reference.fuse_resistance import cold_resistance

__all__ = ["Sizes", "is_off_limits"]

_OFF_LIMITS = ("airbag", "air bag", "pretensioner", "srs", "supplemental restraint")


def is_off_limits(cavity: Cavity) -> bool:
    """Tell whether a cavity belongs to an airbag or pretensioner: never probed."""
    said = " ".join(
        (
            cavity.circuit,
            cavity.legend,
            cavity.legend_long,
            *(load.name for load in cavity.loads),
        )
    ).casefold()
    words = said.replace("-", " ").split()
    return any(
        mark in words if mark == "srs" else mark in said.replace("-", " ")
        for mark in _OFF_LIMITS
    )


class Sizes:
    """The ohms of the parts of one car."""

    def __init__(self, assumed: Assumptions, volts: float) -> None:
        self.assumed = assumed
        self.volts = volts

    def wire(self, gauge: str, length_m: float | None, usual_m: float) -> float:
        """Return the ohms of a wire by gauge and length in metres."""
        per_m = resistance_per_m(gauge) if gauge else None
        mohm = self.assumed.wire_mohm_per_m if per_m is None else per_m.value
        metres = usual_m if length_m is None else length_m
        return max(mohm * metres / 1000, 1e-5)

    def through(self, cavity: Cavity) -> float:
        """Return the ohms of what is plugged in: the fuse, breaker, relay, flasher."""
        if cavity.kind != "fuse":
            return self.assumed.ohms[cavity.kind]
        amps = cavity.fitted_a or cavity.rating_a
        form = cavity.fitted_form or cavity.form
        known = cold_resistance(form, amps) if amps else None
        if known is not None:
            return known.value / 1000
        return self.assumed.fuse_mohm_times_amps / (amps or 10.0) / 1000

    def load_amps(self, load: Load, cavity: Cavity) -> float:
        """Return the current of a load at the system's volts, in amps."""
        if load.amps_a:
            return load.amps_a
        if load.watts_w:
            return load.watts_w / (load.at_volts or self.volts)
        if cavity.rating_a:
            share = self.assumed.load_share * cavity.rating_a
            return max(share / max(len(cavity.loads), 1), 0.2)
        return self.assumed.load_a

    def load_ohms(self, amps: float) -> float:
        """Return the ohms of a load that draws these amps."""
        return self.volts * self.assumed.charge_over_nominal / amps
