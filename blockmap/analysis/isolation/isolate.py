"""Answers the question of the job: what is at fault, and where the probe goes next.

It ranks and proposes; it never says that a part is proved sound or bad. The service
manual and the person decide.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from blockmap.analysis.isolation.assumptions import Assumptions
from blockmap.analysis.isolation.belief import Belief, believe
from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.mended import before_repair
from blockmap.analysis.isolation.next_reading import choices
from blockmap.analysis.isolation.observations import Observation, observations
from blockmap.analysis.isolation.proving import proof
from blockmap.analysis.isolation.since_repair import (
    repair_shown,
    sound_since,
    to_prove,
)
from blockmap.analysis.isolation.suspects import Suspect, suspects_of
from blockmap.analysis.isolation.tables import Circuits
from blockmap.analysis.isolation.telling import NextReading, told
from blockmap.model.document import Map

__all__ = ["Isolation", "isolate"]

SETTLED = 0.99
_PROPOSED = 6


def _never() -> bool:
    return False


@dataclass(frozen=True, slots=True, kw_only=True)
class Isolation:
    """Suspects by chance, and the tests to make, the best first.

    ``contradicted`` are the readings that even the likeliest suspect does not explain;
    with any, nothing on the map fits what was seen. ``unused`` are readings that could
    not be weighed, each with why. ``assumed`` says what stands in for the map.
    ``more`` tells that further suspects were left out of the list.
    ``proof`` is the reading to take again after the repair, once nothing is left to
    find out. ``since`` are the last readings when they fit a sound car as after a
    repair: the suspects are then those of before.
    ``sound`` tells that readings were set aside as taken before a repair, and that
    none since speaks for a fault: there are no suspects then, and ``following`` are
    the tests that were amiss before and are still to be made as proof.
    ``holds`` is the key of a reading that holds now where the same test did not, or
    that fits a sound car, as when a repair lies before it; ``outlived`` are those
    from before, which may be set aside.
    """

    suspects: tuple[Suspect, ...]
    following: tuple[NextReading, ...]
    contradicted: tuple[tuple[str, str], ...]
    unused: tuple[tuple[str, str], ...]
    assumed: tuple[str, ...]
    belief: Belief
    proof: NextReading | None = None
    since: tuple[tuple[str, str], ...] = ()
    more: bool = False
    sound: bool = False
    holds: str = ""
    outlived: tuple[str, ...] = ()

    @property
    def next(self) -> NextReading | None:
        """The best test; once none would tell more, the one that proves the repair.

        None when there is neither.
        """
        return self.following[0] if self.following else self.proof

    @property
    def none_fits(self) -> bool:
        """True when no suspect explains every reading."""
        return bool(self.contradicted)

    @property
    def settled(self) -> bool:
        """True when one group of suspects holds nearly all the chance."""
        return bool(self.suspects) and self.suspects[0].probability >= SETTLED

    def sentence(self) -> str:
        """Return in one sentence how far the search has come."""
        if self.sound:
            return self._sound_words()
        if self.none_fits:
            said = "; ".join(text for _, text in self.contradicted)
            return f"Nothing on the map fits every reading. In doubt: {said}"
        if self.since:
            said = "; ".join(text for _, text in self.since)
            was = self.suspects[0].words()
            return f"These fit a sound car, as after a repair: {said}. Before: {was}."
        if not self.belief.observed:
            return "No reading is noted yet: every part is a suspect."
        if self.settled:
            return f"One suspect is left: {self.suspects[0].words()}."
        count = len(self.suspects)
        if self.proof is not None and not self.following:
            first = self.suspects[0]
            return (
                f"{count} suspects are left that no reading parts; the likeliest, "
                f"{100 * first.probability:.0f} %: {first.words()}."
            )
        if self.more:
            return f"More than {count} suspects are left; the likeliest are listed."
        return f"{count} suspects are left."

    def _sound_words(self) -> str:
        wanted = "; ".join(each.said for each in self.following)
        if not self.belief.observed:
            said = "Nothing has been read since the repair."
        else:
            said = "Nothing read since the repair speaks for a fault."
        if wanted:
            return f"{said} Still to prove: {wanted}."
        return f"{said} All that was amiss before it has been read again."


def isolate(
    document: Map,
    assumed: Assumptions | None = None,
    *,
    circuits: Circuits | None = None,
    most: int = 12,
    stop: Callable[[], bool] = _never,
) -> Isolation:
    """Return the suspects and the next reading from the readings of a map.

    At most so many suspects are told. ``circuits`` saves solving the map's circuit
    again. Raises `weighing.Stopped` when ``stop`` says that the answer is no longer
    wanted.
    """
    circuits = circuits or Circuits(network_of(document, assumed))
    circuit = circuits.network
    observed = observations(circuit, document)
    belief = believe(circuits, document, observed.used, stop)
    since: tuple[Observation, ...] = ()
    if belief.misfits or len(observed.every) > len(observed.used):
        mended = before_repair(circuits, document, observed.every, stop)
        belief, since = mended or (belief, ())
    if sound_since(belief, observed):
        return Isolation(
            suspects=(),
            following=to_prove(belief, document, observed),
            contradicted=(),
            unused=observed.unused,
            assumed=circuit.notes,
            belief=belief,
            sound=True,
        )
    suspects = suspects_of(belief, document, most + 1)
    found = [] if since else choices(belief)
    ended = bool(belief.observed) and not (found or since or belief.misfits)
    proved = proof(belief) if ended else None
    holds, outlived = repair_shown(document, since)
    contradicted = tuple((each.key, each.text) for each in belief.misfits)
    return Isolation(
        suspects=suspects[:most],
        following=tuple(told(choice, belief) for choice in found[:_PROPOSED]),
        contradicted=contradicted,
        unused=observed.unused,
        assumed=circuit.notes,
        belief=belief,
        since=tuple((each.key, each.text) for each in since),
        proof=None if proved is None else told(proved, belief),
        more=len(suspects) > most,
        holds=holds,
        outlived=outlived,
    )
