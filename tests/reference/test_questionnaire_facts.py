"""Totals of published questionnaires: range, levels, and what cannot come about.

Scoring is done here anew, from the papers; of a questionnaire's text nothing is kept anywhere.

Sources:
- Klovning A et al. Neurourol Urodyn 2009;28(5):411-415 (ICIQ-UI SF, its levels)
- Barber MD et al. Am J Obstet Gynecol 2005;193:103-113 (PFDI-20), by its page at sralab.org
- Sandvik H et al. J Epidemiol Community Health 1993;47(6):497-499 (severity index, three levels);
  Sandvik 2000 for four levels: from memory, uncertain
- Stuge B et al. Phys Ther 2011;91(7):1096-1108 and 2017;97(11):1103-1113 (Pelvic Girdle
  Questionnaire)
"""

from __future__ import annotations

import itertools
import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from clients.rules.assessment import Catalogue, read
from clients.rules.measuring import default_sites, scheme
from clients.rules.totals import totals

ROOT = Path(__file__).parents[2]
KNOWN = Catalogue(default_sites())


def accepted(code: str) -> set[int]:
    """The whole totals that are taken."""
    return {n for n in range(-5, 400) if not totals()[code].wrong(Decimal(n))}


def test_the_leaking_questionnaire_sums_three_answers() -> None:
    """12.01: frequency 0–5, amount 0, 2, 4 or 6, interference 0–10 (ICIQ-UI SF)."""
    sums = {sum(one) for one in itertools.product(range(6), (0, 2, 4, 6), range(11))}
    assert accepted("iciq") == sums == set(range(22))


@pytest.mark.parametrize(
    ("fact", "total", "level"),
    [
        ("12.01 Klovning 2009", 0, "none"),
        ("12.01 Klovning 2009", 1, "slight"),
        ("12.01 Klovning 2009", 5, "slight"),
        ("12.01 Klovning 2009", 6, "moderate"),
        ("12.01 Klovning 2009", 12, "moderate"),
        ("12.01 worked value: 3 + 4 + 6", 13, "severe"),
        ("12.01 Klovning 2009", 18, "severe"),
        ("12.01 Klovning 2009", 19, "very severe"),
        ("12.01 Klovning 2009", 21, "very severe"),
    ],
)
def test_levels_of_leaking(fact: str, total: int, level: str) -> None:
    assert totals()["iciq"].band(total) == level, fact


@pytest.mark.parametrize("typed", ["22", "-1", "13.5", "3+4+6"])
def test_a_total_that_no_answers_come_to_is_refused(typed: str) -> None:
    """12.01: 22 is refused."""
    with pytest.raises(ValueError, match=r"total|number"):
        read("total-iciq", typed, KNOWN)


def pfdi(*subscales: list[int]) -> Fraction:
    """12.03: the mean of what was answered, 0–4, times 25; the subscales are added."""
    return sum((Fraction(sum(one) * 25, len(one)) for one in subscales), Fraction(0))


@pytest.mark.parametrize(
    ("fact", "subscales", "score"),
    [
        ("12.03 six answers", [[0, 2, 0, 1, 3, 0]], "25.0"),
        ("12.03 eight answers", [[0, 1, 0, 0, 2, 0, 1, 0]], "12.5"),
        ("12.03 six answers", [[2, 3, 0, 4, 0, 0]], "37.5"),
        ("12.03 one of six not answered", [[0, 2, 0, 1, 3]], "30.0"),
        (
            "12.03 all three",
            [[0, 2, 0, 1, 3, 0], [0, 1, 0, 0, 2, 0, 1, 0], [2, 3, 0, 4, 0, 0]],
            "75.0",
        ),
        ("12.03 the most", [[4] * 6, [4] * 8, [4] * 6], "300"),
    ],
)
def test_distress_of_the_pelvic_floor(fact: str, subscales: list[list[int]], score: str) -> None:
    assert pfdi(*subscales) == Fraction(score), fact
    assert read("total-pfdi", score, KNOWN) == float(score), fact


def test_distress_has_no_official_level_and_one_decimal() -> None:
    """12.03, 12.04: no cut-offs; a median of 8.9 is a total."""
    assert {totals()["pfdi"].band(n) for n in (0, 75, 300)} == {""}
    assert read("total-pfdi", "8.9", KNOWN) == 8.9
    for wrong in ("8.95", "300.1", "-0.1"):
        with pytest.raises(ValueError, match=r"decimal|total"):
            read("total-pfdi", wrong, KNOWN)


