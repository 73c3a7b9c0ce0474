"""What speaks against an exercise for somebody, and what would have to be known. Pure.

Each function looks at one side of her: how far the weeks run, what she recovers from, what was
found, what was never asked, what her clinician limited. The strictest of several counts, because
every reason is kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from clients.rules.findings import OpenFinding
from clients.rules.words import short_day_words, unless_quiet
from coach.scheduling.values import Finding, Stage
from content.rules.exercises import Exercise
from content.rules.suitability.table import table
from content.rules.suitability.values import Person, Recovery

IMPACT, FLEXION, ROTATION, PLANK, LOWERING = "high", "flexion", "rotation", "plank", "leg-lowering"
HARD_CORE = frozenset({FLEXION, PLANK, LOWERING})
UNEVEN = frozenset({"split", "wide", "single-leg"})
MUCH, SOME = 3, 2  # of the load on the pelvic floor
FALL, BALANCE = 2, 1
VIGOROUS, LIGHT, MODERATE = "vigorous", "light", "moderate"
# A limit on effort, of 10, has to leave room for all of what an intensity may come to (moderate to
# 6 in the words of this app; vigorous 7 to 8 in the US guidelines of 2018, from memory).
_EFFORT = {LIGHT: 1, MODERATE: 6, VIGOROUS: 8}
# Moderate effort begins at 121 beats a minute and ends at 146 (Canadian guideline 2019, both ages).
_PULSE_BEGINS, _PULSE_ENDS = 121, 146
_WEIGHTS = "weights"  # kit whose kilograms nobody recorded
_HEAVY_WORDS = "lifting nothing heavy"  # how the recovery of an operation says it


@dataclass(frozen=True, slots=True)
class Spoken:
    """Reasons against an exercise, and reasons why it is not known with the facts that miss."""

    against: tuple[Finding, ...]
    unknown: tuple[Finding, ...]
    missing: tuple[str, ...]


def spoken(exercise: Exercise, person: Person) -> Spoken:
    """Everything that speaks against it, and everything that is not known about it."""
    unknown = list(_not_known(exercise, person))
    return Spoken(
        tuple(
            [
                *_while_weeks_run(exercise, person),
                *_after(exercise, person),
                *_operations(exercise, person),
                *_tears(exercise, person),
                *_found(exercise, person),
                *_limits(exercise, person),
                *_named(exercise, person),
            ]
        ),
        tuple(finding for finding, _ in unknown),
        tuple(dict.fromkeys(what for _, what in unknown)),
    )


def _say(kind: str, person: Person, **values: Any) -> Finding:
    return table().reasons[kind].finding(quiet=person.quiet, **values)


def _while_weeks_run(one: Exercise, person: Person) -> Iterator[Finding]:
    if person.age is None:
        return
    asked = (
        ("flat", one.lying_flat),
        ("prone", one.prone),
        ("curl-carrying", one.core_load in {FLEXION, LOWERING}),
        ("plank-carrying", one.core_load == PLANK),
        ("fall", one.balance >= FALL),
        ("balance", one.balance >= BALANCE),
        ("still", one.still_standing),
        ("heavy-carrying", one.heavy),
        ("vigorous-carrying", one.intensity == VIGOROUS),
        ("impact-carrying", one.impact == IMPACT),
        ("breath-carrying", one.breath_holding),
    )
    for kind, asks in asked:
        if asks and person.age.weeks >= table().weeks(kind):
            yield _say(kind, person)


def _after(one: Exercise, person: Person) -> Iterator[Finding]:
    """By the weeks since the latest end, whatever it was."""
    latest = person.latest
    if latest is None:
        return
    if latest.weeks < table().weeks("gentle") and not _gentle(one):
        yield _say("gentle", person)
    asked = (
        ("impact-early", one.impact == IMPACT),
        ("core-early", one.core_load in HARD_CORE),
        ("floor-early", one.pelvic_load >= MUCH),
        ("heavy-early", one.heavy),
        ("vigorous-early", one.intensity == VIGOROUS),
    )
    for kind, asks in asked:
        if asks and latest.weeks < table().weeks(kind):
            yield _say(kind, person)
    early = latest.weeks < table().weeks("breath-after")
    if one.breath_holding and (early or any(found.symptom for found in person.findings)):
        yield _say("breath-after", person)
    if one.impact == IMPACT and person.age is None and person.readiness_missing:
        yield _say("impact-tests", person, missing="; ".join(person.readiness_missing))


def _gentle(one: Exercise) -> bool:
    """What the first weeks allow: easy, little load anywhere, nobody's balance asked."""
    easy = one.intensity == LIGHT and one.impact == "none" and not one.heavy
    return easy and one.core_load == "none" and one.pelvic_load < SOME and one.balance < FALL


