"""Chromium on a live server: each page that is opened must stay free of errors and warnings."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from coach.practice.models import User
from tests.conftest import sign_in

AXE = Path(__file__).parent / "vendor" / "axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

# Only what is wrong is described in full: describing what is right takes longer than finding it.
_RUN = "only => axe.run(document, {runOnly: only, resultTypes: ['violations']})"


@pytest.fixture
def window(chromium: Browser, live_server: Any) -> Iterator[Callable[..., Page]]:
    """`window(width=390, scheme="dark", user=owner)` opens a page; what it complains of fails."""
    contexts: list[BrowserContext] = []
    complaints: list[str] = []

    def open_(*, width: int = 1280, scheme: Any = "light", user: User | None = None) -> Page:
        context = chromium.new_context(
            base_url=live_server.url,
            viewport={"width": width, "height": 844},
            color_scheme=scheme,
            locale="en-IE",
            timezone_id="Europe/Dublin",
        )
        contexts.append(context)
        if user:
            cookie = sign_in(user).cookies["session"].value
            context.add_cookies([{"name": "session", "value": cookie, "url": live_server.url}])
        page = context.new_page()
        page.set_default_timeout(10_000)
        page.on("console", lambda said: _note(complaints, said.type, said.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        return page

    yield open_
    for context in contexts:
        context.close()
    assert complaints == []


def _note(complaints: list[str], kind: str, text: str) -> None:
    # A form sent back with its errors is answered 422, which the browser mentions.
    if kind in {"error", "warning"} and "422" not in text:
        complaints.append(text)


def axe(page: Page, rules: str = "") -> list[str]:
    """What axe-core finds against WCAG 2.2 A and AA and good practice: rule and places.

    `rules` names one rule to run alone.
    """
    if not page.evaluate("() => Boolean(window.axe)"):
        page.evaluate(AXE.read_text())
    only = {"type": "rule", "values": [rules]} if rules else {"type": "tag", "values": TAGS}
    found = page.evaluate(_RUN, only)
    return [
        f"{rule['id']}: {'; '.join(' '.join(map(str, node['target'])) for node in rule['nodes'])}"
        for rule in found["violations"]
    ]


@pytest.fixture(name="axe")
def _axe() -> Callable[..., list[str]]:
    """`axe(page)` as above."""
    return axe