@pytest.mark.parametrize(
    ("fact", "code", "amounts"),
    [
        ("12.12 Sandvik 1993: frequency 1–4 × amount 1–2", "severity3", (1, 2)),
        ("12.13 Sandvik 2000, from memory: × amount 1–3", "severity4", (1, 2, 3)),
    ],
)
def test_a_severity_index_is_a_product_or_dry(
    fact: str, code: str, amounts: tuple[int, ...]
) -> None:
    products = {often * much for often in range(1, 5) for much in amounts}
    assert accepted(code) == {0} | products, fact


@pytest.mark.parametrize(
    ("fact", "code", "levels"),
    [
        (
            "12.12 slight 1–2, moderate 3–4, severe 6–8",
            "severity3",
            {1: "slight", 2: "slight", 3: "moderate", 4: "moderate", 6: "severe", 8: "severe"},
        ),
        (
            "12.13 slight 1–2, moderate 3–6, severe 8–9, very severe 12",
            "severity4",
            {1: "slight", 2: "slight", 3: "moderate", 4: "moderate", 6: "moderate", 8: "severe",
             9: "severe", 12: "very severe"},
        ),
    ],
)  # fmt: skip
def test_levels_of_the_severity_index(fact: str, code: str, levels: dict[int, str]) -> None:
    one = totals()[code]
    assert {n: one.band(n) for n in accepted(code) - {0}} == levels, fact


def test_six_is_severe_in_one_version_and_moderate_in_the_other_and_neither_hides_it() -> None:
    """12.13, 13.9: the version stands in the name, and the uncertain one says so."""
    three, four = totals()["severity3"], totals()["severity4"]
    assert (three.band(6), four.band(6)) == ("severe", "moderate")
    assert ("three levels" in three.name, "four levels" in four.name) == (True, True)
    assert ("uncertain" in three.source, "uncertain" in four.source) == (False, True)


@pytest.mark.parametrize(
    ("fact", "points", "answered", "percent"),
    [
        ("12.14 all 25 items", 30, 25, "40.0"),
        ("12.14 the 20 of activity", 24, 20, "40.0"),
        ("12.14 the 5 of symptoms", 6, 5, "40.0"),
        ("12.14 one not applicable", 28, 24, "38.9"),
        ("12.14 the most", 75, 25, "100.0"),
    ],
)
def test_the_girdle_questionnaire_is_a_percentage(
    fact: str, points: int, answered: int, percent: str
) -> None:
    """Points of 0–3 an item, as percent of what could be (Stuge 2011), rounded half up."""
    exact = Decimal(points * 100) / Decimal(answered * 3)
    assert exact.quantize(Decimal("0.1"), ROUND_HALF_UP) == Decimal(percent), fact
    assert read("total-pgq", percent, KNOWN) == float(percent), fact


def test_no_instrument_of_mood_is_there() -> None:
    """12.05–12.11: a coach is no clinician; a thought of self-harm is a warning sign."""
    mood = re.compile(
        r"\bEPDS\b|\bPHQ|\bGAD-?[27]\b|Edinburgh Postnatal|Patient Health Quest", re.I
    )
    files = [
        path
        for folder in ("clients", "coach", "content", "templates")
        for path in (ROOT / folder).rglob("*")
        if path.suffix in {".py", ".toml", ".html", ".csv"}
    ]
    assert len(files) > 300
    assert [path.name for path in files if mood.search(path.read_text())] == []
    assert set(totals()) == {"iciq", "pfdi", "severity3", "severity4", "pgq"}


def test_a_total_says_what_it_is_about_and_asks_nothing() -> None:
    """12.01–12.14: licences forbid to reproduce the text; name, range and subject are enough."""
    for one in totals().values():
        assert "?" not in f"{one.name}{one.about}"
        assert len(one.about.split()) <= 4


def test_effort_has_eleven_words_of_our_own_each_another() -> None:
    """12.15: published effort scales are licensed; ours has its own words and goes from 0 to 10."""
    words = scheme().effort
    assert (len(words), len(set(words))) == (11, 11)
