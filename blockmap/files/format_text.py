"""Describes the file format in Markdown, generated from the schema.

It is what `blockmap format` prints. It cannot fall behind the program, because the
same rows read the files.
"""

from __future__ import annotations

from collections.abc import Iterator

from blockmap.files.composer import MOST_DEPTH, MOST_VALUES
from blockmap.files.map_reader import BYTES_LIMIT
from blockmap.files.map_writer import END_MARK
from blockmap.files.migrations import FORMAT
from blockmap.files.tables import USUAL_ORDER
from blockmap.model.assumed import ODDS_KEYS
from blockmap.model.columns import COLUMNS
from blockmap.model.document import (
    Acceptance,
    Block,
    Car,
    Cavity,
    OwnLimits,
    OwnOdds,
    OwnWork,
    Reading,
    Repair,
    Strip,
    TerminalFamily,
)
from blockmap.model.evidence import FACT_KEYS
from blockmap.model.schema import Property, Shape, properties, value_text
from blockmap.model.units import number_text

__all__ = ["EXAMPLE", "format_text"]

EXAMPLE = f"""\
blockmap: {FORMAT}
car:
  name: "Works van"
blocks:
  panel:
    name: "Fuse panel"
    width_mm: 80
    height_mm: 40
    cavities:
      F1:
        own: "F1"
        x_mm: 15
        y_mm: 20
        width_mm: 19.1
        height_mm: 5.1
        turn_deg: 90
        feed_end: start
        form: medium blade
        rating_a: 15
        legend: "STOP-HAZ"
        contacts:
          load:
            wires:
              - colour: brown/white
                gauge: "16 AWG"
        evidence:
          rating_a:
            how: seen
    strips:
      S1:
        members: ["F1.feed"]
{END_MARK}
"""

_SECTIONS: tuple[tuple[str, type, str], ...] = (
    ("car", Car, "One group of keys: the car, and how prints look."),
    ("blocks", Block, "One group for each block, named by its key."),
    (
        "blocks: KEY: cavities",
        Cavity,
        "One group for each cavity of the block, named by its key. Everywhere else the "
        "cavity is called block/key, and inside its own block just key.",
    ),
    (
        "blocks: KEY: strips",
        Strip,
        "One group for each piece of metal that joins contacts, named by its key. A "
        "contact is written key.contact, or block/key.contact in another block.",
    ),
    ("readings", Reading, "One group for each measurement, named by a key."),
    ("repairs", Repair, "One group for each repair, named by a key."),
    (
        "families",
        TerminalFamily,
        "One group for each terminal family of your own, named by a key. One with the "
        "name of a family that ships with blockmap stands in its place.",
    ),
    (
        "limits",
        OwnLimits,
        "One group of keys: the limits set for this map in place of the defaults. "
        "Shares are fractions: 0.75 is 75 %.",
    ),
    (
        "work",
        OwnWork,
        "One group of keys: the minutes of work set for this map in place of the "
        "defaults.",
    ),
    (
        "odds",
        OwnOdds,
        "One group for each kind of part whose odds of failing are set for this map: "
        f"{', '.join(ODDS_KEYS)}.",
    ),
    (
        "accepted",
        Acceptance,
        "One group for each finding that is accepted with a reason, named by a key.",
    ),
)

_INTRODUCTION = f"""\
# The file format of blockmap maps

A map is UTF-8 text in YAML and is usually called `NAME.blockmap.yaml`. This is format
{FORMAT}; the first line says so. An example:

```yaml
{EXAMPLE}```

- Lengths are millimetres, seen from the front; x counts from the left edge of the block
  and y from its top edge, down. A turn counts clockwise.
- Every value is read as text, and the key says what it means: `ON`, `NO`, `012` and
  `1:30` stay what they are. blockmap writes free text in double quotes all the same.
- What is left out has its default; numbers use a decimal dot.
- Keys that name parts have 1 to 40 characters and no spaces, slashes, dots, colons,
  quotes or marks that YAML uses. They never change; what people see is the designation.
- Unknown keys, keys that stand twice, aliases, anchors, merge keys, tags and a second
  document are refused, with line and column. So are files over
  {BYTES_LIMIT // 1024**2} MB, over {MOST_VALUES:,} values, or nested deeper than
  {MOST_DEPTH} levels.
- Comments are read over, and lost when blockmap saves.
- The last line `{END_MARK}` shows that the file is whole.
- Saving writes keys in the order below, leaves out defaults, and gives the same bytes
  for the same map. The version before stays beside the file as `NAME~`.
"""


def format_text() -> str:
    """Return the whole description as Markdown."""
    lines = [_INTRODUCTION]
    waiting: list[type] = []
    for heading, kind, introduction in _SECTIONS:
        lines += [f"## {heading}\n", f"{introduction}\n", *_table(kind, waiting)]
    lines += [
        "Evidence is filed by the key of the fact it stands for: "
        + ", ".join(f"`{key}`" for key in FACT_KEYS)
        + ".\n"
    ]
    shown: set[type] = set()
    while waiting:
        kind = waiting.pop(0)
        if kind not in shown:
            shown.add(kind)
            lines += [f"## {_title(kind)}\n", *_table(kind, waiting)]
    lines += _tables_of_cavities()
    return "\n".join(lines).rstrip("\n") + "\n"


def _title(kind: type) -> str:
    words = "".join(f" {c.lower()}" if c.isupper() else c for c in kind.__name__)
    return words.strip()


def _table(kind: type, waiting: list[type]) -> Iterator[str]:
    yield "| key | holds | default | meaning |"
    yield "|---|---|---|---|"
    for row in properties(kind):
        if row.record is not None:
            waiting.append(row.record)
        yield (
            f"| `{row.key}` | {_holds(row)} | {_default(row)} | {_cell(row.help)}"
            f"{', a fact' if row.fact else ''} |"
        )
    yield ""


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def _holds(row: Property) -> str:
    parts: list[str] = [row.shape.value]
    if row.record is not None:
        parts[0] += f": {_title(row.record)}"
    if row.shape is Shape.CHOICE:
        parts[0] = "one of " + ", ".join(f"`{word}`" for word in row.allowed)
    if row.unit:
        parts.append(row.unit)
    if row.low is not None and row.high is not None:
        parts.append(f"{number_text(row.low)} to {number_text(row.high)}")
    return _cell(", ".join(parts))


def _default(row: Property) -> str:
    if row.required:
        return "must be given"
    if row.default in (None, "", ()):
        return "none"
    return f"`{value_text(row, row.default)}`"


def _tables_of_cavities() -> Iterator[str]:
    yield "## Tables\n"
    yield (
        "`blockmap table` writes one row a cavity; `blockmap fill` and pasting read "
        "tables parted by commas, semicolons, tabs or bars. A heading is a key below, "
        "its label, or a usual word for it. Without headings the columns are "
        + ", ".join(USUAL_ORDER)
        + ".\n"
    )
    yield "| key | label | meaning |"
    yield "|---|---|---|"
    for column in COLUMNS:
        yield f"| `{column.key}` | {column.label} | {_cell(column.help)} |"
