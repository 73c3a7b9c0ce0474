"""What holds of every history of assessments: above all that "not asked" is never "no".

Checked against a second, slow way of summing up that is written here and shares nothing with the
rules: of each question the last day on which it was answered at all.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from clients.rules.assessment import Measured
from clients.rules.findings import Summary, summary
from clients.rules.impact_tests import ImpactTest, Result, grade, impact_tests
from clients.rules.measured_words import line_of
from tests.clients.assessment_words import EVERYTHING, POSITIONS, QUESTIONS

START = date(2026, 1, 1)
YES_NO = st.sampled_from(["yes", "no"])
TEST = st.sampled_from(list(impact_tests().values()))
ANSWERS = st.dictionaries(st.sampled_from(QUESTIONS), YES_NO)


@st.composite
def tried(draw: st.DrawFn, test: ImpactTest) -> dict[str, Any]:
    """What was written down of one test, all of it or a part."""
    parts = {test.field(one): st.integers(0, 2 * test.amount) for one in test.parts}
    every = st.fixed_dictionaries({}, optional={**parts, test.field("symptom"): YES_NO})
    return draw(every)


@st.composite
def measured(draw: st.DrawFn, pk: int = 1, day: date = START) -> Measured:
    """One assessment: some answers, perhaps a hop and a walk, perhaps a width in millimetres."""
    values: dict[str, Any] = dict(draw(ANSWERS))
    for code in draw(st.sets(st.sampled_from(["hop", "walk"]))):
        values |= draw(tried(impact_tests()[code]))
    if draw(st.booleans()):
        values["width-navel-rest"] = draw(st.integers(-10, 60))
    return Measured(pk, day, values, "Una", "coach", method="calliper", position="crook")


@st.composite
def histories(draw: st.DrawFn) -> list[Measured]:
    """Up to six assessments, each on a day of its own, in any order."""
    days = draw(st.lists(st.integers(0, 300), max_size=6, unique=True))
    return [draw(measured(n + 1, START + timedelta(days=day))) for n, day in enumerate(days)]


def opened(found: Summary) -> dict[str, tuple[date, date]]:
    return {one.code: (one.since, one.day) for one in found.open}


def said(one: Measured, code: str) -> str:
    """What an assessment says of a question or a test; "" for nothing."""
    if code in QUESTIONS:
        return str(one.values.get(code, ""))
    kind, _, name = code.partition("-")
    test = impact_tests()[name]
    if kind == "felt":
        return str(one.values.get(test.field("symptom"), ""))
    felt = one.values.get(test.field("symptom"))
    amounts = [one.values.get(test.field(part)) for part in test.parts]
    if felt == "yes" or any(got is not None and got < test.amount for got in amounts):
        return "yes"
    return "no" if felt == "no" and None not in amounts else ""


def slowly(history: list[Measured], code: str) -> tuple[str, date, date] | None:
    """The last answer to a question, its day, and the first day of the run that it ends."""
    told = [(one.day, said(one, code)) for one in sorted(history, key=lambda one: one.day)]
    answered = [(day, answer) for day, answer in told if answer]
    if not answered:
        return None
    last_day, last = answered[-1]
    since = last_day
    for day, answer in reversed(answered):
        if answer != last:
            break
        since = day
    return last, last_day, since


CODES = (*QUESTIONS, "test-hop", "felt-hop", "test-walk", "felt-walk")


@given(histories())
def test_the_sum_is_the_last_answer_to_each_question(history: list[Measured]) -> None:
    found = summary(history, EVERYTHING)
    assert found.last == max((one.day for one in history), default=None)
    wanted = {code: slowly(history, code) for code in CODES}
    yes = {code: (one[2], one[1]) for code, one in wanted.items() if one and one[0] == "yes"}
    assert opened(found) == yes
    for code in QUESTIONS:
        got = found.answer(code)
        assert (got and (got.answer, got.day, got.since)) == wanted[code]


@given(histories(), st.randoms())
def test_the_order_in_which_they_are_read_changes_nothing(
    history: list[Measured], random: Any
) -> None:
    mixed = list(history)
    random.shuffle(mixed)
    assert summary(mixed, EVERYTHING) == summary(history, EVERYTHING)


@given(histories(), st.data())
def test_taking_out_an_answer_closes_nothing_that_it_did_not_open(
    history: list[Measured], data: st.DataObject
) -> None:
    """Any "no" and any number of any assessment not asked: what was open still is."""
    places = [
        (which, code)
        for which, one in enumerate(history)
        for code, value in one.values.items()
        if value == "no"
    ]
    if not places:
        return
    which, code = data.draw(st.sampled_from(places))
    changed = [without(one, code) if n == which else one for n, one in enumerate(history)]
    before, after = opened(summary(history, EVERYTHING)), opened(summary(changed, EVERYTHING))
    assert [one for one in before if one not in after] == []
    assert [one for one in before if after[one][0] > before[one][0]] == []


def without(one: Measured, code: str) -> Measured:
    return replace(one, values={key: value for key, value in one.values.items() if key != code})


@given(histories(), st.integers(301, 400))
def test_an_assessment_that_asked_nothing_only_moves_the_last_day(
    history: list[Measured], day: int
) -> None:
    width = {"width-navel-rest": 20, "effort": 3, "pulse": 70}
    silent = Measured(99, START + timedelta(days=day), width, method="calliper")
    before, after = summary(history, EVERYTHING), summary([*history, silent], EVERYTHING)
    assert opened(after) == opened(before)
    assert [after.answer(code) for code in QUESTIONS] == [before.answer(code) for code in QUESTIONS]
    assert after.last == silent.day


@given(histories(), st.data())
def test_a_symptom_is_open_at_once_whether_finished_or_not(
    history: list[Measured], data: st.DataObject
) -> None:
    code, finished = data.draw(st.sampled_from(QUESTIONS)), data.draw(st.booleans())
    one = Measured(99, START + timedelta(days=301), {code: "yes"}, finished=finished)
    found = summary([*history, one], EVERYTHING)
    assert opened(found)[code][1] == one.day
    assert found.last == (one.day if finished else summary(history, EVERYTHING).last)


@given(histories(), st.data())
def test_what_is_not_finished_closes_nothing_and_moves_no_last_day(
    history: list[Measured], data: st.DataObject
) -> None:
    one = replace(data.draw(measured(99, START + timedelta(days=301))), finished=False)
    before, after = summary(history, EVERYTHING), summary([*history, one], EVERYTHING)
    assert after.last == before.last
    assert [code for code in opened(before) if code not in opened(after)] == []


@given(histories())
def test_what_is_kept_for_lists_is_the_same_when_read_back(history: list[Measured]) -> None:
    found = summary(history, EVERYTHING)
    assert Summary.of(found.stored) == found


@given(st.data())
def test_no_value_taken_out_of_a_test_makes_it_a_pass(data: st.DataObject) -> None:
    test = data.draw(TEST)
    values = data.draw(tried(test))
    if grade(test, values) is Result.PASS:
        assert set(values) == {*map(test.field, test.parts), test.field("symptom")}
    for code in values:
        left = {key: value for key, value in values.items() if key != code}
        assert grade(test, left) is not Result.PASS


@given(st.data())
def test_a_symptom_fails_any_test_and_so_does_one_leg_short(data: st.DataObject) -> None:
    test = data.draw(TEST)
    values = data.draw(tried(test))
    assert grade(test, {**values, test.field("symptom"): "yes"}) is Result.FAIL
    whole: Mapping[str, Any] = {test.field(part): test.amount for part in test.parts}
    part = data.draw(st.sampled_from(test.parts))
    short = {**whole, test.field("symptom"): "no", test.field(part): test.amount - 1}
    assert grade(test, short) is Result.FAIL


WAYS = st.fixed_dictionaries(
    {
        "by": st.sampled_from(["Una", "Bríd"]),
        "who": st.sampled_from(["coach", "client", "clinician"]),
        "method": st.sampled_from(["", "fingers", "calliper", "tape", "ultrasound"]),
        "position": st.sampled_from(["", *POSITIONS.values()]),
        "finger_mm": st.sampled_from([None, 14, 16]),
    }
)


@given(WAYS, WAYS)
def test_two_ways_of_measuring_are_never_one_line(
    one: dict[str, Any], other: dict[str, Any]
) -> None:
    """One line: one method and one position, and in fingers one person in one unit."""
    first, second = (Measured(1, START, {"width-navel-rest": 2}, **way) for way in (one, other))
    if line_of(first) != line_of(second):
        return
    assert (one["method"], one["position"]) == (other["method"], other["position"])
    assert first.shown_in == second.shown_in
    if one["method"] == "fingers":
        assert (one["who"], one["by"]) == (other["who"], other["by"])


@given(st.integers(0, 20), st.integers(5, 30))
def test_fingers_become_millimetres_by_that_finger_alone(halves: int, mm: int) -> None:
    counted = Measured(1, START, {"width-navel-rest": halves / 2}, method="fingers")
    assert (counted.shown("navel"), counted.shown_in) == (halves / 2, "fingers")
    known = replace(counted, finger_mm=mm)
    assert (known.shown("navel"), known.shown_in) == (halves * mm / 2, "mm")
    assert replace(known, method="calliper").shown("navel") == halves / 2
