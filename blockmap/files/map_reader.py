"""Reads the YAML of a map, and says everything that is wrong with it at once.

What a property can hold is asked of the schema, so a new property needs nothing here.
It opens no file; see store.py. It never guesses a type: every value is text until the
schema reads it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from blockmap.files import record_reader
from blockmap.files.composer import (
    Broken,
    Composed,
    Entry,
    Node,
    ProblemList,
    Scalar,
    TooManyProblems,
    compose,
)
from blockmap.files.composer import Mapping as Group
from blockmap.files.file_text import BYTES_LIMIT, text_of
from blockmap.files.migrations import FORMAT, migrate
from blockmap.files.record_reader import RecordReader
from blockmap.files.shown import shown_name, shown_text
from blockmap.model.assumed import ODDS_KEYS
from blockmap.model.document import (
    Acceptance,
    Block,
    Car,
    Cavity,
    Map,
    OwnLimits,
    OwnOdds,
    OwnWork,
    Reading,
    Repair,
    Strip,
    TerminalFamily,
)
from blockmap.model.edits.parts import OUTLINE_LIMIT
from blockmap.model.errors import DocumentRefused
from blockmap.model.evidence import FACT_KEYS
from blockmap.model.geometry import is_simple
from blockmap.model.ids import BlockId, cavity_id, read_contact
from blockmap.model.map_photos import EMBEDDED_LIMIT, embedded_bytes, embedded_problem
from blockmap.model.schema import close_match

__all__ = ["BYTES_LIMIT", "ReadMap", "read_map"]

_SECTIONS = (
    "blockmap",
    "car",
    "blocks",
    "readings",
    "repairs",
    "families",
    "limits",
    "work",
    "odds",
    "accepted",
)


@dataclass(frozen=True, slots=True)
class ReadMap:
    """A map as read, and what the reader has to say about its file."""

    document: Map
    notes: tuple[str, ...] = ()


def read_map(data: bytes, name: str = "map") -> ReadMap:
    """Return the map that the bytes of a file hold; name stands in every message.

    Raises DocumentRefused with every problem found.
    """
    name = shown_name(name)
    problems = ProblemList(name)
    reading: _Reading | None = None
    document: Map | None = None
    try:
        text = text_of(data, problems)
        if text is not None:
            composed = compose(text, problems)
            reading = _Reading(problems, name)
            document = reading.document(composed)
            if document is not None and len(data) > EMBEDDED_LIMIT:
                refuse = embedded_problem(embedded_bytes(document))
                if refuse:
                    problems.add(None, refuse)
    except TooManyProblems:
        pass
    if problems.found or reading is None or document is None:
        raise DocumentRefused(problems.found)
    return ReadMap(document, tuple(reading.notes))


class _Reading:
    """One file on its way to a map."""

    def __init__(self, problems: ProblemList, name: str) -> None:
        self.problems = problems
        self.name = name
        self.notes: list[str] = []
        self.records = RecordReader(problems)
        self.cavities: dict[str, Cavity] = {}
        self.strips: dict[str, Strip] = {}
        self.strip_groups: list[tuple[Strip, Group]] = []

    def document(self, composed: Composed) -> Map | None:
        root = composed.root
        if root is None:
            if not self.problems.found:
                self.problems.add(None, "the file holds no map", "open another")
            return None
        if isinstance(root, Broken):
            return None
        if not isinstance(root, Group):
            self.problems.add(
                root.mark,
                "a map is a group of keys, not a list or a single text",
                "its first line is blockmap: 1",
            )
            return None
        if not self._format_known(root):
            return None
        self._refuse_unknown(root, _SECTIONS, "a map")
        car = self._single(root, "car", Car) or Car()
        blocks = self._blocks(root)
        readings = self._section(root, "readings", Reading)
        repairs = self._section(root, "repairs", Repair)
        families = self._section(root, "families", TerminalFamily)
        limits = self._single(root, "limits", OwnLimits) or OwnLimits()
        work = self._single(root, "work", OwnWork) or OwnWork()
        odds = self._section(root, "odds", OwnOdds)
        for key, entry in self._groups(root, "odds"):
            if key not in ODDS_KEYS:
                known = tuple(ODDS_KEYS)
                record_reader.refuse_key(self.problems, entry, key, known, "odds")
        accepted = self._section(root, "accepted", Acceptance)
        self._check_strips()
        self._note_file(composed)
        return Map(
            car=car,
            blocks=MappingProxyType(blocks),
            cavities=MappingProxyType(self.cavities),
            strips=MappingProxyType(self.strips),
            readings=MappingProxyType(readings),
            repairs=MappingProxyType(repairs),
            families=MappingProxyType(families),
            limits=limits,
            work=work,
            odds=MappingProxyType(odds),
            accepted=MappingProxyType(accepted),
        )

    def _format_known(self, root: Group) -> bool:
        entry = root.entries.get("blockmap")
        if entry is None:
            self.problems.add(
                root.mark,
                "this is not a map: the key “blockmap” with the number of the file "
                "format is missing",
                f"write blockmap: {FORMAT} as the first line if it is one",
            )
            return False
        text = entry.value.text if isinstance(entry.value, Scalar) else ""
        if not re.fullmatch(r"[0-9]{1,6}", text):
            self.problems.add(
                entry.value.mark,
                f"the number of the file format cannot be “{shown_text(text)}”",
                f"write blockmap: {FORMAT}",
            )
            return False
        number = int(text)
        if number > FORMAT:
            self.problems.add(
                entry.value.mark,
                f"the file has format {number}, written by a newer blockmap; this "
                f"version reads formats up to {FORMAT}",
                f"open it with a version of blockmap that reads format {number}",
            )
            return False
        if not migrate(root, number):
            self.problems.add(
                entry.value.mark,
                f"this version of blockmap knows no file format {number}",
                f"write blockmap: {FORMAT}",
            )
            return False
        return True

    def _refuse_unknown(self, group: Group, known: tuple[str, ...], whose: str) -> None:
        for key, entry in group.entries.items():
            if key not in known:
                record_reader.refuse_key(self.problems, entry, key, known, whose)

    def _single(self, root: Group, key: str, kind: type[Any]) -> Any:
        entry = root.entries.get(key)
        return self.records.record(kind, entry.value, key) if entry else None

    def _groups(
        self, holder: Group, key: str, path: str = ""
    ) -> Iterator[tuple[str, Entry]]:
        """Yield the named parts of a section such as blocks or cavities."""
        entry = holder.entries.get(key)
        if entry is None:
            return
        group = self.records.group(entry.value, path + key, "named parts")
        for name, part in group.entries.items() if group else ():
            if self.records.key_fits(name, part, path + key):
                yield name, part

    def _section(self, root: Group, key: str, kind: type[Any]) -> dict[str, Any]:
        found = {
            name: self.records.record(kind, part.value, f"{key}/{name}")
            for name, part in self._groups(root, key)
        }
        return {name: part for name, part in found.items() if part is not None}

    def _blocks(self, root: Group) -> dict[BlockId, Block]:
        found: dict[BlockId, Block] = {}
        for name, entry in self._groups(root, "blocks"):
            group = self.records.group(entry.value, name, "properties")
            if group is None:
                continue
            block = self.records.record(
                Block,
                group,
                name,
                {"id": name},
                apart=("cavities", "strips"),
            )
            if block is not None:
                found[name] = block
                self._check_outline(block, group)
            for key, part in self._groups(group, "cavities", f"{name}: "):
                self._cavity(name, key, part)
            for key, part in self._groups(group, "strips", f"{name}: "):
                self._strip(name, key, part)
        return found

    def _check_outline(self, block: Block, group: Group) -> None:
        if not block.outline:
            return
        mark = group.entries["outline"].mark
        if len(block.outline) > OUTLINE_LIMIT:
            self.problems.add(
                mark,
                f"{block.id}: the outline has {len(block.outline)} corners; "
                f"{OUTLINE_LIMIT} are the most",
                "leave out corners that lie on a line",
            )
        elif not is_simple(block.outline):
            self.problems.add(
                mark,
                f"{block.id}: the outline crosses or touches itself, or has no area",
                "give its corners in order, each once",
            )

    def _cavity(self, block: BlockId, key: str, entry: Entry) -> None:
        identity = cavity_id(block, key)
        cavity = self.records.record(
            Cavity, entry.value, identity, {"id": identity, "block": block}
        )
        if cavity is None:
            return
        self.cavities[identity] = cavity
        group = entry.value
        if cavity.evidence and isinstance(group, Group):
            self._check_evidence(cavity, group.entries["evidence"].value)
        if cavity.contacts and isinstance(group, Group):
            self._note_contacts(cavity, group.entries["contacts"].value)

    def _check_evidence(self, cavity: Cavity, node: Node) -> None:
        for key, entry in node.entries.items() if isinstance(node, Group) else ():
            if key not in FACT_KEYS:
                record_reader.refuse_key(
                    self.problems,
                    entry,
                    key,
                    FACT_KEYS,
                    f"{cavity.id}: evidence",
                    "a fact",
                )

    def _note_contacts(self, cavity: Cavity, node: Node) -> None:
        bare = Cavity(
            id=cavity.id,
            block=cavity.block,
            kind=cavity.kind,
            form=cavity.form,
            x_mm=0,
            y_mm=0,
            width_mm=1,
            height_mm=1,
        )
        usual = bare.contact_names
        for key, entry in node.entries.items() if isinstance(node, Group) else ():
            if usual and key not in usual:
                near = close_match(key, usual)
                self._note(
                    entry.mark,
                    f"{cavity.id}: a {cavity.form or cavity.kind} has no contact "
                    f"“{shown_text(key)}”; it has {', '.join(usual)}{near}",
                )

    def _strip(self, block: BlockId, key: str, entry: Entry) -> None:
        identity = cavity_id(block, key)
        strip = self.records.record(
            Strip, entry.value, identity, {"id": identity, "block": block}
        )
        if strip is None:
            return
        self.strips[identity] = strip
        if isinstance(entry.value, Group):
            self.strip_groups.append((strip, entry.value))

    def _check_strips(self) -> None:
        for strip, group in self.strip_groups:
            for node in record_reader.contact_nodes(group):
                self._check_member(strip, node)

    def _check_member(self, strip: Strip, node: Scalar) -> None:
        ref = read_contact(node.text, strip.block)
        if ref is None:
            self.problems.add(
                node.mark,
                f"{strip.id}: “{shown_text(node.text)}” names no contact",
                "write the cavity's key, a dot and the contact, such as F1.feed",
            )
            return
        cavity = self.cavities.get(ref.cavity)
        if cavity is None:
            if ref.cavity in self.records.refused:
                return
            keys = tuple(self.cavities)
            self.problems.add(
                node.mark,
                f"{strip.id}: there is no cavity “{shown_text(ref.cavity)}” for the "
                f"contact “{shown_text(node.text)}”{_nearest(ref.cavity, keys)}",
                "name a cavity that the map holds, or remove the contact",
            )
        elif cavity.contact_names and ref.contact not in cavity.contact_names:
            self._note(
                node.mark,
                f"{strip.id}: {cavity.designation} has no contact "
                f"“{shown_text(ref.contact)}”; it has "
                f"{', '.join(cavity.contact_names)}",
            )

    def _note(self, mark: Any, what: str) -> None:
        self.notes.append(f"{self.name}:{mark.line + 1}:{mark.column + 1}: {what}")

    def _note_file(self, composed: Composed) -> None:
        if composed.first_comment:
            self.notes.append(
                f"{self.name}:{composed.first_comment}: the file holds comments, and "
                "saving leaves them out; move what they say into notes"
            )
        if not composed.ended:
            self.notes.append(
                f"{self.name}: the line “...” that blockmap writes last is missing: "
                "the file was written by hand or is cut short; see that nothing is "
                "missing at its end"
            )


def _nearest(word: str, known: tuple[str, ...]) -> str:
    lowered: Mapping[str, str] = {one.lower(): one for one in known[:5000]}
    hint = close_match(word, tuple(lowered))
    match = re.search("“(.*)”", hint)
    return f"; nearest is “{lowered[match[1]]}”" if match else ""
