"""What clients of the demo practice agreed to, a letter without an answer, an earlier policy."""

from __future__ import annotations

from datetime import date, timedelta

from clients.actions.letters import Typed, make_letter, mark_sent
from clients.models import Client, Consent, GoAheadPolicy
from clients.rules.consents import purposes
from clients.rules.letters import CLEARANCE
from coach import clock
from coach.practice import audit
from coach.practice.models import User
from coach.practice.queries import the_practice
from coach.practice.writing import change

_AGREED = timedelta(days=40)
_SENT_DAYS_AGO = 9
# Their go-ahead waits for a letter: they are asked about.
_ASKED = "Pádraigín Moss"
_HERSELF = "Clodagh Rainsford"


def fill(today: date) -> None:
    """Whoever is named here is made by the other parts of the demo."""
    for client in Client.objects.exclude(name=_HERSELF):
        for purpose in purposes().values():
            Consent.objects.create(
                client=client,
                purpose=purpose.code,
                version=purpose.version,
                given_at=clock.now() - _AGREED,
                how="form",
            )
    _letter(Client.objects.get(name=_ASKED), today - timedelta(days=_SENT_DAYS_AGO))
    _policies(today)


def _letter(client: Client, sent_on: date) -> None:
    practice, coach = the_practice(), User.objects.get(role="owner")
    typed = Typed(
        to_name="Dr Lorcan Haye",
        to_kind="family doctor",
        reply_to=coach.email,
        offers=practice.offers,
    )
    made = make_letter(by=audit.Actor(coach), client=client, kind=CLEARANCE, typed=typed)
    change(made, made_on=sent_on)
    mark_sent(by=audit.SYSTEM, letter=made, on=sent_on, how="post")


def _policies(today: date) -> None:
    """No action puts a policy in the past: these were chosen then."""
    for days, values, reason in (
        (-260, {"letter_counts_weeks": 16}, "The midwives’ clinic wrote for sixteen weeks"),
        (-150, {}, "Back to twelve: a letter of spring said nothing of summer"),
    ):
        GoAheadPolicy.objects.create(
            begins=today + timedelta(days=days), values=values, reason=reason
        )
