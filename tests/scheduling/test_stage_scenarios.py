"""Stages as stories: given what is recorded of her pregnancies, when asked for a day, then …

Trimester cuts: ICD-10-CM chapter 15 (14w0d, 28w0d). The cuts after a pregnancy's
end (completed weeks 6, 12, 26, 52) are our own. Births in a forecast are taken
at the due date, by our own rule.
"""

from __future__ import annotations

from dataclasses import fields
from datetime import date, timedelta
from itertools import permutations

import pytest

from coach.scheduling.dates import (
    CODING,
    DEFAULT_SCHEME,
    SCHEMES,
    Ending,
    GestationalAge,
    PregnancyDates,
    TrimesterScheme,
    forecast_stage,
    stage_on,
)
from coach.scheduling.values import Stage

EARLIER_TODAY = "2025-06-01"


def on(text: str) -> date:
    return date.fromisoformat(text)


def due(text: str) -> PregnancyDates:
    """A pregnancy with a due date and no end recorded."""
    return PregnancyDates(due=on(text), ended=None, ending=None)


def due_unknown() -> PregnancyDates:
    """She is pregnant and nobody has told us the due date."""
    return PregnancyDates(due=None, ended=None, ending=None)


def born(text: str, due: str | None = None) -> PregnancyDates:
    return PregnancyDates(due=on(due) if due else None, ended=on(text), ending=Ending.BIRTH)


def lost(text: str, due: str | None = None) -> PregnancyDates:
    return PregnancyDates(due=on(due) if due else None, ended=on(text), ending=Ending.LOSS)


