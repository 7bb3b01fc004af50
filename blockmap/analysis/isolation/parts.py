"""Collects the nodes, elements and points of a network while a map is walked."""

from __future__ import annotations

from collections.abc import Iterable

from blockmap.analysis.isolation.assumptions import Access, Assumptions
from blockmap.analysis.isolation.network import GROUND, Element, LoadPlace, Point
from blockmap.analysis.isolation.sizes import Sizes, is_off_limits
from blockmap.analysis.isolation.spoken import contact_said
from blockmap.model.document import Cavity, Condition, Landing, Map, Strip
from blockmap.model.ids import ContactRef
from blockmap.model.places import PlaceIndex

__all__ = ["Parts"]

_OPEN_CLIPS = ("glass", "ceramic")
_MADE_WHOLE = ("one stamping", "solid bar that unbolts")


class Parts:
    """What has been found of a network so far."""

    def __init__(self, document: Map, assumed: Assumptions) -> None:
        self.document = document
        self.assumed = assumed
        self.sizes = Sizes(assumed, document.car.volts)
        self.index = PlaceIndex(document)
        self.elements: list[Element] = []
        self.pairs: set[tuple[int, int]] = set()
        self.ends: set[int] = set()
        self.points: dict[str, Point] = {}
        self.loads: dict[str, LoadPlace] = {}
        self.notes: dict[str, None] = {}
        self.metal: dict[ContactRef, int] = {}
        self.fed: set[int] = set()
        self.count = 1
        self.plus = GROUND
        self.leading: dict[int, list[int]] = {}
        self.owner: dict[int, str] = {}
        self.grounds: dict[str, int] = {}
        shared = {c.designation: 0 for c in document.cavities.values()}
        for cavity in document.cavities.values():
            shared[cavity.designation] += 1
        self.shared = {name for name, number in shared.items() if number > 1}

    def node(self) -> int:
        self.count += 1
        return self.count - 1

    def add(
        self,
        name: str,
        kind: str,
        a: int,
        b: int,
        ohms: float | None = None,
        live: Iterable[str] | None = None,
        load: str = "",
        place: tuple[str, str] = ("", ""),
        condition: Condition | None = None,
        odds: float = 1.0,
        said: str = "",
    ) -> int:
        closed = None if live is None else frozenset(word.upper() for word in live)
        self.elements.append(
            Element(
                name=name,
                kind=kind,
                a=a,
                b=b,
                ohms=self.assumed.ohms[kind] if ohms is None else ohms,
                live=closed,
                load=load,
                cavity=place[0],
                contact=place[1],
                condition=condition,
                odds=odds,
                said=said,
            )
        )
        self.fed.add(b)
        self.pairs |= {(a, b), (b, a)}
        self.ends |= {a, b}
        return len(self.elements) - 1

    def point(
        self,
        name: str,
        node: int,
        access: str,
        place: tuple[str, str] = ("", ""),
        said: str = "",
    ) -> None:
        cavity = self.document.cavities.get(place[0])
        barred = cavity is not None and is_off_limits(cavity)
        self.points[name] = Point(name, node, access, *place, barred, said)

    def name(self, cavity: Cavity) -> str:
        unique = cavity.designation not in self.shared
        return cavity.designation if unique else cavity.id

    def metal_of(self, cavity: Cavity, contact: str) -> int:
        ref = ContactRef(cavity.id, contact)
        if ref not in self.metal:
            self.metal[ref] = self.node()
            self.point(
                f"{self.name(cavity)}.{contact}",
                self.metal[ref],
                _access(cavity),
                (cavity.id, contact),
                contact_said(self.name(cavity), contact),
            )
        return self.metal[ref]

    def contact_at(self, text: str, block: str) -> tuple[Cavity, str] | None:
        ref = self.index.contact(text, block)
        if ref is None:
            return None
        cavity = self.document.cavities[ref.cavity]
        return None if cavity.kind == "blank" else (cavity, ref.contact)

    def landed(self, strip: Strip, name: str) -> int:
        """Join a strip's contacts from where its supply lands; return that node.

        A supply that lands off the contacts has a node of its own in the metal, and
        leads to the contacts on either side of it by a stretch each.
        """
        found = [self.contact_at(text, strip.block) for text in strip.members]
        members = [place for place in found if place is not None]
        near = self.contact_at(strip.lands_at, strip.block)
        at = members.index(near) if near in members else None
        landing = strip.landing(at, len(members)) or Landing(on=0)
        if not landing.known:
            said = f"where on {name} the supply lands is not noted"
            self.notes[f"{said}: the likeliest place is taken"] = None
        if members and landing.on is not None:
            cavity, contact = members[landing.on]
            start, said = self.metal_of(cavity, contact), self.name(cavity)
            if len(members) > 1:
                there = self.points[f"{said}.{contact}"]
                self.points[name] = there._replace(name=name, said="")
            before, after = landing.on, landing.on + 1
        else:
            start, said = self.node(), "landing"
            self.point(name, start, Access.REAR)
            before = after = landing.gap or 0
        odds = 0.2 if strip.made in _MADE_WHOLE else 1.0
        for row in (members[after:], members[:before][::-1]):
            near_node, near_word = start, said
            for cavity, contact in row:
                node, word = self.metal_of(cavity, contact), self.name(cavity)
                if node != near_node and node not in self.fed:
                    title = f"{name}, {near_word} to {word}"
                    between = f"{name} between {near_word} and {word}"
                    self.add(title, "strip", near_node, node, odds=odds, said=between)
                near_node, near_word = node, word
        return start


def _access(cavity: Cavity) -> str:
    if cavity.off_panel or cavity.kind == "terminal":
        return Access.TRIM
    if cavity.kind in ("tab", "stud"):
        return Access.FRONT
    if cavity.kind == "fuse" and cavity.form.startswith(_OPEN_CLIPS):
        return Access.FRONT
    return Access.REAR
