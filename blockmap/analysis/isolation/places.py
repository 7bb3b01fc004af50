"""Finds the point, the load or the part of a network that a person means by words."""

from __future__ import annotations

import re

from blockmap.analysis.isolation.network import Network, Point, State
from blockmap.model.document import Map
from blockmap.model.places import PlaceIndex

__all__ = ["Places", "contact_word"]

_SAME = {
    "f": "feed",
    "l": "load",
    "w": "load",
    "load wire": "load",
    "feed wire": "feed",
}
_SAME_TEST = {"b1": "b1", "b2": "b2", "fuse": "b2"}
_OVER = {"b1": "feed", "b2": "load"}
"""The test points of a fuse, and the contacts they lie over."""
_FILLING = {"on", "the", "and", "a", "at", "with", "both"}


def _words(text: str) -> frozenset[str]:
    found = re.findall(r"[a-z0-9]+", text.casefold())
    return frozenset(word.rstrip("s") for word in found if word not in _FILLING)


def contact_word(text: str) -> str:
    """Return the contact that a word means: feed for f, b1 and feed wire."""
    small = text.casefold()
    return _OVER.get(small, _SAME.get(small, text))


class Places:
    """The names of one network, for many look-ups."""

    def __init__(self, network: Network, document: Map) -> None:
        self._network = network
        self._document = document
        self.index = PlaceIndex(document)
        self._by_place = {
            (point.cavity, point.contact): point
            for point in network.points.values()
            if point.cavity and "." in point.name
        }
        said = {point.words.casefold(): point for point in network.points.values()}
        names = {name.casefold(): p for name, p in network.points.items()}
        self._folded = said | names
        self._load_words = {name: _words(name) for name in network.loads}
        self._lamps = frozenset(n for n, at in network.loads.items() if at.with_feed)
        self._named: dict[str, tuple[str, ...]] = {}

    def point(self, text: str) -> Point | None:
        """Return the point that words such as F11.b1, strip RUN or battery name."""
        word = " ".join(text.split())
        exact = self._network.points.get(word)
        if exact is not None:
            return exact
        folded = word.casefold()
        for name in (folded, f"strip {folded}", folded.removeprefix("fuse ")):
            if name in self._folded:
                return self._folded[name]
        place, dot, contact = word.rpartition(".")
        if dot:
            cavity = self.index.cavity(place.removeprefix("fuse ").strip())
            small = contact.casefold()
            name = _SAME.get(small, _SAME_TEST.get(small, contact))
            if cavity is not None:
                return self._by_place.get((cavity.id, name))
        if folded.startswith("ground of "):
            loads = self.loads(folded.removeprefix("ground of "))
            name = f"ground of {loads[0]}" if loads else ""
            return self._network.points.get(name)
        loads = self.loads(word)
        return self._network.points.get(loads[0]) if len(loads) == 1 else None

    def words(self, text: str, *, probed: bool = True) -> str:
        """Return what a person is told it is called; the text itself where unknown.

        A load, unless it is ``probed``, is called by its own name.
        """
        point = self.point(text) if "." in text else None
        return self._network.words_of(point.name if point else text, probed=probed)

    def loads(self, text: str) -> tuple[str, ...]:
        """Return the loads that words name, such as 'low beam' or 'blower on high'.

        A load is meant when its name holds all the words or they hold all its name.
        """
        known = self._named.get(text)
        if known is None:
            known = self._named[text] = self._loads(text)
        return known

    def _loads(self, text: str) -> tuple[str, ...]:
        found: list[str] = []
        for part in re.split(r"[;,]| and ", text):
            wanted = _words(part)
            found += [n for n, words in self._load_words.items() if wanted == words]
        wanted = _words(text)
        if wanted and not found:
            found = [
                name
                for name, words in self._load_words.items()
                if words and (wanted <= words or words <= wanted)
            ]
        return tuple(dict.fromkeys(found))

    def taken_out(self, text: str) -> int | None:
        """Return the element that is open when this was pulled or unplugged."""
        by_name = self._network.by_name
        if text in by_name:
            return by_name[text]
        cavity = self.index.cavity(text.removeprefix("fuse ").strip())
        if cavity is not None:
            for index, element in enumerate(self._network.elements):
                if element.cavity == cavity.id and element.contact == "fuse":
                    return index
            for index, element in enumerate(self._network.elements):
                if element.cavity == cavity.id and element.kind == "connector":
                    return index
            plug = self._by_place.get((cavity.id, cavity.main_contact))
            if cavity.kind == "terminal" and plug is not None:
                # The wire that leads to the plug stays, what is beyond it is off.
                upper = self._network.above[plug.node]
                return upper if upper >= 0 else None
        loads = self.loads(text)
        if len(loads) == 1:
            return self._network.loads[loads[0]].element
        return None

    def state(
        self, words: tuple[str, ...], load: str, out: tuple[str, ...] = ()
    ) -> State:
        """Return the state that a reading notes; lamps run with their switch."""
        on = set(self.loads(load)) if load else set()
        on |= self._lamps
        elements = (self.taken_out(text) for text in out)
        return State(
            frozenset(word.upper() for word in words),
            frozenset(on),
            frozenset(index for index in elements if index is not None),
        )
