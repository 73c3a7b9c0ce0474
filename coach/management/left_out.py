"""A pytest plugin: leaves tests out for want of a program that they drive, and says so.

With CI=true leaving any out is a failure.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

LEFT_OUT = pytest.StashKey[dict[str, int]]()
FROM_WORKER = "tests_left_out"


def has_chromium() -> bool:
    """Whether the browser that the tests drive is installed."""
    return Path(os.environ.get("COACH_CHROMIUM") or "/usr/bin/chromium").is_file()


def has_poppler() -> bool:
    """Whether PDFs can be read back."""
    return bool(shutil.which("pdftotext") and shutil.which("pdffonts"))


@dataclass(frozen=True, slots=True)
class Want:
    """What the tests with a marker need, and what to say where it is missing."""

    marker: str
    is_there: Callable[[], bool]
    words: str


WANTS = (
    Want(
        "browser",
        has_chromium,
        "{} browser tests were left out for want of Chromium: install it, or say where it is "
        "with COACH_CHROMIUM.",
    ),
    Want(
        "poppler",
        has_poppler,
        "{} PDF tests were left out for want of pdftotext and pdffonts: install poppler-utils.",
    ),
)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    counts = {}
    for want in WANTS:
        out = [item for item in items if item.get_closest_marker(want.marker)]
        if out and not want.is_there():
            items[:] = [item for item in items if item not in out]
            config.hook.pytest_deselected(items=out)
            counts[want.marker] = len(out)
    if counts:
        _note(config, counts)


def _note(config: pytest.Config, counts: dict[str, int]) -> None:
    config.stash[LEFT_OUT] = counts
    from_worker = getattr(config, "workeroutput", None)
    if from_worker is not None:
        from_worker[FROM_WORKER] = counts


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any, error: object) -> None:
    """Each worker collects everything, so the counts of any one of them are the whole."""
    counts = getattr(node, "workeroutput", {}).get(FROM_WORKER)
    if counts:
        node.config.stash[LEFT_OUT] = counts


def pytest_sessionfinish(session: pytest.Session) -> None:
    failing = session.config.stash.get(LEFT_OUT, {}) and os.environ.get("CI") == "true"
    if failing and session.exitstatus == pytest.ExitCode.OK:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    counts = config.stash.get(LEFT_OUT, {})
    for want in WANTS:
        if want.marker in counts:
            terminalreporter.section("tests left out")
            terminalreporter.line(want.words.format(counts[want.marker]))
