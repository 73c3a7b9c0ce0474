"""Rows for tests, made with as little as the test needs to say. Every name is invented."""

from __future__ import annotations

import itertools
from datetime import date
from typing import Any

from clients.models import Client, Pregnancy
from coach.practice.models import Practice, User
from coach.practice.permissions import Role
from coach.scheduling.values import SERVABLE_STAGES
from content.models import DayOff, FitnessClass, OwnExercise, Series, State, Upload, Wishes

_count = itertools.count(1)


def practice(**values: Any) -> Practice:
    """The one practice, in Galway unless said otherwise."""
    defaults = {
        "pk": 1,
        "name": "Strand Row Movement",
        "country": "IE",
        "time_zone": "Europe/Dublin",
        "currency": "EUR",
    }
    return Practice.objects.create(**{**defaults, **values})


def person(role: Role = Role.OWNER, **values: Any) -> User:
    """Somebody who signs in; her e-mail names her role."""
    email = values.pop("email", f"{role.replace(' ', '-')}@example.org")
    password = values.pop("password", None)
    name = values.pop("name", f"Una {role.title()}")
    return User.objects.create_user(email, password, role=role, name=name, **values)


def client(name: str = "", **values: Any) -> Client:
    """A client in the practice's zone."""
    name = name or f"Client {next(_count)}"
    return Client.objects.create(name=name, **{"time_zone": "Europe/Dublin", **values})


def pregnancy(of: Client, *, due: date | None = None, **values: Any) -> Pregnancy:
    """A pregnancy with a due date, not ended unless said."""
    return Pregnancy.objects.create(client=of, due=due, **values)


def series(title: str = "") -> Series:
    """A series."""
    return Series.objects.create(title=title or f"Series {next(_count)}")


def fitness_class(title: str = "", **values: Any) -> FitnessClass:
    """A finished class that no stage is excluded from, unless said otherwise."""
    defaults = {
        "state": State.EDITED,
        "focus": "core",
        "minutes": 20,
        "stages": [str(stage) for stage in SERVABLE_STAGES],
    }
    title = title or f"Class {next(_count)}"
    return FitnessClass.objects.create(title=title, **{**defaults, **values})


def upload(day: date, item: FitnessClass | None = None, **values: Any) -> Upload:
    """A class with a publish date."""
    return Upload.objects.create(item=item or fitness_class(), day=day, **values)


def wishes(**values: Any) -> Wishes:
    """Tuesdays and Saturdays, eight hours a week, unless said otherwise."""
    return Wishes.objects.create(**{"pk": 1, "weekdays": [1, 5], **values})


def day_off(day: date, why: str = "") -> DayOff:
    """A day off."""
    return DayOff.objects.create(day=day, why=why)


def own_exercise(code: str, name: str) -> OwnExercise:
    """An exercise of the coach's own with every answer given."""
    values = {
        "name": name, "aliases": [], "position": "standing", "stance": "two legs", "sides": "one",
        "focus": "core", "intensity": "light", "impact": "none", "core_load": "none",
        "pelvic_load": 1, "balance": 0, "cues": ["Lean in"], "kit": [], "easier": [],
        "breath_holding": False, "lying_flat": False, "prone": False, "still_standing": False,
        "heavy": False,
    }  # fmt: skip
    return OwnExercise.objects.create(code=code, values=values)
