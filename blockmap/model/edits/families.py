"""Edits of terminal families: the map's own ones, and which contacts are of which."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from blockmap.model.document import Contact, Map, TerminalFamily
from blockmap.model.edits.typed import as_files_hold, read_typed
from blockmap.model.errors import EditRefused
from blockmap.model.ids import CavityId, ContactRef, free_key, read_contact
from blockmap.model.terminals import families, family_key, family_named
from blockmap.model.written import put_contact

__all__ = [
    "assign_family",
    "copy_family",
    "remove_family",
    "set_family",
    "set_family_text",
]


def set_family(document: Map, key: str, family: TerminalFamily) -> Map:
    """Install a terminal family of the map's own, in place of one with its key.

    Raises EditRefused when another of them has its name already.
    """
    family = as_files_hold(family)
    key = key if key in document.families else free_key(key, document.families)
    for other, held in document.families.items():
        if other != key and held.name.casefold() == family.name.casefold():
            raise EditRefused(f"There is a family “{family.name}” already")
    if document.families.get(key) == family:
        return document
    return dataclasses.replace(document, families={**document.families, key: family})


def set_family_text(document: Map, key: str, field: str, text: str) -> Map:
    """Write a text into a property of a family of the map's own.

    Contacts and blocks that name it follow a new name. Raises EditRefused.
    """
    old = document.families.get(key)
    if old is None:
        raise EditRefused(f"There is no family “{key[:40]}” of this map's own")
    new = dataclasses.replace(old, **{field: read_typed(TerminalFamily, field, text)})
    changed = set_family(document, key, new)
    if new.name == old.name:
        return changed
    return _renamed(changed, {family_key(key), family_key(old.name)}, new.name)


def _renamed(document: Map, names: set[str], new: str) -> Map:
    """Let contacts and blocks that name a family name it anew."""
    cavities = dict(document.cavities)
    for cavity in document.cavities.values():
        contacts = {
            name: dataclasses.replace(contact, terminal=new)
            for name, contact in cavity.contacts.items()
            if contact.terminal and family_key(contact.terminal) in names
        }
        if contacts:
            both = {**cavity.contacts, **contacts}
            cavities[cavity.id] = dataclasses.replace(cavity, contacts=both)
    blocks = {
        key: dataclasses.replace(block, terminal=new)
        if block.terminal and family_key(block.terminal) in names
        else block
        for key, block in document.blocks.items()
    }
    return dataclasses.replace(document, cavities=cavities, blocks=blocks)


def copy_family(document: Map, name: str) -> tuple[Map, str]:
    """Enter a family of the map's own like another one; return the map and its key.

    Without a known name it is one of which nothing is noted yet.
    """
    old = family_named(document, name)
    taken = {family_key(family.name) for family in families(document)}
    base = f"{old.name}, own" if old else "own family"
    said, number = base, 2
    while family_key(said) in taken:
        said, number = f"{base} {number}", number + 1
    new = dataclasses.replace(old or TerminalFamily(name=said), name=said)
    key = free_key(said, document.families)
    return set_family(document, key, new), key


def assign_family(
    document: Map, ids: Sequence[CavityId], contact: str, name: str
) -> Map:
    """Say of which family contacts of cavities are.

    contact '' means all of each but those that are metal of a strip. An empty name
    says nothing of them. Raises EditRefused when no cavity has that contact.
    """
    name = read_typed(Contact, "terminal", name)
    cavities = dict(document.cavities)
    metal = _metal(document)
    met = False
    for id_ in ids:
        cavity = cavities[id_]
        contacts = dict(cavity.contacts)
        for each in cavity.contact_names:
            single = not contact and ContactRef(id_, each) not in metal
            if single or each == contact:
                met = True
                held = dataclasses.replace(cavity.contact(each), terminal=name)
                put_contact(contacts, each, held)
        if contacts != cavity.contacts:
            cavities[id_] = dataclasses.replace(cavity, contacts=contacts)
    if not met:
        said = f"a {contact} contact" if contact else "a contact off the strips"
        raise EditRefused(f"None of these places has {said}")
    if all(cavities[id_] is document.cavities[id_] for id_ in ids):
        return document
    return dataclasses.replace(document, cavities=cavities)


def remove_family(document: Map, key: str) -> Map:
    """Forget a family of the map's own; contacts that name it keep the name."""
    if key not in document.families:
        return document
    left = {k: f for k, f in document.families.items() if k != key}
    return dataclasses.replace(document, families=left)


def _metal(document: Map) -> frozenset[ContactRef]:
    """Return the contacts that are part of a strip's metal."""
    return frozenset(
        ref
        for strip in document.strips.values()
        if strip.made != "wire splice"
        for text in strip.members
        if (ref := read_contact(text, strip.block)) is not None
    )
