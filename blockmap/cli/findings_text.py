"""Writes what a check found: one line each for people, JSON for programs."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from blockmap.files.shown import shown_name, shown_text

if TYPE_CHECKING:
    from blockmap.analysis.findings import Finding
    from blockmap.analysis.numbers.figure import Figure

__all__ = ["finding_line", "findings_json"]


def finding_line(name: str, finding: Finding) -> str:
    """Return a finding as one line for people and editors: file, level, code, what."""
    objects = shown_text(", ".join(finding.objects), 200)
    parts = [finding.what, finding.why, finding.todo]
    level = str(finding.level)
    if finding.accepted is not None:
        level = f"accepted {level}"
        on = f" on {finding.accepted.date}" if finding.accepted.date else ""
        parts.insert(1, f"accepted{on}: {finding.accepted.reason}")
    said = "; ".join(shown_text(part, 1000) for part in parts if part)
    return f"{name}: {level}: {finding.code}: {objects}: {said}\n"


def findings_json(
    file: str,
    findings: Sequence[Finding],
    counts: dict[str, int],
    notes: Sequence[str],
) -> bytes:
    """Return findings as JSON, those on numbers with formula and sources."""
    content: dict[str, Any] = {
        "file": shown_name(file),
        "findings": [
            {
                "code": finding.code,
                "level": finding.level.value,
                "objects": list(finding.objects),
                "what": finding.what,
                "why": finding.why,
                "todo": finding.todo,
                "accepted": _acceptance(finding),
                "figures": [_figure(figure) for figure in finding.figures],
            }
            for finding in findings
        ],
        "counts": counts,
        "notes": list(notes),
    }
    text = json.dumps(content, ensure_ascii=False, indent=2) + "\n"
    return text.encode("utf-8", "backslashreplace")


def _acceptance(finding: Finding) -> dict[str, Any] | None:
    held = finding.accepted
    return None if held is None else {"reason": held.reason, "date": held.date}


def _figure(figure: Figure) -> dict[str, Any]:
    """Return a figure with formula and sources; an open end of its band is null."""
    return {
        "name": figure.name,
        "value": _finite(figure.value),
        "low": _finite(figure.low),
        "high": _finite(figure.high),
        "unit": figure.unit,
        "formula": figure.formula,
        "status": figure.status.value,
        "sources": [source.title for source in figure.all_sources()],
        "note": figure.note,
    }


def _finite(number: float) -> float | None:
    return number if math.isfinite(number) else None
