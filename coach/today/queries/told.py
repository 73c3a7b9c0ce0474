"""What people told or asked: signs to follow up, forms, letters without an answer, enquiries."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.urls import reverse

from clients import queries
from clients.queries import open_follow_ups
from clients.queries.enquiries import follow_ups
from clients.queries.intake import Alarm, alarms, to_review
from clients.queries.letters import to_chase
from clients.rules.intake import HOLD, STOP
from coach.practice.permissions import Access, Fact, may
from coach.scheduling.planner.words import number
from coach.today.queries.items import Item

LISTED = 4
_ALARMS = {
    STOP: ("answered something that stops training", "She was told to ring her clinician."),
    HOLD: ("answered something that wants a clinician", "Until one answers it, nothing starts."),
}
_MINOR = ("is under 18", "A guardian’s consent and your decision come first.")


def to_follow_up(user: Any, today: date) -> Iterator[Item]:
    """Warning signs whose next day has come: at the top until somebody says who advised what."""
    if not may(user, Fact.HEALTH):
        return
    for one in open_follow_ups(today):
        url = reverse("clients:sign", args=[one.client.pk, one.sign.pk])
        what = f"Ask {one.client.name} what her clinician said"
        note = "After a warning sign: who advised what, and how she goes back."
        yield Item(one.by, what, url, "follow up", note, late=one.by < today)


def urgent_forms(user: Any, today: date) -> Iterator[Item]:
    """Forms that stop or hold somebody, or a minor's: sent or not."""
    if may(user, Fact.HEALTH):
        yield from map(_alarm, alarms(today))


def _alarm(one: Alarm) -> Item:
    what, note = _ALARMS.get(one.word, _MINOR)
    page = "clients:intake_review" if one.intake.sent_at else "clients:intake_link"
    url = reverse(page, args=[one.intake.pk])
    return Item(one.on, f"{one.name or 'Somebody'} {what}", url, "open", note, late=True)


def held_by_answers(user: Any, today: date) -> Iterator[Item]:
    """Clients whose own answers stop or hold them until a clinician answers, once each.

    A form that is not reviewed yet speaks for itself.
    """
    if not may(user, Fact.HEALTH):
        return
    told = {one.client.pk for one in alarms(today) if one.client}
    for one in queries.held_by_answers(today):
        if one.client.pk not in told:
            told.add(one.client.pk)
            what, _ = _ALARMS[one.effect]
            url = reverse("clients:client", args=[one.client.pk])
            note = "No clinician has answered it by name."
            yield Item("now", f"{one.client.name} {what}", url, "open", note, late=True)


def forms(user: Any, today: date) -> Iterator[Item]:
    """Forms that wait for the coach's eye."""
    if not may(user, Fact.HEALTH, Access.CHANGE):
        return
    for one in to_review(today):
        name = one.client.name if one.client else one.name
        url = reverse("clients:intake_review", args=[one.pk])
        yield Item("now", f"The form of {name or 'somebody new'} is here", url, "review")


def letters(user: Any, today: date) -> Iterator[Item]:
    """Letters to clinicians that have had no answer for a week."""
    if not may(user, Fact.HEALTH, Access.CHANGE):
        return
    for one in to_chase(today):
        url = reverse("clients:letters", args=[one.client_id])
        what = f"No answer yet about {one.client_name}"
        yield Item(one.since, what, url, "ask again", "A letter to her clinician.")


def enquiries(user: Any, today: date) -> Iterator[Item]:
    """Whom to write back to, today and earlier."""
    if not may(user, Fact.CONTACT, Access.CHANGE):
        return
    wanted = follow_ups(today)
    for one in wanted[:LISTED]:
        url = reverse("clients:enquiry", args=[one.pk])
        note = one.step or "Write back."
        yield Item(one.day, f"Enquiry of {one.name}", url, "open", note, late=one.day < today)
    more = len(wanted) - LISTED
    if more > 0:
        what = f"{number(more).capitalize()} more enquir{'y' if more == 1 else 'ies'}"
        yield Item("now", what, reverse("clients:enquiries"), "see who")
