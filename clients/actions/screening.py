"""Writes of answers to the health questions; a yes acts in the moment it is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from django.db import transaction

from clients.actions.conditions import running
from clients.actions.shared import Days, Refused, days_of, lock, refuse_if
from clients.actions.spans import rewrite_spans
from clients.models import Client, Condition, Intake, Pregnancy, Screening, WarningSign
from clients.queries import waiting_rows
from clients.rules.conditions import screening_problems
from clients.rules.pregnancies import Problem
from clients.rules.screening import (
    SCREENING_VERSION,
    SIGN,
    UNSURE,
    YES,
    Effect,
    Question,
    questions,
    questions_for,
)
from clients.rules.warning_signs import AFTER, PREGNANT
from coach.practice import audit
from coach.practice.audit import Actor


@transaction.atomic
def record_screening(
    *,
    by: Actor,
    client: Client,
    phase: str,
    answers: Mapping[str, str],
    answered_on: date,
    how: str,
    intake: Intake | None = None,
) -> Screening:
    """Keep the answers to the questions of a phase; what says yes becomes a sign or a condition.

    `answers` by the questions' codes: "yes", "no" or "unsure"; one left out or empty is not
    answered, and then the screening is not complete and counts for its yeses alone. Where it is
    already tomorrow for one of the two, it counts as answered on the earlier day. What
    record_answer kept of the same form is not kept again. Refused when an answer cannot be.
    """
    lock(client)
    days = days_of(client)
    if phase not in {PREGNANT, AFTER}:
        raise Refused([Problem("phase", "Say which questions these are.")])
    told = {code: answer for code, answer in answers.items() if answer}
    asked = {one.code: one for one in questions_for(phase)}
    refuse_if(
        screening_problems(told, asked=asked, answered_on=answered_on, how=how, today=days.later)
    )
    row = Screening.objects.create(
        client=client,
        phase=phase,
        version=SCREENING_VERSION,
        answers={code: _kept(asked[code], answer) for code, answer in told.items()},
        answered_on=min(answered_on, days.earlier),
        known_on=days.earlier,
        complete=set(told) == set(asked),
        how=how,
        intake=intake,
    )
    heard = _Heard.of(client, row.answered_on, days, intake, row)
    for code, answer in told.items():
        heard.act(asked[code], answer)
    rewrite_spans(client)
    fields = {"phase", "version", "answers", "answered_on", "known_on", "complete", "how"}
    audit.record(by=by, verb="recorded", subject=row, fields=fields)
    return row


@transaction.atomic
def record_answer(
    *, by: Actor, client: Client, code: str, answer: str, intake: Intake
) -> WarningSign | Condition | None:
    """Let one answer of a form that is not sent yet act at once, if it stops or holds.

    Returns what it became; None where it stops and holds nothing, or is kept already: what a form
    once said stays, whatever it says later. Refused when the code or the answer is unknown.
    """
    lock(client)
    question = questions().get(code)
    if question is None or not question.asked:
        raise Refused([Problem("answers", "That is none of the questions.")])
    days = days_of(client)
    day = days.earlier
    refuse_if(screening_problems({code: answer}, asked={code}, answered_on=day, how="form",
                                 today=day))  # fmt: skip
    if question.does is Effect.NOTE:
        return None
    row = _Heard.of(client, day, days, intake).act(question, answer)
    if row:
        rewrite_spans(client)
        audit.record(by=by, verb="answered", subject=row, fields={"code", "answer"})
    return row


def _kept(question: Question, answer: str) -> dict[str, object]:
    return {"answer": answer, "lists": list(question.lists)}


@dataclass(frozen=True, slots=True)
class _Heard:
    """Where and when an answer was given, and what becomes of it.

    `waiting`: what is recorded of her and not answered by a clinician, signs and conditions.
    """

    client: Client
    on: date
    known_on: date
    pregnancy: Pregnancy | None
    intake: Intake | None
    screening: Screening | None
    waiting: frozenset[WarningSign | Condition]

    @classmethod
    def of(
        cls,
        client: Client,
        on: date,
        days: Days,
        intake: Intake | None,
        screening: Screening | None = None,
    ) -> _Heard:
        """What is said on a day, beside what is recorded so far."""
        waiting = frozenset(waiting_rows(client, days.later))
        return cls(client, on, days.earlier, running(client), intake, screening, waiting)

    def act(self, question: Question, answer: str) -> WarningSign | Condition | None:
        """Keep what an answer means, unless nothing, or the same is kept already."""
        if answer not in {YES, UNSURE}:
            return None
        if question.kind == SIGN and answer == YES:
            return self._sign(question.code)
        return self._condition(question, answer)

    def _sign(self, code: str) -> WarningSign | None:
        signs = self.client.signs.filter(withdrawn_on__isnull=True)
        if any(one.code == code and self._same(one, one.happened_on) for one in signs):
            return None
        return WarningSign.objects.create(
            client=self.client,
            code=code,
            happened_on=self.on,
            known_on=self.known_on,
            intake=self.intake,
        )

    def _condition(self, question: Question, answer: str) -> Condition | None:
        for one in self.client.conditions.filter(over_on__isnull=True):
            weaker = (one.answer, answer) == (UNSURE, YES)
            kept = question.does is Effect.NOTE or self._same(one, one.named_on)
            if one.code == question.code and kept and not weaker:
                return None
        return Condition.objects.create(
            client=self.client,
            pregnancy=self.pregnancy,
            code=question.code,
            answer=answer,
            origin="screening",
            named_on=self.on,
            known_on=self.known_on,
            screening=self.screening,
            intake=self.intake,
        )

    def _same(self, one: WarningSign | Condition, day: date) -> bool:
        """Whether it was said in the same form; or on the same day, and nobody answered since.

        Said again on another day it is said anew: what a clinician answered before does not
        answer that.
        """
        if self.intake and one.intake_id == self.intake.pk:
            return True
        return day == self.on and one in self.waiting
