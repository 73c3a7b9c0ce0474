"""Readiness for impact: the stories, row by row, and what must hold whatever the story."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from clients.rules import readiness_policy
from clients.rules.impact_tests import impact_tests
from clients.rules.measuring_policy import CONSENSUS, GUIDELINE, Measuring
from clients.rules.readiness import Readiness, ReadinessFacts, readiness
from clients.rules.readiness_policy import in_force, policies, positions, read_data, rules
from clients.rules.words import says_too_much
from coach.scheduling.values import GoAhead, Severity
from tests.clients.readiness_told import Story, Then, read, read_then
from tests.clients.table_words import NotUnderstood

FILE = Path(__file__).parent / "readiness_table.toml"
DATA = Path(readiness_policy.__file__).parent.parent / "data" / "readiness.toml"
TABLE: dict[str, dict[str, Any]] = tomllib.loads(FILE.read_text("utf-8"))
# Named in what the work was to show: these stories are never to drop out of the table.
MUST_BE_THERE = {
    "twelve-weeks", "three-weeks-of-rest", "nine-seconds", "ten-seconds", "one-leg-missing",
    "nineteen-of-twenty", "one-test-never-done", "bleeding-56-and-57", "not-asked-then",
    "caesarean", "caesarean-twelve-weeks", "caesarean-never-before-eight-weeks",
    "caesarean-switched-off",
}  # fmt: skip
PASSED = read([
    "born 10 March 2025 vaginally; due 8 March 2025", "cleared 28 April 2025", "tests 1 June 2025",
])  # fmt: skip
ON = date(2025, 6, 11)


@dataclass(frozen=True)
class Case:
    """One day of one row."""

    story: Story
    then: Then

    @property
    def answer(self) -> Readiness:
        return self.story.answer(self.then.on)


def cases() -> Iterator[Any]:
    for name, row in TABLE.items():
        story = read(row["given"])
        for line in row["then"]:
            yield pytest.param(Case(story, read_then(line)), id=f"{name}: {line}")


CASES = list(cases())


def kinds(found: Readiness) -> tuple[str, ...]:
    return tuple(one.kind for one in found.missing)


# The stories


@pytest.mark.parametrize("case", CASES)
def test_what_is_missing_on_that_day(case: Case) -> None:
    found, then = case.answer, case.then
    assert kinds(found) == then.missing
    text = " ".join(f"{one.reason} {one.mend}" for one in found.missing).casefold()
    assert then.says.casefold() in text
    cautions = {one.kind for one in found.cautions}
    assert set(then.cautions or ()) <= cautions
    assert then.cautions != () or cautions == set()
    assert found.unchecked == then.unchecked


def test_every_story_says_where_it_is_from_and_none_dropped_out() -> None:
    assert [name for name, row in TABLE.items() if not row["source"] or not row["words"]] == []
    assert MUST_BE_THERE - set(TABLE) == set()


@pytest.mark.parametrize("case", CASES)
def test_everything_missing_has_a_source_and_what_would_mend_it(case: Case) -> None:
    assert [one.kind for one in case.answer.missing if not (one.source and one.mend)] == []
    assert len(set(kinds(case.answer))) == len(case.answer.missing)


@pytest.mark.parametrize("case", CASES)
def test_no_answer_ever_says_ready(case: Case) -> None:
    found = case.answer
    told = [found.sentence, *(one.reason for one in (*found.missing, *found.cautions))]
    assert [words for words in told if "ready" in words.casefold()] == []
    asked = found.policy.title
    start = "Missing under" if found.missing else "Nothing missing under"
    assert found.sentence == f"{start} {asked}"


@pytest.mark.parametrize("case", CASES)
def test_a_quiet_client_s_answer_is_the_same_in_words_her_page_may_hold(case: Case) -> None:
    story = replace(case.story, facts=replace(case.story.facts, quiet=True))
    found = story.answer(case.then.on)
    told = [found.sentence, found.policy.words, found.policy.source]
    for one in (*found.missing, *found.cautions):
        told += [one.reason, one.source, getattr(one, "mend", "")]
    assert [words for words in told if says_too_much(words)] == []
    assert kinds(found) == case.then.missing


@pytest.mark.parametrize(
    "line",
    [
        "tests 1 June 2025; hop middle 9",
        "tests 1 June 2025; leaking perhaps",
        "practice chooses 2030",
        "practice chooses own; hop often",
        "cleared some day",
    ],
)
def test_a_line_that_says_something_unknown_is_refused(line: str) -> None:
    with pytest.raises(NotUnderstood):
        read([line])


# What must hold whatever the story


def without(*, code: str) -> ReadinessFacts:
    """Everything passed, one value never asked or done."""
    facts = PASSED.facts_on(ON)
    one = facts.measured[0]
    values = {key: value for key, value in one.values.items() if key != code}
    return replace(facts, measured=(replace(one, values=values),))


ASKED = sorted(PASSED.measured[0].values)


@pytest.mark.parametrize("code", [one for one in ASKED if one != "next_day_on"])
def test_any_one_value_not_asked_is_missing_and_never_a_no(code: str) -> None:
    assert kinds(readiness(PASSED.facts_on(ON), ON)) == ()
    assert len(readiness(without(code=code), ON).missing) == 1


@pytest.mark.parametrize("code", [one for one in ASKED if PASSED.measured[0].values[one] == "no"])
def test_any_one_yes_is_missing(code: str) -> None:
    facts = PASSED.facts_on(ON)
    one = facts.measured[0]
    said = replace(facts, measured=(replace(one, values={**one.values, code: "yes"}),))
    assert len(readiness(said, ON).missing) == 1


def test_facts_that_say_nothing_are_never_nothing_missing() -> None:
    for code in policies():
        assert readiness(ReadinessFacts(), ON, Measuring(readiness=code)).missing
    nobody = replace(PASSED.facts_on(ON), go_ahead=GoAhead(ON))
    assert kinds(readiness(nobody, ON)) == ("go-ahead",)


def test_the_guideline_is_the_strictest_for_every_day() -> None:
    for day in range(200):
        on = date(2025, 3, 10) + timedelta(days=day)
        strict = set(kinds(readiness(PASSED.facts_on(on), on, Measuring(readiness=GUIDELINE))))
        other = set(kinds(readiness(PASSED.facts_on(on), on, Measuring(readiness=CONSENSUS))))
        assert other <= strict


def test_where_her_date_is_earlier_the_time_waits_for_it() -> None:
    """Her 1 June is the coach's 2 June: the twelve weeks are over for both or not at all."""
    on = date(2025, 6, 2)
    found = readiness(PASSED.facts_on(on), on, earlier=date(2025, 6, 1))
    assert (kinds(found), kinds(readiness(PASSED.facts_on(on), on))) == (("time",), ())


