"""Which stage a client is at on a date, now and in the months being planned."""

from datetime import date, timedelta
from itertools import pairwise, permutations
from random import Random

import pytest
from _pytest.mark import ParameterSet
from hypothesis import given
from hypothesis import strategies as st

from coach.scheduling.dates import (
    CODING,
    SCHEMES,
    Ending,
    PregnancyDates,
    TrimesterScheme,
    describe,
    forecast_stage,
    quiet_label,
    stage_on,
)
from coach.scheduling.values import Stage

Given = list[PregnancyDates]

DUE = date(2025, 10, 8)  # day 0 is 2025-01-01, day 98 (14w0d) 2025-04-09, day 196 2025-07-16
BORN = date(2025, 3, 10)

OPEN = PregnancyDates(due=DUE)
PAST_BIRTH = PregnancyDates(due=date(2023, 5, 5), ended=date(2023, 5, 1), ending=Ending.BIRTH)
BIRTH_ONLY = PregnancyDates(ended=BORN, ending=Ending.BIRTH)
EARLY_LOSS = PregnancyDates(due=DUE, ended=date(2025, 3, 12), ending=Ending.LOSS)
LATE_BIRTH = PregnancyDates(due=DUE, ended=DUE + timedelta(days=5), ending=Ending.BIRTH)
PRETERM = PregnancyDates(due=date(2025, 4, 7), ended=BORN, ending=Ending.BIRTH)
NEXT_AT_ONCE = PregnancyDates(due=BORN + timedelta(days=280))
UNDATED = PregnancyDates()
OVER_SOMETIME = PregnancyDates(ending=Ending.BIRTH)
OVER_BUT_WHEN = PregnancyDates(due=DUE, ending=Ending.LOSS)
YEAR_MISTYPED = PregnancyDates(due=date(2026, 4, 1), ended=BORN, ending=Ending.BIRTH)
ENDED_YEAR_LATE = PregnancyDates(due=date(2024, 3, 4), ended=BORN, ending=Ending.BIRTH)


def row(given: Given, when: str, then: Stage, id: str) -> ParameterSet:
    return pytest.param(given, date.fromisoformat(when), then, id=id)


