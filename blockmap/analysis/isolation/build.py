"""Makes the circuit of a map: who feeds whom, through which parts, to which ground.

What the map leaves open is assumed, and said in the notes of the network: lengths of
wire, currents of loads, and where a contact is fed from.
"""

from __future__ import annotations

from collections import deque
from dataclasses import replace

from blockmap.analysis.isolation.assumptions import (
    Access,
    Assumptions,
    assumptions_of,
)
from blockmap.analysis.isolation.network import (
    GROUND,
    Element,
    LoadPlace,
    Network,
)
from blockmap.analysis.isolation.parts import Parts
from blockmap.analysis.isolation.same_load import is_again
from blockmap.analysis.isolation.spoken import (
    contact_said,
    load_said,
    part_said,
    wire_said,
)
from blockmap.model.document import Cavity, Contact, Load, Map, Strip
from blockmap.reference.trade_words import SWITCH_STATES

__all__ = ["network_of"]

_THROUGH = {
    "fuse": (("feed", "load"), ("feed", "load 2")),
    "breaker": (("feed", "load"),),
    "link": (("feed", "load"),),
    "flasher": (("feed", "load"),),
    "relay": (("30", "87"), ("30", "87a"), ("30", "87b")),
}
_OUTGOING = ("load", "load 2", "87", "87a", "87b", "P")


def network_of(document: Map, assumed: Assumptions | None = None) -> Network:
    """Return the circuit of a map, sound and complete, with its points and loads."""
    return _Builder(document, assumed or assumptions_of(document)).network()


