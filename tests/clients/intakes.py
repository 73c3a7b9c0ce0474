"""A form by link as the tests fill it in: one screen after the other, as a browser sends them."""

from __future__ import annotations

from typing import Any

from django.test import Client as Browser
from django.urls import reverse

from clients.actions.intake import make_link
from clients.models import Intake
from clients.queries.intake import token_of
from clients.rules.intake import steps_for
from clients.rules.intake_health import asked_in
from clients.rules.warning_signs import PREGNANT
from coach.practice.audit import SYSTEM

YOU = {
    "name": "Aveline Marsh",
    "email": "aveline@example.org",
    "phone": "+353 85 012 7788",
    "time_zone": "Europe/Dublin",
}
PLACE = {
    "trains_at": "Flat 3, 8 Quay Street, Galway",
    "emergency_number": "112",
    "emergency_contact": "Tadhg (husband)",
    "emergency_phone": "+353 85 012 7799",
}
CARRYING = {"situation": "carrying"}
DATES = {"day": "2027-04-12", "dated_by": "clinician", "how_many": "1"}
AGREED = {"health": "on", "email": "on"}
BORN = "1994-05-02"


def all_no(step: str, phase: str = PREGNANT) -> dict[str, str]:
    """Every question of a step answered with “no”."""
    return dict.fromkeys(asked_in(step, phase), "no")


def answers(**changes: dict[str, str]) -> dict[str, dict[str, str]]:
    """What a pregnant woman without complaints types, by step; `changes` by step."""
    usual = {
        "you": YOU,
        "place": PLACE,
        "now": CARRYING,
        "dates": DATES,
        "before": {},
        "signs": all_no("signs"),
        "health": all_no("health"),
        "consent": AGREED,
    }
    return {step: {**usual.get(step, {}), **changes.get(step, {})} for step in usual}


def at(intake: Intake, *rest: str) -> str:
    """An address of the form."""
    return reverse("form:begin", args=[token_of(intake)]) + "".join(f"{part}/" for part in rest)


def begin(intake: Intake, born: str = BORN, browser: Browser | None = None) -> Browser:
    """Her browser, once she has said how old she is."""
    browser = browser or Browser()
    browser.post(at(intake), {"age_from": born})
    return browser


def keep(browser: Browser, intake: Intake, step: str, values: dict[str, str]) -> Any:
    """What a change on a screen sends."""
    return browser.post(
        at(intake, step, "keep"), values, headers={"hx-request": "true", "hx-target": "kept"}
    )


def fill(intake: Intake, typed: dict[str, dict[str, str]] | None = None) -> Browser:
    """Every screen filled in, nothing sent yet."""
    browser = begin(intake)
    for step, values in (typed or answers()).items():
        intake.refresh_from_db()
        if step in steps_for(intake.answers):
            answer = browser.post(at(intake, step), {**values, "go": "open"})
            assert answer.status_code == 302, (step, answer.content.decode())
    intake.refresh_from_db()
    return browser


def send(browser: Browser, intake: Intake, key: str = "a" * 32) -> Any:
    """The last tap."""
    answer = browser.post(at(intake, "send"), {"key": key})
    intake.refresh_from_db()
    return answer


def sent(typed: dict[str, dict[str, str]] | None = None, **link: Any) -> Intake:
    """A form filled in and sent; for somebody new unless said otherwise."""
    intake = make_link(by=SYSTEM, **(link or {"name": "Aveline"}))
    assert send(fill(intake, typed), intake).status_code == 200
    return intake
