"""Writes of answers and conditions: what is kept, what acts at once, what is refused."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection

from clients import actions, queries
from clients.models import Client, Condition, Screening, WarningSign
from clients.rules.facts import ConditionFact, ScreeningFact
from clients.rules.screening import SCREENING_VERSION, questions, questions_for
from clients.rules.words import NEVER_IF_QUIET
from coach import clock
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from coach.scheduling.values import GoAheadWord
from tests import factories, factories_clearance
from tests.clients.answering import form, noes, screen

TODAY = date(2026, 12, 3)
HOLD, WAITING, YES = GoAheadWord.ON_HOLD, GoAheadWord.WAITING, GoAheadWord.YES


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


def trail() -> list[tuple[str, str, list[str]]]:
    return [(e.verb, e.subject_kind, e.fields) for e in AuditEntry.objects.order_by("pk")]


def word(client: Client) -> GoAheadWord:
    found = queries.go_ahead_now(client).word
    assert queries.words_now()[client.pk].word is found
    assert queries.spans_as_the_facts_say() == []
    return found


def named(client: Client) -> list[tuple[str, str, str]]:
    return [(row.code, row.answer, row.origin) for row in client.conditions.all()]


@pytest.fixture
def meret(practice: Any) -> Client:
    """Pregnant, with a letter; without a screening."""
    client = factories.client("Meret A.")
    factories.pregnancy(client, due=d(80), known_on=d(-60))
    factories_clearance.clearance(client, d(-9))
    return client


def test_answers_are_kept_with_their_lists_and_the_version_of_the_set(meret: Client) -> None:
    assert word(meret) is WAITING
    row = screen(meret, d(-2), how="form", heart="no")
    kept = Screening.objects.get()
    assert (kept.phase, kept.version, kept.how, kept.complete) == (
        "pregnant", SCREENING_VERSION, "form", True,
    )  # fmt: skip
    assert (kept.answered_on, kept.known_on) == (d(-2), TODAY)
    assert kept.answers == {
        one.code: {"answer": "no", "lists": list(one.lists)} for one in questions_for("pregnant")
    }
    facts = queries.facts_for(meret)
    assert facts.screenings == (ScreeningFact(d(-2), TODAY, pk=row.pk),)
    assert word(meret) is YES


def test_one_entry_names_the_fields_and_no_answer(meret: Client) -> None:
    screen(meret, TODAY, blood="yes", heart="yes")
    fields = ["answered_on", "answers", "complete", "how", "known_on", "phase", "version"]
    assert trail() == [("recorded", "clients.screening", fields)]


@pytest.mark.parametrize("open_one", ["", None])
def test_a_question_without_an_answer_leaves_it_incomplete_and_the_word_waiting(
    meret: Client, open_one: str | None
) -> None:
    answers = noes()
    answers["heart"] = open_one or ""
    if open_one is None:
        del answers["heart"]
    screen(meret, TODAY, answers=answers)
    kept = Screening.objects.get()
    assert (kept.complete, "heart" in kept.answers, word(meret)) == (False, False, WAITING)


def test_an_incomplete_one_counts_for_its_yeses(meret: Client) -> None:
    screen(meret, TODAY, answers={"blood": "yes"})
    assert word(meret) is HOLD


REFUSED: list[tuple[dict[str, Any], list[str]]] = [
    ({"answered_on": d(1)}, ["answered_on"]),
    ({"answered_on": d(-41 * 366)}, ["answered_on"]),
    ({"phase": "before"}, ["phase"]),
    ({"how": "letter"}, ["how"]),
    ({"answers": {}}, ["answers"]),
    ({"answers": {"moon": "yes"}}, ["answers"]),
    ({"answers": {"twins": "yes"}}, ["answers"]),
    ({"answers": {"heart": "perhaps"}}, ["heart"]),
    ({"phase": "after", "answers": {"praevia": "no"}}, ["answers"]),
]


@pytest.mark.parametrize(("values", "fields"), REFUSED)
def test_answers_that_cannot_be_are_refused_and_nothing_is_kept(
    meret: Client, values: dict[str, Any], fields: list[str]
) -> None:
    given = {"phase": "pregnant", "answers": noes(), "answered_on": TODAY, "how": "call", **values}
    with pytest.raises(actions.Refused) as refused:
        actions.record_screening(by=SYSTEM, client=meret, **given)
    assert [one.field for one in refused.value.problems] == fields
    assert [w for w in NEVER_IF_QUIET if w in str(refused.value).lower()] == []
    assert (Screening.objects.count(), WarningSign.objects.count(), trail()) == (0, 0, [])


@pytest.mark.parametrize("phase", ["pregnant", "after"])
def test_each_yes_becomes_a_sign_or_a_condition(practice: Any, phase: str) -> None:
    for question in questions_for(phase):
        client = factories.client()
        screen(client, TODAY, phase=phase, **{question.code: "yes"})
        signs = [row.code for row in client.signs.all()]
        expected = ([question.code], []) if question.kind == "sign" else (
            [], [(question.code, "yes", "screening")]
        )  # fmt: skip
        assert (signs, named(client)) == expected


def test_a_yes_acts_with_the_day_and_the_phase_it_was_said_in(meret: Client) -> None:
    row = screen(meret, d(-2), heart="yes", blood="yes")
    condition, sign = Condition.objects.get(), WarningSign.objects.get()
    assert (condition.named_on, condition.known_on, condition.screening) == (d(-2), TODAY, row)
    assert condition.pregnancy == meret.pregnancies.get()
    assert (sign.happened_on, sign.known_on, sign.intake) == (d(-2), TODAY, None)
    facts = queries.facts_for(meret).conditions
    assert facts == (
        ConditionFact(f"condition:{condition.pk}", "heart", d(-2), TODAY, origin="screening"),
    )


def test_not_sure_about_a_sign_holds_as_a_condition(meret: Client) -> None:
    screen(meret, TODAY, blood="unsure")
    assert (named(meret), word(meret)) == ([("blood", "unsure", "screening")], WAITING)


def test_a_later_no_lifts_nothing(meret: Client) -> None:
    screen(meret, d(-1), heart="yes")
    screen(meret, TODAY)
    assert word(meret) is HOLD


def test_what_a_clinician_answered_is_said_anew_by_a_later_yes(meret: Client) -> None:
    screen(meret, d(-8), heart="yes")
    key = queries.condition_key(Condition.objects.get().pk)
    factories_clearance.clearance(meret, d(-7), answers_conditions=(key,))
    assert word(meret).may_train
    screen(meret, TODAY, heart="yes")
    assert word(meret) is HOLD


def test_the_same_said_twice_on_a_day_is_kept_once_while_nobody_has_answered(
    meret: Client,
) -> None:
    actions.record_warning_sign(by=SYSTEM, client=meret, code="blood", happened_on=TODAY)
    for _ in range(2):
        screen(meret, TODAY, blood="yes", heart="unsure")
    assert (WarningSign.objects.count(), Condition.objects.count()) == (1, 1)
    screen(meret, TODAY, heart="yes")
    assert [row.answer for row in meret.conditions.all()] == ["unsure", "yes"]
    keys = tuple(queries.condition_key(row.pk) for row in meret.conditions.all())
    signs = tuple(row.pk for row in meret.signs.all())
    factories_clearance.clearance(meret, TODAY, answers=signs, answers_conditions=keys)
    screen(meret, TODAY, blood="yes", heart="yes")
    assert (WarningSign.objects.count(), Condition.objects.count()) == (2, 3)


def test_where_it_is_tomorrow_already_it_counts_at_once_as_of_the_earlier_day(
    meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    Client.objects.update(time_zone="America/Los_Angeles")
    meret.refresh_from_db()
    dates = {"America/Los_Angeles": d(-1), "Europe/Dublin": TODAY}
    monkeypatch.setattr(clock, "today", lambda zone: dates[str(zone)])
    row = screen(meret, TODAY)
    assert (row.answered_on, row.known_on, word(meret)) == (d(-1), d(-1), YES)


def say(client: Client, code: str, answer: str, intake: Any) -> Any:
    return actions.record_answer(by=SYSTEM, client=client, code=code, answer=answer, intake=intake)


@pytest.mark.parametrize(
    ("code", "answer", "then"),
    [("blood", "yes", HOLD), ("heart", "yes", HOLD), ("anaemia", "yes", WAITING),
     ("blood", "unsure", WAITING), ("heart", "unsure", WAITING), ("praevia", "yes", HOLD)],
)  # fmt: skip
def test_one_answer_of_a_form_not_sent_acts_at_once(
    meret: Client, code: str, answer: str, then: GoAheadWord
) -> None:
    screen(meret, d(-3))
    assert word(meret) is YES
    intake = form(meret)
    row = say(meret, code, answer, intake)
    assert (row.code, row.intake, word(meret)) == (code, intake, then)
    assert trail()[-1][0] == "answered"


def test_it_acts_once_for_a_form_and_a_later_no_takes_nothing_away(meret: Client) -> None:
    intake = form(meret)
    assert [bool(say(meret, "blood", one, intake)) for one in ("yes", "yes", "no", "yes")] == [
        True, False, False, False,
    ]  # fmt: skip
    assert (WarningSign.objects.count(), word(meret)) == (1, HOLD)
    assert say(meret, "blood", "yes", form(meret)) is None, "the same day, not answered yet"


def test_not_sure_that_becomes_yes_acts_again(meret: Client) -> None:
    intake = form(meret)
    for answer in ("unsure", "yes", "unsure"):
        say(meret, "heart", answer, intake)
    assert [row.answer for row in meret.conditions.all()] == ["unsure", "yes"]


def test_an_answer_that_only_notes_waits_for_the_form(meret: Client) -> None:
    notes = [one.code for one in questions().values() if str(one.does) == "note"]
    intake = form(meret)
    assert [say(meret, code, "yes", intake) for code in notes] == [None] * len(notes)
    assert [say(meret, "heart", "no", intake), named(meret), trail()] == [None, [], []]


def test_the_form_sent_later_keeps_nothing_twice(
    meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    intake = form(meret)
    say(meret, "blood", "yes", intake)
    say(meret, "heart", "yes", intake)
    monkeypatch.setenv("COACH_TODAY", d(2).isoformat())
    screen(meret, d(1), how="form", intake=intake, blood="no", heart="yes", anaemia="yes")
    assert (WarningSign.objects.count(), [code for code, _, _ in named(meret)]) == (
        1, ["heart", "anaemia"],
    )  # fmt: skip
    assert word(meret) is HOLD


@pytest.mark.parametrize(("code", "answer"), [("moon", "yes"), ("twins", "yes"), ("heart", "so")])
def test_an_unknown_answer_of_a_form_is_refused(meret: Client, code: str, answer: str) -> None:
    with pytest.raises(actions.Refused):
        say(meret, code, answer, form(meret))
    assert (named(meret), trail()) == ([], [])


def test_nothing_answered_can_be_read_in_the_database(meret: Client) -> None:
    screen(meret, TODAY, heart="yes")
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM clients_screening, clients_condition")
        raw = b" ".join(one for one in cursor.fetchone() if isinstance(one, bytes | memoryview))
    words = (b"pregnant", b"heart", b"yes", b"2026", b"canada", b"screening", b"call")
    assert [one for one in words if one in raw] == []
