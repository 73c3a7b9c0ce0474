"""Enquiries: their order, what is late, how one is reached, what is refused, what brings who stays.

The numbers of days are policy of the practice: no published source.
"""

from __future__ import annotations

from datetime import date
from uuid import UUID

import pytest

from clients.rules import enquiries as rules
from clients.rules.words import says_too_much
from tests.clients.enquiring import TODAY, d, one

CORE, LEGS = UUID(int=1), UUID(int=2)

WHEN = [(-30, "30 days late"), (-1, "1 day late"), (0, "today"), (1, "tomorrow"), (2, "in 2 days")]


@pytest.mark.parametrize(("n", "words"), WHEN)
def test_a_day_is_told_in_words(n: int, words: str) -> None:
    assert rules.when_words(d(n), TODAY) == words


def test_without_a_day_there_are_no_words_and_nothing_is_late() -> None:
    line = rules.line_of(one(), TODAY)
    assert (line.when, line.late, line.one.due(TODAY)) == ("", False, False)


# The day itself is due and not yet late.
@pytest.mark.parametrize(
    ("n", "due", "late"), [(-1, True, True), (0, True, False), (1, False, False)]
)
@pytest.mark.parametrize("state", rules.STATES)
def test_only_what_still_runs_is_due_or_late(n: int, due: bool, late: bool, state: str) -> None:
    is_running = state in {"open", "invited"}
    found = one(state=state, next_on=d(n))
    assert (found.due(TODAY), found.late(TODAY)) == (due and is_running, late and is_running)


def test_open_ones_come_first_by_their_next_day_then_the_latest_first() -> None:
    lines = [
        one("closed long ago", "closed", came_on=d(-90), next_on=d(-80)),
        one("no day", came_on=d(-1)),
        one("in a week", next_on=d(7)),
        one("client", "client", next_on=d(-9)),
        one("late", next_on=d(-2)),
        one("form sent, today", "invited", next_on=d(0)),
        one("closed", "closed", came_on=d(-3)),
        one("no day, newer", "invited"),
    ]
    assert [line.name for line in rules.in_order(lines)] == [
        "late", "form sent, today", "in a week", "no day, newer", "no day",
        "client", "closed", "closed long ago",
    ]  # fmt: skip


WAYS = [
    # typed                      kept as
    ("+353 86 123 4567", ("phone", "+353 86 123 4567")),
    ("086-123 45 67", ("phone", "086-123 45 67")),
    ("(0)86/1234", ("phone", "(0)86/1234")),
    ("  sunniva@example.org ", ("email", "sunniva@example.org")),
    ("sunniva.b+class@mail.example.co.uk", ("email", "sunniva.b+class@mail.example.co.uk")),
    ("@sunniva.moves", ("handle", "@sunniva.moves")),
    ("@sunniva@social.example", ("handle", "@sunniva@social.example")),
    ("comments as Sunniva B.", ("handle", "comments as Sunniva B.")),
    ("flat 7", ("handle", "flat 7")),
    ("(--)", ("handle", "(--)")),
]


@pytest.mark.parametrize(("typed", "kept"), WAYS)
def test_what_was_typed_says_which_way_it_is(typed: str, kept: tuple[str, str]) -> None:
    assert rules.way_of(typed) == kept


@pytest.mark.parametrize("typed", ["sunniva@example", "sunniva@", "a@b@example.org", "a@.org"])
def test_half_an_email_address_is_not_kept_as_something_else(typed: str) -> None:
    with pytest.raises(ValueError, match="not a whole one"):
        rules.way_of(typed)


NEXT = [
    # tapped, written, comes to
    (rules.TOMORROW, None, d(1)),
    (rules.IN_3_DAYS, None, d(3)),
    (rules.IN_A_WEEK, None, d(7)),
    (rules.NO_DAY, None, None),
    (rules.TOMORROW, d(12), d(12)),
    (rules.NO_DAY, d(12), d(12)),
]


@pytest.mark.parametrize(("when", "on", "comes_to"), NEXT)
def test_a_written_day_goes_before_a_tap(when: str, on: date | None, comes_to: date) -> None:
    assert rules.next_day(when, on, TODAY) == comes_to


def test_the_taps_say_what_they_do() -> None:
    assert rules.WHEN == {"1": "tomorrow", "3": "in 3 days", "7": "in a week", "": "no day"}


STEPS = [
    # step, day, what is said where
    ("Call her", d(0), []),
    ("Call her", d(366), []),
    ("Call her", None, []),
    ("", None, []),
    ("", d(1), [("next_step", "Say what is to be done on that day.")]),
    ("Call her", d(-1), [("next_on", "That day is over.")]),
    ("Call her", d(367), [("next_on", "That is over a year away: check the year.")]),
]


@pytest.mark.parametrize(("step", "on", "said"), STEPS)
def test_a_next_step_that_cannot_be_is_said(
    step: str, on: date | None, said: list[tuple[str, str]]
) -> None:
    found = rules.step_problems(step, on, today=TODAY)
    assert [(each.field, each.sentence) for each in found] == said


GIVEN = {"name": "Sunniva", "ways": ["@sunniva"], "came_on": TODAY, "told_due": None}
REFUSED = [
    ({}, []),
    ({"name": "  7 "}, ["name"]),
    ({"ways": ["", "", ""]}, ["reach"]),
    ({"came_on": d(1)}, ["came_on"]),
    ({"came_on": d(-1830)}, []),
    ({"came_on": d(-1831)}, ["came_on"]),
    ({"told_due": d(280)}, []),
    ({"told_due": d(281)}, ["told_due"]),
    ({"told_due": d(-300)}, []),
    ({"told_due": d(-301)}, ["told_due"]),
    ({"name": "", "ways": []}, ["name", "reach"]),
]