SCENARIOS = [
    # pregnant, due date known
    row([OPEN], "2025-01-01", Stage.TRIMESTER_1, "day-0"),
    row([OPEN], "2025-04-08", Stage.TRIMESTER_1, "13w6d"),
    row([OPEN], "2025-04-09", Stage.TRIMESTER_2, "14w0d"),
    row([OPEN], "2025-07-15", Stage.TRIMESTER_2, "27w6d"),
    row([OPEN], "2025-07-16", Stage.TRIMESTER_3, "28w0d"),
    row([OPEN], "2025-10-08", Stage.TRIMESTER_3, "on-the-due-date"),
    row([OPEN], "2025-10-09", Stage.PAST_DUE, "a-day-past-due"),
    row([OPEN], "2027-10-09", Stage.PAST_DUE, "two-years-past-due-is-never-postpartum"),
    row([OPEN], "2024-12-31", Stage.UNKNOWN, "before-her-only-pregnancy"),
    # nothing, or not enough
    row([], "2025-06-01", Stage.UNKNOWN, "no-pregnancy"),
    row([UNDATED], "2025-06-01", Stage.UNKNOWN, "pregnant-due-date-not-known"),
    row([OVER_SOMETIME], "2025-06-01", Stage.UNKNOWN, "over-day-not-known"),
    row([OVER_BUT_WHEN], "2025-06-01", Stage.UNKNOWN, "lost-day-not-known-is-not-pregnant"),
    row([OVER_BUT_WHEN], "2024-12-31", Stage.UNKNOWN, "lost-day-not-known-before-it-began"),
    # after the end
    row([BIRTH_ONLY], "2025-03-10", Stage.WEEKS_0_6, "day-0-after-no-due-date"),
    row([BIRTH_ONLY], "2025-04-20", Stage.WEEKS_0_6, "day-41"),
    row([BIRTH_ONLY], "2025-04-21", Stage.WEEKS_6_12, "day-42"),
    row([BIRTH_ONLY], "2025-06-01", Stage.WEEKS_6_12, "day-83"),
    row([BIRTH_ONLY], "2025-06-02", Stage.WEEKS_12_26, "day-84"),
    row([BIRTH_ONLY], "2025-09-07", Stage.WEEKS_12_26, "day-181"),
    row([BIRTH_ONLY], "2025-09-08", Stage.WEEKS_26_52, "day-182"),
    row([BIRTH_ONLY], "2026-03-08", Stage.WEEKS_26_52, "day-363"),
    row([BIRTH_ONLY], "2026-03-09", Stage.WEEKS_52_ON, "day-364"),
    row([PRETERM], "2025-04-07", Stage.WEEKS_0_6, "preterm-on-her-due-date"),
    row([PRETERM], "2025-04-21", Stage.WEEKS_6_12, "preterm-counts-from-the-birth"),
    row([EARLY_LOSS], "2025-03-12", Stage.WEEKS_0_6, "the-day-of-a-loss"),
    row([EARLY_LOSS], "2025-10-08", Stage.WEEKS_26_52, "a-loss-then-its-due-date"),
    # a day before the end, though the end is known by now
    row([EARLY_LOSS], "2025-03-11", Stage.TRIMESTER_1, "the-day-before-a-loss"),
    row([PRETERM], "2025-03-09", Stage.TRIMESTER_3, "the-day-before-a-preterm-birth"),
    row([LATE_BIRTH], "2025-10-12", Stage.TRIMESTER_3, "third-trimester-until-delivery"),
    row([LATE_BIRTH], "2025-10-13", Stage.WEEKS_0_6, "born-five-days-late"),
    row([BIRTH_ONLY], "2025-03-09", Stage.UNKNOWN, "the-day-before-a-birth-no-due-date"),
    row([BIRTH_ONLY], "2020-01-01", Stage.UNKNOWN, "years-before-her-only-pregnancy"),
    # several
    row([PAST_BIRTH, OPEN], "2025-06-01", Stage.TRIMESTER_2, "the-latest-names-it"),
    row([PAST_BIRTH, OPEN], "2024-12-31", Stage.WEEKS_52_ON, "before-the-latest-the-earlier"),
    row([PAST_BIRTH, OPEN], "2023-06-12", Stage.WEEKS_6_12, "well-before-the-latest"),
    row([PAST_BIRTH, OPEN], "2023-01-01", Stage.TRIMESTER_2, "inside-the-earlier"),
    row([PAST_BIRTH, BIRTH_ONLY], "2025-04-21", Stage.WEEKS_6_12, "two-births"),
    row([PAST_BIRTH, BIRTH_ONLY], "2025-01-01", Stage.UNKNOWN, "perhaps-pregnant-by-then"),
    row([PAST_BIRTH, BIRTH_ONLY], "2025-03-09", Stage.UNKNOWN, "certainly-pregnant-how-far"),
    row([PAST_BIRTH, BIRTH_ONLY], "2024-04-29", Stage.UNKNOWN, "perhaps-pregnant-45-weeks"),
    row([PAST_BIRTH, BIRTH_ONLY], "2024-04-28", Stage.WEEKS_26_52, "over-45-weeks-before-a-birth"),
    row([PAST_BIRTH, BIRTH_ONLY], "2023-04-01", Stage.TRIMESTER_3, "inside-the-first-of-two"),
    row(
        [EARLY_LOSS, PregnancyDates(due=date(2026, 2, 1))],
        "2025-06-01",
        Stage.TRIMESTER_1,
        "pregnant-again-after-a-loss",
    ),
    row([PAST_BIRTH, UNDATED], "2025-06-01", Stage.UNKNOWN, "pregnant-again-due-date-not-known"),
    row([PAST_BIRTH, UNDATED], "2023-04-01", Stage.TRIMESTER_3, "certainly-in-the-earlier"),
    row([BIRTH_ONLY, UNDATED], "2025-03-10", Stage.UNKNOWN, "pregnant-again-not-dated-day-0"),
    row([BIRTH_ONLY, NEXT_AT_ONCE], "2025-03-10", Stage.TRIMESTER_1, "one-ends-as-one-begins"),
    row([OPEN, UNDATED], "2025-06-01", Stage.UNKNOWN, "two-open-one-undated"),
    row([OPEN, OVER_SOMETIME], "2025-06-01", Stage.TRIMESTER_2, "an-old-birth-and-pregnant"),
    row([OPEN, OVER_SOMETIME], "2025-10-09", Stage.PAST_DUE, "an-old-birth-and-past-due"),
    row([BIRTH_ONLY, OVER_SOMETIME], "2025-06-01", Stage.UNKNOWN, "which-was-later-not-known"),
    row(
        [PregnancyDates(due=date(2022, 1, 1)), BIRTH_ONLY],
        "2025-04-21",
        Stage.WEEKS_6_12,
        "an-old-one-left-open-then-a-birth",
    ),
    # dates that contradict each other
    row([YEAR_MISTYPED], "2025-04-21", Stage.UNKNOWN, "ended-before-it-began"),
    row([YEAR_MISTYPED], "2026-01-01", Stage.UNKNOWN, "ended-before-it-began-later-on"),
    row([ENDED_YEAR_LATE], "2025-04-21", Stage.UNKNOWN, "lasted-two-years"),
]


