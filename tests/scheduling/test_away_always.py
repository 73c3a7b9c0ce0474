"""What holds of days away whatever stands, checked by counting over made cases."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.scheduling.away import FARTHEST, Moved, OpenDays, Standing, away
from coach.scheduling.away_back import taking_back
from tests.scheduling.away_made import DAY, TODAY, Case, after, cases, earlier_parts

EXAMPLES = settings(max_examples=150, deadline=None)


def _away(case: Case) -> tuple[Moved, ...]:
    return away(
        case.first,
        case.last,
        case.uploads,
        today=TODAY,
        open_days=case.open_days,
        work=case.work,
    )


@EXAMPLES
@given(cases())
def test_nothing_moves_earlier_or_into_the_days_away_or_onto_a_day_off(case: Case) -> None:
    for one in _away(case):
        if one.new is None:
            continue
        assert one.old < one.new <= case.last + FARTHEST * DAY
        assert one.new > case.last
        assert one.new not in case.days_off
        assert one.new.weekday() in case.open_days.weekdays


@EXAMPLES
@given(cases())
def test_no_two_stand_on_a_day_and_nothing_is_left_on_the_days_away(case: Case) -> None:
    stand = after(case.uploads, _away(case))
    assert max(Counter(one.publish for one in stand).values(), default=1) == 1
    assert [one for one in stand if one.publish in case.trip and not one.fixed] == []


@EXAMPLES
@given(cases())
def test_published_and_overdue_uploads_stay_and_every_move_has_its_reason(case: Case) -> None:
    moved = _away(case)
    stay = {one.id for one in case.uploads if one.fixed or one.publish < case.first}
    assert stay & {one.id for one in moved} == set()
    assert all(one.why for one in moved)
    assert len({one.id for one in moved}) == len(moved)


@EXAMPLES
@given(cases())
def test_series_stay_in_order(case: Case) -> None:
    stand = {one.id: one.publish for one in after(case.uploads, _away(case))}
    for one in case.uploads:
        for earlier in earlier_parts(one, case.uploads):
            if one.id in stand and earlier.id in stand:
                assert stand[earlier.id] < stand[one.id]


@EXAMPLES
@given(cases())
def test_the_order_of_all_is_kept_where_every_class_is_finished(case: Case) -> None:
    """On her publish days: one put elsewhere by hand stays there, and others may pass it."""
    weekdays = case.open_days.weekdays
    ready = tuple(
        Standing(one.id, one.title, one.publish, one.fixed, one.series, one.part)
        for one in case.uploads
        if one.publish.weekday() in weekdays
    )
    rule = OpenDays(weekdays, case.open_days.days_off)
    stand = after(ready, _away(replace(case, uploads=ready, open_days=rule)))
    by_old = sorted(ready, key=lambda one: one.publish)
    by_new = sorted(stand, key=lambda one: one.publish)
    assert [one.id for one in by_old] == [one.id for one in by_new]


def _last_days(case: Case, of: Standing) -> set[date]:
    """The last day to film it and the last to get it ready, counted down from its publish day."""
    found = set()
    filming = case.work.film_weekdays or set(range(7))
    for done, lead, weekdays in (
        (of.filmed, case.work.film_lead, filming),
        (of.ready, case.work.ready_lead, set(range(7))),
    ):
        day = max(of.publish - lead * DAY, TODAY)
        while day >= TODAY and (day in case.open_days.days_off or day.weekday() not in weekdays):
            day -= DAY
        if not done and day >= TODAY:
            found.add(day)
    return found


@EXAMPLES
@given(cases())
def test_no_upload_moves_without_need(case: Case) -> None:
    """On the days away, or a last day for making it there, or its place or its order lost."""
    moved = _away(case)
    stand = {one.id: one.publish for one in after(case.uploads, moved)}
    of = {one.id: one for one in case.uploads}
    new_days = {one.new for one in moved if one.new}
    gap = case.open_days.gap_days if case.open_days.a_week else 1
    for one in moved:
        upload = of[one.id]
        near = {one.old - n * DAY for n in range(gap)} & new_days
        same_week = case.open_days.a_week and any(
            day.isocalendar()[:2] == one.old.isocalendar()[:2] for day in new_days
        )
        order = any(
            stand.get(earlier.id) is None or stand[earlier.id] >= one.old
            for earlier in earlier_parts(upload, case.uploads)
        )
        lost = one.old in case.trip or _last_days(case, upload) & case.trip
        assert lost or near or same_week or order


@EXAMPLES
@given(cases())
def test_a_finished_class_goes_to_the_first_day_that_is_open_to_it(case: Case) -> None:
    """Every publish day between its old and its new one holds one that stood before it."""
    if case.open_days.a_week:
        return
    moved = _away(case)
    now = {one.publish: one.id for one in after(case.uploads, moved)}
    of = {one.id: one for one in case.uploads}
    for one in moved:
        upload = of[one.id]
        if not upload.ready or upload.series or one.new is None:
            continue
        between = [one.old + n * DAY for n in range(1, (one.new - one.old).days)]
        for day in between:
            if day.weekday() in case.open_days.weekdays and day not in case.days_off:
                assert day in now
                assert of[now[day]].publish < one.old


@EXAMPLES
@given(cases(earliest=0))
def test_taking_back_gives_exactly_what_was_before(case: Case) -> None:
    moved = _away(case)
    homeless = {one.id for one in moved if one.new is None}
    backs = taking_back(
        moved,
        after(case.uploads, moved),
        [one for one in case.uploads if one.id in homeless],
        today=TODAY,
        days_off=case.open_days.days_off,
    )
    assert [back.why for back in backs] == ["" for _ in moved]
    assert [(back.id, back.old) for back in backs] == [(one.id, one.old) for one in moved]


@EXAMPLES
@given(cases(earliest=0), st.integers(0, 25), st.integers(0, 60))
def test_what_is_taken_back_later_never_doubles_a_day_or_breaks_a_series(
    case: Case, later: int, elsewhere: int
) -> None:
    """Some days on, with one upload moved by hand since."""
    moved = _away(case)
    stand = list(after(case.uploads, moved))
    if stand:
        by_hand = TODAY + DAY * (200 + elsewhere)
        stand[0] = Standing(stand[0].id, stand[0].title, by_hand)
    today = TODAY + DAY * later
    backs = taking_back(moved, stand, today=today, days_off=case.open_days.days_off)
    going = {back.id: back.old for back in backs if not back.why}
    result = {one.id: going.get(one.id, one.publish) for one in stand}
    assert len(set(result.values())) == len(result)
    assert all(day >= today for day in going.values())
    for one in stand:
        for earlier in earlier_parts(one, stand):
            assert result[earlier.id] < result[one.id]
