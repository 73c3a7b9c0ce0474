"""What holds of the go-ahead whatever the facts are."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from clients.rules.facts import (
    ClearanceFact,
    ClearanceWord,
    ClientFacts,
    KnownBy,
    PregnancyFact,
    SignFact,
)
from clients.rules.go_ahead import go_ahead, spans, word_on
from clients.rules.go_ahead_words import STRICTEST_FIRST
from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.dates import Ending
from coach.scheduling.values import GoAheadWord, Limits
from tests.clients.told import asked_often

FIRST, LAST = date(2026, 1, 1), date(2027, 3, 31)
DAY = timedelta(days=1)
# Few, so that a day is soon judged: every eight weeks, before the twelve are over.
ASKED = asked_often()[::16]
QUICK = settings(deadline=None)  # a busy machine is no failure
days = st.dates(FIRST, LAST)
maybe = st.none() | days


@st.composite
def pregnancies(draw: st.DrawFn) -> PregnancyFact:
    """Dates as first recorded, and perhaps as they were put right or ended."""
    made = PregnancyFact(due=draw(maybe), known_on=draw(maybe))
    if draw(st.booleans()):
        made = replace(made, due=draw(maybe), known_on=draw(days), before=made)
    if draw(st.booleans()):
        made = made.ended_by(draw(st.sampled_from(Ending)), draw(days), known_on=draw(days))
    return made


signs = st.builds(
    SignFact,
    pk=st.integers(1, 3),
    code=st.sampled_from(["dizzy", "blood", "movement", "other"]),
    happened_on=days,
    known_on=maybe,
    text=st.sampled_from(["", "since the morning", "after the birth"]),
)
clearances = st.builds(
    ClearanceFact,
    said_on=days,
    word=st.sampled_from(ClearanceWord),
    known_by=st.sampled_from(KnownBy),
    known_on=maybe,
    limits=st.builds(Limits, no_impact=st.booleans(), lift_at_most_kg=st.none() | st.just(5)),
    until=maybe,
    until_birth=st.booleans(),
    answers=st.lists(st.integers(1, 3), max_size=2).map(tuple),
    clinician=st.sampled_from(["", "Imelda Roe", "the birth centre"]),
    clinician_kind=st.sampled_from(["", "midwife", "mother and baby unit"]),
    examined=st.sampled_from(["", "yes", "no"]),
    withdrawn_on=maybe,
)
facts = st.builds(
    ClientFacts,
    pregnancies=st.lists(pregnancies(), max_size=2).map(tuple),
    clearances=st.lists(clearances, max_size=4).map(tuple),
    signs=st.lists(signs, max_size=3, unique_by=lambda one: one.pk).map(tuple),
    screenings=st.sampled_from([(), ASKED]),
    quiet=st.booleans(),
)
ended = PregnancyFact(due=date(2025, 12, 1), ended=date(2025, 12, 1), ending=Ending.BIRTH)
# Facts of a client whose stage is known, so that letters on file turn up often.
known = st.builds(lambda one: replace(one, pregnancies=(ended,)), facts)
either = facts | known


def strictness(word: GoAheadWord) -> int:
    return -STRICTEST_FIRST.index(word)


@given(either, signs, days)
@QUICK
def test_a_sign_never_improves_the_word(given: ClientFacts, sign: SignFact, on: date) -> None:
    more = replace(given, signs=(*given.signs, replace(sign, pk=9)))
    assert strictness(go_ahead(more, on).word) >= strictness(go_ahead(given, on).word)


@given(either, clearances, days)
@QUICK
def test_a_no_never_improves_the_word(given: ClientFacts, no: ClearanceFact, on: date) -> None:
    against = replace(no, word=ClearanceWord.AGAINST)
    more = replace(given, clearances=(*given.clearances, against))
    assert strictness(go_ahead(more, on).word) >= strictness(go_ahead(given, on).word)


@given(either, clearances, signs, pregnancies(), days, st.integers(1, 60))
@QUICK
def test_what_becomes_known_later_changes_nothing_before(
    given: ClientFacts,
    said: ClearanceFact,
    sign: SignFact,
    pregnancy: PregnancyFact,
    on: date,
    later: int,
) -> None:
    known_on = on + later * DAY
    more = replace(
        given,
        pregnancies=(*given.pregnancies, replace(pregnancy, known_on=known_on, before=None)),
        clearances=(*given.clearances, replace(said, known_on=known_on)),
        signs=(*given.signs, replace(sign, pk=9, known_on=known_on)),
    )
    assert go_ahead(more, on) == go_ahead(given, on)


@given(either, st.integers(0, 3), days, st.integers(1, 60))
@QUICK
def test_withdrawing_a_clearance_changes_nothing_before(
    given: ClientFacts, which: int, on: date, later: int
) -> None:
    said = given.clearances[which : which + 1]
    kept = tuple(one for one in given.clearances if one not in said)
    never = (*kept, *(replace(one, withdrawn_on=None) for one in said))
    gone = (*kept, *(replace(one, withdrawn_on=on + later * DAY) for one in said))
    assert go_ahead(replace(given, clearances=gone), on) == go_ahead(
        replace(given, clearances=never), on
    )


@given(either)
@settings(QUICK, max_examples=60)
def test_spans_tile_the_time_line_and_agree_with_every_day(given: ClientFacts) -> None:
    found = spans(given, FIRST, LAST)
    assert (found[0].first, found[-1].last) == (FIRST, LAST)
    for one, other in pairwise(found):
        assert one.last == other.first - DAY
        assert one.word is not other.word
    every_day = [FIRST + n * DAY for n in range((LAST - FIRST).days + 1)]
    by_day = [next(s.word for s in found if s.last and s.last >= day) for day in every_day]
    assert by_day == [word_on(given, day) for day in every_day]


@given(either, days)
@QUICK
def test_the_open_end_of_the_spans_is_the_closed_one_s(given: ClientFacts, last: date) -> None:
    open_, closed = spans(given, FIRST), spans(given, FIRST, last)
    assert [(s.first, s.word) for s in open_ if s.first <= last] == [
        (s.first, s.word) for s in closed
    ]


@given(either, days)
@QUICK
def test_since_is_the_first_day_of_the_word(given: ClientFacts, on: date) -> None:
    found = go_ahead(given, on)
    span = spans(given, date(2020, 1, 1), on)[-1]
    assert found.since == (None if span.first == date(2020, 1, 1) else span.first)


@given(known, days)
@QUICK
def test_a_letter_on_file_has_all_that_it_needs(given: ClientFacts, on: date) -> None:
    found = go_ahead(given, on)
    if found.word not in {GoAheadWord.YES, GoAheadWord.YES_WITH_LIMITS}:
        return
    so_far = [
        one
        for one in given.clearances
        if max(one.said_on, one.known_on or one.said_on) <= on
        if one.withdrawn_on is None or one.withdrawn_on > on
    ]
    yes = [one for one in so_far if one.word != "against" and one.known_by != "client"]
    assert any((one.until or one.said_on + timedelta(weeks=12)) >= on for one in yes)
    for sign in given.signs:
        if (sign.known_on or sign.happened_on) <= on:
            assert any(sign.pk in one.answers and one.said_on >= sign.happened_on for one in yes)
    for no in so_far:
        if no.word == "against" and (no.until or on) >= on:
            assert any(one.said_on >= no.said_on for one in yes)


@given(either, days)
@QUICK
def test_every_reason_has_a_source_and_quiet_changes_words_alone(
    given: ClientFacts, on: date
) -> None:
    plain, quiet = (go_ahead(replace(given, quiet=is_so), on) for is_so in (False, True))
    assert all(one.source for one in plain.reasons)
    assert (plain.word, plain.since, plain.until, plain.limits) == (
        quiet.word, quiet.since, quiet.until, quiet.limits,
    )  # fmt: skip
    assert [one.kind for one in plain.reasons] == [one.kind for one in quiet.reasons]
    said = " ".join(
        (quiet.mend, *(f"{one.kind} {one.reason} {one.source}" for one in quiet.reasons))
    )
    assert [word for word in NEVER_IF_QUIET if word in said.lower()] == []
