"""The time line's lines, and the go-ahead's words for each reader."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from clients.rules.assessment import Measures
from clients.rules.facts import ClearanceFact, ClearanceWord, KnownBy, SignFact
from clients.rules.go_ahead_words import by_word, limit_words, standing_words
from clients.rules.happened import (
    Event,
    Measured,
    Said,
    assessment_events,
    clearance_event,
    newest_first,
    sign_event,
)
from clients.rules.roster import Line, Person
from coach.scheduling.values import Finding, GoAhead, GoAheadWord, Limits, Severity

TODAY = date(2026, 12, 3)
SAID_ON = date(2026, 10, 30)


def notes(fact: ClearanceFact, *, quiet: bool = False, note: str = "") -> tuple[str, ...]:
    return clearance_event(Said(fact, note=note), {7: "Dizzy or faint"}, quiet=quiet).notes


def test_a_clearance_tells_its_end_its_limits_what_it_answers_and_how_it_is_known() -> None:
    fact = ClearanceFact(
        SAID_ON, ClearanceWord.LIMITS, limits=Limits(not_lying_flat=True, effort_at_most=6),
        until=date(2026, 12, 20), answers=(7, 8), examined="no",
    )  # fmt: skip
    assert notes(fact, note="she rang") == (
        "Until 20 December 2026; not lying flat; effort up to 6 of 10",
        "Answers: Dizzy or faint",
        "Letter seen, not examined for it",
        "She rang",
    )


@pytest.mark.parametrize(
    ("quiet", "said"), [(False, "Until the birth"), (True, "Until these weeks end")]
)
def test_until_the_birth_is_said_as_that_and_for_a_quiet_client_without_it(
    quiet: bool, said: str
) -> None:
    fact = ClearanceFact(SAID_ON, until_birth=True, known_by=KnownBy.CLIENT)
    assert notes(fact, quiet=quiet) == (said, "Her own word only, examined: not known")


def test_a_withdrawn_one_tells_only_that() -> None:
    fact = ClearanceFact(SAID_ON, withdrawn_on=TODAY)
    event = clearance_event(Said(fact, withdrawn_reason="not hers"), {}, quiet=False)
    assert (event.void, event.notes) == (
        True, ("Recorded by mistake, withdrawn on 3 December 2026: not hers",),
    )  # fmt: skip


def test_a_limit_that_says_too_much_stays_a_limit() -> None:
    limits = Limits(others=("no lifting the baby", "no stairs"))
    assert limit_words(limits, quiet=False) == ["no lifting the baby", "no stairs"]
    assert limit_words(limits, quiet=True) == [
        "a limit not shown while quiet is on: see the letter",
        "no stairs",
    ]


def test_a_sign_that_became_known_later_says_so() -> None:
    sign = SignFact(7, "dizzy", date(2026, 12, 1), TODAY)
    event = sign_event(sign, "Dizzy or faint", waits=True)
    assert (event.on, event.waits, event.notes) == (
        date(2026, 12, 1), True,
        ("Not answered by a clinician yet: on hold.", "Known since 3 December 2026."),
    )  # fmt: skip


def test_each_assessment_stands_beside_the_one_before_it() -> None:
    measured = [
        Measured(2, date(2026, 11, 24), Measures(at_mm=34, above_mm=20, doming="no")),
        Measured(1, date(2026, 10, 22), Measures(at_mm=29, above_mm=20)),
        Measured(3, date(2026, 12, 1), Measures(at_mm=34)),
    ]
    assert [event.notes for event in assessment_events(measured, quiet=False)] == [
        ("20 mm 4.5 cm above the navel; 29 mm at the navel",),
        ("20 mm 4.5 cm above the navel; 34 mm at the navel, was 29; no doming",),
        ("34 mm at the navel",),
    ]


def test_what_runs_now_is_first_and_what_has_no_day_last() -> None:
    events = [
        Event("dates", 1, None, "no day"),
        Event("sign", 2, date(2026, 12, 1), "sign"),
        Event("dates", 3, None, "runs", now=True),
        Event("clearance", 4, date(2026, 12, 2), "letter"),
    ]
    assert [event.pk for event in newest_first(events)] == [3, 4, 2, 1]


FOUND = GoAhead(
    TODAY, GoAheadWord.LETTER_ON_FILE, limits=Limits(no_impact=True), mend="A new letter.",
    reasons=(Finding("letter", Severity.NOTE, "A letter.", "the clinician"),),
    since=SAID_ON, until=date(2026, 12, 20),
)  # fmt: skip


@pytest.mark.parametrize(
    ("sees_limits", "sees_health", "shown"),
    [
        (False, False, ("", "", (), "")),
        (True, False, ("No impact", "Since 30 October 2026, until 20 December 2026", (), "")),
        (True, True, ("No impact", "Since 30 October 2026, until 20 December 2026",
                      (("A letter.", "the clinician"),), "A new letter.")),
    ],
)  # fmt: skip
def test_each_reader_gets_as_much_as_she_may_know(
    sees_limits: bool, sees_health: bool, shown: tuple[object, ...]
) -> None:
    words = standing_words(
        FOUND, TODAY, quiet=False, sees_limits=sees_limits, sees_health=sees_health
    )
    assert (words.limits, words.span, words.reasons, words.mend) == shown
    assert (words.title, words.note) == (
        "Letter on file", "Not everything is checked: your own judgement decides.",
    )  # fmt: skip


def test_words_are_told_in_the_order_of_what_must_not_wait() -> None:
    words = (GoAheadWord.LETTER_ON_FILE, GoAheadWord.WAITING, GoAheadWord.ON_HOLD, None)
    lines = [Line(_person(n), word=word) for n, word in enumerate(words)]
    assert [(str(word), [one.person.pk for one in some]) for word, _, some in by_word(lines)] == [
        ("on hold", [2]), ("waiting", [1]), ("letter on file", [0]),
    ]  # fmt: skip


def _person(pk: int) -> Person:
    return Person(pk, "Meret A.", "", "", "active", datetime(2026, 1, 1, tzinfo=UTC))
