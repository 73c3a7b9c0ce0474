"""Heart rates: bands without gap or overlap, her clinician's limit first, and what is not known."""

from __future__ import annotations

import copy
import itertools
import tomllib
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.template.loader import render_to_string
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from clients.models import Client
from clients.queries.heart_rate import heart_rate_of
from clients.rules.heart_rate import (
    HIGHEST,
    RESERVE,
    TANAKA,
    age_on,
    highest_beats,
    published,
    read_published,
    reserve_beats,
    reserve_percent,
    reserve_rate,
)
from clients.rules.heart_rate_words import HeartRate, heart_rate_words
from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.values import Limits
from tests import factories, factories_clearance
from tests.clients.pages import too_much

TODAY = date(2026, 12, 3)
DATA = Path("clients/data/heart_rate.toml")
PLAIN: dict[str, Any] = {"pregnant": False, "limit": None, "quiet": False}


def words(age: int | None = 32, rest: int | None = 68, **values: Any) -> HeartRate:
    return heart_rate_words(age, rest, **{**PLAIN, **values})


def cells(found: HeartRate) -> dict[str, tuple[str, ...]]:
    """The bands by level, of the last table."""
    return {row[0]: row[1:] for row in found.tables[-1].rows}


@given(st.integers(18, 81), st.integers(40, 110), st.integers(30, 230))
def test_every_beat_lies_in_the_one_band_that_its_share_of_the_reserve_says(
    age: int, rest: int, beat: int
) -> None:
    scale, highest = published().scales[RESERVE], published().formulas[TANAKA].highest(age)
    bands = reserve_beats(scale, highest, rest)
    holding = [b.level for b in bands if b.least <= beat and (b.most is None or beat <= b.most)]
    level = scale.level(reserve_percent(beat, highest, rest))
    assert holding == ([level] if level else [])


@given(st.integers(18, 81))
def test_bands_of_the_highest_follow_each_other_without_a_gap(age: int) -> None:
    bands = highest_beats(published().scales[HIGHEST], published().formulas[TANAKA].highest(age))
    assert [one.most for one in bands[:-1]] == [one.least - 1 for one in bands[1:]]
    assert bands[-1].most is None


@given(st.integers(18, 81), st.integers(40, 110), st.integers(0, 100))
def test_a_share_of_the_reserve_and_back(age: int, rest: int, percent: int) -> None:
    highest = published().formulas[TANAKA].highest(age)
    rate = reserve_rate(highest, rest, percent)
    assert round(reserve_percent(rate, highest, rest), 9) == percent


@pytest.mark.parametrize("rest", [0, -60, 186, 200])
def test_a_pulse_at_rest_that_is_not_below_the_highest_is_refused(rest: int) -> None:
    with pytest.raises(ValueError, match="pulse at rest"):
        reserve_rate(Decimal("185.6"), rest, 50)


@pytest.mark.parametrize(
    ("born", "on", "years"),
    [
        (date(1994, 12, 3), date(2026, 12, 3), 32),
        (date(1994, 12, 4), date(2026, 12, 3), 31),
        (date(1996, 2, 29), date(2027, 2, 28), 30),
        (date(1996, 2, 29), date(2027, 3, 1), 31),
    ],
)
def test_completed_years(born: date, on: date, years: int) -> None:
    assert age_on(born, on) == years


def test_ranges_are_whole_numbers_and_their_heads_say_about() -> None:
    assert words().tables[-1].heads == (
        "level", "rest to highest, about", "of the highest, about",
    )  # fmt: skip
    assert cells(words()) == {
        "Light": ("104 to 115", "106 to 118"),
        "Moderate": ("116 to 138", "119 to 142"),
        "Vigorous": ("139 to 173", "143 to 178"),
        "Near her highest": ("174 on", "179 on"),
    }


def test_her_clinicians_limit_stands_first_and_cuts_every_number() -> None:
    found = words(limit=138)
    assert found.limit == "Her clinician’s limit: at most 138 beats a minute."
    assert cells(found)["Moderate"] == ("116 to 138", "119 to 138")
    assert cells(found)["Vigorous"] == ("above her limit", "above her limit")


@given(st.integers(18, 81), st.integers(40, 110), st.integers(60, 200), st.booleans())
def test_no_band_goes_above_the_limit(age: int, rest: int, limit: int, pregnant: bool) -> None:
    bands = words(age, rest, limit=limit, pregnant=pregnant).tables[-1].rows
    told = [cell for row in bands for cell in row[1:] if cell[0].isdigit()]
    assert [cell for cell in told if int(cell.split()[-1]) > limit] == []


