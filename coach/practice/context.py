"""What every page's template gets: the practice, the date, the sections, what she may see."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from django.urls import reverse

from coach import clock
from coach.practice import registry
from coach.practice.permissions import Access, Fact, may


@dataclass(frozen=True, slots=True)
class ShownSection:
    """A section of the masthead as drawn on one page."""

    title: str
    url: str
    current: bool


class Allowed:
    """`may.see.health`, `may.change.content` in templates: the table for the person signed in."""

    def __init__(self, user: Any) -> None:
        self.see = _Level(lambda fact: may(user, fact))
        self.change = _Level(lambda fact: may(user, fact, Access.CHANGE))


class _Level:
    def __init__(self, allowed: Callable[[Fact], bool]) -> None:
        self._allowed = allowed

    def __getattr__(self, name: str) -> bool:
        return self._allowed(Fact[name.upper()])


def page(request: HttpRequest) -> dict[str, Any]:
    """The context processor; costs no query."""
    practice = getattr(request, "practice", None)
    user = getattr(request, "user", None)
    signed_in = user is not None and user.is_authenticated
    return {
        "practice": practice,
        "today": clock.today(ZoneInfo(practice.time_zone)) if practice else None,
        "sections": shown_sections(request) if signed_in and practice else [],
        "may": Allowed(user) if signed_in else None,
    }


def shown_sections(request: HttpRequest) -> list[ShownSection]:
    """The sections that this person may see, the one she is in marked."""
    match = request.resolver_match
    here = match.view_name if match else ""
    space = (match.namespace if match else "") or here
    if here in {page.url_name for page in registry.settings_pages()}:
        space = "practice"
    return [
        ShownSection(section.title, reverse(section.url_name), space in section.under)
        for section in registry.sections()
        if section.fact is None or may(request.user, section.fact)
    ]
