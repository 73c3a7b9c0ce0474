"""Days away, worked by hand. It is Thursday 3 December 2026; she publishes Tuesdays and Saturdays:

    5 8 12 15 19 22 26 29 December, 2 5 9 January

Numbers are days of December (32: 1 January). `A8` is a finished class on the 8th, `A8?` one that is
not filmed, `A8~` one filmed but not ready, `S1@8` part 1 of the series S. She films on Wednesdays
(9, 16, 23, 30), three a day, ten days before publishing, and is ready two days before it.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from coach.scheduling.away import Moved, OpenDays, Standing, Work, away
from coach.scheduling.away_back import taking_back

TODAY = date(2026, 12, 3)
TUESDAYS_AND_SATURDAYS = OpenDays(frozenset({1, 5}))
WEDNESDAYS = Work(film_lead=10, ready_lead=2, film_weekdays=frozenset({2}), films_a_day=3)


def _day(number: str | int) -> date:
    return date(2026, 11, 30) + timedelta(days=int(number))


def _uploads(text: str) -> list[Standing]:
    """ "A8 S2@12?" read as above; the id is the place in the text."""
    found = []
    for place, word in enumerate(text.split(), 1):
        match = re.fullmatch(r"([A-Z])(?:(\d)@)?(\d+)([?~!]?)", word)
        assert match, word
        letter, part, day, mark = match.groups()
        found.append(
            Standing(
                id=place,
                title=letter + (part or ""),
                publish=_day(day),
                fixed=mark == "!",
                series=ord(letter) if part else None,
                part=int(part) if part else None,
                filmed=mark != "?",
                ready=mark in ("", "!"),
                minutes_left=60 if mark in ("?", "~") else 0,
            )
        )
    return found


def _said(moved: tuple[Moved, ...]) -> str:
    """ "A8>12 B12>15"; "-" for no day."""
    first = date(2026, 11, 30)
    return " ".join(
        f"{one.title}@{(one.old - first).days}>{(one.new - first).days if one.new else '-'}"
        for one in moved
    )


def _away(first: int, last: int, uploads: str, **changes: Any) -> tuple[Moved, ...]:
    given = {"open_days": TUESDAYS_AND_SATURDAYS, "work": WEDNESDAYS, "today": TODAY, **changes}
    return away(_day(first), _day(last), _uploads(uploads), **given)


@pytest.mark.parametrize(
    ("first", "last", "uploads", "slips"),
    [
        # One day ill: the next publish day is free, nothing else moves.
        (8, 8, "A8 B15 C19", "A@8>12"),
        # The next one is taken: what stood there moves on, up to the first free day.
        (8, 8, "A8 B12 C19", "A@8>12 B@12>15"),
        (8, 8, "A8 B12 C15 D19", "A@8>12 B@12>15 C@15>19 D@19>22"),
        # A week away keeps the order.
        (7, 13, "A8 B12 C22", "A@8>15 B@12>19"),
        (7, 13, "A8 B12 C15", "A@8>15 B@12>19 C@15>22"),
        # Over New Year.
        (24, 33, "A26 B29 C33", "A@26>36 B@29>40 C@33>43"),
        # No upload on the days, and all of them finished.
        (9, 11, "A8 B12", ""),
        # Ill since yesterday: yesterday’s goes too; the one overdue before that stays.
        (2, 3, "A1 B2 C8", "B@2>5"),
        # What is published stays.
        (3, 8, "A3! B5 C8", "B@5>12 C@8>15"),
        # One put on a Thursday by hand stays there, and on a day away goes to a publish day.
        (8, 8, "A8 B10", "A@8>12"),
        (10, 10, "A8 B10", "B@10>12"),
        # A series waits for its part 1; another class does not.
        (8, 8, "S1@8 S2@10 A11", "S1@8>12 S2@10>15"),
        # Filming of the 9th is lost: the next is the 16th, ten days before the 26th.
        (7, 11, "A19? B26?", "A@19>26 B@26>29"),
        # The same, and what stood on the 22nd is finished and passes it.
        (7, 11, "A19? B22", "A@19>26"),
        # Filmed already: nothing is lost.
        (7, 11, "A19~ B26", ""),
        # Before she goes there is a filming day: it can be filmed on the 9th.
        (10, 20, "A22?", ""),
        # Ready by the 10th at the latest, and away from today: ready on the 12th, out on the 15th.
        (3, 11, "A12~", "A@12>15"),
        # It can be got ready before she goes.
        (8, 11, "A12~", ""),
    ],
)
def test_what_slips(first: int, last: int, uploads: str, slips: str) -> None:
    assert _said(_away(first, last, uploads)) == slips


def test_three_fit_on_the_filming_day_before_she_goes_and_the_fourth_waits() -> None:
    """Filming on the 9th holds three; the 16th is lost; the 23rd is ten days before 2 January."""
    assert _said(_away(14, 20, "A22? B24? C25? D26?")) == "D@26>33"


def test_hours_that_do_not_fit_before_she_goes_hold_a_class_up() -> None:
    """An hour of work. Of the eight days to the 10th four are left; seven to the 13th.

    At 70 minutes a week it takes six days, at 105 four; at 30 it takes fourteen, but had eight.
    """
    for minutes, slips in ((70, "A@12>15"), (105, ""), (30, "A@12>19")):
        work = replace(WEDNESDAYS, minutes_a_week=minutes)
        assert _said(_away(7, 10, "A12~", work=work)) == slips


@pytest.mark.parametrize(
    ("a_week", "gap", "uploads", "slips"),
    [
        (3, 1, "A8 B10", "A@8>9"),
        (3, 2, "A8 B10", "A@8>9 B@10>11"),
        (2, 1, "A8 B10 C12", "A@8>9 C@12>14"),
        (2, 3, "A8 B11 C14", "A@8>9 B@11>12 C@14>15"),
    ],
)
def test_so_many_a_week_with_a_least_gap(a_week: int, gap: int, uploads: str, slips: str) -> None:
    """Any day is open, but a moved one keeps the number of its ISO week, and the gap."""
    rule = OpenDays(frozenset(range(7)), a_week=a_week, gap_days=gap)
    assert _said(_away(8, 8, uploads, open_days=rule)) == slips


def test_where_the_last_day_comes_after_the_days_away_it_stays_with_fewer_days() -> None:
    """To be ready by the 13th: seven days of eleven are left of the fourteen it takes."""
    work = replace(WEDNESDAYS, minutes_a_week=30)
    assert _said(_away(7, 10, "A15~", work=work)) == ""


def test_what_is_not_ready_has_a_working_day_before_its_new_day() -> None:
    """Ready by today, a day off: on the 8th it would be the 6th, away; on the 12th the 10th."""
    rule = replace(TUESDAYS_AND_SATURDAYS, days_off=frozenset({TODAY}))
    assert _said(_away(4, 7, "A5~", open_days=rule)) == "A@5>12"


def test_days_off_are_no_open_days() -> None:
    rule = replace(TUESDAYS_AND_SATURDAYS, days_off=frozenset({_day(12), _day(15)}))
    assert _said(_away(8, 8, "A8", open_days=rule)) == "A@8>19"


def test_one_that_finds_no_day_is_told_and_the_rest_of_its_series_with_it() -> None:
    never = OpenDays(frozenset({1}), frozenset(_day(n) for n in range(9, 240)))
    moved = _away(8, 8, "S1@8 S2@10 A12", open_days=never)
    assert [(one.title, one.new) for one in moved] == [("S1", None), ("S2", None)]
    assert moved[0].why == (
        "You are away on that day. No publish day is open for it within 180 days."
    )


def test_one_that_may_come_out_until_its_own_last_day_finds_none_after_it() -> None:
    uploads = [replace(_uploads("A8")[0], not_after=_day(11)), *_uploads("A7 A12")[1:]]
    moved = away(
        _day(8), _day(8), uploads, today=TODAY, open_days=TUESDAYS_AND_SATURDAYS, work=WEDNESDAYS
    )
    assert [(one.new, one.why) for one in moved] == [
        (
            None,
            "You are away on that day. It may come out until Friday 11 December, "
            "and no day is open until then.",
        )
    ]


def test_the_reasons_in_words() -> None:
    moved = _away(7, 11, "A8 B12 C15 S1@19? S2@22")
    assert {one.title: one.why for one in moved} == {
        "A": "You are away on that day.",
        "B": "“A” takes its day.",
        "C": "“B” takes its day.",
        "S1": "It isn’t filmed yet, and the last day to film it, Wednesday 9 December, "
        "falls into the days away. No sooner: it has to be filmed first.",
        "S2": "“S1”, an earlier part of its series, has to come first.",
    }


@pytest.mark.parametrize(
    ("first", "last", "sentence"),
    [
        (9, 8, "The last day away comes before the first."),
        (3, 63, "That is more than 60 days: mark it in parts."),
        (1, 2, "These days are over: choose a last day that is today or later."),
        (800, 801, "That is more than two years ahead."),
    ],
)
def test_days_that_cannot_be_days_away(first: int, last: int, sentence: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        _away(first, last, "")


def test_one_day_and_sixty_days_can_be() -> None:
    assert _away(3, 3, "") == _away(3, 62, "") == ()


@pytest.mark.parametrize(
    ("moved", "now", "kept"),
    [
        ("A8>12 B12>15", "A12 B15", {}),
        # Published since, moved by hand since, taken off since.
        ("A8>12", "A12!", {"A": "It is published."}),
        ("A8>12", "A19", {"A": "It was moved to Saturday 19 December since."}),
        ("A8>12", "", {"A": "It was taken off, or given another day, since."}),
        # Another stands on its day; and then the one behind it has no way back either.
        ("A8>12 B12>15", "A12 B15 C8", {
            "A": "“C” stands on Tuesday 8 December now.",
            "B": "“A” stands on Saturday 12 December now.",
        }),
        # Its day is past, or a day off of another making.
        ("A1>5", "A5", {"A": "Tuesday 1 December is past."}),
        ("A9>12", "A12", {"A": "Wednesday 9 December is a day off."}),
        # Part 1 was moved by hand: part 2 can’t go before it.
        ("S1@8>12 S2@10>15", "S1@13 S2@15", {
            "S1": "It was moved to Sunday 13 December since.",
            "S2": "“S1”, an earlier part of its series, would then come after it.",
        }),
    ],
)  # fmt: skip
def test_what_goes_back(moved: str, now: str, kept: dict[str, str]) -> None:
    standing = {one.title: one for one in _uploads(now)}
    asked = []
    for word in moved.split():
        name, new = word.split(">")
        old = _uploads(name)[0]
        known = standing.get(old.title)
        asked.append(Moved(known.id if known else 99, old.title, old.publish, _day(new), ""))
    backs = taking_back(asked, standing.values(), today=TODAY, days_off=frozenset({_day(9)}))
    assert {back.title: back.why for back in backs if back.why} == kept