SCENARIOS = [
    # given when she was never entered as pregnant
    ("nothing is recorded", [], "2025-06-01", Stage.UNKNOWN),
    # one pregnancy, due 2025-10-08, last period 2025-01-01
    ("first day of her last period", [due("2025-10-08")], "2025-01-01", Stage.TRIMESTER_1),
    ("the day before her last period", [due("2025-10-08")], "2024-12-31", Stage.UNKNOWN),
    ("13w6d", [due("2025-10-08")], "2025-04-08", Stage.TRIMESTER_1),
    ("14w0d", [due("2025-10-08")], "2025-04-09", Stage.TRIMESTER_2),
    ("27w6d", [due("2025-10-08")], "2025-07-15", Stage.TRIMESTER_2),
    ("28w0d", [due("2025-10-08")], "2025-07-16", Stage.TRIMESTER_3),
    ("her due date itself", [due("2025-10-08")], "2025-10-08", Stage.TRIMESTER_3),
    # past the due date, nobody has recorded a birth
    ("a day past, no birth recorded", [due("2025-10-08")], "2025-10-09", Stage.PAST_DUE),
    ("two weeks past, no birth recorded", [due("2025-10-08")], "2025-10-22", Stage.PAST_DUE),
    ("a year past, never guessed to be over", [due("2025-10-08")], "2026-10-08", Stage.PAST_DUE),
    # the due date is not known
    ("due date not known", [due_unknown()], "2025-06-01", Stage.UNKNOWN),
    ("born, due date never known", [born("2025-03-10")], "2025-03-10", Stage.WEEKS_0_6),
    ("before that birth, due date never known", [born("2025-03-10")], "2025-03-09", Stage.UNKNOWN),
    # after a birth on 2025-03-10
    ("the day of the birth", [born("2025-03-10", "2025-03-17")], "2025-03-10", Stage.WEEKS_0_6),
    ("day 41", [born("2025-03-10", "2025-03-17")], "2025-04-20", Stage.WEEKS_0_6),
    ("day 42", [born("2025-03-10", "2025-03-17")], "2025-04-21", Stage.WEEKS_6_12),
    ("day 83", [born("2025-03-10", "2025-03-17")], "2025-06-01", Stage.WEEKS_6_12),
    ("day 84", [born("2025-03-10", "2025-03-17")], "2025-06-02", Stage.WEEKS_12_26),
    ("day 181", [born("2025-03-10", "2025-03-17")], "2025-09-07", Stage.WEEKS_12_26),
    ("day 182", [born("2025-03-10", "2025-03-17")], "2025-09-08", Stage.WEEKS_26_52),
    ("day 363", [born("2025-03-10", "2025-03-17")], "2026-03-08", Stage.WEEKS_26_52),
    ("day 364", [born("2025-03-10", "2025-03-17")], "2026-03-09", Stage.WEEKS_52_ON),
    ("ten years later", [born("2025-03-10", "2025-03-17")], "2035-03-10", Stage.WEEKS_52_ON),
    ("born early, day of the due date", [born("2025-03-10", "2025-05-05")], "2025-05-05",
     Stage.WEEKS_6_12),
    ("born late, the birth counts", [born("2025-03-10", "2025-02-26")], "2025-04-10",
     Stage.WEEKS_0_6),
    # learned later: the birth of 10 March is entered on the 20th, another day is asked for
    ("asked for a day before the birth", [born("2025-03-10", "2025-03-17")], "2025-03-09",
     Stage.TRIMESTER_3),
    ("asked for a day long before", [born("2025-03-10", "2025-03-17")], "2024-08-01",
     Stage.TRIMESTER_1),
    # leap years
    ("born on the leap day, day 41", [born("2024-02-29")], "2024-04-10", Stage.WEEKS_0_6),
    ("born on the leap day, day 42", [born("2024-02-29")], "2024-04-11", Stage.WEEKS_6_12),
    ("born on the leap day, day 363", [born("2024-02-29")], "2025-02-26", Stage.WEEKS_26_52),
    ("born on the leap day, day 364", [born("2024-02-29")], "2025-02-27", Stage.WEEKS_52_ON),
    ("leap day inside the pregnancy, 13w6d", [due("2024-10-07")], "2024-04-07",
     Stage.TRIMESTER_1),
    ("leap day inside the pregnancy, 14w0d", [due("2024-10-07")], "2024-04-08",
     Stage.TRIMESTER_2),
    ("due on the leap day, that day", [due("2024-02-29")], "2024-02-29", Stage.TRIMESTER_3),
    ("due on the leap day, the day after", [due("2024-02-29")], "2024-03-01", Stage.PAST_DUE),
    # loss: weeks since, the same cuts, and never a trimester again
    ("the day of a loss at 10w0d", [lost("2025-03-12", "2025-10-08")], "2025-03-12",
     Stage.WEEKS_0_6),
    ("the day before that loss", [lost("2025-03-12", "2025-10-08")], "2025-03-11",
     Stage.TRIMESTER_1),
    ("six weeks after a loss", [lost("2025-03-12", "2025-10-08")], "2025-04-23",
     Stage.WEEKS_6_12),
    ("the due date of a lost pregnancy passes", [lost("2025-03-12", "2025-10-08")], "2025-10-09",
     Stage.WEEKS_26_52),
    ("a loss whose due date was never known", [lost("2025-03-12")], "2025-06-04",
     Stage.WEEKS_12_26),
    # a second pregnancy while the first one's year isn't over: the latest names the stage
    ("second begins in the first's year", [born("2024-06-01"), due("2025-10-08")], "2025-01-01",
     Stage.TRIMESTER_1),
    ("the day before the second begins", [born("2024-06-01"), due("2025-10-08")], "2024-12-31",
     Stage.WEEKS_26_52),
    ("second in its trimester 2", [born("2024-06-01"), due("2025-10-08")], "2025-05-01",
     Stage.TRIMESTER_2),
    ("second past due", [born("2024-06-01"), due("2025-10-08")], "2025-10-09", Stage.PAST_DUE),
    ("second lost early", [born("2024-06-01"), lost("2025-02-12", "2025-10-08")], "2025-02-20",
     Stage.WEEKS_0_6),
    ("second born", [born("2024-06-01"), born("2025-10-01", "2025-10-08")], "2025-11-12",
     Stage.WEEKS_6_12),
    ("between the two births", [born("2024-06-01"), born("2025-10-01", "2025-10-08")],
     "2025-09-30", Stage.TRIMESTER_3),
    ("second with no due date yet", [born("2024-06-01"), due_unknown()], "2025-02-01",
     Stage.UNKNOWN),
    ("three, the latest counts",
     [born("2020-05-05"), lost("2022-01-10", "2022-08-01"), due("2025-10-08")], "2025-08-01",
     Stage.TRIMESTER_3),
    ("three, asked between the first and the second",
     [born("2020-05-05"), lost("2022-01-10", "2022-08-01"), due("2025-10-08")], "2020-06-16",
     Stage.WEEKS_6_12),
]  # fmt: skip


