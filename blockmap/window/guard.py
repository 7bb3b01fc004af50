"""One guard round every function that Qt calls.

An exception inside a Qt override can end the process on Python 3.11, and must never
cost anybody their map. The guard catches it, reports it once and returns a default.
It never hides one: each goes to the hook the application sets, or to the log.
"""

from __future__ import annotations

import contextlib
import functools
import logging
from collections.abc import Callable
from typing import Any, ParamSpec, TypeVar

__all__ = ["guarded", "is_guarded", "report_exception", "set_report_hook"]

_P = ParamSpec("_P")
_R = TypeVar("_R")

_log = logging.getLogger(__name__)
_hook: Callable[[str, BaseException], None] | None = None
_seen: set[tuple[str, str, int]] = set()


def set_report_hook(hook: Callable[[str, BaseException], None] | None) -> None:
    """Say who is told of a caught exception: a function of place and exception.

    Setting a hook forgets what was reported before, so that each is told once more.
    """
    global _hook
    _hook = hook
    _seen.clear()


def report_exception(where: str, problem: BaseException) -> None:
    """Tell the hook of an exception, once for each place it comes from.

    Never raises: whoever calls it is already dealing with a failure.
    """
    try:
        _report(where, problem)
    except Exception:  # out of memory or of stack, or the hook itself has failed
        with contextlib.suppress(Exception):
            _log.error("an exception in %s could not be reported", where)


def _report(where: str, problem: BaseException) -> None:
    trace, line = problem.__traceback__, 0
    while trace is not None:
        line, trace = trace.tb_lineno, trace.tb_next
    mark = (where, type(problem).__name__, line)
    if mark in _seen:
        return
    _seen.add(mark)
    _log.error("caught in %s", where, exc_info=problem)
    if _hook is not None:
        _hook(where, problem)


def guarded(default: Any = None) -> Callable[[Callable[_P, _R]], Callable[_P, _R]]:
    """Guard an override; default is returned, or called when callable, on a failure."""

    def decorate(function: Callable[_P, _R]) -> Callable[_P, _R]:
        @functools.wraps(function)
        def override(*args: _P.args, **kwargs: _P.kwargs) -> _R:
            try:
                return function(*args, **kwargs)
            except Exception as problem:
                report_exception(function.__qualname__, problem)
                value: _R = default() if callable(default) else default
                return value

        override.__dict__["guarded"] = True
        return override

    return decorate


def is_guarded(function: object) -> bool:
    """Tell whether a function carries the guard."""
    return bool(getattr(function, "guarded", False))
