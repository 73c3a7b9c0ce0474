"""Where a chart's points stand, and the distances as a table."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest

from clients.rules.assessment import Measures
from clients.rules.chart import Series, draw
from clients.rules.distances import distances, weeks_words
from clients.rules.happened import Measured
from coach.scheduling.dates import Ending, PregnancyDates

FIRST = date(2026, 8, 1)


def days(n: int) -> date:
    return FIRST + timedelta(days=n)


def series(*values: float) -> Series:
    return Series("here", tuple((days(10 * n), value) for n, value in enumerate(values)))


def test_nothing_measured_is_no_chart() -> None:
    assert draw([], [], "mm") is None
    assert draw([Series("here", ())], [], "mm") is None


@pytest.mark.parametrize(
    ("values", "scale"),
    [
        ((22, 24, 29, 34), [20, 25, 30, 35]),
        ((20,), [20, 21]),
        ((0, 0), [0, 1]),
        ((-5, 10), [-5, 0, 5, 10]),
        ((2, 150), [0, 50, 100, 150]),
    ],
)
def test_the_scale_is_round_and_holds_every_value(
    values: tuple[float, ...], scale: list[int]
) -> None:
    chart = draw([series(*values)], [], "mm")
    assert chart is not None
    assert [int(text.words) for text in chart.texts if text.words.lstrip("-").isdigit()] == scale


def test_days_keep_their_distances_and_values_their_heights() -> None:
    points = ((days(0), 20.0), (days(10), 30.0), (days(40), 40.0))
    chart = draw([Series("here", points)], [], "mm")
    assert chart is not None
    numbers = [int(one) for one in chart.lines[0].path[1:].split()]
    places = list(zip(numbers[::2], numbers[1::2], strict=True))
    (x0, y0), (x1, y1), (x2, y2) = places
    assert (x2 - x0, y0 - y1) == (4 * (x1 - x0), y1 - y2)
    assert y0 > y1 > y2


def test_words_beneath_do_not_cover_each_other_and_the_last_stays() -> None:
    one = Series("here", tuple((days(n), 20.0) for n in (0, 1, 2, 60, 61)))
    chart = draw([one], [(days(n), f"day {n}") for n in (0, 1, 2, 60, 61)], "mm")
    assert chart is not None
    places = [(text.x, text.words) for text in chart.texts if text.words.startswith("day")]
    assert [words for _, words in places] == ["day 2", "day 61"]
    assert places[1][0] - places[0][0] >= 46


def test_names_beside_the_lines_do_not_cover_each_other() -> None:
    two = [Series(name, ((days(0), 20.0), (days(9), 30.0))) for name in ("one", "two", "three")]
    chart = draw(two, [], "mm")
    assert chart is not None
    heights = [text.y for text in chart.texts if text.words in {"one 30", "two 30", "three 30"}]
    assert [low - high for high, low in pairwise(heights)] == [18, 18]


def test_names_at_the_foot_stay_above_the_words_beneath() -> None:
    three = [Series(name, ((days(0), 30.0), (days(9), 20.0))) for name in ("one", "two", "three")]
    chart = draw(three, [], "mm")
    assert chart is not None
    heights = [text.y for text in chart.texts if text.words in {"one 20", "two 20", "three 20"}]
    assert heights == [142, 160, 178]


def test_it_is_told_in_words_as_well() -> None:
    chart = draw([series(22, 24.5)], [], "mm")
    assert chart is not None
    assert chart.said == "here 22, 24.5 mm"


DUE = date(2027, 2, 21)
RUNNING = PregnancyDates(due=DUE)
ENDED = PregnancyDates(due=DUE, ended=date(2027, 2, 14), ending=Ending.BIRTH)


@pytest.mark.parametrize(
    ("pregnancies", "on", "said"),
    [
        ([RUNNING], date(2026, 11, 24), "27 w"),
        ([ENDED], date(2026, 11, 24), "27 w"),
        ([ENDED], date(2027, 5, 2), "11 w since"),
        ([], date(2027, 5, 2), "–"),
    ],
)
def test_the_week_is_that_of_the_day_measured(
    pregnancies: list[PregnancyDates], on: date, said: str
) -> None:
    """40 weeks lie between day 0 and the due date: 24 November is 89 days before, 27w2d."""
    assert weeks_words(pregnancies, on) == said


def test_the_table_has_the_newest_first_and_leaves_out_who_was_not_measured() -> None:
    measured = [
        Measured(1, days(0), Measures(at_mm=22, above_mm=16), "Una", "video"),
        Measured(2, days(5), Measures(leaking="no"), "Una", "video"),
        Measured(3, days(9), Measures(below_mm=-2), "Una", "in-person"),
    ]
    found = distances(measured, [])
    assert found is not None
    assert [(row.day, row.values, row.how) for row in found.rows] == [
        (days(9), (None, None, -2), "in person"),
        (days(0), (16, 22, None), "on video"),
    ]
    assert [line.look for line in found.chart.lines] == ["first", "second", "third"]