def _operations(one: Exercise, person: Person) -> Iterator[Finding]:
    """Every operation that is not over, also of an earlier end."""
    weeks = [each.weeks for each in person.recoveries if each.operated]
    if not weeks:
        return
    since = min(weeks)
    asked = (
        ("operation-trunk", one.core_load in HARD_CORE | {ROTATION}),
        ("operation-high", one.intensity == VIGOROUS or one.impact == IMPACT or one.heavy),
        ("operation-lifting", one.heavy),
        ("operation-gentle", not _gentle(one) and since >= table().weeks("gentle")),
    )
    for kind, asks in asked:
        if asks and since < table().weeks(kind):
            yield _say(kind, person)


def _tears(one: Exercise, person: Person) -> Iterator[Finding]:
    severe = [each.weeks for each in person.recoveries if each.tear in {"third", "fourth"}]
    if severe and min(severe) < table().weeks("tear") and _loads_floor(one, MUCH):
        yield _say("tear", person)


def _loads_floor(one: Exercise, least: int) -> bool:
    return one.pelvic_load >= least or one.impact == IMPACT or one.breath_holding


_OF_THE_FLOOR = frozenset({"heaviness", "leaking", "pelvic-pain"})
_BY_FINDING = {"heaviness": "heaviness", "leaking": "leaking", "pain": "pelvic-pain",
               "next-day": "pelvic-pain"}  # fmt: skip


def _found(one: Exercise, person: Person) -> Iterator[Finding]:
    """What was found and has not been answered otherwise since, whatever its age."""
    for found in person.findings:
        kind = _kind(found)
        loads = _loads_floor(one, SOME) or one.heavy
        floor = kind in _OF_THE_FLOOR and loads
        floor = floor or (kind == "bleeding" and not _gentle(one))
        middle = kind in {"doming", "width"} and one.core_load in HARD_CORE
        girdle = kind == "girdle" and (one.stance in UNEVEN or one.impact == IMPACT)
        if floor or middle or girdle:
            yield _say(kind, person)


def _kind(found: OpenFinding) -> str:
    if found.code.startswith("width-"):
        return "width"
    if found.code.startswith("felt-"):
        return "pelvic-pain"
    return _BY_FINDING.get(found.code, found.code)


def _limits(one: Exercise, person: Person) -> Iterator[Finding]:
    limits = person.limits
    if limits.no_impact and one.impact == IMPACT:
        yield _say("impact-limit", person)
    if limits.not_lying_flat and one.lying_flat:
        yield _say("flat-limit", person)
    if limits.no_loaded_trunk_flexion and one.core_load in {FLEXION, LOWERING}:
        yield _say("trunk-limit", person)
    if limits.gentle_recovery_only and not _gentle(one):
        yield _say("gentle-limit", person)
    if limits.lift_at_most_kg is not None and one.heavy:
        yield _say("lifting-limit", person, kg=limits.lift_at_most_kg)
    if limits.effort_at_most is not None and _EFFORT[one.intensity] > limits.effort_at_most:
        yield _say("effort-limit", person, effort=limits.effort_at_most)
    if limits.heart_rate_at_most is not None and one.intensity != LIGHT:
        begins_over = limits.heart_rate_at_most < _PULSE_BEGINS
        if one.intensity == VIGOROUS or begins_over:
            yield _say("pulse-limit", person, pulse=limits.heart_rate_at_most)
    if one.heavy and any(_HEAVY_WORDS in other for other in limits.others):
        yield _say("operation-lifting", person)