class _Builder(Parts):
    """Walks a map once, from the battery to the grounds."""

    def network(self) -> Network:
        sign = -1.0 if self.document.car.polarity == "positive ground" else 1.0
        volts = sign * self.document.car.volts * self.assumed.charge_over_nominal
        minus = self.node()
        self.plus = self.node()
        ohms = self.assumed.ohms
        self.add("battery ground cable", "battery ground", GROUND, minus)
        self.elements.append(
            Element(
                name="battery",
                kind="battery",
                a=minus,
                b=self.plus,
                ohms=ohms["battery"],
                volts=volts,
            )
        )
        self.point("battery", self.plus, Access.FRONT)
        for strip in self.document.strips.values():
            self.strip(strip)
        used = [c for c in self.document.cavities.values() if c.kind != "blank"]
        for cavity in used:
            self.wires_between(cavity)
        self.plugs()
        for cavity in used:
            self.feeds(cavity)
        for cavity in used:
            self.through(cavity)
        for cavity in used:
            self.consumers(cavity)
        return self.finished(volts)

    # the supply side

    def supply(
        self,
        what: str,
        node: int,
        live: tuple[str, ...],
        gauge: str,
        origin: str = "",
        words: str = "",
    ) -> None:
        """Lead the battery to a node, through a switch unless it is always live."""
        start = self.plus
        if live and "always" not in live:
            after = self.node()
            name, said = f"switch of {what}", f"switch of {words or what}"
            self.add(name, "switch", start, after, live=live, said=said)
            self.point(name, after, Access.TRIM, said=said)
            start = after
        elif not live and not origin:
            self.notes[f"where {what} is fed from is not noted: taken as always"] = None
        ohms = self.sizes.wire(gauge, None, self.assumed.supply_wire_m)
        said = f"supply wire of {words or what}"
        self.add(f"supply wire of {what}", "supply wire", start, node, ohms, said=said)

    def strip(self, strip: Strip) -> None:
        name = f"strip {strip.name or strip.id}"
        start = self.landed(strip, name)
        for jumper in strip.jumpers:
            target = self.contact_at(jumper.to, strip.block)
            if target is None:
                continue
            ohms = self.sizes.wire(jumper.gauge, None, self.assumed.jumper_m)
            far = self.name(target[0])
            end = self.metal_of(*target)
            said = f"jumper from {name} to {far}"
            self.add(f"jumper {name} to {far}", "jumper", start, end, ohms, said=said)
        origin = self.contact_at(strip.fed_from, strip.block)
        if origin is not None:
            ohms = self.sizes.wire(strip.supply_gauge, None, self.assumed.supply_wire_m)
            upper = self.metal_of(*origin)
            self.add(f"supply wire of {name}", "supply wire", upper, start, ohms)
        else:
            self.supply(name, start, strip.live, strip.supply_gauge, strip.fed_from)

    def wires_between(self, cavity: Cavity) -> None:
        for contact_name, contact in cavity.contacts.items():
            if contact_name in ("85", "86"):
                continue
            if contact.fed_from:
                origin = self.contact_at(contact.fed_from, cavity.block)
                if origin is not None:
                    self.wire(origin, (cavity, contact_name), contact)
            if contact_name in _OUTGOING or contact_name == "pin":
                for wire in contact.wires:
                    target = self.contact_at(wire.to, cavity.block) if wire.to else None
                    if target is not None:
                        self.wire((cavity, contact_name), target, contact)

    def wire(
        self, near: tuple[Cavity, str], far: tuple[Cavity, str], contact: Contact
    ) -> None:
        a, b = self.metal_of(*near), self.metal_of(*far)
        if a == b or (a, b) in self.pairs:
            return
        gauge, length = next(((w.gauge, w.length_m) for w in contact.wires), ("", None))
        ohms = self.sizes.wire(gauge, length, self.assumed.wire_m)
        ends = [(self.name(cavity), name) for cavity, name in (near, far)]
        title = " to ".join(f"{place}.{name}" for place, name in ends)
        place = (near[0].id, near[1])
        said = wire_said(*ends)
        self.add(f"wire {title}", "wire", a, b, ohms, place=place, said=said)

    def plugs(self) -> None:
        for block in self.document.blocks.values():
            if block.mate not in self.document.blocks or block.mate <= block.id:
                continue
            others = {c.designation: c for c in self.document.cavities_of(block.mate)}
            for cavity in self.document.cavities_of(block.id):
                other = others.get(cavity.designation)
                if other is None:
                    continue
                a = self.metal_of(cavity, cavity.main_contact)
                b = self.metal_of(other, other.main_contact)
                said = f"connector {block.id}.{cavity.designation}"
                place = (cavity.id, cavity.main_contact)
                self.add(said, "connector", a, b, place=place)

    def feeds(self, cavity: Cavity) -> None:
        """Lead a supply to each ingoing contact that nothing feeds yet."""
        names = {inner for inner, _ in _THROUGH.get(cavity.kind, ())}
        names |= {name for name, contact in cavity.contacts.items() if contact.live}
        for name in sorted(names):
            node = self.metal_of(cavity, name)
            if node in self.ends or (
                name != "feed" and name not in cavity.contact_names
            ):
                continue
            contact = cavity.contact(name)
            gauge = contact.wires[0].gauge if contact.wires else ""
            what = f"{self.name(cavity)}.{name}"
            said = contact_said(self.name(cavity), name)
            self.supply(what, node, contact.live, gauge, contact.fed_from, said)

    # from the feed contact to the ground

    def through(self, cavity: Cavity) -> None:
        ends = [
            (inner, outer)
            for inner, outer in _THROUGH.get(cavity.kind, ())
            if outer in ("load", "87") or outer in cavity.contact_names
        ]
        if not ends:
            return
        name = self.name(cavity)
        inner = ends[0][0]
        before = self.joint(cavity, inner, "b1", inward=True)
        after = before
        if cavity.kind == "relay":
            after = self.node()
            at, said = (cavity.id, "85"), part_said(name, "coil")
            self.add(f"{name} coil", "coil", before, after, place=at, said=said)
        for _, outer in ends:
            start = before if outer == "87a" else after  # made while the coil rests
            beyond = self.joint(cavity, outer, "b2", inward=False)
            way = outer if len(ends) > 1 else ""
            self.add(
                f"{name} {cavity.kind}" + (f" {way}" if way else ""),
                cavity.kind,
                start,
                beyond,
                self.sizes.through(cavity),
                place=(cavity.id, "fuse"),
                condition=cavity.fuse,
                said=part_said(name, cavity.kind, way),
            )

    def joint(self, cavity: Cavity, contact: str, test: str, *, inward: bool) -> int:
        """Add a contact between its metal and the part that is plugged in."""
        inside = self.node()
        name = self.name(cavity)
        metal = self.metal_of(cavity, contact)
        ends = (metal, inside) if inward else (inside, metal)
        condition = cavity.contact(contact).condition
        place = (cavity.id, contact)
        said = contact_said(name, contact)
        title = f"{name}.{contact}"
        self.add(title, "contact", *ends, place=place, condition=condition, said=said)
        if cavity.kind == "fuse" and contact in ("feed", "load"):
            access = Access.TRIM if cavity.off_panel else Access.FRONT
            said = contact_said(name, test)
            self.point(f"{name}.{test}", inside, access, (cavity.id, test), said)
        return inside

    def consumers(self, cavity: Cavity) -> None:
        loads = self.not_stated_below(cavity)
        name = cavity.main_contact
        contact = cavity.contact(name)
        if not loads:
            return
        metal = self.metal_of(cavity, name)
        wire = contact.wires[0] if contact.wires else None
        ohms = self.sizes.wire(
            wire.gauge if wire else "",
            wire.length_m if wire else None,
            self.assumed.wire_m,
        )
        joint = self.node()
        condition = wire.condition if wire else None
        place = (cavity.id, name)
        self.add(
            f"wire {self.name(cavity)}.{name}",
            "wire",
            metal,
            joint,
            ohms,
            place=place,
            condition=condition,
            said=wire_said((self.name(cavity), name)),
        )
        for load in loads:
            amps = self.sizes.load_amps(load, cavity)
            title = load.name
            if title in self.loads:
                title = f"{load.name} ({self.name(cavity)})"
            if load.amps_a is None and load.watts_w is None:
                self.notes[f"no current is noted of {title}: {amps:.2g} A taken"] = None
            self.consumer(title, load.ground, amps, joint, cavity, len(loads))

    def consumer(
        self,
        title: str,
        ground: str,
        amps: float,
        joint: int,
        cavity: Cavity,
        number: int,
    ) -> None:
        plus = self.node()
        place = (cavity.id, cavity.main_contact)
        start = plus if number == 1 else self.node()
        control = self.add(
            f"control of {title}", "control", joint, start, load=title, place=place
        )
        if number > 1:
            ohms = self.sizes.wire("", None, self.assumed.wire_m)
            self.add(f"wire to {title}", "wire", start, plus, ohms, place=place)
        minus = self.grounds.get(ground) if ground else None
        if minus is None:
            minus = self.node()
            said = f"ground at {ground}" if ground else f"ground of {title}"
            self.add(said, "ground", minus, GROUND, place=place)
            if ground:
                self.grounds[ground] = minus
        ohms = self.sizes.load_ohms(amps)
        element = self.add(title, "load", plus, minus, ohms, place=place)
        told = load_said(title)
        self.point(title, plus, Access.TRIM, place, f"plug of {told}")
        earth = f"ground of {told}"
        self.point(f"ground of {title}", minus, Access.TRIM, place, earth)
        self.loads[title] = LoadPlace(
            name=title,
            cavity=cavity.id,
            control=control,
            element=element,
            plus=plus,
            minus=minus,
            with_feed=False,
        )

    def not_stated_below(self, cavity: Cavity) -> list[Load]:
        """Return the loads of a cavity that no cavity fed from it states again."""
        if not cavity.loads:
            return []
        lower = [load for each in self.cavities_below(cavity) for load in each.loads]
        return [load for load in cavity.loads if not is_again(load, lower)]

    def cavities_below(self, cavity: Cavity) -> list[Cavity]:
        if not self.leading:
            for element in self.elements:
                self.leading.setdefault(element.a, []).append(element.b)
            self.owner = {node: ref.cavity for ref, node in self.metal.items()}
        waiting = [self.metal_of(cavity, cavity.main_contact)]
        seen = set(waiting)
        found: dict[str, None] = {}
        while waiting:
            for node in self.leading.get(waiting.pop(), ()):
                if node not in seen and node != GROUND:
                    seen.add(node)
                    waiting.append(node)
                    if node in self.owner:
                        found[self.owner[node]] = None
        found.pop(cavity.id, None)
        return [self.document.cavities[identity] for identity in found]

    def finished(self, volts: float) -> Network:
        above = self.turned_to_the_supply()
        network = Network(
            elements=tuple(self.elements),
            nodes=self.count,
            points=self.points,
            loads=self.loads,
            volts=volts,
            notes=tuple(self.notes),
            assumed=self.assumed,
            above=tuple(above),
            by_name={e.name: i for i, e in reversed(list(enumerate(self.elements)))},
        )
        loads = {
            name: replace(place, with_feed=_with_feed(network, place))
            for name, place in self.loads.items()
        }
        return replace(network, loads=loads)

    def turned_to_the_supply(self) -> list[int]:
        """Turn each element so that its nearer end to the battery comes first."""
        at: dict[int, list[int]] = {}
        for index, element in enumerate(self.elements):
            at.setdefault(element.a, []).append(index)
            at.setdefault(element.b, []).append(index)
        above = [-1] * self.count
        minus = self.plus - 1
        above[minus], above[self.plus] = 0, 1
        depth = {GROUND: -2, minus: -1, self.plus: 0}
        waiting = deque([self.plus])
        while waiting:
            node = waiting.popleft()
            for index in at.get(node, ()):
                element = self.elements[index]
                other = element.a if element.b == node else element.b
                if other not in depth:
                    depth[other] = depth[node] + 1
                    above[other] = index
                    waiting.append(other)
        far = len(self.elements)
        for index, element in enumerate(self.elements):
            if GROUND in (element.a, element.b) or index < 2:
                continue
            if depth.get(element.b, far) < depth.get(element.a, far):
                self.elements[index] = replace(element, a=element.b, b=element.a)
        return above


def _with_feed(network: Network, place: LoadPlace) -> bool:
    """Tell whether a load runs with the switch of its feed, as lamps do."""
    return any(
        element.live is not None and bool(element.live & set(SWITCH_STATES))
        for element in (network.elements[i] for i in network.way_up(place.plus))
    )