@pytest.mark.parametrize(("given", "when", "then"), SCENARIOS)
def test_stage_on_a_date(given: Given, when: date, then: Stage) -> None:
    assert [stage_on(order, when) for order in permutations(given)] == [
        then for _ in permutations(given)
    ]


@pytest.mark.parametrize(
    ("name", "stage"),
    [("coding", Stage.TRIMESTER_1), ("leaflet-42-weeks", Stage.TRIMESTER_2)],
)
def test_the_scheme_moves_the_cut(name: str, stage: Stage) -> None:
    assert stage_on([OPEN], date(2025, 4, 8), SCHEMES[name]) is stage


@pytest.mark.parametrize(
    ("pregnancy", "contradicts"),
    [
        (OPEN, False),
        (BIRTH_ONLY, False),
        (LATE_BIRTH, False),
        (PregnancyDates(due=DUE, ended=date(2025, 1, 1)), False),
        (PregnancyDates(due=DUE, ended=date(2024, 12, 31)), True),
        (PregnancyDates(due=DUE, ended=date(2025, 11, 12)), False),
        (PregnancyDates(due=DUE, ended=date(2025, 11, 13)), True),
    ],
)
def test_dates_that_contradict_each_other_are_told(
    pregnancy: PregnancyDates, contradicts: bool
) -> None:
    assert pregnancy.contradictory is contradicts


# --- planning ahead ---------------------------------------------------------------------------