def _named(one: Exercise, person: Person) -> Iterator[Finding]:
    """Conditions that are noted and hold nobody: what strains most is left out."""
    if one.impact == IMPACT or one.heavy or one.breath_holding:
        for words in person.conditions.values():
            yield _say("condition", person, condition=words)


def _not_known(one: Exercise, person: Person) -> Iterator[tuple[Finding, str]]:
    if person.is_stage:
        return
    if person.stage is Stage.UNKNOWN:
        yield _say("stage", person), "her stage"
    if person.stage is Stage.PAST_DUE:
        yield _say("past-due", person), "how she is"
    asked = list(_never_asked(one, person))
    yield from asked
    if not (asked or person.answers):
        yield _say("no-assessment", person), "an assessment"
    yield from _unknown_tear(one, person)
    if one.impact == IMPACT and person.age is None and person.readiness_missing is None:
        finding = _say("impact-tests", person, missing="not known")
        yield finding, "readiness for impact"
    yield from _limits_not_known(one, person)


def _limits_not_known(one: Exercise, person: Person) -> Iterator[tuple[Finding, str]]:
    """Limits of which nobody can tell from the table whether they leave an exercise out."""
    limits = person.limits
    pulse, lifted = limits.heart_rate_at_most, limits.lift_at_most_kg
    if pulse is not None and one.intensity == MODERATE and _PULSE_BEGINS <= pulse < _PULSE_ENDS:
        yield _say("pulse-unknown", person, pulse=pulse), "how high her heart rate goes"
    if lifted is not None and not one.heavy and _WEIGHTS in one.kit:
        yield _say("lifting-unknown", person, kg=lifted), "how heavy the weight is"
    for other in limits.others:
        if _HEAVY_WORDS not in other:
            shown = unless_quiet(other, quiet=person.quiet)
            yield _say("limit-in-words", person, limit=shown), "what a limit leaves out"


def _never_asked(one: Exercise, person: Person) -> Iterator[tuple[Finding, str]]:
    """Facts that this exercise asks for, and that were never asked or too long ago."""
    needs = []
    if _loads_floor(one, SOME) or one.heavy:
        needs += ["heaviness", "leaking", "pain"]
    if one.core_load in HARD_CORE:
        needs += ["doming"]
    if one.stance in UNEVEN or one.impact == IMPACT:
        needs += ["girdle"]
    names = {"pain": "pelvic pain", "girdle": "pelvic-girdle pain"}
    open_codes = {found.code for found in person.findings}
    for code in needs:
        if code in open_codes:
            continue  # it speaks against it already
        answer, what = person.answers.get(code), names.get(code, code)
        if answer is None:
            yield _say("not-asked", person, what=what), what
        elif answer.day + timedelta(weeks=table().old_weeks) < person.on:
            day = short_day_words(answer.day)
            yield _say("asked-long-ago", person, what=what, day=day), what


def _unknown_tear(one: Exercise, person: Person) -> Iterator[tuple[Finding, str]]:
    if _loads_floor(one, MUCH) and any(_may_be_torn(each) for each in person.recoveries):
        yield _say("tear-unknown", person), "whether there was a tear"


def _may_be_torn(one: Recovery) -> bool:
    by_the_way = one.mode in {"vaginal", "assisted", ""}
    untold = one.ending != "loss" and by_the_way and one.tear in {"", "some"}
    return untold and one.weeks < table().weeks("tear-unknown")
