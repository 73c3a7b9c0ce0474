"""The time line's lines of screening, conditions, exceptions and writing: pure, day by day."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from clients.rules.happened import HIDDEN
from clients.rules.happened_health import (
    Asked,
    Condition,
    Excepted,
    condition_event,
    exception_event,
    screening_event,
)
from clients.rules.happened_writing import (
    Agreed,
    Reader,
    Received,
    Sent,
    Written,
    consent_events,
    entry_events,
    form_event,
    letter_event,
)

TODAY = date(2026, 12, 3)
NOON = datetime(2026, 12, 3, 12, tzinfo=UTC)
READER = Reader(1, NOON, "Europe/Dublin")


SCREENINGS = [
    # complete, said, waits, notes
    (True, [], False, ["Every question answered with no"]),
    (True, [("yes", "a low placenta"), ("unsure", "anaemia")], False,
     ["Yes: a low placenta", "Not sure: anaemia"]),
    (False, [("yes", "a low placenta")], True,
     ["Yes: a low placenta",
      "Not every question is answered: it counts for what was said yes to alone"]),
    (False, [], True, ["Not every question is answered: it counts for what was said yes to alone"]),
]  # fmt: skip


@pytest.mark.parametrize(("complete", "said", "waits", "notes"), SCREENINGS)
def test_a_screening_tells_what_was_not_answered_with_no(
    complete: bool, said: list[tuple[str, str]], waits: bool, notes: list[str]
) -> None:
    event = screening_event(Asked(1, TODAY, "pregnant", "call", complete, said), quiet=False)
    assert (event.detail, event.waits, list(event.notes)) == (
        "in pregnancy, on a call",
        waits,
        notes,
    )
    assert screening_event(Asked(1, TODAY, "pregnant", "form", True), quiet=True).detail == (
        "in her form"
    )


NAMED = Condition(3, "a low placenta", TODAY, TODAY, clinician="Imelda Roe")
CONDITIONS = [
    ({}, "named by Imelda Roe", False, ()),
    ({"does": "stop"}, "named by Imelda Roe", True,
     ("On hold until a clinician answers this by name.",)),
    ({"does": "hold", "origin": "screening", "answer": "unsure"}, "she answered not sure", True,
     ("Waiting until a clinician answers this by name.",)),
    ({"known_on": date(2026, 12, 4), "over_on": date(2026, 12, 9), "over_said_by": "Imelda Roe"},
     "named by Imelda Roe", False,
     ("Known since 4 December 2026", "Over since 9 December 2026, as Imelda Roe said")),
    ({"clinician": ""}, "named by a clinician", False, ()),
]  # fmt: skip


@pytest.mark.parametrize(("values", "detail", "waits", "notes"), CONDITIONS)
def test_a_condition_tells_who_named_it_what_it_does_and_whether_it_is_over(
    values: dict[str, object], detail: str, waits: bool, notes: tuple[str, ...]
) -> None:
    event = condition_event(replace(NAMED, **values), quiet=False)  # type: ignore[arg-type]  # the table's own words
    assert (event.title, event.detail, event.waits, event.notes) == (
        "Condition: a low placenta", detail, waits, notes,
    )  # fmt: skip


def test_an_exception_tells_why_over_what_and_by_whom() -> None:
    one = Excepted(1, TODAY, "the letter is in the post", ("own-end", "screening-old"), "Una")
    event = exception_event(one, quiet=False)
    assert (event.title, event.detail, event.notes) == (
        "Trained by exception", "Una",
        ("The letter is in the post",
         "Over a letter past its own last day, answers to the health questions that are too old"),
    )  # fmt: skip
    hidden = exception_event(replace(one, reason="the baby slept"), quiet=True)
    assert hidden.notes[0] == HIDDEN


def written(pk: int, text: str, **values: object) -> Written:
    row = Written(pk, "note", TODAY, text, "", 1, "Una Owner", NOON - timedelta(hours=1))
    return replace(row, **values)  # type: ignore[arg-type]  # the test's own words


def test_a_note_stands_with_its_hand_and_hour_and_its_addenda_beneath_it() -> None:
    old = NOON - timedelta(days=3)
    rows = [
        written(1, "She rang.", written_at=old),
        written(2, "It was her sister.", adds_to=1, by_pk=2, by="Tal"),
        written(3, "So she says.", adds_to=1),
    ]
    (event,) = entry_events(rows, READER, quiet=False)
    assert (event.title, event.detail, event.text, event.open) == (
        "Note", "Una Owner, 30 November 2026 at 12:00", "She rang.", False,
    )  # fmt: skip
    assert [(one.by, one.text, one.open) for one in event.beneath] == [
        ("Tal, 3 December 2026 at 11:00", "It was her sister.", False),
        ("Una Owner, 3 December 2026 at 11:00", "So she says.", True),
    ]


def test_the_hour_is_the_practices_own_and_summer_time_counts() -> None:
    """Irish summer time is an hour before UTC (IANA tz, Europe/Dublin)."""
    row = written(1, "x", written_at=datetime(2026, 6, 30, 23, 30, tzinfo=UTC))
    assert entry_events([row], READER, quiet=False)[0].detail == "Una Owner, 1 July 2026 at 00:30"


def test_a_message_says_how_it_came() -> None:
    row = written(1, "Mornings?", kind="message", channel="text message")
    assert entry_events([row], READER, quiet=False)[0].title == "Message, text message"


def test_who_may_change_nothing_has_nothing_open() -> None:
    reader = replace(READER, pk=None)
    assert entry_events([written(1, "x", by_pk=None)], reader, quiet=False)[0].open is False


def test_a_note_that_says_too_much_keeps_its_line_while_quiet_is_on() -> None:
    rows = [written(1, "the baby slept"), written(2, "a bump", adds_to=1)]
    (event,) = entry_events(rows, READER, quiet=True)
    assert (event.text, event.beneath[0].text) == (HIDDEN, HIDDEN)


LETTERS = [
    ({}, False, ("Not sent yet",)),
    ({"sent_on": TODAY, "sent_how": "by post"}, True, ("Sent on 3 December 2026, by post",)),
    ({"sent_on": TODAY, "chased": (date(2026, 12, 9), date(2026, 12, 16))}, True,
     ("Sent on 3 December 2026", "Asked again on 9 December 2026, 16 December 2026")),
    ({"sent_on": TODAY, "answered_on": date(2026, 12, 9)}, False,
     ("Sent on 3 December 2026", "Answered on 9 December 2026")),
]  # fmt: skip


@pytest.mark.parametrize(("values", "waits", "notes"), LETTERS)
def test_a_letter_out_is_made_sent_asked_for_again_and_answered(
    values: dict[str, object], waits: bool, notes: tuple[str, ...]
) -> None:
    sent = Sent(1, "referral", "doctor, Imelda Roe", TODAY)
    event = letter_event(replace(sent, **values), quiet=False)  # type: ignore[arg-type]  # the table's own words
    assert (event.title, event.detail, event.waits, event.notes) == (
        "Referral letter", "doctor, Imelda Roe", waits, notes,
    )  # fmt: skip


def test_a_form_received_waits_until_somebody_has_looked_at_it() -> None:
    one = Received(1, TODAY, NOON, alarm="stop")
    assert (form_event(one).waits, form_event(one).notes) == (
        True, ("One of her answers stops her until a clinician answers it.",
               "Not looked through yet"),
    )  # fmt: skip
    seen = form_event(replace(one, reviewed_on=date(2026, 12, 4), reviewed_by="Una", alarm=""))
    assert (seen.waits, seen.notes) == (False, ("Looked through by Una on 4 December 2026",))


def test_consents_of_one_day_stand_on_one_line_each_with_the_version_of_its_text() -> None:
    later = NOON + timedelta(minutes=1)
    given = [
        Agreed(1, TODAY, "Keep what I say", "1", "form", NOON),
        Agreed(2, TODAY, "Send me e-mail", "2", "form", later, withdrawn_on=date(2026, 12, 9)),
        Agreed(3, date(2026, 11, 1), "Record sessions", "1", "call", NOON),
    ]
    events = consent_events(given)
    assert [(one.on, one.detail, one.notes, one.void) for one in events] == [
        (date(2026, 11, 1), "on a call", ("Record sessions (text 1)",), False),
        (TODAY, "in her form",
         ("Keep what I say (text 1)", "Send me e-mail (text 2); taken back on 9 December 2026"),
         False),
    ]  # fmt: skip