@pytest.mark.parametrize(
    ("story", "given", "when", "then"), SCENARIOS, ids=[row[0] for row in SCENARIOS]
)
def test_stage(story: str, given: list[PregnancyDates], when: str, then: Stage) -> None:
    found = {stage_on(order, on(when)) for order in permutations(given)}
    assert found == {then}, f"{story}: whatever order the pregnancies are stored in"


FORECASTS = [
    # given today is 2025-06-01 and she is due 2025-10-08 (21w4d today)
    ("today itself", [due("2025-10-08")], "2025-06-01", Stage.TRIMESTER_2),
    ("the last day of trimester 2", [due("2025-10-08")], "2025-07-15", Stage.TRIMESTER_2),
    ("the first day of trimester 3", [due("2025-10-08")], "2025-07-16", Stage.TRIMESTER_3),
    ("the day before the due date", [due("2025-10-08")], "2025-10-07", Stage.TRIMESTER_3),
    ("born on the due date", [due("2025-10-08")], "2025-10-08", Stage.WEEKS_0_6),
    ("41 days after the due date", [due("2025-10-08")], "2025-11-18", Stage.WEEKS_0_6),
    ("42 days after the due date", [due("2025-10-08")], "2025-11-19", Stage.WEEKS_6_12),
    ("84 days after the due date", [due("2025-10-08")], "2025-12-31", Stage.WEEKS_12_26),
    ("182 days after the due date", [due("2025-10-08")], "2026-04-08", Stage.WEEKS_26_52),
    ("364 days after the due date", [due("2025-10-08")], "2026-10-07", Stage.WEEKS_52_ON),
    # past due today: nobody knows, so no birth is made up for her
    ("past due today, today", [due("2025-05-31")], "2025-06-01", Stage.PAST_DUE),
    ("past due today, in three months", [due("2025-05-31")], "2025-09-01", Stage.PAST_DUE),
    ("three weeks past due today, in a year", [due("2025-05-11")], "2026-06-01", Stage.PAST_DUE),
    # due today: not past it yet
    ("due today, in six weeks", [due("2025-06-01")], "2025-07-13", Stage.WEEKS_6_12),
    # what has ended is counted from its end, early or late as it was
    ("born early, 42 days later", [born("2025-05-20", "2025-07-01")], "2025-07-01",
     Stage.WEEKS_6_12),
    ("lost, its due date passes", [lost("2025-05-20", "2025-12-01")], "2025-12-02",
     Stage.WEEKS_26_52),
    # nothing is made up for what is not known
    ("due date not known", [due_unknown()], "2025-12-01", Stage.UNKNOWN),
    ("nothing recorded", [], "2025-12-01", Stage.UNKNOWN),
    # a second pregnancy
    ("second is born by then", [born("2024-09-01"), due("2025-10-08")], "2025-11-19",
     Stage.WEEKS_6_12),
    ("second is past due today", [born("2024-06-01"), due("2025-05-31")], "2025-07-01",
     Stage.PAST_DUE),
]  # fmt: skip


@pytest.mark.parametrize(
    ("story", "given", "when", "then"), FORECASTS, ids=[row[0] for row in FORECASTS]
)
def test_forecast(story: str, given: list[PregnancyDates], when: str, then: Stage) -> None:
    today = on(EARLIER_TODAY)
    found = {forecast_stage(order, today=today, on=on(when)) for order in permutations(given)}
    assert found == {then}, f"{story}: whatever order the pregnancies are stored in"


