"""Heart rates against published values, worked examples and published mistakes.

Each row begins with the id of the fact it checks. "arithmetic" means plain counting.

Sources:
- Tanaka H et al. J Am Coll Cardiol 2001;37:153-156, checked through Front Physiol 2018,
  doi 10.3389/fphys.2018.00226
- Fox's 220 − age and its error: Med Sci Sports Exerc 2007
- Evenson KR et al. Am J Lifestyle Med 2021;17(1):18-31, doi 10.1177/15598276211052277, tables 2, 4
- Garber CE et al. ACSM position stand. Med Sci Sports Exerc 2011;43(7):1334-1359; ACSM's
  guidelines, 10th and 6th edition, as restated in an open review (PMC8581515, table 1)
- Karvonen's reserve: an exercise laboratory of Whitworth (hs433), and two pages of worked examples
- ACOG Committee Opinion 804 (2020); Mottola et al. 2018, the 2019 Canadian guideline
- Effort targets in pregnancy. Int J Exerc Sci 2020;13(3):1340-1351
- O'Neill ME et al. Br J Sports Med 1992;26(2):121-124
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from clients.rules.heart_rate import (
    FOX,
    HIGHEST,
    OLD_RESERVE,
    RESERVE,
    TANAKA,
    disputed_efforts,
    effort_levels,
    published,
    reserve_percent,
    reserve_rate,
    share_beats,
)
from clients.rules.heart_rate_words import heart_rate_words


@pytest.mark.parametrize(
    ("fact", "formula", "age", "highest"),
    [
        ("7.01 Tanaka 2001", TANAKA, 32, "185.6"),
        ("7.01 Tanaka 2001", TANAKA, 40, "180.0"),
        ("7.01 Tanaka 2001", TANAKA, 30, "187.0"),
        ("7.02 Fox 1971", FOX, 32, "188"),
        ("7.02 they meet at 40", FOX, 40, "180"),
    ],
)
def test_the_highest_by_age(fact: str, formula: str, age: int, highest: str) -> None:
    assert published().formulas[formula].highest(age) == Decimal(highest), fact


def test_a_formula_that_goes_round_under_a_wrong_name_is_not_ours() -> None:
    """7.04: a calculator page prints 217 − 0.85 × age as Tanaka's: 189.8 at 32, not 185.6."""
    wrong = Decimal("217") - Decimal("0.85") * 32
    assert wrong == Decimal("189.8")
    assert {one.highest(32) for one in published().formulas.values()} == {Decimal("185.6"), 188}


@pytest.mark.parametrize(
    ("fact", "age", "row"),
    [
        ("7.03 Tanaka, ± 2 × 11 (Evenson 2021, table 4)", 40, ("208 − 0.7 × age", "158 to 202")),
        ("7.03 Fox, ± 2 × 12 (MSSE 2007)", 40, ("220 − age", "156 to 204")),
    ],
)
def test_the_highest_is_shown_as_a_range(fact: str, age: int, row: tuple[str, str]) -> None:
    found = heart_rate_words(age, None, pregnant=False, limit=None, quiet=False)
    assert row in [(name, between) for name, _, between in found.tables[0].rows], fact


@pytest.mark.parametrize(
    ("fact", "highest", "rest", "percent", "rate"),
    [
        ("7.05 age 20, 220 − age (Whitworth)", "200", 75, 70, "162.5"),
        ("7.06 worked example", "180", 60, 75, "150"),
        ("7.06 worked example", "200", 70, 60, "148"),
        ("7.07 arithmetic, Tanaka", "185.6", 68, 40, "115.04"),
        ("7.07 arithmetic, Tanaka", "185.6", 68, 59, "137.384"),
        ("7.07 arithmetic, Tanaka", "185.6", 68, 60, "138.56"),
        ("7.07 arithmetic, Tanaka", "185.6", 68, 89, "172.664"),
        ("7.08 arithmetic, Fox", "188", 68, 40, "116"),
        ("7.08 arithmetic, Fox", "188", 68, 60, "140"),
        ("7.08 arithmetic, Fox", "188", 68, 89, "174.8"),
        ("7.09 printed as 140 on a page; right is 154", "190", 70, 70, "154"),
    ],
)
def test_a_share_of_the_reserve(
    fact: str, highest: str, rest: int, percent: int, rate: str
) -> None:
    assert reserve_rate(Decimal(highest), rest, percent) == Decimal(rate), fact


