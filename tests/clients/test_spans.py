"""The stored spans: every action keeps them as the facts say, and lists read them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from clients import actions, queries
from clients.models import Client, Condition, GoAheadPolicy, GoAheadSpan, Pregnancy
from clients.rules.facts import ClearanceFact, ClearanceWord
from clients.rules.pregnancies import PregnancyFacts
from coach.practice.audit import SYSTEM
from coach.practice.queries import problems
from coach.scheduling.dates import Ending
from coach.scheduling.values import GoAheadWord, Limits
from tests import factories, factories_clearance

TODAY = date(2026, 12, 3)
WAITING, HOLD = GoAheadWord.WAITING, GoAheadWord.ON_HOLD
ON_FILE, RUN_OUT = GoAheadWord.YES, GoAheadWord.RUN_OUT
CLINICIAN = {"clinician": "Imelda Roe", "clinician_kind": "midwife"}


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


def stored(client: Client) -> list[tuple[int, int | None, str]]:
    """Spans as days from today."""
    return [
        ((row.first - TODAY).days, (row.last - TODAY).days if row.last else None, row.word)
        for row in client.spans.all()
    ]


def wrong() -> list[str]:
    return [one.reason for one in queries.spans_as_the_facts_say()]


@pytest.fixture
def letters_alone(practice: Any) -> None:
    """A practice that has never asked health questions, so that the words are those of letters."""
    GoAheadPolicy.objects.create(begins=d(-2000), values={"off": ["screening"]})


@pytest.fixture
def meret(letters_alone: None) -> Client:
    """Known since today, with a due date in 80 days."""
    facts = PregnancyFacts(due=d(80))
    return actions.add_client(
        by=SYSTEM, name="Meret A.", time_zone="Europe/Dublin", pregnancy=facts
    )


def letter(client: Client, days: int = -9, **values: Any) -> Any:
    facts = ClearanceFact(said_on=d(days), **{**CLINICIAN, **values})
    return actions.record_clearance(by=SYSTEM, client=client, facts=facts)


def test_a_new_client_waits_from_the_day_she_was_added(meret: Client) -> None:
    assert stored(meret) == [(0, None, "waiting")]


def test_a_letter_counts_from_the_day_it_became_known_until_42_weeks_at_most(
    meret: Client,
) -> None:
    letter(meret, until=d(300))
    assert stored(meret) == [(0, 93, "yes"), (94, None, "waiting")]
    letter(meret, -20, known_on=d(-15))
    assert stored(meret) == [(-15, -1, "waiting"), (0, 93, "yes"), (94, None, "waiting")]


def test_a_letter_without_an_end_runs_out_after_twelve_weeks(meret: Client) -> None:
    letter(meret, -30)
    assert stored(meret) == [
        (0, 54, "yes"), (55, 93, "run out"), (94, None, "waiting"),
    ]  # fmt: skip


def test_a_sign_changes_the_words_from_the_day_it_became_known(meret: Client) -> None:
    letter(meret)
    actions.record_warning_sign(by=SYSTEM, client=meret, code="dizzy", happened_on=d(-7))
    assert stored(meret) == [(0, None, "on hold")]


def later(monkeypatch: pytest.MonkeyPatch, days: int) -> None:
    monkeypatch.setenv("COACH_TODAY", d(days).isoformat())


def test_what_is_learned_later_leaves_the_words_of_before(
    meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    row = letter(meret, until_birth=True)
    later(monkeypatch, 5)
    actions.record_warning_sign(by=SYSTEM, client=meret, code="dizzy", happened_on=d(2))
    assert stored(meret) == [(0, 4, "yes"), (5, None, "on hold")]
    later(monkeypatch, 8)
    actions.withdraw_clearance(by=SYSTEM, clearance=row, reason="another client’s")
    assert stored(meret) == [(0, 4, "yes"), (5, None, "on hold")]
    assert wrong() == []


@pytest.mark.parametrize("ending", Ending)
def test_every_ending_asks_for_a_new_letter_from_the_day_it_is_known(
    meret: Client, monkeypatch: pytest.MonkeyPatch, ending: Ending
) -> None:
    letter(meret, until=d(300))
    later(monkeypatch, 10)
    pregnancy = meret.pregnancies.get()
    mode = "vaginal" if ending is Ending.BIRTH else ""
    actions.record_end(by=SYSTEM, pregnancy=pregnancy, ending=ending, ended=d(7), birth_mode=mode)
    assert stored(meret) == [(0, 9, "yes"), (10, None, "waiting")]
    letter(meret, 8, examined="yes")
    assert stored(meret) == [
        (0, 9, "yes"), (10, 48, "yes, with limits"), (49, 92, "yes"), (93, 370, "run out"),
        (371, None, "waiting"),
    ]  # fmt: skip
    assert wrong() == []


def test_a_due_date_changed_leaves_what_was_known_before(
    meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    letter(meret, until=d(300))
    later(monkeypatch, 96)
    changed = PregnancyFacts(due=d(90))
    pregnancy = meret.pregnancies.get()
    actions.change_pregnancy(by=SYSTEM, pregnancy=pregnancy, facts=changed, reason="scan")
    assert stored(meret) == [
        (0, 93, "yes"), (94, 95, "waiting"), (96, 103, "yes"), (104, None, "waiting"),
    ]  # fmt: skip
    assert wrong() == []


def test_an_end_put_right_keeps_each_version_that_was_known(
    meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    pregnancy = meret.pregnancies.get()
    for day, ended in ((10, 9), (12, 11)):
        later(monkeypatch, day)
        facts = PregnancyFacts(due=d(80), ended=d(ended), ending="birth")
        actions.change_pregnancy(by=SYSTEM, pregnancy=pregnancy, facts=facts)
    kept = Pregnancy.objects.get()
    assert (kept.known_on, kept.ended) == (d(12), d(11))
    assert [(one["known_on"], one["ended"]) for one in kept.earlier] == [
        (TODAY.isoformat(), None), (d(10).isoformat(), d(9).isoformat()),
    ]  # fmt: skip


def test_dates_put_right_on_the_same_day_leave_one_version(meret: Client) -> None:
    pregnancy = meret.pregnancies.get()
    actions.change_pregnancy(
        by=SYSTEM, pregnancy=pregnancy, facts=PregnancyFacts(due=d(70)), reason="mistyped"
    )
    assert (Pregnancy.objects.get().earlier, stored(meret)) == ([], [(0, None, "waiting")])


def test_a_second_pregnancy_changes_them_too(letters_alone: None) -> None:
    client = factories.client()
    factories.pregnancy(client, due=d(-200), ended=d(-200), ending="birth", birth_mode="vaginal")
    factories_clearance.clearance(client, d(-100), until=d(200), examined="yes")
    assert stored(client)[-2:] == [(-100, 200, "yes"), (201, None, "waiting")]
    actions.add_pregnancy(by=SYSTEM, client=client, facts=PregnancyFacts(due=d(200)))
    assert stored(client)[1:] == [(0, None, "waiting")]


def test_spans_are_as_the_facts_say_or_check_data_says_so(meret: Client) -> None:
    letter(meret)
    assert [one.kind for one in problems() if one.kind == "go-ahead"] == []
    GoAheadSpan.objects.filter(last=None).update(word="yes")
    assert wrong() == [f"The stored go-ahead of client {meret.pk} is not what her records come to."]
    assert [one.kind for one in problems() if one.kind == "go-ahead"] == ["go-ahead"]
    actions.rewrite_all_spans()
    assert wrong() == []


def test_rows_made_without_actions_are_found_and_put_right(practice: Any) -> None:
    clients = [factories.client() for _ in range(3)]
    assert len(wrong()) == 3
    actions.rewrite_all_spans()
    assert (wrong(), [stored(one) for one in clients]) == ([], [[(0, None, "waiting")]] * 3)


def test_after_migrating_the_words_are_those_of_this_version_s_rules(practice: Any) -> None:
    factories.client()
    assert len(wrong()) == 1
    call_command("migrate", verbosity=0)
    assert wrong() == []


def test_who_has_no_span_reads_waiting(practice: Any) -> None:
    client = factories.client()
    assert queries.words_on(TODAY) == {client.pk: queries.SpanRow(WAITING, None, None)}


def test_the_words_of_a_day(meret: Client) -> None:
    other = factories.client()
    factories_clearance.sign(other, d(3))
    letter(meret, -30)
    words = {day: queries.words_on(d(day)) for day in (-1, 0, 54, 55, 94)}
    assert [words[day][meret.pk].word for day in words] == [
        WAITING, ON_FILE, ON_FILE, RUN_OUT, WAITING,
    ]  # fmt: skip
    assert words[0][meret.pk] == queries.SpanRow(ON_FILE, d(0), d(54))
    assert [words[day][other.pk].word for day in words] == [WAITING, WAITING, HOLD, HOLD, HOLD]


def test_stored_words_are_those_worked_out_from_the_facts(meret: Client) -> None:
    letter(meret, -30)
    for n in range(0, 100):
        assert queries.words_on(d(n))[meret.pk].word is queries.go_ahead_of(meret, on=d(n)).word


def test_letters_that_run_out_within_thirty_days_soonest_first(letters_alone: None) -> None:
    def with_letter(name: str, **values: Any) -> Client:
        client = factories.client(name, standing=values.pop("standing", "active"))
        due = values.pop("due", d(80))
        factories.pregnancy(client, due=due)
        factories_clearance.clearance(client, d(-30), **values)
        return client

    later_one = with_letter("Ana", until=d(30))
    today = with_letter("Bea", until=d(0))
    with_letter("Cleo", until=d(31))
    with_letter("Dot", until=d(-1))
    with_letter("Eve", until_birth=True, due=d(10))
    with_letter("Fay", until=d(60), due=d(10))
    limits = {"word": ClearanceWord.LIMITS, "limits": Limits(no_impact=True)}
    limited = with_letter("Kit", until=d(7), **limits)
    with_letter("Gus", until=d(5), standing="former")
    factories_clearance.clearance(with_letter("Hal", until=d(5)), d(-3), until=d(70))
    factories_clearance.sign(with_letter("Ida", until=d(5)), d(-1))
    paused = with_letter("Joy", until=d(12), standing="paused")
    assert queries.letters_running_out(TODAY) == [
        (today.pk, "Bea", d(0)), (limited.pk, "Kit", d(7)), (paused.pk, "Joy", d(12)),
        (later_one.pk, "Ana", d(30)),
    ]  # fmt: skip
    assert queries.letters_running_out(TODAY, within_days=5) == [(today.pk, "Bea", d(0))]


READS: list[tuple[Callable[[], Any], int]] = [
    (lambda: queries.words_on(TODAY), 1),
    (queries.words_now, 3),
    (lambda: queries.letters_running_out(TODAY), 7),
    (lambda: queries.held_by_answers(TODAY), 7),
    (queries.go_aheads, 8),
    (queries.spans_as_the_facts_say, 8),
    (actions.rewrite_all_spans, 12),
]


@pytest.mark.parametrize(("read", "cost"), READS)
def test_lists_cost_the_same_for_one_and_for_thirty(
    letters_alone: None, read: Callable[[], Any], cost: int
) -> None:
    def add(n: int) -> None:
        for _ in range(n):
            client = factories.client()
            factories.pregnancy(client, due=d(80))
            factories_clearance.clearance(client, d(-9), until=d(9))
            Condition.objects.create(
                client=client, code="heart", origin="screening", named_on=d(-10), known_on=d(-10)
            )

    add(1)
    with CaptureQueriesContext(connection) as one:
        read()
    add(29)
    with CaptureQueriesContext(connection) as thirty:
        read()
    assert (len(one), len(thirty)) == (cost, cost)


def test_one_client_s_go_ahead_costs_six_queries_and_one_for_the_date(meret: Client) -> None:
    letter(meret)
    with CaptureQueriesContext(connection) as of_a_day:
        queries.go_ahead_of(meret, on=TODAY)
    with CaptureQueriesContext(connection) as of_now:
        queries.go_ahead_now(meret)
    assert (len(of_a_day), len(of_now)) == (6, 7)


@pytest.mark.parametrize(
    "values",
    [{"word": "perhaps"}, {"first": d(5), "last": d(4)}, {"first": d(0)}, {"last": None}],
)
def test_the_table_takes_no_unknown_word_no_turned_span_and_no_second_start_or_open_end(
    meret: Client, values: dict[str, Any]
) -> None:
    defaults = {"first": d(400), "last": d(401), "word": "waiting"}
    with pytest.raises(IntegrityError), transaction.atomic():
        GoAheadSpan.objects.create(client=meret, **{**defaults, **values})


def test_a_refused_write_leaves_the_spans(meret: Client) -> None:
    letter(meret)
    before = stored(meret)
    with pytest.raises(actions.Refused):
        letter(meret, 1)
    assert stored(meret) == before
