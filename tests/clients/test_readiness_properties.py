"""Whatever the story: nothing taken away and nothing added makes "nothing missing" out of missing.

A story begins with everything in order, is damaged in one to three ways, and then loses one more
fact or gains one more symptom. What is on record with a good word in it may only help.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from clients.rules.assessment import Measured
from clients.rules.facts import PregnancyFact
from clients.rules.impact_tests import impact_tests
from clients.rules.measuring_policy import GUIDELINE, POLICIES, Measuring
from clients.rules.readiness import Readiness, ReadinessFacts, readiness
from coach.scheduling.dates import Ending
from coach.scheduling.values import GoAhead, GoAheadWord, Limits
from tests.clients.assessment_words import QUESTIONS

TODAY = date(2026, 12, 3)
SYMPTOMS = tuple(one for one in QUESTIONS if one != "doming")
# No policy asks for these two: a yes counts while it stands, and without an answer none is missed.
NOT_ASKED = ("doming", "girdle")
FELT = tuple(test.field("symptom") for test in impact_tests().values())
BAD_WORDS = [one for one in GoAheadWord if not one.may_train]


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def clean_values() -> dict[str, Any]:
    """Every test passed, nothing felt, every question answered no, nothing the day after."""
    values: dict[str, Any] = dict.fromkeys((*QUESTIONS, *FELT), "no")
    for test in impact_tests().values():
        values |= {test.field(part): test.amount for part in test.parts}
    return values


def assessed(pk: int, days: int, values: dict[str, Any], **about: Any) -> Measured:
    if any(code.startswith("test-") for code in values) and days > 0:
        values = {"next_day": "no", "next_day_on": ago(days - 1).isoformat(), **values}
    return Measured(pk, ago(days), values, "Una", "coach", **about)


@dataclass(frozen=True)
class Story:
    """What is known of her: days since the end, how it ended, what was measured, her go-ahead."""

    since: int = 90
    mode: str = "vaginal"
    measured: tuple[Measured, ...] = field(
        default_factory=lambda: (assessed(1, 3, clean_values()),)
    )
    word: GoAheadWord = GoAheadWord.YES
    limits: Limits = field(default_factory=Limits)
    policy: str = GUIDELINE

    @property
    def answer(self) -> Readiness:
        limited = self.limits != Limits() and self.word is GoAheadWord.YES
        word = GoAheadWord.YES_WITH_LIMITS if limited else self.word
        end = ago(self.since)
        facts = ReadinessFacts(
            pregnancies=(PregnancyFact(end, end, Ending.BIRTH, birth_mode=self.mode, pk=1),),
            measured=self.measured,
            go_ahead=GoAhead(TODAY, word, limits=self.limits, known=TODAY),
            said=self.limits,
        )
        return readiness(facts, TODAY, Measuring(readiness=self.policy))

    @property
    def missing(self) -> bool:
        return self.answer.missing != ()

    def with_values(self, which: int, values: dict[str, Any]) -> Story:
        changed = list(self.measured)
        changed[which] = replace(changed[which], values=values)
        return replace(self, measured=tuple(changed))


def place(data: st.DataObject, story: Story) -> int:
    return data.draw(st.integers(0, len(story.measured) - 1))


def not_asked(data: st.DataObject, story: Story) -> Story:
    """One value fewer."""
    which = place(data, story)
    values = dict(story.measured[which].values)
    code = data.draw(st.sampled_from(sorted(values))) if values else None
    return story.with_values(which, {key: v for key, v in values.items() if key != code})


def felt(data: st.DataObject, story: Story) -> Story:
    which = place(data, story)
    code = data.draw(st.sampled_from((*SYMPTOMS, *FELT)))
    return story.with_values(which, {**story.measured[which].values, code: "yes"})


def felt_anew(data: st.DataObject, story: Story) -> Story:
    """Another assessment, finished or not, in which she felt something."""
    code = data.draw(st.sampled_from((*SYMPTOMS, *FELT)))
    finished, days = data.draw(st.booleans()), data.draw(st.integers(0, 20))
    new = Measured(len(story.measured) + 1, ago(days), {code: "yes"}, finished=finished)
    return replace(story, measured=(*story.measured, new))


def felt_the_day_after(data: st.DataObject, story: Story) -> Story:
    which = place(data, story)
    one = story.measured[which]
    on = one.values.get("next_day_on", (one.day + timedelta(days=1)).isoformat())
    told = {"next_day": "yes", "next_day_on": on}
    return story.with_values(which, {**one.values, **told}) if one.day < TODAY else story


def held(data: st.DataObject, story: Story) -> Story:
    return replace(story, word=data.draw(st.sampled_from(BAD_WORDS)))


def limited(data: st.DataObject, story: Story) -> Story:
    more = data.draw(
        st.sampled_from(
            [
                Limits(no_impact=True),
                Limits(gentle_recovery_only=True),
                Limits(lift_at_most_kg=5),
                Limits(others=("sit to rest",)),
            ]
        )
    )
    return replace(story, limits=story.limits.and_also(more))


def sooner(data: st.DataObject, story: Story) -> Story:
    return replace(story, since=data.draw(st.integers(21, min(story.since, 95))))


def older(data: st.DataObject, story: Story) -> Story:
    """The same assessment so many days earlier."""
    which, days = place(data, story), data.draw(st.integers(1, 20))
    changed = list(story.measured)
    one = changed[which]
    changed[which] = replace(one, day=one.day - timedelta(days=days))
    return replace(story, measured=tuple(changed))


def caesarean(data: st.DataObject, story: Story) -> Story:
    return replace(story, mode=data.draw(st.sampled_from(["caesarean", ""])))


def unfinished(data: st.DataObject, story: Story) -> Story:
    which = place(data, story)
    changed = list(story.measured)
    changed[which] = replace(changed[which], finished=False)
    return replace(story, measured=tuple(changed))


Change = Callable[[st.DataObject, Story], Story]
DAMAGES: list[Change] = [
    not_asked, felt, felt_anew, felt_the_day_after, held, limited, sooner, older, caesarean,
    unfinished,
]  # fmt: skip
WORSE: list[Change] = [felt, felt_anew, felt_the_day_after, held, limited]


@st.composite
def damaged(draw: st.DrawFn) -> tuple[Story, st.DataObject]:
    """One or two assessments, all in order, then one to three things that are not."""
    data = draw(st.data())
    story = Story(policy=draw(st.sampled_from(POLICIES)), since=draw(st.integers(84, 140)))
    if draw(st.booleans()):
        story = replace(story, measured=(assessed(2, 8, clean_values()), *story.measured))
    for change in draw(st.lists(st.sampled_from(DAMAGES), min_size=1, max_size=3)):
        story = change(data, story)
    return story, data


def test_the_story_begins_with_nothing_missing() -> None:
    for policy in POLICIES:
        assert Story(policy=policy).answer.missing == ()


@given(damaged(), st.sampled_from(WORSE))
def test_a_symptom_a_hold_or_a_limit_more_never_makes_it_nothing_missing(
    told: tuple[Story, st.DataObject], change: Change
) -> None:
    story, data = told
    assume(story.missing)
    assert change(data, story).missing


def good(code: str, value: Any) -> bool:
    """Whether a value speaks for her: a no, or an amount that a test asks for."""
    amounts = {test.field(p): test.amount for test in impact_tests().values() for p in test.parts}
    return value == "no" or (code in amounts and value >= amounts[code])


@given(damaged())
def test_a_good_word_taken_away_never_makes_it_nothing_missing(
    told: tuple[Story, st.DataObject],
) -> None:
    story, data = told
    assume(story.missing)
    which = place(data, story)
    values = story.measured[which].values
    speaks = sorted(code for code, value in values.items() if good(code, value))
    assume(speaks)
    code = data.draw(st.sampled_from(speaks))
    left = {key: value for key, value in values.items() if key != code}
    assert story.with_values(which, left).missing


@pytest.mark.parametrize("policy", POLICIES)
@pytest.mark.parametrize("code", sorted(clean_values()))
def test_a_bad_word_taken_out_is_no_good_word(policy: str, code: str) -> None:
    """What a yes, or a leg that did nothing, makes missing stays missing where nobody asked."""
    bad: Any = "yes" if code in (*QUESTIONS, *FELT) else 0
    values = assessed(1, 3, clean_values()).values
    story = Story(policy=policy).with_values(0, {**values, code: bad})
    left = {key: value for key, value in values.items() if key != code}
    assert story.missing == (code != "doming")
    assert story.with_values(0, left).missing == (code != "doming")


@given(damaged())
def test_a_whole_assessment_in_order_taken_away_never_makes_it_nothing_missing(
    told: tuple[Story, st.DataObject],
) -> None:
    story, data = told
    assume(story.missing)
    which = place(data, story)
    values = story.measured[which].values
    assume({code for code, value in values.items() if good(code, value)} >= set(clean_values()))
    assume(values.get("next_day") == "no")
    left = tuple(other for n, other in enumerate(story.measured) if n != which)
    assert replace(story, measured=left).missing


@given(damaged())
def test_an_end_not_recorded_is_never_nothing_missing(told: tuple[Story, st.DataObject]) -> None:
    story, _ = told
    facts = ReadinessFacts(
        measured=story.measured, go_ahead=GoAhead(TODAY, GoAheadWord.YES, known=TODAY)
    )
    for pregnancies in ((), (PregnancyFact(due=ago(-60), pk=1),), (PregnancyFact(pk=1),)):
        told_ = replace(facts, pregnancies=pregnancies)
        assert readiness(told_, TODAY, Measuring(readiness=story.policy)).missing != ()


@given(damaged(), st.integers(1, 30))
def test_what_is_dated_ahead_mends_nothing(told: tuple[Story, st.DataObject], ahead: int) -> None:
    story, _ = told
    assume(story.missing)
    values = {**clean_values(), "next_day": "no", "next_day_on": ago(-ahead - 1).isoformat()}
    later = Measured(99, ago(-ahead), values)
    assert replace(story, measured=(*story.measured, later)).missing


@given(damaged())
def test_what_is_not_finished_mends_nothing(told: tuple[Story, st.DataObject]) -> None:
    story, data = told
    assume(story.missing)
    days = data.draw(st.integers(0, 14))
    new = replace(assessed(99, days, clean_values()), finished=False)
    assert replace(story, measured=(*story.measured, new)).missing
