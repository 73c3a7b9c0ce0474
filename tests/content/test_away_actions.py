"""Going away and taking it back: what moves, what is kept of it, and what can’t go back."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import icalendar
import pytest
from django.test import Client as Browser
from django.urls import reverse

from coach import clock
from coach.feeds import actions as feeds
from coach.practice.audit import Actor
from coach.practice.models import AuditEntry, User
from content.actions import away as actions
from content.actions import planning, uploads
from content.actions.uploads import Refused
from content.models import Away, DayOff, FitnessClass, State, Upload
from content.queries.away import slipping
from tests import factories

TODAY = date(2026, 12, 3)
MON, TUE, SAT, NEXT_TUE = (date(2026, 12, day) for day in (7, 8, 12, 15))


@pytest.fixture
def by(owner: User) -> Actor:
    factories.wishes()  # Tuesdays and Saturdays
    return Actor(owner, "192.0.2.7")


def _upload(title: str, day: date, **values: Any) -> Upload:
    return factories.upload(day, factories.fitness_class(title, **values))


def _days() -> dict[str, date]:
    found = Upload.objects.filter(cancelled_at__isnull=True).select_related("item")
    return {upload.item.title: upload.day for upload in found}


def _off() -> list[date]:
    return list(DayOff.objects.values_list("day", flat=True))


def _frozen() -> list[object]:
    kinds = (Upload, DayOff, FitnessClass, Away, AuditEntry)
    return [row for kind in kinds for row in kind.objects.order_by("pk").values()]


def _audited() -> list[tuple[str, str]]:
    rows = AuditEntry.objects.order_by("pk").values_list("verb", "subject_kind")
    return [(verb, kind.partition(".")[2]) for verb, kind in rows]


def test_going_away_marks_the_days_and_moves_what_stands_on_them(by: Actor) -> None:
    factories.day_off(MON, "holy day")
    _upload("Seated strength", TUE)
    _upload("Hips", SAT)
    away = actions.go_away(by=by, first=MON, last=TUE, why="ill")
    assert _days() == {"Seated strength": SAT, "Hips": NEXT_TUE}
    assert list(DayOff.objects.values_list("day", "why")) == [(MON, "holy day"), (TUE, "ill")]
    assert (away.days, away.by) == (["2026-12-08"], by.user)
    assert [(row["from"], row["to"]) for row in away.moved] == [
        ("2026-12-08", "2026-12-12"),
        ("2026-12-12", "2026-12-15"),
    ]
    assert _audited() == [
        ("moved", "upload"),
        ("moved", "upload"),
        ("added", "dayoff"),
        ("went away", "away"),
    ]


def test_taking_it_back_gives_exactly_what_was_before(by: Actor) -> None:
    factories.day_off(MON, "holy day")
    _upload("Seated strength", TUE)
    _upload("Hips", SAT, state=State.SCHEDULED)
    before = (_days(), _off())
    away = actions.go_away(by=by, first=MON, last=TUE)
    backs = actions.take_back(by=by, away=away)
    assert (_days(), _off()) == before
    assert [back.why for back in backs] == ["", ""]
    assert away.taken_back_at == clock.now()
    assert _audited()[4:] == [
        ("removed", "dayoff"),
        ("moved", "upload"),
        ("moved", "upload"),
        ("took back", "away"),
    ]
    with pytest.raises(Refused, match="taken back already"):
        actions.take_back(by=by, away=away)


def test_calendars_see_every_move_under_the_same_uid(by: Actor, owner: User) -> None:
    """RFC 5546, 2.1.4: the sequence rises whenever the day changes; read by icalendar."""
    upload = _upload("Seated strength", TUE)
    path = reverse("feeds:calendar", args=[feeds.give_address(by=by, person=owner)])

    def event() -> tuple[str, date, int, str]:
        found = icalendar.Calendar.from_ical(Browser().get(path).content)
        one = next(
            event
            for event in found.walk("VEVENT")
            if str(event["SUMMARY"]) == "Publish: Seated strength"
        )
        return (
            str(one["UID"]),
            one.decoded("DTSTART"),
            one.decoded("SEQUENCE"),
            str(one.get("STATUS", "")),
        )

    seen = [event()]
    away = actions.go_away(by=by, first=TUE, last=TUE)
    seen.append(event())
    actions.take_back(by=by, away=away)
    seen.append(event())
    assert [(day, sequence) for _, day, sequence, _ in seen] == [(TUE, 0), (SAT, 1), (TUE, 2)]
    assert {uid.startswith(str(upload.uid)) for uid, *_ in seen} == {True}
    assert {status for *_, status in seen} <= {"", "CONFIRMED"}


def test_what_is_published_stays(by: Actor) -> None:
    _upload("Out already", TODAY, state=State.PUBLISHED)
    actions.go_away(by=by, first=TODAY, last=TODAY)
    assert _days() == {"Out already": TODAY}
    assert _off() == [TODAY]


def test_one_that_finds_no_day_is_taken_off_and_placed_again_when_taken_back(by: Actor) -> None:
    """It may come out until Friday, and the next publish day is Saturday."""
    last = SAT - timedelta(days=1)
    upload = _upload("This week’s", TUE, state=State.SCHEDULED, not_after=last)
    away = actions.go_away(by=by, first=TUE, last=TUE)
    upload.item.refresh_from_db()
    assert (_days(), upload.item.state) == ({}, State.EDITED)
    assert [row["to"] for row in away.moved] == [None]
    assert [back.why for back in actions.take_back(by=by, away=away)] == [""]
    assert _days() == {"This week’s": TUE}
    upload.item.refresh_from_db()
    assert upload.item.state == State.SCHEDULED


def test_one_that_found_no_day_and_was_given_one_since_keeps_it(by: Actor) -> None:
    upload = _upload("This week’s", TUE, not_after=SAT - timedelta(days=1))
    away = actions.go_away(by=by, first=TUE, last=TUE)
    uploads.place(by=by, item=upload.item, day=SAT)
    assert actions.take_back(by=by, away=away)[0].why == (
        "It was taken off, or given another day, since."
    )
    assert _days() == {"This week’s": SAT}


def test_what_cannot_go_back_stays_and_is_kept_with_its_reason(by: Actor) -> None:
    _upload("A", TUE)
    moved = _upload("B", SAT)
    away = actions.go_away(by=by, first=TUE, last=TUE)
    moved.refresh_from_db()
    uploads.move(by=by, upload=moved, day=date(2026, 12, 19))
    backs = actions.take_back(by=by, away=away)
    said = "It was moved to Saturday 19 December since."
    assert [back.why for back in backs] == ["", said]
    assert _days() == {"A": TUE, "B": date(2026, 12, 19)}
    assert [row["kept"] for row in Away.objects.get().moved] == ["", said]


def test_a_day_that_another_time_away_needs_passes_to_it(by: Actor) -> None:
    one = actions.go_away(by=by, first=MON, last=TUE)
    other = actions.go_away(by=by, first=TUE, last=date(2026, 12, 9))
    actions.take_back(by=by, away=one)
    assert _off() == [TUE, date(2026, 12, 9)]
    other.refresh_from_db()
    assert other.days == ["2026-12-08", "2026-12-09"]
    actions.take_back(by=by, away=other)
    assert _off() == []


def test_an_upload_does_not_go_back_onto_a_day_that_another_time_away_needs(by: Actor) -> None:
    _upload("A", TUE)
    one = actions.go_away(by=by, first=TUE, last=TUE)
    actions.go_away(by=by, first=MON, last=TUE)
    assert actions.take_back(by=by, away=one)[0].why == "Tuesday 8 December is a day off."
    assert _days() == {"A": SAT}


def test_a_day_off_marked_by_hand_since_stays(by: Actor, monkeypatch: pytest.MonkeyPatch) -> None:
    away = actions.go_away(by=by, first=MON, last=TUE)
    planning.remove_day_off(by=by, off=DayOff.objects.get(day=TUE))
    monkeypatch.setenv("COACH_TODAY", "2026-12-04")
    planning.add_day_off(by=by, day=TUE, why="a wedding")
    actions.take_back(by=by, away=away)
    assert list(DayOff.objects.values_list("day", "why")) == [(TUE, "a wedding")]


@pytest.mark.parametrize(
    ("first", "last", "sentence"),
    [
        (TUE, MON, "The last day away comes before the first."),
        (date(2026, 11, 1), date(2026, 12, 2), "These days are over"),
        (MON, date(2027, 2, 5), "That is more than 60 days"),
    ],
)
def test_days_that_cannot_be_are_refused_and_change_nothing(
    by: Actor, first: date, last: date, sentence: str
) -> None:
    _upload("A", TUE)
    before = _frozen()
    with pytest.raises(Refused, match=sentence):
        actions.go_away(by=by, first=first, last=last)
    assert _frozen() == before


def test_the_same_days_twice_are_refused_the_second_time(by: Actor) -> None:
    _upload("A", TUE)
    actions.go_away(by=by, first=TUE, last=TUE)
    before = _frozen()
    with pytest.raises(Refused, match="These days are off already"):
        actions.go_away(by=by, first=TUE, last=TUE)
    assert _frozen() == before


def test_what_was_looked_at_must_still_hold(by: Actor) -> None:
    seen = slipping(TUE, TUE, today=TODAY).seen
    _upload("A", TUE)
    before = _frozen()
    with pytest.raises(Refused, match="Something has changed since you looked"):
        actions.go_away(by=by, first=TUE, last=TUE, seen=seen)
    assert _frozen() == before
    now = slipping(TUE, TUE, today=TODAY).seen
    assert actions.go_away(by=by, first=TUE, last=TUE, seen=now).moved
