"""Rules of classes: words for stages and hours, states that may be chosen, what comes next."""

from __future__ import annotations

from datetime import date

import pytest

from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.models import State
from content.rules import classes as rules

TODAY = date(2026, 12, 3)
ALL = [str(stage) for stage in SERVABLE_STAGES]


@pytest.mark.parametrize(
    ("typed", "minutes"),
    [
        ("2.5", 150),
        ("2,5", 150),
        (".5", 30),
        ("2", 120),
        ("2 h", 120),
        ("1 hour", 60),
        ("2:30", 150),
        ("2h30", 150),
        (" 2 h 30 min ", 150),
        ("0:05", 5),
        ("45 min", 45),
        ("90m", 90),
        ("1.33", 80),
        ("0", 0),
        ("200", 12_000),
    ],
)
def test_hours_are_read_as_people_type_them(typed: str, minutes: int) -> None:
    assert rules.minutes_from_hours(typed) == minutes


@pytest.mark.parametrize("typed", ["", "two", "-1", "1:75", "1:", ":30:", "2.5.1", "1e3", "٢:٦٠"])
def test_what_is_not_hours_is_refused_with_an_example(typed: str) -> None:
    with pytest.raises(ValueError, match=r"^Write hours like 2\.5 or 2:30\.$"):
        rules.minutes_from_hours(typed)


def test_more_than_two_hundred_hours_are_refused() -> None:
    with pytest.raises(ValueError, match=r"^At most 200 hours\.$"):
        rules.minutes_from_hours("200:01")


@pytest.mark.parametrize("minutes", [0, 1, 59, 60, 61, 150, 720, 12_000])
def test_hours_shown_in_a_form_are_read_back_as_the_same_minutes(minutes: int) -> None:
    assert rules.minutes_from_hours(rules.hours_to_type(minutes)) == minutes
    assert rules.minutes_from_hours(rules.hours_in_words(minutes)) == minutes


@pytest.mark.parametrize(
    ("minutes", "words"), [(0, "0 min"), (45, "45 min"), (120, "2 h"), (150, "2 h 30 min")]
)
def test_hours_in_words(minutes: int, words: str) -> None:
    assert rules.hours_in_words(minutes) == words


@pytest.mark.parametrize(
    ("codes", "words"),
    [
        ([], "stages not known"),
        (ALL, "no stage excluded"),
        (["t3"], "trimester 3"),
        (["t1", "t3"], "trimesters 1 and 3"),
        (["t1", "t2", "t3"], "all trimesters"),
        (["w0-6"], "0–6 weeks since"),
        (["w6-12", "w12-26", "w26-52", "w52-on"], "from 6 weeks since"),
        (["w52-on"], "from 52 weeks since"),
        (["w0-6", "w12-26"], "0–6 and 12–26 weeks since"),
        (["w0-6", "w6-12", "w52-on"], "0–12 and from 52 weeks since"),
        (["t2", "w12-26", "w26-52", "w52-on"], "trimester 2 · from 12 weeks since"),
        (ALL[3:], "any week since"),
        (ALL[1:], "trimesters 2 and 3 · any week since"),
    ],
)
def test_stages_in_words(codes: list[str], words: str) -> None:
    assert rules.stages_in_words(codes) == words


def test_every_stage_a_class_can_be_made_for_has_its_word() -> None:
    assert [code for code in ALL if rules.stages_in_words([code]) == ""] == []
    assert len({rules.stages_in_words([code]) for code in ALL}) == len(ALL)


def test_stages_are_kept_once_and_in_order() -> None:
    assert rules.in_order(["w0-6", "t3", "w0-6", "t1"]) == ["t1", "t3", "w0-6"]


@pytest.mark.parametrize("code", [str(Stage.UNKNOWN), str(Stage.PAST_DUE), "t4"])
def test_no_class_is_made_for_a_stage_that_nobody_can_plan_for(code: str) -> None:
    with pytest.raises(ValueError, match=r"(?i)stage"):
        rules.in_order(["t1", code])


def test_the_states_of_the_rules_are_those_of_the_model() -> None:
    grouped = [state for group in rules.GROUPS for state in group.states]
    assert sorted(grouped) == sorted(State.values)


@pytest.mark.parametrize(
    ("given", "uploaded", "free"),
    [
        ("idea", False, ("idea", "outlined", "filmed", "edited")),
        ("edited", False, ("idea", "outlined", "filmed", "edited")),
        ("filmed", True, ("idea", "outlined", "filmed", "scheduled")),
        ("scheduled", True, ("idea", "outlined", "filmed", "scheduled")),
        ("published", True, ("published",)),
        ("withdrawn", False, ("withdrawn", "idea", "outlined", "filmed", "edited")),
        ("withdrawn", True, ("withdrawn", "published")),
    ],
)
def test_an_edit_can_choose_only_these_states(
    given: str, uploaded: bool, free: tuple[str, ...]
) -> None:
    assert rules.states_to_choose(given, uploaded=uploaded) == free


@pytest.mark.parametrize(
    ("given", "uploaded", "then"),
    [
        ("idea", False, "outlined"),
        ("outlined", False, "filmed"),
        ("filmed", False, "edited"),
        ("filmed", True, "scheduled"),
        ("edited", False, ""),
        ("scheduled", True, ""),
        ("published", True, ""),
        ("withdrawn", False, ""),
    ],
)
def test_the_next_step_of_a_class(given: str, uploaded: bool, then: str) -> None:
    assert rules.next_state(given, uploaded=uploaded) == then


@pytest.mark.parametrize("state", State.values)
@pytest.mark.parametrize("uploaded", [True, False])
def test_the_next_step_is_always_one_that_an_edit_could_choose(state: str, uploaded: bool) -> None:
    then = rules.next_state(state, uploaded=uploaded)
    assert then == "" or then in rules.states_to_choose(state, uploaded=uploaded)


@pytest.mark.parametrize(
    ("state", "day", "act"),
    [
        ("idea", None, "change"),
        ("filmed", date(2026, 12, 4), "change"),
        ("filmed", TODAY, "publish"),
        ("edited", None, "place"),
        ("scheduled", date(2026, 12, 4), ""),
        ("scheduled", TODAY, "publish"),
        ("scheduled", date(2026, 11, 1), "publish"),
        ("published", date(2026, 11, 1), ""),
        ("withdrawn", None, ""),
        ("withdrawn", date(2026, 11, 1), ""),
    ],
)
def test_what_a_class_asks_for(state: str, day: date | None, act: str) -> None:
    assert rules.wanted_act(state, day, today=TODAY) == act


@pytest.mark.parametrize(
    ("state", "left"),
    [
        ("idea", 90),
        ("outlined", 90),
        ("filmed", 90),
        ("edited", 0),
        ("scheduled", 0),
        ("published", 0),
        ("withdrawn", 90),
    ],
)
def test_a_finished_class_needs_no_more_hours(state: str, left: int) -> None:
    assert rules.work_left(state, 90) == left


def test_effort_is_told_for_every_step_of_the_scale_and_never_guessed() -> None:
    words = [rules.effort_in_words(effort) for effort in range(11)]
    assert len(set(words)) == 11
    assert words[4] == "4 of 10: comfortable, chatting"
    assert rules.effort_in_words(None) == "not known"
