"""What becomes of a form: taken into the roster in one go, given to a client, put aside."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import date, datetime
from typing import Any

from django.db import transaction

from clients.actions.consents import FORM, keep_consent, withdraw_consent
from clients.actions.enquiries import became_client
from clients.actions.intake import drop_document, expect_at_least, lock_form
from clients.actions.roster import (
    add_client,
    add_pregnancy,
    change_client,
    change_pregnancy,
    set_quiet,
)
from clients.actions.screening import record_screening
from clients.actions.shared import Refused, refuse_if
from clients.models import Client, Enquiry, Intake
from clients.queries.intake_review import Review, review_of
from clients.queries.roster import facts_of
from clients.rules import intake as rules
from clients.rules.intake_health import NUMBERS, by_day
from clients.rules.intake_review import Point, changed_facts, missing_choices, taken
from clients.rules.pregnancies import PregnancyFacts, Problem
from clients.rules.screening import questions_for
from clients.rules.warning_signs import AFTER, PREGNANT
from clients.rules.words import LOST, short_day_words
from coach import clock
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change

_REVIEWED = "It is reviewed already."
_NUMBER = "She expects more than one, and nothing that runs is on record: put her dates in first."


@transaction.atomic
def accept(*, by: Actor, intake: Intake, choices: Mapping[str, str]) -> Client:
    """Take a sent form into the roster: what is new, and of what differs that which was chosen.

    `choices`: "take" or "keep" by a point's key. What stops or holds her goes on record whatever
    is chosen, on the day she said it. Refused when a point that differs has no choice, when the
    record has changed since, and beside a point that cannot be; then nothing is kept.
    """
    lock_form(intake)
    _refuse_over(intake)
    if not intake.sent_at:
        raise Refused([Problem("", "She has not sent it yet.")])
    review = review_of(intake)
    refuse_if([Problem(one.key, "Choose one.") for one in missing_choices(review.points, choices)])
    wanted = taken(review.points, choices)
    client = _client(by, intake, review, wanted)
    _pregnancies(by, client, wanted, review.sent_on)
    if rules.situation(intake.answers) == LOST and not client.quiet:
        set_quiet(by=by, client=client, quiet=True)
    _hear_earlier(by, client, intake)
    _screening(by, client, intake, review)
    _consents(by, client, intake, wanted)
    if intake.enquiry:
        became_client(by=by, enquiry=intake.enquiry, client=client)
    _close(by, intake, client=client, answers={})
    audit.record(by=by, verb="accepted", subject=intake, fields={one.key for one in wanted})
    return client


def _refuse_over(intake: Intake) -> None:
    if intake.reviewed_at:
        raise Refused([Problem("", _REVIEWED)])


def _client(by: Actor, intake: Intake, review: Review, wanted: list[Point]) -> Client:
    """She as a client: added, or changed in what was taken."""
    values = {one.key: one.value for one in wanted if ":" not in one.key}
    note = _note(review, review.client)
    values |= {"note": note} if note else {}
    client = review.client or add_client(by=by, **values)
    if review.client and values:
        change_client(by=by, client=client, **values)
    change(intake, client=client)
    return client


def _note(review: Review, client: Client | None) -> str:
    """What can only be kept in words, beneath what the note holds already."""
    if not review.in_words:
        return ""
    told = f"From her form of {short_day_words(review.sent_on)}: {' '.join(review.in_words)}"
    return "\n".join(part for part in (client.note if client else "", told) if part)


def _pregnancies(by: Actor, client: Client, wanted: list[Point], sent_on: date) -> None:
    """What was taken of each pregnancy on record, then the new ones, those that ended first."""
    reason = f"As she told it in her form of {short_day_words(sent_on)}."
    for row in client.pregnancies.all():
        own = [one for one in wanted if one.key.endswith(f":{row.pk}") and _is_change(one)]
        if own:
            facts = changed_facts(facts_of(row), own)
            with _beside(own[0].key):
                change_pregnancy(by=by, pregnancy=row, facts=facts, reason=reason)
    added = [one for one in wanted if isinstance(one.value, PregnancyFacts)]
    for one in sorted(added, key=lambda one: one.value.ended or date.max):
        with _beside(one.key):
            add_pregnancy(by=by, client=client, facts=one.value)


def _is_change(one: Point) -> bool:
    return isinstance(one.value, dict)


@contextmanager
def _beside(key: str) -> Iterator[None]:
    """What an action refuses inside is said beside one point."""
    try:
        yield
    except Refused as refused:
        found = [Problem(key, one.sentence) for one in refused.problems]
        raise Refused(found) from refused


def _hear_earlier(by: Actor, client: Client, intake: Intake) -> None:
    """What she said in earlier forms while she was nobody's client yet."""
    if intake.enquiry:
        hear_forms_of(by=by, client=client, enquiry=intake.enquiry, but=intake)


