"""Throws spoilt maps and tables at the readers; python -m tests.benchmarks.fuzz_reader.

With a number of seconds it spoils the shipped maps by itself. With --guided it lets
atheris, when that is installed, look for new paths through the reader instead; what
follows goes on to it, such as -max_total_time=600.
"""

from __future__ import annotations

import sys
import time
from typing import Any

from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.files.salvage import salvaged
from blockmap.files.tables import csv_text, decoded, fill_from_table
from blockmap.model.errors import DocumentRefused
from blockmap.resources import layout_files
from tests.faults.spoiling import spoilt

MAPS = [path.read_bytes() for path in layout_files()]
DOCUMENTS = [read_map(data).document for data in MAPS]
TABLES = [csv_text(document).encode() for document in DOCUMENTS]


def one_map(data: bytes) -> bool:
    """Read bytes as a map; what is read must be saved and read again alike."""
    try:
        document = read_map(data, "fuzz").document
    except DocumentRefused:
        return False
    text = map_text(document)
    assert map_text(read_map(text.encode()).document) == text
    return True


def one_table(data: bytes, number: int) -> bool:
    """Fill a map from bytes as a table."""
    try:
        fill_from_table(DOCUMENTS[number], decoded(data), "fuzz")
    except DocumentRefused:
        return False
    return True


def one_salvage(data: bytes) -> bool:
    """Salvage what can be read."""
    try:
        salvaged(data, "fuzz")
    except DocumentRefused:
        return False
    return True


def spoil_for(seconds: float, seed: int) -> None:
    """Spoil maps and tables for so long and print what came of it."""
    end = time.monotonic() + seconds
    worst = {"map": (0.0, 0), "table": (0.0, 0), "salvage": (0.0, 0)}
    counts = dict.fromkeys(worst, 0)
    good = dict.fromkeys(worst, 0)
    while time.monotonic() < end:
        seed += 1
        number = seed % len(MAPS)
        kind = ("map", "map", "map", "table", "salvage")[seed % 5]
        data = spoilt((TABLES if kind == "table" else MAPS)[number], seed)
        start = time.process_time()
        try:
            if kind == "map":
                ok = one_map(data)
            elif kind == "table":
                ok = one_table(data, number)
            else:
                ok = one_salvage(data)
        except BaseException:
            sys.stdout.write(f"escaped with seed {seed}, {kind} {number}\n")
            raise
        worst[kind] = max(worst[kind], (time.process_time() - start, seed))
        counts[kind] += 1
        good[kind] += ok
    for kind, (took, its_seed) in worst.items():
        sys.stdout.write(
            f"{kind}: {counts[kind]} tried, {good[kind]} usable, nothing escaped, "
            f"worst {took * 1000:.0f} ms (seed {its_seed})\n"
        )


def guided(arguments: list[str]) -> None:
    """Let atheris choose the bytes."""
    import importlib

    atheris: Any = importlib.import_module("atheris")
    atheris.instrument_all()
    atheris.Setup([sys.argv[0], *arguments], one_map)
    atheris.Fuzz()


if __name__ == "__main__":
    if "--guided" in sys.argv:
        guided([word for word in sys.argv[1:] if word != "--guided"])
    else:
        spoil_for(float(sys.argv[1]) if len(sys.argv) > 1 else 60, 0)
