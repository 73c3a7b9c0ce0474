"""Lines of the roster: what they say, how they are found and put in order."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from clients.rules.roster import Line, Person, Sort, fold, in_order, line_of, matches
from coach.scheduling.dates import Ending, PregnancyDates
from coach.scheduling.values import Stage

TODAY = date(2026, 12, 3)


def days(n: int) -> date:
    return TODAY + timedelta(days=n)


def person(name: str = "Meret A.", pk: int = 1, **values: object) -> Person:
    known = {
        "email": "",
        "phone": "",
        "standing": "active",
        "changed_at": datetime(2026, 1, 1, tzinfo=UTC),
    }
    return Person(pk=pk, name=name, **{**known, **values})  # type: ignore[arg-type]  # a test's


RUNNING = PregnancyDates(due=date(2027, 2, 21))
PAST = PregnancyDates(due=days(-9))
BORN = PregnancyDates(due=days(-80), ended=days(-77), ending=Ending.BIRTH)
NOTHING_KNOWN = PregnancyDates()  # it may be the later one
LOST = PregnancyDates(due=days(100), ended=days(-3), ending=Ending.LOSS)

LINES = [
    # pregnancies     quiet  stage                short    note
    ([RUNNING], False, Stage.TRIMESTER_3, "28w4d", "trimester 3 · due 21 February 2027"),
    ([RUNNING], True, Stage.TRIMESTER_3, "28w4d", "28 weeks on"),
    ([BORN, NOTHING_KNOWN], False, Stage.UNKNOWN, "–", "stage not known"),
    ([PAST], False, Stage.PAST_DUE, "41w2d",
     "Past the due date, nothing recorded: ask how she is"),
    ([PAST], True, Stage.PAST_DUE, "41w2d", "Past 40 weeks, nothing recorded: ask how she is"),
    ([BORN], False, Stage.WEEKS_6_12, "11 w", "6–12 weeks since"),
    ([BORN, LOST], True, Stage.WEEKS_0_6, "3 d", "0–6 weeks since"),
    ([], False, Stage.UNKNOWN, "–", "stage not known"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "quiet", "stage", "short", "note"), LINES)
def test_a_line_says_where_she_is(
    given: list[PregnancyDates], quiet: bool, stage: Stage, short: str, note: str
) -> None:
    line = line_of(person(), given, TODAY, quiet=quiet)
    assert (line.stage, line.short, line.note) == (stage, short, note)
    assert line.asks == (stage is Stage.PAST_DUE)


SEARCHES = [
    # typed        finds
    ("orla", True),
    ("ÓRLA", True),
    ("o'd", True),
    ("O’Drisc", True),
    ("odriscoll", True),
    ("driscoll orla", True),
    ("orla@example", True),
    ("086 123", True),
    ("", True),
    ("orlo", False),
    ("087", False),
]


@pytest.mark.parametrize(("typed", "finds"), SEARCHES)
def test_a_search_folds_case_accents_apostrophes_and_order(typed: str, finds: bool) -> None:
    orla = person(
        "Órla O’Driscoll", email="orla@example.org", phone="+353 86 1234567 / 086 1234567"
    )
    assert matches(orla, typed) == finds


@pytest.mark.parametrize(
    ("text", "folded"),
    [("Ærø  Łuk", "aero luk"), ("Straße", "strasse"), ("İnci", "inci"), ("Zoë", "zoe")],
)
def test_letters_of_other_tongues_fold_to_plain_ones(text: str, folded: str) -> None:
    assert fold(text) == folded


def line(pk: int, stage: Stage | None, n: int | None, changed: int = 0) -> Line:
    at = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(days=changed)
    return Line(person("ÁbcD"[pk % 4] + "x", pk, changed_at=at), stage, days=n)


LIST = [
    line(1, Stage.WEEKS_6_12, 60, 3),
    line(2, Stage.TRIMESTER_3, 20, 1),
    line(3, Stage.UNKNOWN, None, 9),
    line(4, Stage.PAST_DUE, -4, 2),
    line(5, Stage.TRIMESTER_3, 9, 5),
]


@pytest.mark.parametrize(
    ("sort", "order"),
    [
        (Sort.NAME, [4, 1, 5, 2, 3]),  # Áx before bx, as in a dictionary
        (Sort.STAGE, [5, 2, 4, 1, 3]),
        (Sort.WEEKS, [4, 5, 2, 1, 3]),
        (Sort.CHANGED, [3, 5, 1, 4, 2]),
    ],
)
def test_each_order(sort: Sort, order: list[int]) -> None:
    assert [one.person.pk for one in in_order(LIST, sort)] == order


def test_an_order_by_stage_works_without_stages() -> None:
    assert [one.person.pk for one in in_order([line(2, None, None), line(1, None, None)],
                                              Sort.WEEKS)] == [1, 2]  # fmt: skip