def hear_forms_of(
    *, by: Actor, client: Client, enquiry: Enquiry, but: Intake | None = None
) -> None:
    """What stops or holds her by the forms of her enquiry goes on the record of who she became.

    For the transaction of an action that makes her a client; each of those forms is hers then.
    """
    for one in Intake.objects.filter(enquiry=enquiry, client=None).order_by("pk"):
        if one != but and one.answers.get("said"):
            _hear(by, client, one)
            change(one, client=client)


def _screening(by: Actor, client: Client, intake: Intake, review: Review) -> None:
    """What stopped or held her on its own day; then all answers as they were sent."""
    _hear(by, client, intake)
    answers = rules.health_answers(intake.answers)
    for phase in [review.phase] if review.phase else [PREGNANT, AFTER]:
        asked = {one.code for one in questions_for(phase, quiet=False)}
        own = {code: answer for code, answer in answers.items() if code in asked}
        if own:
            record_screening(
                by=by, client=client, phase=phase, answers=own, answered_on=review.sent_on,
                how="form", intake=intake,
            )  # fmt: skip


def _hear(by: Actor, client: Client, intake: Intake) -> None:
    """Each answer that stops or holds, on the day it was given; what is kept already stays so."""
    for code in set(NUMBERS) & set(intake.answers.get("said", {})):
        if not expect_at_least(by, client, NUMBERS[code]):
            raise Refused([Problem("", _NUMBER)])
    for day, answers in by_day(intake.answers).items():
        for phase in (PREGNANT, AFTER):
            asked = {one.code for one in questions_for(phase, quiet=False)}
            own = {code: answer for code, answer in answers.items() if code in asked}
            answers = {code: one for code, one in answers.items() if code not in own}
            if own := _not_kept(client, intake, own):
                record_screening(
                    by=by, client=client, phase=phase, answers=own, answered_on=day, how="form",
                    intake=intake,
                )  # fmt: skip


def _not_kept(client: Client, intake: Intake, answers: Mapping[str, str]) -> dict[str, str]:
    """The answers that this form has not put on record yet."""
    kept = {row.code for row in client.signs.filter(intake=intake)}
    kept |= {row.code for row in client.conditions.filter(intake=intake)}
    return {code: answer for code, answer in answers.items() if code not in kept}


def _consents(by: Actor, client: Client, intake: Intake, wanted: list[Point]) -> None:
    """Each consent with its version and the moment it was ticked; those taken back end now."""
    for code, one in intake.answers.get("ticked", {}).items():
        keep_consent(
            by=by, client=client, purpose=code, version=one["version"],
            given_at=datetime.fromisoformat(one["at"]), how=FORM, intake=intake,
        )  # fmt: skip
    for one in wanted:
        kind, _, purpose = one.key.partition(":")
        if kind == "consent":
            withdraw_consent(by=by, client=client, purpose=purpose)


@transaction.atomic
def belongs_to(*, by: Actor, intake: Intake, client: Client) -> Intake:
    """Say that a form of somebody new is a client’s: what holds her goes on record at once."""
    lock_form(intake)
    _refuse_over(intake)
    if intake.client:
        raise Refused([Problem("", f"It is {intake.client.name}’s already.")])
    _hear(by, client, intake)
    changed = change(intake, client=client)
    audit.record(by=by, verb="gave", subject=intake, fields=changed)
    return intake


@transaction.atomic
def put_aside(*, by: Actor, intake: Intake, reason: str) -> Intake:
    """Close a form that nobody becomes a client by; its answers are erased.

    What stops or holds her is kept, for the case that she comes back. Refused without a reason,
    and for a client's form that was sent: that is reviewed.
    """
    lock_form(intake)
    _refuse_over(intake)
    if intake.client and intake.sent_at:
        raise Refused([Problem("reason", "She is a client: take her form, or keep what is there.")])
    if not reason.strip():
        raise Refused([Problem("reason", "Say why.")])
    said = intake.answers.get("said")
    answers = {"said": said} if said and not intake.client else {}
    if intake.withdrawn_at is None and not intake.sent_at:
        change(intake, withdrawn_at=clock.now())
    if not intake.client:
        drop_document(intake)
    _close(by, intake, client=intake.client, answers=answers)
    audit.record(by=by, verb="put aside", subject=intake, reason=reason.strip())
    return intake


def _close(by: Actor, intake: Intake, *, client: Client | None, answers: dict[str, Any]) -> None:
    change(
        intake,
        client=client,
        reviewed_at=clock.now(),
        reviewed_by=by.user,
        answers=answers,
        alarm="",
    )
