"""Assessments over time: what shares a line, what is beside it, what was never asked."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from clients.rules.assessment import Catalogue, Measured, Own
from clients.rules.measuring import default_sites
from clients.rules.progress import ChartOf, Progress, glance, progress
from coach.scheduling.dates import Ending, PregnancyDates

DAY = date(2026, 11, 24)
KNOWN = Catalogue(default_sites(), {3: Own(3, "Side plank", "s", "more")})
AFTER = [PregnancyDates(due=date(2026, 6, 1), ended=date(2026, 6, 5), ending=Ending.BIRTH)]


def taken(days: int = 0, method: str = "tape", **values: Any) -> Measured:
    found = {code.replace("_", "-"): value for code, value in values.items()}
    return Measured(days + 1000, DAY + timedelta(days=days), found, "Una", "coach", method, "crook")


def over_time(*measured: Measured, quiet: bool = False) -> Progress:
    return progress(measured, AFTER, KNOWN, quiet=quiet)


def lines(one: ChartOf) -> dict[str, tuple[float, ...]]:
    return {line.name: tuple(value for _, value in line.points) for line in one.chart.lines}


def test_each_site_and_state_has_a_chart_of_its_own() -> None:
    found = over_time(taken(width_navel_rest=28, width_navel_lift=24, width_above45_rest=14))
    assert [one.chart.title for one in found.charts] == [
        "4.5 cm above the navel, at rest", "At the navel, at rest", "At the navel, on a head lift",
    ]  # fmt: skip


def test_different_methods_are_never_one_line() -> None:
    found = over_time(
        taken(-60, width_navel_rest=30), taken(-30, "ultrasound", width_navel_rest=22),
        taken(width_navel_rest=27),
    )  # fmt: skip
    (one,) = found.charts
    assert lines(one) == {"tape or ruler": (30, 27), "ultrasound": (22,)}


def test_fingers_of_two_people_are_two_lines_and_without_a_width_another_chart() -> None:
    """Fingers turn into millimetres only with that person's own finger: 2.5 × 16 mm = 40 mm."""
    una = replace(taken(-30, "fingers", width_navel_rest=2.5), finger_mm=16)
    her = replace(taken(-10, "fingers", width_navel_rest=2), by="Meret", who="client", finger_mm=14)
    unknown = replace(taken(0, "fingers", width_navel_rest=2), by="Dr Roe", who="clinician")
    found = over_time(una, her, unknown)
    assert [(one.chart.unit, lines(one)) for one in found.charts] == [
        ("mm", {"finger-widths, herself": (28,), "finger-widths, Una": (40,)}),
        ("fingers", {"finger-widths": (2,)}),
    ]


def test_what_changed_is_told_in_percent_since_when() -> None:
    """(old − new) ÷ old: 28 to 21 mm is 25.0 % narrower. Arithmetic."""
    (one,) = over_time(taken(-30, width_navel_rest=28), taken(width_navel_rest=21)).charts
    assert "25.0 % narrower than 28 mm on 25 October 2026" in " ".join(one.notes)


def test_not_asked_is_written_out_and_never_a_no() -> None:
    found = over_time(taken(-30, heaviness="no", leaking="yes"), taken(width_navel_rest=20))
    rows = {words: [cell.word for cell in cells] for table in found.answers
            for words, cells in table.rows}  # fmt: skip
    assert rows == {"Leaking": ["yes"], "Heaviness or dragging below": ["no"]}
    assert "Pain below or in the pelvis" in found.never_asked


def test_tests_are_told_by_day_with_the_day_after() -> None:
    passed = {"test_stand_left": 10, "test_stand_right": 10, "test_stand_symptom": "no"}
    one = taken(-1, **passed)
    after = {"next_day": "yes", "next_day_on": "2026-11-24"}
    found = over_time(replace(one, values={**one.values, **after}))
    rows = {words: cells[0].word for words, cells in found.tests[0].rows}
    assert rows == {"Stand on one leg": "pass", "Symptoms the day after": "yes"}


def test_numbers_totals_and_own_measures_say_which_way_is_better() -> None:
    found = over_time(taken(-30, effort=3, pulse=70, total_iciq=13, own_3=20),
                      taken(effort=5, pulse=66, total_iciq=8, own_3=35))  # fmt: skip
    by_kind = {one.kind: one for one in found.charts}
    assert set(by_kind) == {"number", "total", "own"}
    assert "More is better." in by_kind["own"].notes
    assert "Less is better." in by_kind["total"].notes
    assert "The last: 8 of 21 (moderate)" in by_kind["total"].notes


@pytest.mark.parametrize(
    ("days_after", "site", "shown"),
    [
        (24 * 7, "below20", True),
        (24 * 7 - 1, "below20", False),
        (27 * 7 - 1, "below20", True),
        (27 * 7, "below20", False),
        (25 * 7, "below45", False),
    ],
)
def test_a_published_range_is_drawn_only_where_site_method_position_and_stage_match(
    days_after: int, site: str, shown: bool
) -> None:
    """Mota and others 2018: 9 to 21 mm, 2 cm below, 24 to 26 weeks after a first birth."""
    born = AFTER[0].ended
    assert born
    one = replace(
        taken(0, "ultrasound", **{f"width_{site}_rest": 20}), day=born + timedelta(days=days_after)
    )
    (drawn,) = over_time(one).charts
    assert bool(drawn.chart.bands) is shown
    if shown:
        text = " ".join(drawn.notes)
        assert "Mota and others 2018" in text
        assert "no diagnosis" in text
    for other in (replace(one, method="tape"), replace(one, position="standing")):
        assert over_time(other).charts[0].chart.bands == ()
    assert progress([one], [*AFTER, *AFTER], KNOWN, quiet=False).charts[0].chart.bands == ()
    assert over_time(one, quiet=True).charts[0].chart.bands == ()


def test_ranges_of_women_who_were_never_pregnant_fit_nobody() -> None:
    """Beer and others 2009 measured women who were never pregnant: no record here tells that."""
    one = replace(taken(0, "ultrasound", width_xiphoid_rest=12), position="flat")
    for dates in ([], AFTER):
        found = progress([one], dates, KNOWN, quiet=False)
        assert found.charts[0].chart.bands == ()


def test_fingers_are_graded_with_a_mark_that_it_is_uncertain() -> None:
    (one,) = over_time(taken(0, "fingers", width_navel_rest=3)).charts
    text = " ".join(one.notes)
    assert "moderate (uncertain, from memory: Sperstad and others 2016" in text
    assert "no diagnosis" in text


def test_the_chart_of_her_page_is_that_at_the_navel() -> None:
    both = taken(width_navel_rest=20, width_above45_rest=14)
    assert (found := glance([both], AFTER, quiet=False))
    assert found.chart.title == "At the navel, at rest"
    assert glance([taken(leaking="no")], AFTER, quiet=False) is None


def test_the_table_beside_has_the_newest_first_with_how_and_who() -> None:
    (one,) = over_time(taken(-30, width_navel_rest=28), taken(width_navel_rest=21)).charts
    way = "tape or ruler, on her back, knees bent"
    assert [(row.day, row.value, row.way, row.who) for row in one.rows] == [
        (DAY, "21 mm", way, "the coach (Una)"),
        (
            DAY - timedelta(days=30),
            "28 mm",
            "tape or ruler, on her back, knees bent",
            "the coach (Una)",
        ),
    ]