def test_a_heart_rate_as_a_share_of_the_reserve() -> None:
    """7.05, the other way round: (150 − 50) ÷ (200 − 50) is 66.7 % (Whitworth)."""
    assert round(reserve_percent(150, Decimal(200), 50), 1) == Decimal("66.7")


BANDS = [
    # fact                                      scale        percent  level
    ("7.10 Garber 2011", RESERVE, 29, ""),
    ("7.10 Garber 2011", RESERVE, 30, "light"),
    ("7.10 Garber 2011", RESERVE, 39, "light"),
    ("7.10 a gap in print: ours is below 40", RESERVE, "39.5", "light"),
    ("7.10 Garber 2011", RESERVE, 40, "moderate"),
    ("7.10 Garber 2011", RESERVE, 59, "moderate"),
    ("7.10 Garber 2011", RESERVE, 60, "vigorous"),
    ("7.10 Garber 2011", RESERVE, 89, "vigorous"),
    ("7.10 Garber 2011", RESERVE, 90, "near her highest"),
    ("7.11 ACSM, 10th edition", HIGHEST, 56, ""),
    ("7.11 ACSM, 10th edition", HIGHEST, 57, "light"),
    ("7.11 ACSM, 10th edition", HIGHEST, 63, "light"),
    ("7.11 ACSM, 10th edition", HIGHEST, 64, "moderate"),
    ("7.11 ACSM, 10th edition", HIGHEST, 76, "moderate"),
    ("7.11 a gap in print: ours is below 77", HIGHEST, "76.5", "moderate"),
    ("7.11 ACSM, 10th edition", HIGHEST, 77, "vigorous"),
    ("7.11 ACSM, 10th edition", HIGHEST, 95, "vigorous"),
    ("7.11 ACSM, 10th edition", HIGHEST, 96, "near her highest"),
    ("7.13 ACSM, 6th edition", OLD_RESERVE, 60, "vigorous"),
    ("7.13 ACSM, 6th edition", OLD_RESERVE, 84, "vigorous"),
    ("7.13 ACSM, 6th edition", OLD_RESERVE, 85, "near her highest"),
]


@pytest.mark.parametrize(("fact", "scale", "percent", "level"), BANDS)
def test_bands_of_intensity(fact: str, scale: str, percent: int | str, level: str) -> None:
    assert published().scales[scale].level(Decimal(percent)) == level, fact


def test_two_editions_call_85_percent_by_two_names_and_each_says_which_it_is() -> None:
    """7.13: vigorous in 2011, near the highest in 2000."""
    scales = [published().scales[code] for code in (RESERVE, OLD_RESERVE)]
    assert [(one.edition, one.level(85)) for one in scales] == [
        ("2011", "vigorous"),
        ("2000", "near her highest"),
    ]


@pytest.mark.parametrize(
    ("fact", "effort", "level"),
    [
        ("7.12 ACSM, 10th edition", 8, None),
        ("7.12 ACSM, 10th edition", 9, "light"),
        ("7.12 ACSM, 10th edition", 11, "light"),
        ("7.12 ACSM, 10th edition", 12, "moderate"),
        ("7.12 ACSM, 10th edition", 13, "moderate"),
        ("7.12 ACSM, 10th edition", 14, "vigorous"),
        ("7.12 ACSM, 10th edition", 17, "vigorous"),
        ("7.12 ACSM, 10th edition", 18, "near her highest"),
    ],
)
def test_numbers_of_the_effort_scale(fact: str, effort: int, level: str | None) -> None:
    assert effort_levels(effort, 32).get("effort") == level, fact


@pytest.mark.parametrize(
    ("fact", "effort", "level"),
    [
        ("3.03 ACOG 804, table", 11, None),
        ("3.03 ACOG 804, table", 12, "moderate"),
        ("3.03 ACOG 804, table", 14, "moderate"),
        ("3.03 ACOG 804, table", 15, None),
    ],
)
def test_what_acog_calls_moderate(fact: str, effort: int, level: str | None) -> None:
    assert effort_levels(effort, 32).get("effort-804") == level, fact


