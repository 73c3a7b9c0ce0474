"""Unlikely values: asked about once, beside a comparable one, and never refused."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.rules.assessment import Measured
from clients.rules.plausible import questions

DAY = date(2026, 12, 3)


def taken(values: dict[str, Any], **about: Any) -> Measured:
    method = {"method": "calliper", "position": "crook", "who": "coach", "by": "Una"}
    return Measured(1, DAY, values, **{**method, **about})


def width(value: float, **about: Any) -> Measured:
    return taken({"width-navel-rest": value}, **about)


def asked(one: Measured, last: Measured | None = None, *sure: str) -> list[str]:
    return [each.words for each in questions(one, last, sure)]


@pytest.mark.parametrize(
    ("now", "before", "words"),
    [
        (80, None, []),
        (81, None, ["81 mm is very wide: is it right?"]),
        (40, 20, []),
        (41, 20, ["41 mm, and 20 last time: right?"]),
        (20, 41, ["20 mm, and 41 last time: right?"]),
        (-5, 16, ["-5 mm, and 16 last time: right?"]),
        (85, 20, ["85 mm is very wide: is it right?"]),
    ],
)
def test_a_width_in_millimetres(now: float, before: float | None, words: list[str]) -> None:
    last = None if before is None else width(before)
    assert [one.replace("−", "-") for one in asked(width(now), last)] == words


@pytest.mark.parametrize(
    ("now", "before", "words"),
    [
        (5, None, []),
        (5.5, None, ["5.5 fingers is very wide: is it right?"]),
        (4, 2, []),
        (4.5, 2, ["4.5 fingers, and 2 last time: right?"]),
    ],
)
def test_a_width_in_fingers(now: float, before: float | None, words: list[str]) -> None:
    last = None if before is None else width(before, method="fingers")
    assert asked(width(now, method="fingers"), last) == words


@pytest.mark.parametrize(
    "other", [{"method": "tape"}, {"method": "fingers"}, {"position": "standing"}], ids=str
)
def test_widths_taken_in_another_way_are_not_compared(other: dict[str, str]) -> None:
    assert asked(width(60), width(4, **other)) == []


@pytest.mark.parametrize(("pulse", "n"), [(44, 1), (45, 0), (110, 0), (111, 1)])
def test_a_pulse_at_rest(pulse: int, n: int) -> None:
    assert len(asked(taken({"pulse": pulse}))) == n


@pytest.mark.parametrize(("now", "before", "n"), [(8, 3, 0), (9, 3, 1), (0, 6, 1), (9, None, 0)])
def test_an_effort_beside_the_last(now: int, before: int | None, n: int) -> None:
    last = None if before is None else taken({"effort": before}, method="tape")
    assert len(asked(taken({"effort": now}), last)) == n


def test_an_effort_of_nought_is_a_value_and_not_nothing() -> None:
    assert asked(taken({"effort": 6}), taken({"effort": 0})) == ["6, and 0 last time: is it right?"]


def test_what_was_looked_at_again_is_not_asked_again_but_another_value_is() -> None:
    (question,) = questions(width(90), None)
    assert (question.field, question.token) == ("width-navel-rest", "width-navel-rest=90")
    assert asked(width(90), None, question.token) == []
    assert asked(width(91), None, question.token) == ["91 mm is very wide: is it right?"]


def test_each_unlikely_value_is_asked_about_beside_its_own_field() -> None:
    one = taken({"width-navel-rest": 90, "width-above45-lift": 95, "pulse": 30, "effort": 9})
    found = questions(one, taken({"effort": 1}))
    assert [each.field for each in found] == [
        "width-navel-rest", "width-above45-lift", "pulse", "effort",
    ]  # fmt: skip


@given(st.lists(st.integers(-10, 150), min_size=2, max_size=2), st.integers(25, 220))
def test_confirming_everything_leaves_nothing_to_ask(widths: list[int], pulse: int) -> None:
    one = taken({"width-navel-rest": widths[0], "pulse": pulse})
    last = width(widths[1])
    tokens = [each.token for each in questions(one, last)]
    assert questions(one, last, tokens) == []