def test_the_limit_is_said_though_nothing_else_is_known() -> None:
    found = words(None, None, pregnant=None, limit=140)
    assert found.limit == "Her clinician’s limit: at most 140 beats a minute."
    assert found.tables == ()
    assert found.missing == (
        "Her date of birth is not known: no heart rate is worked out.",
        "Her stage is not known: no heart rate is shown.",
    )


def test_without_a_pulse_at_rest_only_bands_of_the_highest_are_worked_out() -> None:
    found = words(rest=None)
    assert {row[0] for row in cells(found).values()} == {"not known"}
    assert cells(found)["Moderate"][1] == "119 to 142"
    assert len(found.missing) == 1


def test_a_pulse_at_rest_above_the_highest_is_not_worked_with() -> None:
    found = words(75, 180)
    assert {row[0] for row in cells(found).values()} == {"not known"}
    assert found.missing == (
        "A pulse of 180 at rest is fast: count it again, and ask her clinician.",
    )


@pytest.mark.parametrize(("age", "shown"), [(17, 0), (18, 2), (81, 2), (82, 0)])
def test_the_sums_hold_for_adults_alone(age: int, shown: int) -> None:
    found = words(age)
    assert (len(found.tables), len(found.missing)) == (shown, 0 if shown else 1)


def test_while_carrying_published_ranges_stand_beside_each_other_and_effort_comes_first() -> None:
    found = words(rest=None, pregnant=True)
    assert [row[:2] for row in found.tables[0].rows] == [
        ("Moderate", "121 to 141"),
        ("Moderate", "113 to 140"),
    ]
    assert found.missing == ()
    assert found.cautions[0].startswith("Go by how hard it feels")
    assert "O’Neill and others 1992" in found.cautions[1]


def test_the_pulse_at_rest_changes_nothing_while_carrying() -> None:
    assert words(rest=60, pregnant=True).tables == words(rest=90, pregnant=True).tables


def test_a_quiet_page_holds_no_word_that_it_may_not() -> None:
    asked = itertools.product(
        (None, 12, 28, 32), (None, 68, 120), (None, True, False), (None, 140), ("", "Waiting.")
    )
    for age, rest, pregnant, limit, not_now in asked:
        found = heart_rate_words(
            age, rest, pregnant=pregnant, limit=limit, quiet=True, not_now=not_now
        )
        page = render_to_string("clients/_heart_rate.html", {"heart_rate": found}).casefold()
        assert [word for word in NEVER_IF_QUIET if word in page] == []


BROKEN = [
    ("scale", {"code": "effort"}, "reserve"),
    ("scale", {"source": ""}, "reserve"),
    ("scale", {"of": "breath"}, "reserve"),
    ("scale", {"bands": []}, "reserve"),
    ("scale", {"bands": [["light", 30, 40], ["moderate", 41, 60]]}, "reserve"),
    ("scale", {"bands": [["light", 30], ["moderate", 40, 60]]}, "reserve"),
    ("scale", {"bands": [["light", 40, 30]]}, "reserve"),
    ("formula", {"code": "fox"}, "fox"),
    ("formula", {"slope": 0}, "tanaka"),
    ("formula", {"source": ""}, "tanaka"),
    ("pulse", {"least": 150}, "moderate"),
    ("pulse", {"source": ""}, "moderate"),
]


@pytest.mark.parametrize(("kind", "changed", "named"), BROKEN)
def test_a_broken_table_is_refused_with_the_row_named(
    kind: str, changed: dict[str, Any], named: str
) -> None:
    data = copy.deepcopy(tomllib.loads(DATA.read_text()))
    data[kind][0] |= changed
    with pytest.raises(ValueError, match="not sound") as refused:
        read_published(data)
    assert repr(changed.get("code", named)) in str(refused.value)


def test_a_share_of_a_formula_that_there_is_not_is_refused() -> None:
    data = tomllib.loads(DATA.read_text())
    data["share"]["formula"] = "guess"
    with pytest.raises(ValueError, match="'share' is not sound"):
        read_published(data)