def test_a_wait_stops_nobody_and_bleeding_beyond_eight_weeks_does() -> None:
    story = read([
        "born 10 March 2025 vaginally; due 8 March 2025", "cleared 28 April 2025",
        "tests 1 June 2025; bleeding yes; leaking yes",
    ])  # fmt: skip
    found = {one.kind: one.severity for one in story.answer(ON).missing}
    assert found == {"leaking": Severity.WAIT, "bleeding": Severity.STOP}


def test_it_tells_each_test_with_its_latest_result() -> None:
    story = read([
        "born 10 March 2025 vaginally; due 8 March 2025", "cleared 28 April 2025",
        "tests 1 June 2025; hop left 9; calf right missing; side not offered; walk hurt",
    ])  # fmt: skip
    found = {one.test.code: one for one in story.answer(ON).tests}
    assert list(found) == list(impact_tests())
    told = {code: (str(found[code].result), found[code].why) for code in
            ("stand", "hop", "calf", "side", "walk")}  # fmt: skip
    assert told == {
        "stand": ("pass", ""),
        "hop": ("fail", "left leg 9 of 10"),
        "calf": ("incomplete", "right leg not counted"),
        "side": ("not asked", ""),
        "walk": ("fail", "symptoms"),
    }


def test_several_tests_without_a_result_are_told_in_one_line() -> None:
    story = read(["born 10 March 2025 vaginally; due 8 March 2025", "cleared 28 April 2025"])
    found = story.answer(ON)
    assert len(found.missing) == 12
    assert [one.kind for one in found.told] == ["tests", "bleeding"]
    assert found.told[0].reason == (
        "No result within 14 days in 11 tests: walk; stand on one leg; squat on one leg; jog on "
        "the spot; bound forwards; hop on the spot; running action on one leg; calf raise on one "
        "leg; bridge on one leg; sit to stand on one leg; leg lift lying on the side."
    )


# The data


def test_the_policies_are_those_that_can_be_chosen_and_name_their_days() -> None:
    """Goom and others 2019: 12 weeks; Christopher and others 2024: three weeks of rest."""
    assert {code: (one.rest_days, one.tests_days) for code, one in policies().items()} == {
        "2019": (84, 14), "2024": (21, 14), "own": (84, 14),
    }  # fmt: skip
    own = in_force(Measuring(readiness="own", own_gate_weeks=10, own_tests_days=7))
    assert (own.rest_days, own.tests_days) == (70, 7)


def test_the_four_published_positions_stand_with_their_sources() -> None:
    assert [one.source.split(",")[0] for one in positions()] == [
        "Goom", "Christopher and others 2024", "Davenport and others 2025", "HSE Ireland",
    ]  # fmt: skip
    assert [one.source for one in positions() if says_too_much(f"{one.words} {one.source}")] == []


@pytest.mark.parametrize("kind", list(rules()))
def test_every_rule_has_words_and_a_source_that_any_page_may_hold(kind: str) -> None:
    one = rules()[kind]
    assert [one.words, one.source].count("") == 0
    assert not says_too_much(f"{one.words} {one.source}")


@pytest.mark.parametrize(
    ("part", "change"),
    [
        ("policy", {"code": "2031"}),
        ("policy", {"rest_days": 0}),
        ("policy", {"source": ""}),
        ("rule", {"kind": "moon"}),
        ("rule", {"source": ""}),
    ],
)
def test_data_that_are_not_sound_are_refused(part: str, change: dict[str, Any]) -> None:
    data = tomllib.loads(DATA.read_text("utf-8"))
    data[part][0] |= change
    with pytest.raises(ValueError, match="not sound"):
        read_data(data)