@pytest.mark.parametrize(("given", "fields"), REFUSED)
def test_what_cannot_be_kept_is_named_by_field(given: dict[str, object], fields: list[str]) -> None:
    found = rules.enquiry_problems(**{**GIVEN, **given}, today=TODAY)  # type: ignore[arg-type]  # a test's
    assert [each.field for each in found] == fields


SAME = [
    ("sunniva b.", ["+353 86 1"], True),
    ("Sunniva B.", ["", "SUNNIVA@example.org"], True),
    ("Sunniva C.", ["+353 86 1"], False),
    ("Sunniva B.", ["+353 86 2"], False),
    ("Sunniva B.", ["", ""], False),
]


@pytest.mark.parametrize(("name", "ways", "same"), SAME)
def test_the_same_name_reached_the_same_way_is_the_same_person(
    name: str, ways: list[str], same: bool
) -> None:
    there = one("Sunniva B.", phone="+353 86 1", email="sunniva@example.org")
    assert rules.same_person(there, name, ways) is same


@pytest.mark.parametrize(("state", "same"), [("invited", True), ("client", False),
                                             ("closed", False)])  # fmt: skip
def test_who_came_back_after_it_was_over_is_a_new_enquiry(state: str, same: bool) -> None:
    assert rules.same_person(one("Sunniva", state, phone="1234"), "Sunniva", ["1234"]) is same


def test_places_are_learned_in_their_commonest_spelling_then_the_usual_ones() -> None:
    former = ["a Comment", "the mothers’ group", "a comment", "A comment", "a comment", "", " ",
              "the mothers’ group", "the pool"]  # fmt: skip
    assert rules.learned(former, rules.FIRST_PLACES, most=5) == [
        "a comment", "the mothers’ group", "the pool", "a message", "recommended",
    ]  # fmt: skip


def test_no_more_places_are_offered_than_fit() -> None:
    assert rules.learned("abcdefg", ("h",), most=3) == ["a", "b", "c"]


ENQUIRIES = [
    one(state="client", class_uid=CORE, class_title="Core reset", standing="active"),
    one(state="client", class_uid=CORE, class_title="Core reset", standing="former"),
    one(state="client", class_uid=LEGS, class_title="Legs, old name", standing="paused"),
    one(state="closed", class_uid=CORE, class_title="Core reset"),
    one(state="open", class_uid=LEGS, class_title="Legs, old name"),
    one(state="invited"),
]


def counted(rows: list[rules.Stayed]) -> list[tuple[str, int, int, int, int]]:
    return [(row.label, row.came, row.clients, row.still, row.closed) for row in rows]


def test_who_came_by_a_class_who_became_a_client_and_who_still_is() -> None:
    found = rules.by_class(ENQUIRIES, [(LEGS, "Legs")])
    assert counted(found) == [
        ("Core reset", 3, 2, 1, 1),
        ("Legs", 2, 1, 1, 0),
        ("not known", 1, 0, 0, 0),
    ]


def test_a_client_whose_page_is_erased_became_one_and_no_longer_is() -> None:
    assert counted(rules.by_place([one(state="client", where_from="a comment")])) == [
        ("a comment", 1, 1, 0, 0)
    ]


def test_one_place_in_two_spellings_is_one_line() -> None:
    found = [one(where_from=text) for text in ("A comment", "a comment", "a comment", "a pool")]
    assert counted(rules.by_place(found)) == [
        ("a comment", 3, 0, 0, 0), ("a pool", 1, 0, 0, 0),
    ]  # fmt: skip


def test_the_table_stays_small_and_counts_everybody_once() -> None:
    found = [one(where_from=f"place {n}") for n in range(9) for _ in range(9 - n)] + [one()]
    rows = rules.by_place(found)
    assert [row.label for row in rows] == [
        *(f"place {n}" for n in range(6)), "the rest", "not known",
    ]  # fmt: skip
    assert (rows[-2].came, sum(row.came for row in rows)) == (3 + 2 + 1, len(found))


def test_nothing_to_count_is_no_table() -> None:
    assert (rules.by_class([]), rules.by_place([])) == ([], [])


def test_the_earliest_enquiry_tells_where_a_client_came_from() -> None:
    first = one(came_on=date(2026, 11, 3), where_from="a comment", class_title="Core reset")
    assert rules.came_from_words([one(), first]) == (
        "a comment, by the class “Core reset”, on 3 November 2026"
    )
    assert (rules.came_from_words([]), rules.came_from_words([one()])) == ("", "on 3 December 2026")


def test_a_quiet_clients_line_says_nothing_that_it_must_not() -> None:
    her = one(
        state="client", quiet=True, where_from="a mums’ group", class_title="Bump and beyond",
        email="ines@example.org",
    )  # fmt: skip
    line = rules.line_of(her, TODAY, told="due in March")
    said = " ".join((line.one.came_by, line.told, line.when, rules.came_from_words([her])))
    assert (said.strip(), says_too_much(said)) == ("on 3 December 2026", False)


FOUND = [("sunn", True), ("b. sunniva", True), ("core", True), ("example.org", True),
         ("comment", True), ("ines", False)]  # fmt: skip


@pytest.mark.parametrize(("search", "found"), FOUND)
def test_she_is_found_by_name_way_place_and_class(search: str, found: bool) -> None:
    her = one("Sunniva B.", email="s@example.org", where_from="a comment", class_title="Core reset")
    assert rules.matches(her, search) is found
