"""Weighs how well predicted readings agree with what was observed.

Volts count with the meter's tolerance and with the doubt about drops of sound parts;
the battery's own voltage is fitted within its spread; each reading may be a slip. What
was merely seen, works or dim or dead, counts by the share of the sound voltage.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from blockmap.analysis.isolation.assumptions import Assumptions
from blockmap.analysis.isolation.observations import Observation

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = [
    "SEEN",
    "Scale",
    "Weigher",
    "lamp_chances",
    "seen_chances",
    "spread_of",
    "whole_volts",
]

SEEN = ("live", "dim", "dead")


def spread_of(
    assumed: Assumptions,
    emf_v: float,
    sound: Floats,
    meter: Floats,
    shown: Floats,
    coarse: float = 0.0,
) -> Floats:
    """Return the standard deviation of predicted readings in volts.

    The drop of a sound part is in doubt by a share of itself, a small one by more, and
    so is what a fault adds by a share. Neither is in doubt by more than it is: where
    nothing flows nothing drops.
    ``coarse`` is the share by which sizes of faults are stepped, as more doubt.
    """
    import numpy as np

    known = np.minimum(np.abs(shown), np.abs(emf_v - shown))
    small = np.minimum(np.minimum(np.abs(sound), np.abs(emf_v - sound)), known)
    added = np.minimum(np.abs(shown - sound), known)
    own = np.maximum(
        assumed.drop_doubt * small, np.minimum(2 * small, assumed.contact_doubt_v)
    )
    more = math.hypot(assumed.current_doubt, coarse) * added
    doubt: Floats = np.sqrt(meter**2 + own**2 + more**2)
    return doubt


def seen_chances(share: Floats) -> Floats:
    """Return the chances of live, dim and dead by the share of the sound volts."""
    import numpy as np

    share = np.clip(share, -1.0, 2.0)
    live = 1.0 / (1.0 + np.exp(-(share - 0.82) / 0.025))
    dead = 1.0 / (1.0 + np.exp((share - 0.25) / 0.03))
    dim = 1.0 / (1.0 + np.exp((share - 0.9) / 0.02))
    dim = dim / (1.0 + np.exp(-(share - 0.15) / 0.02))
    raw = np.stack((live, dim, dead), axis=-1) + 0.004
    chances: Floats = raw / raw.sum(axis=-1, keepdims=True)
    return chances


def lamp_chances(share: Floats) -> Floats:
    """Return the chances of bright, dim and dark of a lamp in the fuse's place.

    Bright is as bright as across the battery. At nine tenths of the volts a filament
    gives about seven tenths of the light: common practice, no source.
    """
    import numpy as np

    bright = 1.0 / (1.0 + np.exp(-(share - 0.9) / 0.02))
    dark = 1.0 / (1.0 + np.exp((share - 0.25) / 0.03))
    raw = np.stack((bright, np.maximum(1.0 - bright - dark, 0.0), dark), axis=-1)
    raw += 0.004
    chances: Floats = raw / raw.sum(axis=-1, keepdims=True)
    return chances


def whole_volts(emf_v: float, sound: Floats) -> Floats:
    """Return the volts at which something is said to work.

    What should be dead and has volts is said to run already at little of them.
    """
    import numpy as np

    return np.where(np.abs(sound) > 0.3 * abs(emf_v), sound, 0.6 * emf_v)


class Weigher:
    """The observations of one network as a function of predicted readings."""

    def __init__(
        self,
        assumed: Assumptions,
        emf_v: float,
        observed: Sequence[Observation],
        sound: Floats,
    ) -> None:
        import numpy as np

        self.assumed, self.emf_v = assumed, emf_v
        self.observed = tuple(observed)
        kinds = [each.kind == "volts" for each in self.observed]
        self.volts = np.array([k for k, v in enumerate(kinds) if v], dtype=np.int64)
        self.seen = np.array([k for k, v in enumerate(kinds) if not v], dtype=np.int64)
        self.value = np.array([self.observed[k].value for k in self.volts])
        self.meter = np.array([self.observed[k].sigma_v for k in self.volts])
        self.sound = sound[self.volts] if len(self.volts) else np.zeros(0)
        whole = sound[self.seen] if len(self.seen) else np.zeros(0)
        self.whole = whole_volts(emf_v, whole)
        self.category = [SEEN.index(self.observed[k].seen) for k in self.seen]

    def residuals(self, shown: Floats, coarse: float = 0.0) -> Floats:
        """Return by how many deviations each volts reading is off, rows by readings.

        ``coarse`` is the share by which sizes of faults are stepped, as more doubt.
        """
        import numpy as np

        volts = shown[..., self.volts]
        sigma = spread_of(
            self.assumed, self.emf_v, self.sound, self.meter, volts, coarse
        )
        spread = self.assumed.emf_spread
        wide = np.hypot(sigma, spread * volts)
        fits = np.abs(self.value - volts) < 4.0 * wide
        weight = np.where(fits, 1.0 / sigma**2, 0.0)
        top = 1.0 / spread**2 + (weight * volts * self.value).sum(axis=-1)
        low = 1.0 / spread**2 + (weight * volts**2).sum(axis=-1)
        self._scale, self._sigma = top / low, sigma
        off: Floats = (self.value - self._scale[..., None] * volts) / sigma
        return off

    def log_likelihood(self, shown: Floats, coarse: float = 0.0) -> Floats:
        """Return the logarithm of the likelihood of each row of readings.

        With ``coarse`` a step of sizes counts as doubt, so that the true size between
        two steps is not taken for a slip.
        """
        import numpy as np

        total: Floats = np.zeros(shown.shape[:-1])
        slip = self.assumed.slip_share
        if len(self.volts):
            off = self.residuals(shown, coarse)
            sharp = np.exp(-0.5 * np.minimum(off**2, 200.0)) / self._sigma
            bell = (1.0 - slip) * sharp / math.sqrt(2 * math.pi)
            total += np.log(bell + slip / abs(self.emf_v)).sum(axis=-1)
            total -= 0.5 * ((self._scale - 1.0) / self.assumed.emf_spread) ** 2
        if len(self.seen):
            chances = seen_chances(shown[..., self.seen] / self.whole)
            for column, category in enumerate(self.category):
                total += np.log(chances[..., column, category])
        return total

    def misfits(self, row: Floats) -> tuple[int, ...]:
        """Return which observations a row of readings contradicts."""
        import numpy as np

        found: list[int] = []
        if len(self.volts):
            off = np.abs(self.residuals(row[None, :])[0])
            found += [int(self.volts[k]) for k in np.flatnonzero(off > 3.5)]
        if len(self.seen):
            chances = seen_chances(row[self.seen] / self.whole)
            found += [
                int(self.seen[k])
                for k, category in enumerate(self.category)
                if chances[k, category] < 0.05
            ]
        return tuple(sorted(found))


class Scale:
    """Limits of the resistances that are tried, in ohms."""

    LEAST = 0.02
    MOST = 40.0
    COARSE = 26
