"""How findings stand on paper: which ones, their places in words, and who accepted.

What is accepted is printed with its reason, so that nobody wonders in a year.
"""

from __future__ import annotations

from blockmap.analysis.findings import Finding, Level, check
from blockmap.drawing.primitives import Face
from blockmap.model.document import Map
from blockmap.model.ids import BlockId, key_of
from blockmap.sheets.work_pages import Cell, TableColumn, WorkPages

__all__ = [
    "accepted_words",
    "errors_and_accepted",
    "findings_of_block",
    "level_word",
    "place_names",
    "put_findings",
]

_COLUMNS = (
    TableColumn(title="Level", width_mm=17),
    TableColumn(title="Place", width_mm=17),
    TableColumn(title="What was found", width_mm=60),
    TableColumn(title="Why, by which formula and source", width_mm=82),
    TableColumn(title="What to do, or why it is accepted", width_mm=46),
)


_last: tuple[Map, tuple[Finding, ...]] | None = None
"""What was found in the map that was composed last: the preview composes the same
map again for each choice of view, paper and block."""


def errors_and_accepted(document: Map) -> tuple[Finding, ...]:
    """Return the errors of a map and everything it accepts, in the order of checks."""
    global _last
    kept = _last
    if kept is not None and kept[0] is document:
        return kept[1]
    found = tuple(
        finding
        for finding in check(document)
        if finding.level is Level.ERROR or finding.accepted is not None
    )
    _last = document, found
    return found


def findings_of_block(document: Map, block: BlockId) -> tuple[Finding, ...]:
    """Return the errors and accepted findings that concern one block."""
    here = {cavity.id for cavity in document.cavities_of(block)}
    here |= {strip.id for strip in document.strips_of(block)} | {block}
    found = errors_and_accepted(document)
    return tuple(each for each in found if here.intersection(each.objects))


def place_names(document: Map, finding: Finding) -> str:
    """Return what a finding is about, by the names on the block."""
    named = []
    for identity in finding.objects:
        if identity in document.cavities:
            named.append(document.cavities[identity].designation)
        elif identity in document.strips:
            named.append(document.strips[identity].name or key_of(identity))
        elif identity in document.blocks:
            named.append(document.blocks[identity].name or identity)
    return ", ".join(named[:6]) + (" …" if len(named) > 6 else "")


def level_word(finding: Finding) -> str:
    """Return the level in words, and that it is accepted."""
    word = str(finding.level)
    return word if finding.accepted is None else f"accepted {word}"


def accepted_words(finding: Finding) -> str:
    """Return why and when a finding was accepted; '' when it is not."""
    held = finding.accepted
    if held is None:
        return ""
    on = f" on {held.date}" if held.date else ""
    return f"accepted{on}: {held.reason}"


def put_findings(
    pages: WorkPages, document: Map, findings: tuple[Finding, ...]
) -> None:
    """Put a table of findings, the gravest first; nothing where there are none."""
    if not findings:
        return
    rows: list[list[Cell | str]] = [
        [
            Cell(
                text=level_word(finding),
                face=Face.BOLD if finding.level is Level.ERROR else Face.REGULAR,
            ),
            Cell(text=place_names(document, finding), face=Face.BOLD),
            # The place stands in its own column.
            finding.what.removeprefix(f"{place_names(document, finding)}: "),
            finding.why,
            accepted_words(finding) or finding.todo,
        ]
        for finding in findings
    ]
    pages.table(_COLUMNS, rows, title="Findings: what the map implies")
