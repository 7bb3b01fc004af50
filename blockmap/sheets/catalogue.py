"""The sheets that can be printed, for the window and the command line alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from blockmap.model.document import Map
from blockmap.model.geometry import View
from blockmap.model.ids import BlockId
from blockmap.sheets import card
from blockmap.sheets.card import compose_card
from blockmap.sheets.condition_sheet import compose_condition
from blockmap.sheets.flags_sheet import compose_flags
from blockmap.sheets.labels import compose_labels
from blockmap.sheets.numbers_sheet import compose_numbers
from blockmap.sheets.pages import Sheet
from blockmap.sheets.parts_sheet import compose_parts
from blockmap.sheets.proof import compose_proof
from blockmap.sheets.readings_sheet import compose_readings
from blockmap.sheets.rear_sheet import compose_rear
from blockmap.sheets.release_sheet import compose_release
from blockmap.sheets.survey_sheet import compose_survey
from blockmap.sheets.worklist_sheet import compose_worklist

__all__ = ["CARD_FORMS", "SHEETS", "SheetKind", "SheetOptions", "sheet_named"]


CARD_FORMS = {form.name: form.title for form in card.CARD_FORMS.values()}
"""The title of each card form by its name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetOptions:
    """What a person chooses before printing; each sheet uses what concerns it.

    block None means the first block of the map. correction is across, down.
    map_file is the map's file, beside which its photos are.
    """

    block: BlockId | None = None
    view: View = View.FRONT
    paper: str = "a4"
    form: str = "fold"
    correction: tuple[float, float] = (1.0, 1.0)
    map_file: Path | None = None


@dataclass(frozen=True, slots=True)
class SheetKind:
    """One kind of sheet.

    compose raises ValueError with a sentence when the options or the map do not
    allow it. uses names the options that change the sheet.
    """

    name: str
    title: str
    help: str
    uses: tuple[str, ...]
    compose: Callable[[Map, SheetOptions], Sheet]


def _block(document: Map, options: SheetOptions) -> BlockId:
    block = options.block
    if block is None:
        if not document.blocks:
            raise ValueError("This map has no block yet; add one before printing")
        block = next(iter(document.blocks))
    if block not in document.blocks:
        raise ValueError(
            f"There is no block “{block}”; the map has {', '.join(document.blocks)}"
        )
    return block


def _labels(document: Map, options: SheetOptions) -> Sheet:
    return compose_labels(
        document,
        _block(document, options),
        view=options.view,
        paper=options.paper,
        correction=options.correction,
    )


def _card(document: Map, options: SheetOptions) -> Sheet:
    return compose_card(
        document,
        form=options.form,
        paper=options.paper,
        view=options.view,
        correction=options.correction,
    )


def _proof(document: Map, options: SheetOptions) -> Sheet:
    del document
    return compose_proof(options.paper)


def _rear(document: Map, options: SheetOptions) -> Sheet:
    return compose_rear(document, _block(document, options), paper=options.paper)


def _condition(document: Map, options: SheetOptions) -> Sheet:
    return compose_condition(
        document, view=options.view, paper=options.paper, map_file=options.map_file
    )


def _parts(document: Map, options: SheetOptions) -> Sheet:
    return compose_parts(document, paper=options.paper)


def _flags(document: Map, options: SheetOptions) -> Sheet:
    return compose_flags(document, _block(document, options), paper=options.paper)


def _worklist(document: Map, options: SheetOptions) -> Sheet:
    return compose_worklist(document, _block(document, options), paper=options.paper)


def _release(document: Map, options: SheetOptions) -> Sheet:
    return compose_release(document, paper=options.paper)


def _numbers(document: Map, options: SheetOptions) -> Sheet:
    return compose_numbers(document, paper=options.paper)


def _survey(document: Map, options: SheetOptions) -> Sheet:
    return compose_survey(document, _block(document, options), paper=options.paper)


def _readings(document: Map, options: SheetOptions) -> Sheet:
    return compose_readings(document, paper=options.paper)


SHEETS: tuple[SheetKind, ...] = (
    SheetKind(
        "labels",
        "Labels",
        "The block's face at true size, label strips for its rows, single labels",
        ("block", "view", "paper", "correction"),
        _labels,
    ),
    SheetKind(
        "card",
        "Glovebox card",
        "Picture, which fuse is it, by place, spares, what is damaged or patched",
        ("view", "paper", "form", "correction"),
        _card,
    ),
    SheetKind(
        "rear",
        "Rear",
        "The block from behind, mirrored: wires at each contact, strips, places",
        ("block", "paper"),
        _rear,
    ),
    SheetKind(
        "condition",
        "Condition",
        "All damage with its marks, patches, places not to use, repairs and log",
        ("view", "paper"),
        _condition,
    ),
    SheetKind(
        "numbers",
        "Numbers",
        "Loads, fuses, wires and drops of every place, with formulas and sources",
        ("paper",),
        _numbers,
    ),
    SheetKind(
        "worklist",
        "Work list",
        "The safe order of the work, one terminal at a time, and a count at the end",
        ("block", "paper"),
        _worklist,
    ),
    SheetKind(
        "flags",
        "Wire flags",
        "Fold-over flags for both ends of every wire of a block",
        ("block", "paper"),
        _flags,
    ),
    SheetKind(
        "release",
        "Release cards",
        "How each terminal family of the map is released and tested",
        ("paper",),
        _release,
    ),
    SheetKind(
        "parts",
        "Parts list",
        "What the damage asks for, strips once, and fuses to stock",
        ("paper",),
        _parts,
    ),
    SheetKind(
        "survey",
        "Survey",
        "A grid of contacts and states to fill in by pencil, and what stops by pulling",
        ("block", "paper"),
        _survey,
    ),
    SheetKind(
        "readings",
        "Readings",
        "The readings taken so far, and blank lines for the next ones",
        ("paper",),
        _readings,
    ),
    SheetKind(
        "proof",
        "Printer proof",
        "Rulers and a square that show how far a printer is from true size",
        ("paper",),
        _proof,
    ),
)


def sheet_named(name: str) -> SheetKind | None:
    """Return the kind of sheet of this name; None when there is none."""
    return next((kind for kind in SHEETS if kind.name == name), None)