TODAY = date(2025, 9, 1)
PLANNED = [
    row([OPEN], "2025-09-01", Stage.TRIMESTER_3, "today"),
    row([OPEN], "2025-10-07", Stage.TRIMESTER_3, "the-day-before-her-due-date"),
    row([OPEN], "2025-10-08", Stage.WEEKS_0_6, "her-due-date"),
    row([OPEN], "2025-10-09", Stage.WEEKS_0_6, "the-day-after"),
    row([OPEN], "2025-11-18", Stage.WEEKS_0_6, "day-41-after-her-due-date"),
    row([OPEN], "2025-11-19", Stage.WEEKS_6_12, "day-42-after-her-due-date"),
    row([OPEN], "2025-06-01", Stage.TRIMESTER_2, "a-day-gone-by"),
    row([PregnancyDates(due=TODAY)], "2025-09-02", Stage.WEEKS_0_6, "due-today"),
    row([PregnancyDates(due=date(2025, 8, 31))], "2025-09-01", Stage.PAST_DUE, "past-due-today"),
    row([PregnancyDates(due=date(2025, 8, 31))], "2025-12-01", Stage.PAST_DUE, "stays-past-due"),
    row([PregnancyDates(due=date(2025, 8, 31))], "2025-08-31", Stage.TRIMESTER_3, "was-not-yet"),
    row([BIRTH_ONLY], "2025-09-08", Stage.WEEKS_26_52, "after-a-birth-time-goes-on"),
    row([EARLY_LOSS], "2025-10-09", Stage.WEEKS_26_52, "no-birth-is-made-up-after-a-loss"),
    row([], "2025-12-01", Stage.UNKNOWN, "no-pregnancy"),
    row([UNDATED], "2025-12-01", Stage.UNKNOWN, "due-date-not-known"),
    row([PAST_BIRTH, UNDATED], "2025-12-01", Stage.UNKNOWN, "pregnant-again-not-dated"),
    row([OVER_BUT_WHEN], "2025-12-01", Stage.UNKNOWN, "lost-day-not-known"),
    row([PAST_BIRTH, OPEN], "2025-10-09", Stage.WEEKS_0_6, "the-latest-of-two"),
    row([OPEN, OVER_SOMETIME], "2025-10-09", Stage.WEEKS_0_6, "an-old-birth-cannot-be-later"),
    row([PregnancyDates(due=date(2026, 7, 1))], "2025-12-01", Stage.UNKNOWN,
        "not-known-today-stays-not-known"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "when", "then"), PLANNED)
def test_forecast_of_the_stage(given: Given, when: date, then: Stage) -> None:
    assert forecast_stage(given, today=TODAY, on=when) is then


def test_a_forecast_keeps_to_the_scheme() -> None:
    found = forecast_stage([OPEN], today=date(2025, 2, 1), on=date(2025, 4, 8),
                           scheme=SCHEMES["manual"])  # fmt: skip
    assert found is Stage.TRIMESTER_2


# --- in words ---------------------------------------------------------------------------------

WORDS = [
    ([], "2025-06-01", "stage not known", "stage not known"),
    ([OPEN], "2025-01-01", "0 days", "0 days"),
    ([OPEN], "2025-01-02", "1 day", "1 day"),
    ([OPEN], "2025-01-09", "1 week and 1 day", "1 week and 1 day"),
    ([OPEN], "2025-05-21", "20 weeks", "20 weeks"),
    ([OPEN], "2025-06-01", "21 weeks and 4 days", "21 weeks and 4 days"),
    ([OPEN], "2025-10-09", "1 day past the due date", "past 40 weeks"),
    ([OPEN], "2025-10-19", "11 days past the due date", "past 40 weeks"),
    ([LATE_BIRTH], "2025-10-11", "40 weeks and 3 days", "40 weeks and 3 days"),
    ([BIRTH_ONLY], "2025-03-10", "0 days since the birth", "0 days since"),
    ([BIRTH_ONLY], "2025-03-16", "6 days since the birth", "6 days since"),
    ([BIRTH_ONLY], "2025-03-17", "1 week since the birth", "1 week since"),
    ([BIRTH_ONLY], "2025-05-27", "11 weeks since the birth", "11 weeks since"),
    ([EARLY_LOSS], "2025-04-20", "5 weeks since", "5 weeks since"),
    ([PregnancyDates(ended=BORN)], "2025-04-20", "5 weeks since the pregnancy ended",
     "5 weeks since"),
    ([BIRTH_ONLY], "2025-03-09", "stage not known", "stage not known"),
    ([YEAR_MISTYPED], "2025-04-20", "stage not known", "stage not known"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "when", "plain", "quiet"), WORDS)
def test_the_phrase_for_a_page(given: Given, when: str, plain: str, quiet: str) -> None:
    on = date.fromisoformat(when)
    assert (describe(given, on), describe(given, on, quiet=True)) == (plain, quiet)