@pytest.fixture
def meret(practice: Any) -> Client:
    """Born 1994, after a birth, with a letter that limits her heart rate."""
    client = factories.client("Meret A.", birth_date=date(1994, 5, 1))
    factories.pregnancy(client, ended=date(2026, 6, 1), ending="birth")
    limits = Limits(heart_rate_at_most=140)
    factories_clearance.clearance(
        client, date(2026, 11, 1), word="limits", limits=limits, examined="yes"
    )
    factories_clearance.screening(client, date(2026, 11, 1), phase="after")
    return client


def test_her_latest_pulse_age_and_letter_are_taken_and_each_assessment_costs_nothing(
    meret: Client,
) -> None:
    with CaptureQueriesContext(connection) as none:
        assert heart_rate_of(meret, TODAY) == words(rest=None, limit=140)
    for day, pulse in ((date(2026, 11, 2), 68), (date(2026, 10, 1), 90)):
        factories_clearance.assessment(meret, day, pulse=pulse)
    factories_clearance.assessment(meret, date(2026, 11, 9), effort=4)
    with CaptureQueriesContext(connection) as three:
        assert heart_rate_of(meret, TODAY) == words(limit=140)
    assert (len(none), len(three)) == (10, 10)


def test_unfinished_and_withdrawn_pulses_and_those_after_the_day_count_for_nothing(
    meret: Client,
) -> None:
    factories_clearance.assessment(meret, date(2026, 11, 2), pulse=68)
    factories_clearance.assessment(meret, date(2026, 11, 20), pulse=80, finished=False)
    taken_back = factories_clearance.assessment(meret, date(2026, 11, 21), pulse=81)
    taken_back.withdrawn_on = date(2026, 11, 22)
    taken_back.save()
    factories_clearance.assessment(meret, date(2026, 11, 30), pulse=82)
    assert heart_rate_of(meret, date(2026, 11, 25)) == words(limit=140)


def test_on_hold_there_is_no_number_to_train_by_but_the_limit_stands(meret: Client) -> None:
    factories_clearance.assessment(meret, date(2026, 11, 2), pulse=68)
    factories_clearance.sign(meret, date(2026, 12, 2))
    found = heart_rate_of(meret, TODAY)
    assert (found.limit, found.tables) == (words(limit=140).limit, ())
    assert found.missing == ("Her go-ahead says “on hold”: no heart rate to train by.",)


def test_her_effort_limit_never_becomes_a_heart_rate(practice: Any) -> None:
    def of(limits: Limits) -> HeartRate:
        client = factories.client(birth_date=date(1994, 5, 1))
        factories.pregnancy(client, due=date(2027, 3, 1))
        word = "limits" if limits != Limits() else "go-ahead"
        factories_clearance.clearance(client, date(2026, 11, 1), word=word, limits=limits)
        factories_clearance.screening(client, date(2026, 11, 1))
        return heart_rate_of(client, TODAY)

    free = of(Limits())
    assert len(free.tables) == 1
    assert of(Limits(effort_at_most=6)) == free


def test_a_client_of_whom_nothing_is_known(practice: Any) -> None:
    found = heart_rate_of(factories.client(), TODAY)
    assert (found.limit, found.tables) == ("", ())
    assert len(found.missing) == 3


def test_it_stands_on_the_page_of_her_assessments_folded_but_for_the_limit(
    meret: Client, browser: Browser
) -> None:
    factories_clearance.assessment(meret, date(2026, 11, 2), pulse=68)
    page = browser.get(reverse("clients:assessments", args=[meret.pk]))
    text = page.content.decode()
    shown, folded = text.split("<summary>Ranges, with their sources</summary>")
    assert words(limit=140).limit in shown
    assert "116 to 138" in folded.split("</details>")[0]


@pytest.mark.parametrize("carries", [True, False])
def test_her_page_is_quiet_where_she_is(practice: Any, browser: Browser, carries: bool) -> None:
    client = factories.client(quiet=True, birth_date=date(1994, 5, 1))
    dates = {"due": date(2027, 3, 1)} if carries else {"ended": date(2026, 3, 1), "ending": "loss"}
    factories.pregnancy(client, **dates)
    factories_clearance.clearance(client, date(2026, 11, 1), examined="yes")
    factories_clearance.screening(
        client, date(2026, 11, 1), phase="pregnant" if carries else "after"
    )
    page = browser.get(reverse("clients:assessments", args=[client.pk]))
    assert "Ranges, with their sources" in page.content.decode()
    assert too_much(page) == []