@pytest.mark.parametrize(
    ("weeks", "rest", "coding", "twelve_and_twenty_four"),
    [
        (11, 6, Stage.TRIMESTER_1, Stage.TRIMESTER_1),
        (12, 0, Stage.TRIMESTER_1, Stage.TRIMESTER_2),
        (13, 6, Stage.TRIMESTER_1, Stage.TRIMESTER_2),
        (14, 0, Stage.TRIMESTER_2, Stage.TRIMESTER_2),
        (23, 6, Stage.TRIMESTER_2, Stage.TRIMESTER_2),
        (24, 0, Stage.TRIMESTER_2, Stage.TRIMESTER_3),
        (27, 6, Stage.TRIMESTER_2, Stage.TRIMESTER_3),
        (28, 0, Stage.TRIMESTER_3, Stage.TRIMESTER_3),
    ],
)
def test_the_trimester_scheme_is_a_setting(
    weeks: int, rest: int, coding: Stage, twelve_and_twenty_four: Stage
) -> None:
    """Published schemes differ: 14 and 28 weeks in ICD-10-CM, 12 and 24 on other pages."""
    other = TrimesterScheme(
        name="twelve-twenty-four",
        label="12 and 24 completed weeks",
        second_from=GestationalAge(12 * 7),
        third_from=GestationalAge(24 * 7),
        source="hospital and manual pages",
    )
    day = on("2025-01-01") + timedelta(weeks=weeks, days=rest)
    given = [due("2025-10-08")]
    found = (stage_on(given, day), stage_on(given, day, scheme=other))
    assert found == (coding, twelve_and_twenty_four)


def test_every_scheme_names_itself_and_its_source_and_coding_is_the_default() -> None:
    assert DEFAULT_SCHEME is CODING is SCHEMES["coding"]
    assert [name for name, scheme in SCHEMES.items() if scheme.name != name] == []
    assert [name for name, scheme in SCHEMES.items() if not scheme.source] == []


def test_a_forecast_for_today_is_the_stage_of_today() -> None:
    """Every day of a pregnancy and its first year, except the due date, taken as a birth."""
    given = [born("2024-06-01"), due("2025-10-08")]
    days = [on("2024-06-01") + timedelta(days=n) for n in range(700)]
    days.remove(on("2025-10-08"))
    assert [forecast_stage(given, today=day, on=day) for day in days] == [
        stage_on(given, day) for day in days
    ]


def test_a_forecast_of_a_recorded_birth_never_differs_from_the_stage() -> None:
    given = [born("2025-03-10", "2025-03-17")]
    days = [on("2025-03-20") + timedelta(days=n) for n in range(400)]
    assert [forecast_stage(given, today=on("2025-03-20"), on=day) for day in days] == [
        stage_on(given, day) for day in days
    ]


def test_stages_after_an_end_come_in_their_order_and_last_their_weeks() -> None:
    """Our own cuts: 42, 42, 98 and 182 days, then no end."""
    given, first = [born("2025-03-10")], on("2025-03-10")
    stages = [stage_on(given, first + timedelta(days=n)) for n in range(400)]
    assert {stage: stages.count(stage) for stage in stages} == {
        Stage.WEEKS_0_6: 42,
        Stage.WEEKS_6_12: 42,
        Stage.WEEKS_12_26: 98,
        Stage.WEEKS_26_52: 182,
        Stage.WEEKS_52_ON: 36,
    }
    assert stages == sorted(stages, key=list(Stage).index)


def test_a_loss_and_a_birth_of_one_day_give_the_same_weeks() -> None:
    days = [on("2025-03-10") + timedelta(days=n) for n in range(400)]
    assert [stage_on([lost("2025-03-10")], day) for day in days] == [
        stage_on([born("2025-03-10")], day) for day in days
    ]


def test_twins_entered_twice_are_one_pregnancy() -> None:
    days = [on("2025-01-01") + timedelta(days=n) for n in range(700)]
    once, twice = [due("2025-10-08")], [due("2025-10-08"), due("2025-10-08")]
    assert [stage_on(twice, day) for day in days] == [stage_on(once, day) for day in days]


def test_mode_of_birth_and_number_of_babies_cannot_reach_the_stage() -> None:
    """A caesarean, a vaginal birth, one baby or twins: the stage is a matter of dates alone."""
    assert [field.name for field in fields(PregnancyDates)] == ["due", "ended", "ending"]