def test_the_quiet_name_of_every_stage() -> None:
    assert {stage: quiet_label(stage, CODING) for stage in Stage} == {
        Stage.TRIMESTER_1: "before 14 weeks",
        Stage.TRIMESTER_2: "14–28 weeks",
        Stage.TRIMESTER_3: "28 weeks on",
        Stage.PAST_DUE: "past 40 weeks",
        Stage.WEEKS_0_6: "0–6 weeks since",
        Stage.WEEKS_6_12: "6–12 weeks since",
        Stage.WEEKS_12_26: "12–26 weeks since",
        Stage.WEEKS_26_52: "26–52 weeks since",
        Stage.WEEKS_52_ON: "over 52 weeks since",
        Stage.UNKNOWN: "stage not known",
    }


# --- what holds for any dates -----------------------------------------------------------------

MAYBE_DAY = st.none() | st.dates()
NEAR_DAY = st.none() | st.dates(min_value=date(2023, 1, 1), max_value=date(2026, 12, 31))
ENDINGS = st.none() | st.sampled_from(Ending)


def rosters(days: st.SearchStrategy[date | None]) -> st.SearchStrategy[Given]:
    return st.lists(st.builds(PregnancyDates, days, days, ENDINGS), max_size=4)


HISTORIES = rosters(MAYBE_DAY) | rosters(NEAR_DAY)
SINCE = [stage for stage in Stage if stage.value.startswith("w")]
HIDDEN = ("baby", "birth", "born", "pregnan", "due", "bump", "trimester", "loss", "lost")


@given(HISTORIES, st.dates() | NEAR_DAY.filter(bool), st.sampled_from(list(SCHEMES.values())))
def test_there_is_a_stage_for_any_dates(
    pregnancies: Given, on: date, scheme: TrimesterScheme
) -> None:
    assert isinstance(stage_on(pregnancies, on, scheme), Stage)


@given(HISTORIES, st.dates(), st.dates())
def test_there_is_a_forecast_for_any_dates(pregnancies: Given, today: date, on: date) -> None:
    now = stage_on(pregnancies, today)
    found = forecast_stage(pregnancies, today=today, on=on)
    if on <= today:
        assert found is stage_on(pregnancies, on)
    elif now in {Stage.UNKNOWN, Stage.PAST_DUE}:
        assert found is now


@given(HISTORIES, st.randoms(), NEAR_DAY.filter(bool))
def test_the_order_in_which_pregnancies_are_given_does_not_matter(
    pregnancies: Given, random: Random, on: date
) -> None:
    mixed = random.sample(pregnancies, len(pregnancies))
    assert stage_on(mixed, on) is stage_on(pregnancies, on)
    assert describe(mixed, on) == describe(pregnancies, on)


@given(
    st.dates(min_value=date(1900, 1, 1), max_value=date(2200, 1, 1)),
    st.integers(min_value=0, max_value=315),
    st.lists(st.integers(min_value=0, max_value=2000), min_size=2),
)
def test_stages_after_the_end_never_go_backwards(
    ended: date, lasted: int, later: list[int]
) -> None:
    due = ended + timedelta(days=280 - lasted)
    dates = PregnancyDates(due, ended, Ending.BIRTH)
    found = [stage_on([dates], ended + timedelta(days=n)) for n in sorted(later)]
    assert all(SINCE.index(one) <= SINCE.index(two) for one, two in pairwise(found))


@given(st.dates(), st.dates())
def test_a_birth_not_recorded_is_never_read_as_one_that_happened(due: date, on: date) -> None:
    assert stage_on([PregnancyDates(due)], on) not in SINCE


@given(HISTORIES, NEAR_DAY.filter(bool))
def test_a_quiet_phrase_never_says_what_must_not_be_said(pregnancies: Given, on: date) -> None:
    said = describe(pregnancies, on, quiet=True) + quiet_label(stage_on(pregnancies, on))
    assert [word for word in HIDDEN if word in said.casefold()] == []
