"""What holds of the go-ahead whatever is on record: made-up clients, thousands of them.

A false yes is the worst error, so most of these say what can never make a word better.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from clients.rules.facts import (
    ClearanceFact,
    ClearanceWord,
    ClientFacts,
    ConditionFact,
    KnownBy,
    PregnancyFact,
    ScreeningFact,
    SignFact,
)
from clients.rules.go_ahead import go_ahead, spans, word_on
from clients.rules.policy import Policies, policy_with
from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.dates import Ending
from coach.scheduling.values import GoAhead, GoAheadWord, Limits
from tests.clients.made_up import (
    DAY,
    FIRST,
    LAST,
    WEEK,
    allowed,
    anybody,
    clearances,
    conditions,
    days,
    later,
    policies,
    pregnancies,
    screenings,
    signs,
)

QUICK = settings(deadline=None, max_examples=80)  # a busy machine is no failure
# The worst first; the order is the issue's own, not read from the code.
WORST_FIRST = (
    GoAheadWord.ON_HOLD,
    GoAheadWord.WAITING,
    GoAheadWord.RUN_OUT,
    GoAheadWord.YES_WITH_LIMITS,
    GoAheadWord.YES,
    GoAheadWord.SCREENED,
    GoAheadWord.NO_LETTER_REQUIRED,
)
YES = {GoAheadWord.YES, GoAheadWord.YES_WITH_LIMITS}
cleared = allowed().map(lambda one: one[0])
moments = st.tuples(anybody, days) | allowed()
Moment = tuple[ClientFacts, date]


def rank(word: GoAheadWord) -> int:
    return WORST_FIRST.index(word)


def covers(more: Limits, less: Limits) -> bool:
    """Whether the limits hold all of others, or stricter ones."""
    both = more.and_also(less)
    return replace(both, others=()) == replace(more, others=()) and set(less.others) <= set(
        more.others
    )


def plus(facts: ClientFacts, kind: str, one: Any) -> ClientFacts:
    return replace(facts, **{kind: (*getattr(facts, kind), one)})


@given(allowed())
@QUICK
def test_nothing_missing_is_a_yes(client: tuple[ClientFacts, date]) -> None:
    found = go_ahead(*client)
    assert found.word in YES
    assert (found.word is GoAheadWord.YES) == (found.limits == Limits())


def without_one(facts: ClientFacts, on: date) -> dict[str, ClientFacts]:
    """The same client each time with one thing missing, or one thing in the way."""
    letter, screening, one = facts.clearances[0], facts.screenings[0], facts.pregnancies[0]
    other = "after" if screening.phase == "pregnant" else "pregnant"
    letters = {
        "her word": replace(letter, known_by=KnownBy.CLIENT),
        "against": replace(letter, word=ClearanceWord.AGAINST),
        "withdrawn": replace(letter, withdrawn_on=on),
        "run out": replace(letter, until=on - DAY),
        "of tomorrow": replace(letter, said_on=on + DAY, until=None),
        "known tomorrow": replace(letter, known_on=on + DAY),
        "twelve weeks and a day": replace(letter, said_on=on - 12 * WEEK - DAY, until=None),
    }
    if one.ended:
        letters |= {"of that day": replace(letter, said_on=one.ended)}
    if one.ending is Ending.BIRTH:
        letters |= {
            "not examined": replace(letter, examined="no"),
            "not known whether examined": replace(letter, examined=""),
        }
    screened = {
        "not complete": replace(screening, complete=False, all_no=False),
        "other questions": replace(screening, phase=other),
        "screening too old": replace(screening, answered_on=on - 12 * WEEK - DAY),
        "screening known tomorrow": replace(screening, known_on=on + DAY),
    }
    against = ClearanceFact(on, ClearanceWord.AGAINST, KnownBy.CLIENT)
    return {
        **{name: replace(facts, clearances=(made,)) for name, made in letters.items()},
        **{name: replace(facts, screenings=(made,)) for name, made in screened.items()},
        "no letter": replace(facts, clearances=()),
        "no screening": replace(facts, screenings=()),
        "no pregnancy": replace(facts, pregnancies=()),
        "no dates": replace(facts, pregnancies=(PregnancyFact(pk=1),)),
        "a sign": plus(facts, "signs", SignFact(1, "dizzy", on)),
        "a no by her word": plus(facts, "clearances", against),
        "pregnant again since": plus(
            replace(facts, clearances=(replace(letter, said_on=on - DAY),)),
            "pregnancies",
            PregnancyFact(due=on + 266 * DAY, pk=2),
        ),
    }


@given(allowed())
@QUICK
def test_a_yes_without_any_one_of_what_it_needs_is_none(client: tuple[ClientFacts, date]) -> None:
    facts, on = client
    made = {name: go_ahead(one, on).word for name, one in without_one(facts, on).items()}
    assert {name: word for name, word in made.items() if word.may_train} == {}


@given(moments, policies)
@settings(QUICK, max_examples=150)
def test_a_yes_has_all_that_it_needs(moment: Moment, rules: Policies) -> None:
    facts, on = moment
    if go_ahead(facts, on, rules).word not in YES:
        return
    known = facts.known_by(on)
    lifting = [one for one in known.clearances if one.lifts]
    ends = [one.ended for one in known.pregnancies if one.ended and one.ended <= on]
    assert any(one.said_on > max(ends, default=date.min) for one in lifting)
    for sign in known.signs:
        assert any(sign.answered_by(one) for one in lifting)
    assert known.pregnancies
    for one in known.pregnancies:
        assert one.dates.over or (one.due and on < one.due + 2 * WEEK)


@given(moments, policies, signs)
@QUICK
def test_a_sign_never_improves_the_word(moment: Moment, rules: Policies, sign: SignFact) -> None:
    facts, on = moment
    more = plus(facts, "signs", replace(sign, pk=9))
    assert rank(go_ahead(more, on, rules).word) <= rank(go_ahead(facts, on, rules).word)


@given(moments, policies, conditions)
@QUICK
def test_a_hold_or_a_stop_never_improves_the_word(
    moment: Moment, rules: Policies, one: ConditionFact
) -> None:
    facts, on = moment
    more = plus(facts, "conditions", replace(one, key="condition:9"))
    assert rank(go_ahead(more, on, rules).word) <= rank(go_ahead(facts, on, rules).word)


@given(moments, policies, clearances)
@QUICK
def test_a_no_never_improves_the_word(moment: Moment, rules: Policies, said: ClearanceFact) -> None:
    facts, on = moment
    no = replace(said, word=ClearanceWord.AGAINST, pk=9, replaces=())
    more = plus(facts, "clearances", no)
    assert rank(go_ahead(more, on, rules).word) <= rank(go_ahead(facts, on, rules).word)


@given(moments, policies, clearances)
@QUICK
def test_only_an_explicit_replacement_takes_a_limit_away(
    moment: Moment, rules: Policies, said: ClearanceFact
) -> None:
    facts, on = moment
    adds = replace(said, replaces=(), names_more=False, pk=9)
    before, after = (
        go_ahead(one, on, rules).limits for one in (facts, plus(facts, "clearances", adds))
    )
    assert covers(after, before)


@given(allowed(), clearances, later)
@QUICK
def test_her_own_word_replaces_nothing(
    client: tuple[ClientFacts, date], said: ClearanceFact, ago: timedelta
) -> None:
    facts, on = client
    hers = replace(said, known_by=KnownBy.CLIENT, said_on=on, replaces=(1,), names_more=True, pk=9)
    assert covers(go_ahead(plus(facts, "clearances", hers), on).limits, go_ahead(facts, on).limits)


@given(moments, policies, later, clearances, signs, conditions, screenings, pregnancies())
@QUICK
def test_what_happens_or_becomes_known_later_changes_nothing(
    moment: Moment,
    rules: Policies,
    wait: timedelta,
    said: ClearanceFact,
    sign: SignFact,
    condition: ConditionFact,
    screening: ScreeningFact,
    pregnancy: PregnancyFact,
) -> None:
    facts, on = moment
    then = on + wait
    heard = replace(
        facts,
        pregnancies=(*facts.pregnancies, replace(pregnancy, pk=9, known_on=then, before=None)),
        clearances=(*facts.clearances, replace(said, pk=9, known_on=then)),
        signs=(*facts.signs, replace(sign, pk=9, known_on=then)),
        conditions=(*facts.conditions, replace(condition, key="condition:9", known_on=then)),
        screenings=(*facts.screenings, replace(screening, known_on=then)),
    )
    happened = replace(
        facts,
        clearances=(*facts.clearances, replace(said, pk=9, said_on=then)),
        signs=(*facts.signs, replace(sign, pk=9, happened_on=then)),
        conditions=(*facts.conditions, replace(condition, key="condition:9", named_on=then)),
        screenings=(*facts.screenings, replace(screening, answered_on=then)),
    )
    expected = go_ahead(facts, on, rules)
    assert go_ahead(heard, on, rules) == expected
    assert go_ahead(happened, on, rules) == expected
    assert go_ahead(happened, on, rules, then).word == go_ahead(facts, on, rules, then).word


@given(moments, policies, later)
@QUICK
def test_a_later_policy_rewrites_no_day_before_it(
    moment: Moment, rules: Policies, wait: timedelta
) -> None:
    facts, on = moment
    assume(max(rules.begins) < on + wait)
    new = policy_with({"letter_counts_weeks": 1, "past_due_days": 281})
    changed = Policies((*rules.versions, new), (*rules.begins, on + wait))
    before, after = go_ahead(facts, on, rules), go_ahead(facts, on, changed)
    assert same(before) == same(after)


def same(found: GoAhead) -> tuple[Any, ...]:
    return found.word, found.limits, found.reasons, found.unchecked


@given(moments, policies)
@QUICK
def test_known_is_the_day_itself_unless_said(moment: Moment, rules: Policies) -> None:
    facts, on = moment
    found, as_known = go_ahead(facts, on, rules), go_ahead(facts, on, rules, on)
    # Since when: as it was told day by day, against what is known now of the days before.
    assert replace(found, since=None) == replace(as_known, since=None)


@given(anybody | cleared, policies, st.lists(days, max_size=8))
@settings(QUICK, max_examples=40)
def test_spans_tile_the_time_line_and_agree_with_its_days(
    facts: ClientFacts, rules: Policies, some: list[date]
) -> None:
    found = spans(facts, FIRST, LAST, rules)
    assert (found[0].first, found[-1].last) == (FIRST, LAST)
    for one, other in pairwise(found):
        assert one.last == other.first - DAY
        assert one.word is not other.word
    edges = [edge for one in found for edge in (one.first, one.last or LAST)]
    for day in [*edges, *some]:
        word = next(one.word for one in found if one.first <= day <= (one.last or LAST))
        assert word_on(facts, day, rules) == word == go_ahead(facts, day, rules).word


@given(moments, policies)
@QUICK
def test_until_promises_no_day_that_is_not_a_yes(moment: Moment, rules: Policies) -> None:
    facts, on = moment
    found = go_ahead(facts, on, rules)
    if found.word.may_train and found.until:
        assert found.until >= on
        known = facts.known_by(date.max, on)
        assert go_ahead(known, found.until, rules, on).word.may_train


@given(moments, policies)
@QUICK
def test_quiet_changes_words_alone(moment: Moment, rules: Policies) -> None:
    facts, on = moment
    plain, quiet = (go_ahead(replace(facts, quiet=is_so), on, rules) for is_so in (False, True))
    assert (plain.word, plain.limits, plain.since, plain.until) == (
        quiet.word, quiet.limits, quiet.since, quiet.until,
    )  # fmt: skip
    assert [one.kind for one in plain.reasons] == [one.kind for one in quiet.reasons]
    said = [quiet.mend, *quiet.unchecked, *(f"{one.reason} {one.source}" for one in quiet.reasons)]
    assert [word for word in NEVER_IF_QUIET if word in " ".join(said).lower()] == []
