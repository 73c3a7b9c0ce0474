"""Made-up clients for hypothesis: anything on record, and clients for whom nothing is missing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st

from clients.rules.conditions import babies_key
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
from clients.rules.policy import Policies
from clients.rules.screening import questions_for
from coach.scheduling.dates import Ending
from coach.scheduling.values import Limits

FIRST, LAST = date(2026, 1, 1), date(2027, 6, 30)
DAY, WEEK = timedelta(days=1), timedelta(weeks=1)
CODES = sorted(
    {one.code for phase in ("pregnant", "after") for one in questions_for(phase, quiet=False)}
)
days = st.dates(FIRST, LAST)
maybe = st.none() | days
later = st.integers(1, 90).map(lambda n: n * DAY)


@st.composite
def pregnancies(draw: st.DrawFn) -> PregnancyFact:
    """As first recorded, and perhaps as it was put right, or ended."""
    made = PregnancyFact(
        due=draw(maybe), expected=draw(st.sampled_from([1, 1, 1, 2, 3])), pk=draw(st.integers(1, 2))
    )
    if draw(st.booleans()):
        made = replace(made, due=draw(days), known_on=draw(days), before=made)
    if draw(st.booleans()):
        ended = made.ended_by(draw(st.sampled_from(Ending)), draw(days), known_on=draw(days))
        made = replace(ended, birth_mode=draw(st.sampled_from(["", "vaginal", "caesarean"])))
    return made


some_limits = st.builds(
    Limits,
    no_impact=st.booleans(),
    not_lying_flat=st.booleans(),
    lift_at_most_kg=st.none() | st.integers(4, 12),
    others=st.sampled_from([(), ("sit to rest",), ("no swimming",)]),
)
clearances = st.builds(
    ClearanceFact,
    said_on=days,
    word=st.sampled_from(ClearanceWord),
    known_by=st.sampled_from(KnownBy),
    known_on=maybe,
    limits=some_limits,
    until=maybe,
    until_birth=st.booleans(),
    answers=st.lists(st.integers(1, 3), max_size=2).map(tuple),
    answers_conditions=st.lists(
        st.sampled_from(["condition:1", "condition:2", babies_key(1)]), max_size=2
    ).map(tuple),
    replaces=st.lists(st.integers(1, 4), max_size=1).map(tuple),
    names_more=st.booleans(),
    examined=st.sampled_from(["", "yes", "yes", "no"]),
    withdrawn_on=st.none() | maybe,
)
signs = st.builds(
    SignFact,
    pk=st.integers(1, 3),
    code=st.sampled_from(["dizzy", "blood", "leg", "other"]),
    happened_on=days,
    known_on=maybe,
    withdrawn_on=st.none() | maybe,
)
conditions = st.builds(
    ConditionFact,
    key=st.sampled_from(["condition:1", "condition:2"]),
    code=st.sampled_from(CODES),
    named_on=days,
    known_on=maybe,
    answer=st.sampled_from(["yes", "unsure"]),
    origin=st.sampled_from(["clinician", "screening"]),
    over_on=maybe,
    over_known_on=maybe,
)
screenings = st.builds(
    ScreeningFact,
    answered_on=days,
    known_on=maybe,
    phase=st.sampled_from(["pregnant", "after"]),
    complete=st.sampled_from([True, True, False]),
    all_no=st.booleans(),
)


def listed(one: st.SearchStrategy[Any], most: int, name: str = "") -> st.SearchStrategy[Any]:
    unique = {"unique_by": lambda x: getattr(x, name)} if name else {}
    return st.lists(one, max_size=most, **unique).map(tuple)


def numbered(found: tuple[ClearanceFact, ...]) -> tuple[ClearanceFact, ...]:
    """Each with its id; one never replaces itself, nor one that was said later."""
    made = [replace(one, pk=n) for n, one in enumerate(found, start=1)]
    said = {one.pk: one.said_on for one in made}
    return tuple(
        replace(
            one,
            replaces=tuple(
                pk for pk in one.replaces if pk != one.pk and said.get(pk, LAST) <= one.said_on
            ),
        )
        for one in made
    )


anybody = st.builds(
    ClientFacts,
    pregnancies=listed(pregnancies(), 2, "pk"),
    clearances=listed(clearances, 4).map(numbered),
    signs=listed(signs, 2, "pk"),
    conditions=listed(conditions, 2, "key"),
    screenings=listed(screenings, 2),
)
policies = st.builds(
    lambda begins, first, then: Policies.of([(date(2000, 1, 1), first), (begins, then)]),
    days,
    *[
        st.fixed_dictionaries(
            {},
            optional={
                "letter_counts_weeks": st.integers(4, 16),
                "screening_counts_weeks": st.integers(4, 16),
                "screening_suffices": st.booleans(),
                "off": st.sampled_from([[], ["screening"], ["gentle", "conditions"]]),
            },
        )
    ]
    * 2,
)


@st.composite
def allowed(draw: st.DrawFn) -> tuple[ClientFacts, date]:
    """A client for whom nothing is missing, and a day on which she may train."""
    kind = draw(st.sampled_from(["pregnant", "birth", "loss"]))
    begun = draw(st.dates(date(2026, 6, 1), date(2026, 9, 30)))
    due = begun + (draw(st.integers(60, 240)) if kind == "pregnant" else 5) * DAY
    one = PregnancyFact(due=due, pk=1)
    if kind != "pregnant":
        one = one.ended_by(Ending(kind), begun, known_on=begun)
        one = replace(one, birth_mode=draw(st.sampled_from(["", "vaginal", "caesarean"])))
    said = begun + draw(st.integers(1, 60)) * DAY
    answered = begun + draw(st.integers(1, 60)) * DAY
    first, last = max(said, answered), min(said, answered) + 12 * WEEK
    on = draw(st.dates(first, min(last, due + 13 * DAY) if kind == "pregnant" else last))
    letter = ClearanceFact(
        said_on=said,
        known_by=draw(st.sampled_from([KnownBy.LETTER, KnownBy.SPOKEN])),
        limits=draw(st.just(Limits()) | some_limits),
        until=draw(st.none() | st.just(on)),
        examined="yes" if kind == "birth" else draw(st.sampled_from(["", "yes", "no"])),
        pk=1,
    )
    phase = "pregnant" if kind == "pregnant" else "after"
    facts = ClientFacts(
        pregnancies=(one,),
        clearances=(letter,),
        screenings=(ScreeningFact(answered, phase=phase, pk=1),),
    )
    return facts, on
