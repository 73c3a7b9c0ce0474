"""An assessment in words, and which two can be compared."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from clients.rules.assessment import Catalogue, Measured, Own
from clients.rules.measured_words import in_unit, line_of, told_of, way_words
from clients.rules.measuring import default_sites

DAY = date(2026, 11, 24)
KNOWN = Catalogue(default_sites(), {3: Own(3, "Side plank", "s", "more")})
IN_MM = Measured(1, DAY, {"width-navel-rest": 28}, "Una", "coach", "calliper", "crook")
IN_FINGERS = Measured(
    2, DAY, {"width-navel-rest": 2.5}, "Una", "coach", "fingers", "crook", finger_mm=16
)


def told(**values: Any) -> list[str]:
    found = {code.replace("_", "-"): value for code, value in values.items()}
    return told_of(replace(IN_MM, values=found), KNOWN)


def test_everything_measured_is_told_in_the_order_in_which_it_is_taken() -> None:
    assert told(
        own_3=40, effort=5, total_iciq=13, pulse=64, tension="gives", leaking="no", doming="yes",
        width_navel_lift=21, width_below45_rest=-2, width_above45_rest=14.5,
    ) == [
        "14.5 mm 4.5 cm above the navel", "21 mm at the navel on a head lift",
        "−2 mm 4.5 cm below the navel", "doming", "no leaking", "gives a little",
        "effort 5 of 10", "64 beats a minute at rest", "ICIQ-UI SF 13 (severe)",
        "Side plank 40 s",
    ]  # fmt: skip


def test_what_was_not_asked_is_not_told() -> None:
    assert told(width_navel_rest=20) == ["20 mm at the navel"]


def test_tests_are_counted_when_passed_and_named_when_not() -> None:
    passed = {"test_stand_left": 10, "test_stand_right": 12, "test_stand_symptom": "no"}
    assert told(**passed) == ["1 test passed"]
    failed = {"test_hop_left": 9, "test_hop_right": 10, "test_hop_symptom": "no"}
    begun = {"test_squat_left": 10, "test_squat_symptom": "no"}
    assert told(**passed, **failed, **begun) == [
        "1 test passed", "squat on one leg: incomplete", "hop on the spot: fail",
    ]  # fmt: skip
    assert [*told(**passed), "symptoms the day after"] == told_of(
        replace(IN_MM, values={k.replace("_", "-"): v for k, v in passed.items()}
                | {"next_day": "yes", "next_day_on": "2026-11-25"}), KNOWN,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("one", "way", "width"),
    [
        (IN_MM, "calliper, on her back, knees bent", "28 mm at the navel"),
        # Facts 5.19: fingers turn into millimetres only with that person's own finger:
        # 2.5 fingers of 16 mm are 40 mm.
        (
            IN_FINGERS,
            "finger-widths, a finger of 16 mm, on her back, knees bent",
            "40 mm at the navel",
        ),
        (
            replace(IN_FINGERS, finger_mm=None),
            "finger-widths, on her back, knees bent",
            "2.5 fingers at the navel",
        ),
        (replace(IN_MM, method="", position=""), "", "28 mm at the navel"),
    ],
)
def test_how_it_was_taken_and_in_which_unit(one: Measured, way: str, width: str) -> None:
    assert (way_words(one), told_of(one, KNOWN)) == (way, [width])


@pytest.mark.parametrize(
    ("other", "same"),
    [
        (replace(IN_FINGERS, day=date(2026, 12, 1), by=" una "), True),
        (replace(IN_FINGERS, by="Ottilie"), False),
        (replace(IN_FINGERS, who="client"), False),
        (replace(IN_FINGERS, finger_mm=None), False),
        (replace(IN_FINGERS, position="standing"), False),
        (IN_MM, False),
    ],
)
def test_fingers_are_comparable_only_with_those_of_the_same_person(
    other: Measured, same: bool
) -> None:
    assert (line_of(other) == line_of(IN_FINGERS)) is same


def test_millimetres_of_one_method_are_comparable_whoever_measured() -> None:
    assert line_of(replace(IN_MM, by="Ottilie", who="clinician")) == line_of(IN_MM)
    assert line_of(replace(IN_MM, method="ultrasound")) != line_of(IN_MM)


def test_a_width_is_told_beside_the_one_taken_in_the_same_way_and_no_other() -> None:
    was = replace(IN_MM, values={"width-navel-rest": 31})
    assert told_of(IN_MM, KNOWN, was) == ["28 mm at the navel, was 31"]
    assert told_of(IN_MM, KNOWN, replace(was, method="tape")) == ["28 mm at the navel"]


def test_one_finger_is_one() -> None:
    assert [in_unit(n, "fingers") for n in (1, 1.5, 0)] == ["1 finger", "1.5 fingers", "0 fingers"]
