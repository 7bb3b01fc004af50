"""Gives the tests here a window's surroundings."""

from __future__ import annotations

from tests.window_fixtures import (
    caught_failures,
    dressed,
    open_map,
    qapp_cls,
    settings,
)

__all__ = ["caught_failures", "dressed", "open_map", "qapp_cls", "settings"]
