"""What the roster will need, in a table and in words."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from clients.rules.needs import Needs
from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.models import Enquiries
from content.rules import needed

T2, T3 = Stage.TRIMESTER_2, Stage.TRIMESTER_3
WEEKS = [date(2026, 12, 14) + timedelta(weeks=n) for n in range(5)]  # weeks 51 to 53, 1 and 2


def needs_of(*clients: int, stage: Stage = T3, **values: Any) -> Needs:
    """So many at the stage in each week."""
    return Needs(
        by_day={day: {stage: n} if n else {} for day, n in zip(WEEKS, clients, strict=True)},
        **values,
    )


def row_of(found: Needs, stage: Stage = T3, *, weight: str = "half", **values: Any) -> needed.Row:
    given = {"finished": {}, "making": {}, "since": {}, **values}
    rows = needed.rows(found, weeks=WEEKS, weight=weight, **given)
    assert [row.stage for row in rows] == list(SERVABLE_STAGES)
    return rows[list(SERVABLE_STAGES).index(stage)]


@pytest.mark.parametrize(
    ("clients", "said"),
    [
        ((3, 3, 3, 3, 3), "three clients from week 51"),
        ((0, 3, 3, 3, 3), "three clients from week 52"),
        ((0, 1, 1, 3, 3), "one client from week 52, three from week 1"),
        ((2, 1, 0, 0, 0), "two clients from week 51 until week 52"),
        ((1, 2, 1, 1, 0), "one client from week 51, two from week 52 until week 1"),
        ((0, 0, 1, 0, 0), "one client in week 53"),
        ((0, 0, 0, 0, 2), "two clients from week 2"),
        ((0, 13, 0, 0, 0), "13 clients in week 52"),
    ],
)
def test_a_stage_that_nobody_serves_is_said_in_words(clients: tuple[int, ...], said: str) -> None:
    row = row_of(needs_of(*clients))
    assert row.unserved
    whom = "them" if max(clients) > 1 else "her"
    assert needed.unserved_in_words(row) == (
        f"Trimester 3: {said}, no finished class suits {whom}. "
        "Nothing in the making does either: outline one."
    )


@pytest.mark.parametrize(
    ("making", "said"), [(1, "One in the making does."), (2, "Two in the making do.")]
)
def test_what_is_in_the_making_is_what_would_mend_it(making: int, said: str) -> None:
    row = row_of(needs_of(1, 1, 1, 1, 1), making={T3: making})
    assert needed.unserved_in_words(row).endswith(f"suits her. {said}")


def test_after_a_pregnancy_the_sentence_says_after_what() -> None:
    found = needs_of(1, 1, 1, 1, 1, stage=Stage.WEEKS_0_6)
    row = row_of(found, Stage.WEEKS_0_6)
    assert needed.unserved_in_words(row).startswith("0–6 weeks after pregnancy: one client from")
    assert row.name == "0–6 weeks since"


def test_one_finished_class_serves_a_stage_and_enquiries_alone_ask_for_none() -> None:
    assert not row_of(needs_of(3, 3, 3, 3, 3), finished={T3: 1}).unserved
    asked = needs_of(0, 0, 0, 0, 0, enquiries={day: {T3: 4} for day in WEEKS})
    row = row_of(asked)
    assert (row.unserved, row.empty) == (False, False)


def test_a_cell_holds_clients_those_ready_and_enquiries_at_their_weight() -> None:
    found = needs_of(
        4, 0, 0, 0, 0, ready={WEEKS[0]: {T3: 3}}, enquiries={WEEKS[0]: {T3: 3}, WEEKS[1]: {T3: 1}}
    )
    for weight, wanted in (("no", (0, 0)), ("half", (2, 1)), ("full", (3, 1))):
        cells = row_of(found, weight=weight).cells
        assert [(one.clients, one.ready, one.enquiries) for one in cells[:2]] == [
            (4, 3, wanted[0]),
            (0, 0, wanted[1]),
        ]
        assert cells[1].empty == (weight == "no")


def test_every_weight_of_the_wishes_is_known() -> None:
    assert [needed.as_clients(2, weight) for weight in Enquiries.values] == [0, 1, 2]


def test_weeks_are_written_as_the_standard_writes_them() -> None:
    """ISO 8601: the year of the week, a W, two figures; 2026 has a week 53."""
    cells = row_of(needs_of(1, 1, 1, 1, 1)).cells
    assert [cell.week for cell in cells] == [
        *("2026-W51", "2026-W52", "2026-W53", "2027-W01", "2027-W02")
    ]
    assert [cell.number for cell in cells] == [51, 52, 53, 1, 2]


@pytest.mark.parametrize(
    ("finished", "said"),
    [
        (0, "no finished class suits"),
        (1, "1 finished class suits"),
        (2, "2 finished classes suit"),
    ],
)
def test_how_many_suit(finished: int, said: str) -> None:
    row = row_of(needs_of(1, 1, 1, 1, 1), finished={T3: finished}, since={T3: 26})
    assert (row.suit_words, row.ago) == (said, "26 days ago")
    assert row_of(needs_of(1, 1, 1, 1, 1)).ago == "never"


def test_stages_where_nobody_is_expected_are_one_line() -> None:
    every = {stage: 1 for stage in SERVABLE_STAGES}
    rows = needed.rows(
        Needs(by_day={WEEKS[0]: {s: n for s, n in every.items() if s not in {T2, T3}}}),
        weeks=WEEKS, weight="half", finished={}, making={}, since={},
    )  # fmt: skip
    said = "Nobody is expected at these stages: trimester 2 and trimester 3."
    assert needed.nobody_in_words(rows) == said
    assert needed.nobody_in_words(rows[:2]) == "Nobody is expected at trimester 2."
    assert needed.nobody_in_words(rows[3:]) == ""


@pytest.mark.parametrize(
    ("apart", "said"),
    [
        ({}, ""),
        ({"on_hold": 1}, "Not counted: one on hold."),
        ({"paused": 2, "quiet": 1}, "Not counted: one quiet and two paused."),
        (
            {"on_hold": 1, "past_due": 1, "quiet": 1, "paused": 1, "unknown": 14},
            "Not counted: one on hold, one past the due date, one quiet, one paused and "
            "14 with a stage not known.",
        ),
    ],
)
def test_who_is_not_counted_is_said(apart: dict[str, int], said: str) -> None:
    assert needed.apart_in_words(Needs(by_day={}, **apart)) == said


@pytest.mark.parametrize(
    ("weight", "said"),
    [
        ("no", ""),
        (
            "half",
            "After a plus: open enquiries by what they told, two as one client. "
            "Two open enquiries told no stage.",
        ),
        (
            "full",
            "After a plus: open enquiries by what they told. Two open enquiries told no stage.",
        ),
    ],
)
def test_how_enquiries_stand_in_the_table_is_said(weight: str, said: str) -> None:
    found = Needs(by_day={}, enquiries={WEEKS[0]: {T3: 1}}, enquiries_unknown=2)
    assert needed.enquiries_in_words(found, weight) == said
    assert needed.enquiries_in_words(Needs(by_day={}, enquiries={WEEKS[0]: {}}), weight) == ""
