"""From which day who may train, against published dates and weeks.

Each check names its source. What is asked is in the file beside this one.

Sources:
- ACOG Committee Opinion 579, Definition of term pregnancy (2013, reaffirmed)
- older ACOG/ACSM lists of contraindications: BMC Pregnancy and Childbirth 2015,
  doi 10.1186/s12884-015-0556-6, Table 1
- Mottola et al. 2018, the 2019 Canadian guideline, doi 10.1136/bjsports-2018-100056, Table 2
- CDC, Hear Her campaign: urgent maternal warning signs
- HSE Ireland, exercise after a caesarean; NHS Suffolk and North East Essex booklet
- WHO postnatal guideline (2022); ICD-10-CM chapter 15; MSD Manual, home edition
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from clients.rules.facts import (
    ClearanceFact,
    ClientFacts,
    ConditionFact,
    PregnancyFact,
    ScreeningFact,
    SignFact,
)
from clients.rules.go_ahead import go_ahead
from coach.scheduling.dates import (
    SCHEMES,
    Ending,
    GestationalAge,
    PregnancyDates,
    stage_on,
    term_band,
)
from coach.scheduling.trimesters import TermBand
from coach.scheduling.values import GoAheadWord, Limits, Stage

LMP, DUE = date(2025, 1, 1), date(2025, 10, 8)
BIRTH = date(2025, 3, 10)
"""The reference pregnancy and the reference birth of the other file of dates."""


def age(text: str) -> GestationalAge:
    weeks, rest = text.rstrip("d").split("w")
    return GestationalAge(int(weeks) * 7 + int(rest))


def on_day(weeks: int, days: int = 0) -> date:
    """A day of the reference pregnancy."""
    return LMP + timedelta(weeks=weeks, days=days)


def pregnant(**more: object) -> ClientFacts:
    """The reference pregnancy with a letter until the birth, screened every eighth week."""
    expected = int(str(more.pop("expected", 1)))
    return ClientFacts(
        pregnancies=(PregnancyFact(due=DUE, expected=expected, pk=1),),
        clearances=(ClearanceFact(on_day(8), until_birth=True, pk=1),),
        screenings=tuple(ScreeningFact(on_day(week)) for week in range(8, 44, 8)),
        **more,  # type: ignore[arg-type]  # facts by name, in a test
    )


def recovering(
    mode: str = "vaginal", *, due: date = BIRTH, ending: Ending = Ending.BIRTH
) -> ClientFacts:
    """The reference birth with an examined letter for the year, screened every eighth week."""
    one = PregnancyFact(due=due, ended=BIRTH, ending=ending, birth_mode=mode, pk=1)
    said = BIRTH + timedelta(days=7)
    return ClientFacts(
        pregnancies=(one,),
        clearances=(ClearanceFact(said, until=date(2026, 3, 31), examined="yes", pk=1),),
        screenings=tuple(
            ScreeningFact(said + timedelta(weeks=week), phase="after") for week in range(0, 52, 8)
        ),
    )


@pytest.mark.parametrize(
    ("fact", "at", "band", "word"),
    [
        ("1.27 full term, due date", "40w0d", TermBand.FULL_TERM, GoAheadWord.YES),
        ("1.28 last day of late term", "41w6d", TermBand.LATE_TERM, GoAheadWord.YES),
        ("1.29 first day of postterm", "42w0d", TermBand.POSTTERM, GoAheadWord.WAITING),
    ],
)
def test_from_postterm_on_she_is_asked_after(
    fact: str, at: str, band: TermBand, word: GoAheadWord
) -> None:
    """ACOG Committee Opinion 579; that it waits there is policy of the practice."""
    day = LMP + timedelta(days=age(at).days)
    found = go_ahead(pregnant(), day)
    assert (term_band(age(at)), found.word) == (band, word), fact
    assert found.until_end is found.word.may_train
    assert found.until is None or found.until < LMP + timedelta(weeks=42), fact


@pytest.mark.parametrize(
    ("fact", "facts", "first", "before", "then"),
    [
        (
            "3.11 praevia from 26w0d",
            pregnant(conditions=(ConditionFact("condition:1", "praevia", on_day(20)),)),
            date(2025, 7, 2),
            GoAheadWord.YES,
            GoAheadWord.ON_HOLD,
        ),
        (
            "3.15 twins from 28w0d, the first day of the third trimester (1.23)",
            pregnant(expected=2),
            date(2025, 7, 16),
            GoAheadWord.YES,
            GoAheadWord.WAITING,
        ),
        (
            "3.50 a sign on day 365",
            ClientFacts(
                pregnancies=recovering().pregnancies,
                screenings=(ScreeningFact(date(2026, 3, 1), phase="after"),),
                signs=(SignFact(1, "headache", date(2026, 3, 10)),),
            ),
            date(2026, 3, 10),
            GoAheadWord.NO_LETTER_REQUIRED,
            GoAheadWord.ON_HOLD,
        ),
    ],
    ids=lambda one: one if isinstance(one, str) else "",
)
def test_the_day_on_which_a_rule_begins(
    fact: str, facts: ClientFacts, first: date, before: GoAheadWord, then: GoAheadWord
) -> None:
    day_before = go_ahead(facts, first - timedelta(days=1)).word
    assert (day_before, go_ahead(facts, first).word) == (before, then), fact


@pytest.mark.parametrize(
    ("fact", "facts"),
    [
        ("2.07, 2.14 day 42 (WHO 2022)", recovering()),
        ("2.16 preterm: from the birth, not from the due date", recovering(due=date(2025, 4, 7))),
        ("after a loss as after a birth", recovering("", ending=Ending.LOSS, due=date(2025, 9, 1))),
    ],
    ids=lambda one: one if isinstance(one, str) else "",
)
def test_six_weeks_of_gentle_recovery_end_on_day_42(fact: str, facts: ClientFacts) -> None:
    last, first = (go_ahead(facts, on) for on in (date(2025, 4, 20), date(2025, 4, 21)))
    assert (last.word, last.limits) == (
        GoAheadWord.YES_WITH_LIMITS,
        Limits(gentle_recovery_only=True),
    ), fact
    assert (first.word, first.limits) == (GoAheadWord.YES, Limits()), fact


@pytest.mark.parametrize(
    ("fact", "day", "gentle", "nothing_heavy", "no_flexion", "no_impact"),
    [
        ("6.01 HSE: first six weeks, last day", "2025-04-20", True, True, True, True),
        ("6.01 lifts on day 42", "2025-04-21", False, False, True, True),
        ("6.05 booklet: at least eight weeks", "2025-05-05", False, False, True, True),
        ("6.02 HSE: wound, about twelve weeks, last day", "2025-06-01", False, False, True, True),
        ("6.02 day 84", "2025-06-02", False, False, False, True),
        ("6.03 HSE: three months", "2025-06-10", False, False, False, True),
        ("6.03 HSE: four months, the longer counts", "2025-07-10", False, False, False, True),
        ("18 weeks, policy of the practice, last day", "2025-07-13", False, False, False, True),
        ("18 weeks", "2025-07-14", False, False, False, False),
    ],
)
def test_after_a_caesarean(
    fact: str, day: str, gentle: bool, nothing_heavy: bool, no_flexion: bool, no_impact: bool
) -> None:
    found = go_ahead(recovering("caesarean"), date.fromisoformat(day)).limits
    heavy = [one for one in found.others if one.startswith("lifting nothing heavy")]
    assert (
        found.gentle_recovery_only,
        bool(heavy),
        found.no_loaded_trunk_flexion,
        found.no_impact,
    ) == (gentle, nothing_heavy, no_flexion, no_impact), fact


@pytest.mark.parametrize(
    ("scheme", "second", "third"),
    [
        # 1.21 to 1.23, ICD-10-CM chapter 15; 1.24, other cuts on hospital and manual pages
        ("coding", date(2025, 4, 9), date(2025, 7, 16)),
        ("leaflet-ordinal", date(2025, 3, 26), date(2025, 7, 16)),
        ("manual", date(2025, 4, 2), date(2025, 6, 25)),
    ],
)
def test_trimesters_by_a_named_scheme(scheme: str, second: date, third: date) -> None:
    dates, one_day = [PregnancyDates(due=DUE)], timedelta(days=1)
    days = (second - one_day, second, third - one_day, third)
    assert [stage_on(dates, day, SCHEMES[scheme]) for day in days] == [
        Stage.TRIMESTER_1, Stage.TRIMESTER_2, Stage.TRIMESTER_2, Stage.TRIMESTER_3,
    ]  # fmt: skip
