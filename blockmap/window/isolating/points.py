"""The names of what can be probed, completed and recognised as a person types them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from blockmap.window.legend.suggestions import Suggestion

if TYPE_CHECKING:
    from blockmap.analysis.isolation.network import Network, Point
    from blockmap.analysis.isolation.places import Places
    from blockmap.model.document import Map

__all__ = ["PointNames"]

_MOST = 8


def _note(point: Point) -> str:
    """Return what stands beside a name: what it is called, and how it is reached."""
    said = "" if point.words == point.name else f"{point.words}, "
    return f"{said}{point.access}"


class PointNames:
    """The points, loads and fuses of one map."""

    def __init__(self) -> None:
        self._network: Network | None = None
        self._document: Map | None = None
        self._places: Places | None = None
        self._offers: tuple[Suggestion, ...] | None = None

    def take(self, network: Network, document: Map) -> None:
        """Take over the circuit of a map."""
        if network is not self._network:
            self._offers = None
            self._places = None
        self._network, self._document = network, document

    def _offered(self) -> tuple[Suggestion, ...]:
        """Return what can be probed or looked at, put together when first typed for."""
        if self._network is None:
            return ()
        if self._offers is None:
            points = [
                Suggestion(point.name, _note(point))
                for point in self._network.points.values()
                if not point.off_limits
            ]
            looked = [
                Suggestion(element.name)
                for element in self._network.elements
                if element.kind in ("fuse", "link", "breaker")
            ]
            unique = {each.text: each for each in (*points, *looked)}
            self._offers = tuple(unique.values())
        return self._offers

    def known(self) -> bool:
        """Tell whether a circuit has been taken over."""
        return self._network is not None

    def offers(self, typed: str) -> tuple[Suggestion, ...]:
        """Return the names that the typed letters begin, the closest first."""
        wanted = typed.casefold().split()
        if not wanted:
            return ()
        found = []
        for offer in self._offered():
            name = offer.text.casefold()
            words = f"{name} {offer.note}".casefold().replace(".", " ").split()
            if name.startswith(typed.strip().casefold()):
                found.append((0, offer))
            elif all(any(w.startswith(part) for w in words) for part in wanted):
                found.append((1, offer))
        found.sort(key=lambda each: each[0])
        return tuple(offer for _, offer in found[:_MOST] if offer.text != typed.strip())

    def said(self, text: str, *, probed: bool) -> str:
        """Return what a person is told a point or part is called; else the text.

        A load, unless it is ``probed``, is called by its own name.
        """
        return self._network.words_of(text, probed=probed) if self._network else text

    def full(self, text: str) -> str:
        """Return the name of a contact written short or in words; else the text.

        Such as f11.l, or "load contact of F11".
        """
        word = " ".join(text.split())
        if self._network is None or self._document is None:
            return word
        if self._places is None:
            from blockmap.analysis.isolation.places import Places

            self._places = Places(self._network, self._document)
        point = self._places.point(word) or self._places.point(self._proper(word))
        if point is None:
            return word
        same = word.casefold() in (point.name.casefold(), point.words.casefold())
        return point.name if same or "." in word else word

    def _proper(self, word: str) -> str:
        """Return f11.w with the place written as the map writes it: F11.w."""
        head, dot, contact = word.rpartition(".")
        start = f"{head}.".casefold()
        for offer in self._offered() if dot and head else ():
            if offer.text.casefold().startswith(start):
                return offer.text[: len(head)] + dot + contact
        return word

    def barred(self, text: str) -> bool:
        """Tell whether a name is one that is never to be probed."""
        if self._network is None:
            return False
        point = self._network.points.get(text)
        return point is not None and point.off_limits
