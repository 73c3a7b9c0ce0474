"""What each room tells the others without their importing it.

An app registers itself once, when it is ready: the sections it adds to the masthead, the kind of
fact that each of its fields holds (which decides who may see it and what an export holds), the
checks that `check_data` runs over its rows, and the titles that rooms below may choose from.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from uuid import UUID

from django.db import models

from coach.practice.permissions import Fact
from coach.scheduling.values import Finding


@dataclass(frozen=True, slots=True)
class Section:
    """One entry of the masthead, shown to roles that may see its kind of fact.

    `under` names the sections of the site whose pages belong to it, by URL namespace.
    """

    title: str
    url_name: str
    place: int
    fact: Fact | None
    under: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Setting:
    """A page of settings that a room adds to the Practice section, for who may change its kind."""

    title: str
    note: str
    url_name: str
    fact: Fact


@dataclass(frozen=True, slots=True)
class Room:
    """What one app registers.

    `titles`: what it has published, by a key that stays, for rooms that may not import it.
    `given`: what a client, by her number, was told to take: day and title, the latest first.
    """

    name: str
    facts: Mapping[type[models.Model], Mapping[str, Fact]]
    sections: tuple[Section, ...] = ()
    settings: tuple[Setting, ...] = ()
    checks: tuple[Callable[[], Iterable[Finding]], ...] = ()
    own_fields: frozenset[str] = field(
        default=frozenset({"id", "uid", "created_at", "changed_at"}),
    )
    titles: Callable[[], list[tuple[UUID, str]]] | None = None
    given: Callable[[int], list[tuple[date, str]]] | None = None

    def unnamed_fields(self) -> list[str]:
        """Fields without a kind of fact: a room is complete when there are none."""
        return [
            f"{model._meta.label}.{column.name}"
            for model, named in self.facts.items()
            for column in model._meta.concrete_fields
            if column.name not in named and column.name not in self.own_fields
        ]


_rooms: dict[str, Room] = {}


def register(room: Room) -> None:
    """Called from an app's ready(); a second call for the same name replaces the first."""
    _rooms[room.name] = room


def rooms() -> list[Room]:
    """All rooms, by name."""
    return [_rooms[name] for name in sorted(_rooms)]


def settings_pages() -> list[Setting]:
    """All pages of settings, by room."""
    return [page for room in rooms() for page in room.settings]


def sections() -> list[Section]:
    """All sections of the masthead, in their order."""
    found = [section for room in rooms() for section in room.sections]
    return sorted(found, key=lambda section: section.place)


def titles() -> list[tuple[UUID, str]]:
    """What the rooms have published, each room's in its own order."""
    return [title for room in rooms() if room.titles for title in room.titles()]


def given(client: int) -> list[tuple[date, str]]:
    """What the rooms have told a client to take: day and title."""
    return [one for room in rooms() if room.given for one in room.given(client)]
