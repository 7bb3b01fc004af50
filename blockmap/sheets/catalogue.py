"""The sheets that can be printed, for the window and the command line alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from blockmap.model.document import Map
from blockmap.model.geometry import View
from blockmap.model.ids import BlockId
from blockmap.sheets import card
from blockmap.sheets.card import compose_card
from blockmap.sheets.labels import compose_labels
from blockmap.sheets.pages import Sheet
from blockmap.sheets.proof import compose_proof

__all__ = ["CARD_FORMS", "SHEETS", "SheetKind", "SheetOptions", "sheet_named"]


CARD_FORMS = {form.name: form.title for form in card.CARD_FORMS.values()}
"""The title of each card form by its name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetOptions:
    """What a person chooses before printing; each sheet uses what concerns it.

    block None means the first block of the map. correction is across, down.
    """

    block: BlockId | None = None
    view: View = View.FRONT
    paper: str = "a4"
    form: str = "fold"
    correction: tuple[float, float] = (1.0, 1.0)


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


def _labels(document: Map, options: SheetOptions) -> Sheet:
    block = options.block
    if block is None:
        if not document.blocks:
            raise ValueError("This map has no block yet; add one before printing")
        block = next(iter(document.blocks))
    if block not in document.blocks:
        raise ValueError(
            f"There is no block “{block}”; the map has {', '.join(document.blocks)}"
        )
    return compose_labels(
        document,
        block,
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
