"""The time line's lines of clearance, signs and assessments; and the go-ahead's words by reader."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from clients.rules.assessment import Catalogue, Measured
from clients.rules.facts import ClearanceFact, ClearanceWord, KnownBy, SignFact
from clients.rules.go_ahead_words import limit_words, standing_words
from clients.rules.happened import (
    Event,
    Named,
    Said,
    choices,
    clearance_event,
    newest_first,
    of_kind,
)
from clients.rules.happened_health import Noticed, sign_event
from clients.rules.happened_measured import Taken, assessment_events
from clients.rules.measuring import default_sites
from coach.scheduling.values import Finding, GoAhead, GoAheadWord, Limits, Severity

TODAY = date(2026, 12, 3)
SAID_ON = date(2026, 10, 30)
KNOWN = Catalogue(default_sites())
NAMED = Named(
    {7: "Dizzy or faint"}, {"condition:3": "a low placenta"}, {2: "go ahead, said on 1 May 2026"}
)


def notes(fact: ClearanceFact, *, quiet: bool = False, note: str = "") -> tuple[str, ...]:
    return clearance_event(Said(fact, note=note), NAMED, quiet=quiet).notes


def test_a_clearance_tells_its_end_its_limits_what_it_answers_and_how_it_is_known() -> None:
    fact = ClearanceFact(
        SAID_ON, ClearanceWord.LIMITS, limits=Limits(not_lying_flat=True, effort_at_most=6),
        until=date(2026, 12, 20), answers=(7, 8), answers_conditions=("condition:3",),
        replaces=(2,), names_more=True, examined="no", known_on=date(2026, 11, 2),
    )  # fmt: skip
    assert notes(fact, note="she rang") == (
        "Until 20 December 2026; not lying flat; effort up to 6 of 10",
        "More than gentle recovery work is named",
        "Answers: Dizzy or faint, a low placenta",
        "Takes the place of: go ahead, said on 1 May 2026",
        "Letter seen, not examined for it, known since 2 November 2026",
        "She rang",
    )


@pytest.mark.parametrize(
    ("quiet", "said"), [(False, "Until the birth"), (True, "Until these weeks end")]
)
def test_until_the_birth_is_said_as_that_and_for_a_quiet_client_without_it(
    quiet: bool, said: str
) -> None:
    fact = ClearanceFact(SAID_ON, until_birth=True, known_by=KnownBy.CLIENT)
    assert notes(fact, quiet=quiet) == (said, "Her own word only, examined: not known")


def test_a_withdrawn_one_tells_only_that() -> None:
    fact = ClearanceFact(SAID_ON, withdrawn_on=TODAY)
    event = clearance_event(Said(fact, withdrawn_reason="not hers"), NAMED, quiet=False)
    assert (event.void, event.notes) == (
        True, ("Recorded by mistake, withdrawn on 3 December 2026: not hers",),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("origin", "quiet", "shown"),
    [
        ("", False, ""),
        ("Orla Finnegan", False, "From another coach: Orla Finnegan"),
        ("Orla Finnegan", True, "From another coach: Orla Finnegan"),
        ("Newborn Fitness", True, "From another coach: name not shown"),
    ],
)
def test_letters_and_measurements_of_another_coach_say_whose_they_were(
    origin: str, quiet: bool, shown: str
) -> None:
    letter = clearance_event(Said(ClearanceFact(SAID_ON), origin=origin), NAMED, quiet=quiet)
    measured = Measured(1, TODAY, {"width-navel-rest": 20}, origin=origin)
    assert letter.origin == shown
    assert assessment_events([Taken(measured)], KNOWN, quiet=quiet)[0].origin == shown


def test_a_limit_that_says_too_much_stays_a_limit() -> None:
    limits = Limits(others=("no lifting the baby", "no stairs"))
    assert limit_words(limits, quiet=False) == ["no lifting the baby", "no stairs"]
    assert limit_words(limits, quiet=True) == [
        "a limit not shown while quiet is on: see the letter",
        "no stairs",
    ]


def sign(**values: object) -> Noticed:
    fact = SignFact(7, "dizzy", date(2026, 12, 1), TODAY)
    return Noticed(**{"fact": fact, "label": "Dizzy or faint", **values})  # type: ignore[arg-type]  # the test's own words


def test_a_sign_that_became_known_later_says_so() -> None:
    event = sign_event(sign(waits=True, from_form=True), quiet=False)
    assert (event.on, event.waits, event.detail, event.notes) == (
        date(2026, 12, 1), True, "said in her form",
        ("Not answered by a clinician yet: on hold.", "Known since 3 December 2026.",
         "Not followed up yet: who advised what?"),
    )  # fmt: skip


def test_a_sign_that_was_followed_up_says_who_advised_what_and_how_she_goes_back() -> None:
    told = sign(
        followed_up_on=TODAY, advised_by="Dr Roe", advice="rest after the birth",
        graded_return="walks first",
    )  # fmt: skip
    assert sign_event(told, quiet=False).notes[-1] == (
        "Followed up on 3 December 2026. Dr Roe: rest after the birth. Back: walks first"
    )
    assert sign_event(told, quiet=True).notes[-1] == (
        "Followed up on 3 December 2026. Dr Roe: not shown while quiet is on. Back: walks first"
    )


def taken(pk: int, day: date, method: str = "tape", **values: object) -> Taken:
    found = {code.replace("_", "-"): value for code, value in values.items()}
    return Taken(Measured(pk, day, found, "Una", "coach", method, "crook"))


def test_each_assessment_stands_beside_the_one_before_it_that_was_taken_in_the_same_way() -> None:
    measured = [
        taken(2, date(2026, 11, 24), width_navel_rest=34, width_above45_rest=20, doming="no"),
        taken(1, date(2026, 10, 22), width_navel_rest=29, width_above45_rest=20),
        taken(3, date(2026, 12, 1), width_navel_rest=34),
        taken(4, date(2026, 12, 2), "ultrasound", width_navel_rest=21),
    ]
    assert [event.notes for event in assessment_events(measured, KNOWN, quiet=False)] == [
        ("20 mm 4.5 cm above the navel; 29 mm at the navel",),
        ("20 mm 4.5 cm above the navel; 34 mm at the navel, was 29; no doming",),
        ("34 mm at the navel",),
        ("21 mm at the navel",),
    ]


def test_an_assessment_withdrawn_stays_with_its_reason_and_is_nobodys_last_time() -> None:
    wrong = Taken(taken(1, date(2026, 11, 24), width_navel_rest=99).measured, TODAY, "not hers")
    events = assessment_events([wrong, taken(2, TODAY, width_navel_rest=20)], KNOWN, quiet=False)
    assert [(event.void, event.notes) for event in events] == [
        (True, ("Recorded by mistake, withdrawn on 3 December 2026: not hers",)),
        (False, ("20 mm at the navel",)),
    ]


EVENTS = [
    Event("dates", 1, None, "no day"),
    Event("sign", 2, date(2026, 12, 1), "sign"),
    Event("dates", 3, None, "runs", now=True),
    Event("clearance", 4, date(2026, 12, 2), "letter", at=datetime(2026, 12, 2, 9, tzinfo=UTC)),
    Event("note", 5, date(2026, 12, 2), "later", at=datetime(2026, 12, 2, 18, tzinfo=UTC)),
]


def test_what_runs_now_is_first_then_by_day_and_hour_and_what_has_no_day_last() -> None:
    assert [event.pk for event in newest_first(EVENTS)] == [3, 5, 4, 2, 1]


def test_the_filter_counts_each_kind_and_offers_only_what_there_is() -> None:
    shown = [(one.code, one.words, one.count, one.chosen) for one in
             choices(EVENTS, "sign", quiet=False)]  # fmt: skip
    assert shown == [
        ("", "all", 5, False), ("note", "notes", 1, False), ("clearance", "clearance", 1, False),
        ("sign", "warning signs", 1, True), ("dates", "pregnancies", 2, False),
    ]  # fmt: skip
    assert choices(EVENTS, "", quiet=True)[-1].words == "dates"


@pytest.mark.parametrize(
    ("kind", "found"), [("sign", [2]), ("dates", [1, 3]), ("", [1, 2, 3, 4, 5]), ("message", [])]
)
def test_the_filter_shows_one_kind_or_all(kind: str, found: list[int]) -> None:
    assert [one.pk for one in of_kind(EVENTS, kind)] == found


FOUND = GoAhead(
    TODAY, GoAheadWord.YES_WITH_LIMITS, limits=Limits(no_impact=True), mend="A new letter.",
    reasons=(Finding("letter", Severity.NOTE, "A letter.", "the clinician"),),
    since=SAID_ON, until=date(2026, 12, 20), unchecked=("how old a letter is",),
)  # fmt: skip


@pytest.mark.parametrize(
    ("sees_limits", "sees_health", "shown"),
    [
        (False, False, ("", "", (), "")),
        (True, False, ("No impact", "Since 30 October 2026, until 20 December 2026", (), "")),
        (True, True, ("No impact", "Since 30 October 2026, until 20 December 2026",
                      (("A letter.", "the clinician"),), "A new letter.")),
    ],
)  # fmt: skip
def test_each_reader_gets_as_much_as_she_may_know(
    sees_limits: bool, sees_health: bool, shown: tuple[object, ...]
) -> None:
    words = standing_words(
        FOUND, TODAY, quiet=False, sees_limits=sees_limits, sees_health=sees_health
    )
    assert (words.limits, words.span, words.reasons, words.mend) == shown
    assert (words.title, words.unchecked) == (
        "Yes, with limits", "Not checked: how old a letter is.",
    )  # fmt: skip
