"""Gives the tests of the figures published rows and small invented maps."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

_FOLDER = Path(__file__).parents[2] / "data" / "standards"


@pytest.fixture(scope="session")
def published() -> Callable[[str, str], list[list[Any]]]:
    """Return a function that gives the rows of a table of tests/data/standards."""

    def rows(file: str, table: str) -> list[list[Any]]:
        text = (_FOLDER / f"{file}.yaml").read_text(encoding="utf-8")
        found: list[list[Any]] = yaml.safe_load(text)[table]["rows"]
        assert found, f"{file}.yaml has no rows for {table}"
        return found

    return rows