def test_sources_differ_over_14_and_the_page_says_so() -> None:
    """7.12, 13.5: vigorous (ACSM), moderate (ACOG): both stand there with their names."""
    assert 14 in disputed_efforts(32)
    found = heart_rate_words(32, None, pregnant=True, limit=None, quiet=False)
    told = next(one for one in found.cautions if "over 14 " in one)
    assert "vigorous (ACSM, 10th edition)" in told
    assert "moderate (ACOG Committee Opinion 804 (2020)" in told


@pytest.mark.parametrize(
    ("fact", "age", "least", "most"),
    [
        ("3.21 Canada 2019", 28, 125, 146),
        ("3.24 printed “under 29”, read as 29 and under (IJES 2020)", 29, 125, 146),
        ("3.21 Canada 2019", 30, 121, 141),
        ("3.21 Canada 2019", 45, 121, 141),
    ],
)
def test_moderate_while_pregnant_in_canada(fact: str, age: int, least: int, most: int) -> None:
    found = [(one.least, one.most) for one in published().pulses if one.is_for(age)]
    assert found == [(least, most)], fact


def test_acogs_share_of_the_highest_ends_at_140() -> None:
    """3.02: 60–80 % of 220 − age at 32 is 112.8–150.4, usually not above 140 (Evenson 2021)."""
    beats = share_beats(32)
    assert (beats.least, beats.most) == (113, 140)
    assert Decimal("0.8") * (220 - 32) == Decimal("150.4")


def test_the_number_140_is_no_limit_of_ours() -> None:
    """3.06: set in 1985, gone from 1994 to 2015, one table's row since 2020 (Evenson 2021)."""
    found = heart_rate_words(25, 65, pregnant=True, limit=None, quiet=False)
    assert found.limit == ""
    assert [row[1] for row in found.tables[0].rows] == ["125 to 146", "117 to 140"]


@pytest.mark.parametrize(
    ("fact", "age", "effort", "level"),
    [
        ("3.25 IJES 2020", 29, 8, "light"),
        ("3.25 both bands hold 12: the harder one's", 29, 12, "moderate"),
        ("3.25 IJES 2020", 29, 15, "moderate"),
        ("3.25 IJES 2020", 30, 10, "light"),
        ("3.25 both bands hold 11: the harder one's", 31, 11, "moderate"),
        ("3.25 IJES 2020", 30, 14, "moderate"),
    ],
)
def test_effort_that_goes_with_those_bands(fact: str, age: int, effort: int, level: str) -> None:
    found = effort_levels(effort, age)
    assert [found[code] for code in found if code.startswith("effort-2019")] == [level], fact


@pytest.mark.parametrize("age", [25, 35])
def test_that_study_puts_both_ends_of_the_canadian_band_at_moderate_effort(age: int) -> None:
    """3.26: effort = −7.370 + 0.155 × heart rate (IJES 2020)."""
    band = next(one for one in published().pulses if one.is_for(age))
    code = "effort-2019-young" if age < 30 else "effort-2019"
    efforts = [Decimal("-7.370") + Decimal("0.155") * rate for rate in (band.least, band.most)]
    assert [published().scales[code].level(one) for one in efforts] == ["moderate", "moderate"]


def test_ten_times_the_effort_would_be_wrong_while_pregnant_and_no_page_counts_so() -> None:
    """7.22: 11 to 18 beats off (O'Neill 1992); 3.26 gives 12.8 at 130, not 13."""
    assert round(Decimal("-7.370") + Decimal("0.155") * 130, 2) == Decimal("12.78")
    found = heart_rate_words(32, 68, pregnant=True, limit=None, quiet=False)
    assert any("never work out a heart rate from an effort" in one for one in found.cautions)
    assert any("talking" in one for one in found.cautions)


def test_every_value_names_its_source_and_edition() -> None:
    data = published()
    named = [*data.scales.values(), *data.pulses, data.share]
    assert [one for one in named if not (one.source and one.edition)] == []
    assert all(one.source for one in data.formulas.values())
