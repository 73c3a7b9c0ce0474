"""A pytest plugin: leaves browser tests out where there is no Chromium, and says so.

With CI=true leaving them out is a failure.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

LEFT_OUT = pytest.StashKey[int]()
FROM_WORKER = "browser_tests_left_out"


def chromium() -> Path | None:
    """The browser that the tests drive; None where it is not installed."""
    place = Path(os.environ.get("COACH_CHROMIUM") or "/usr/bin/chromium")
    return place if place.is_file() else None


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    left_out = [item for item in items if item.get_closest_marker("browser")]
    if chromium() or not left_out:
        return
    items[:] = [item for item in items if item not in left_out]
    config.hook.pytest_deselected(items=left_out)
    _note(config, len(left_out))


def _note(config: pytest.Config, count: int) -> None:
    config.stash[LEFT_OUT] = count
    from_worker = getattr(config, "workeroutput", None)
    if from_worker is not None:
        from_worker[FROM_WORKER] = count


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any, error: object) -> None:
    """Each worker collects everything, so the count of any one of them is the whole."""
    count = getattr(node, "workeroutput", {}).get(FROM_WORKER, 0)
    if count:
        node.config.stash[LEFT_OUT] = count


def pytest_sessionfinish(session: pytest.Session) -> None:
    failing = session.config.stash.get(LEFT_OUT, 0) and os.environ.get("CI") == "true"
    if failing and session.exitstatus == pytest.ExitCode.OK:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    count = config.stash.get(LEFT_OUT, 0)
    if count:
        terminalreporter.section("browser tests")
        terminalreporter.line(
            f"{count} browser tests were left out for want of Chromium: install it, or say "
            "where it is with COACH_CHROMIUM."
        )
