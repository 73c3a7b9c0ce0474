"""The words of the go-ahead tables, read strictly: what is not known here is refused.

A line of `given` is a head and, after semicolons, its details; a name before a colon lets a
letter point at it: "B: letter 9 November 2026; examined; limits no impact; replaces A".
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

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
from coach.scheduling.dates import Ending
from coach.scheduling.values import Limits

SIGNS = {
    "bleeding": "blood",
    "dizziness": "dizzy",
    "chest pain": "chest",
    "headache": "headache",
    "fewer movements": "movement",
    "a swollen leg": "leg",
    "heavy bleeding": "heavy-blood",
    "something else": "other",
}
CONDITIONS = {
    "placenta praevia": "praevia",
    "high blood pressure of pregnancy": "pressure",
    "a heart condition": "heart",
    "anaemia": "anaemia",
    "kidney disease": "kidney",
    "bleeding": "blood",
}
BABIES = {"twins": 2, "triplets": 3}
MODES = {"": "", " by caesarean": "caesarean", " with help": "assisted", " vaginally": "vaginal"}
HOW = {"letter": KnownBy.LETTER, "by phone": KnownBy.SPOKEN, "her word": KnownBy.CLIENT}
PHASES = {"in pregnancy": "pregnant", "after": "after"}
TICKED = {
    "no impact": "no_impact",
    "not lying flat": "not_lying_flat",
    "no loaded trunk flexion": "no_loaded_trunk_flexion",
    "gentle recovery only": "gentle_recovery_only",
}
UP_TO = {
    r"lifting (\d+) kg": "lift_at_most_kg",
    r"effort (\d+)": "effort_at_most",
    r"heart rate (\d+)": "heart_rate_at_most",
}
SWITCHES = {
    "screening": "screening",
    "examination": "examined",
    "gentle recovery": "gentle",
    "caesarean": "caesarean",
    "conditions": "conditions",
    "twelve weeks": "policy-end",
}
POLICY_NUMBERS = {
    r"letters count (\d+) weeks": "letter_counts_weeks",
    r"screenings count (\d+) weeks": "screening_counts_weeks",
}
BEFORE_ALL = date(2000, 1, 1)
DAY = r"(\d{1,2} [A-Z][a-z]+ \d{4})"


class NotUnderstood(ValueError):
    """A line of a table that says something unknown."""


def day(text: str) -> date:
    """ "8 March 2027" as a date."""
    try:
        return datetime.strptime(text.strip(), "%d %B %Y").date()  # noqa: DTZ007 - a date alone
    except ValueError as wrong:
        raise NotUnderstood(f"no day: {text!r}") from wrong


def limits(text: str) -> Limits:
    """ "no impact, lifting 8 kg, “sit to rest”" as limits; "none" is none."""
    found: dict[str, Any] = {}
    others: list[str] = []
    for one in [] if text.strip() == "none" else text.split(", "):
        numbers = [(name, re.fullmatch(words, one)) for words, name in UP_TO.items()]
        if one in TICKED:
            found[TICKED[one]] = True
        elif one.startswith("“") and one.endswith("”"):
            others.append(one[1:-1])
        elif number := next(((name, hit[1]) for name, hit in numbers if hit), None):
            found[number[0]] = int(number[1])
        else:
            raise NotUnderstood(f"no limit: {one!r}")
    return Limits(**found, others=tuple(others))


@dataclass
class Details:
    """The details of one line; every one must be taken."""

    left: list[str]

    def take(self, pattern: str) -> str | None:
        """What a detail says; "" for one that only stands there, None where it is absent."""
        for one in self.left:
            if hit := re.fullmatch(pattern, one):
                self.left.remove(one)
                return hit[1] if hit.groups() else ""
        return None

    def has(self, words: str) -> bool:
        return self.take(re.escape(words)) is not None

    def on(self, words: str) -> date | None:
        """The day after some words, where they stand there."""
        found = self.take(f"{words} {DAY}")
        return day(found) if found else None


@dataclass
class Told:
    """What the lines read so far come to."""

    facts: ClientFacts = field(default_factory=ClientFacts)
    policies: list[tuple[date, dict[str, Any]]] = field(default_factory=list)
    named: dict[str, tuple[str, Any]] = field(default_factory=dict)
    count: int = 0

    def add(self, kind: str, name: str, one: Any, key: Any) -> None:
        """One more fact, under its name."""
        self.facts = replace(self.facts, **{kind: (*getattr(self.facts, kind), one)})
        if name:
            self.named[name] = (kind, key)

    def keys(self, names: str | None, *kinds: str) -> tuple[Any, ...]:
        """The keys of what was named, of these kinds; a name never given is refused."""
        wanted = names.split(", ") if names else []
        if unknown := [one for one in wanted if one not in self.named]:
            raise NotUnderstood(f"never named: {unknown}")
        return tuple(self.named[one][1] for one in wanted if self.named[one][0] in kinds)

    def change_last_pregnancy(self, change: Callable[[PregnancyFact], PregnancyFact]) -> None:
        """Put the last pregnancy that has no end in another way."""
        if not self.facts.pregnancies or self.facts.pregnancies[-1].dates.over:
            raise NotUnderstood("there is no pregnancy that runs")
        *others, last = self.facts.pregnancies
        self.facts = replace(self.facts, pregnancies=(*others, change(last)))


Reader = Callable[[Told, str, re.Match[str], Details], None]


def _due(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    babies = next((n for word, n in BABIES.items() if details.has(word)), 1)
    one = PregnancyFact(
        due=day(head[1]) if head[1] else None,
        expected=babies,
        pk=told.count,
        known_on=details.on("known"),
    )
    told.add("pregnancies", name, one, babies_key(told.count))


def _ended(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    ending = {"born": Ending.BIRTH, "lost": Ending.LOSS}.get(head[1])
    ended, due, known = day(head[2]), details.on("due"), details.on("known")
    if due:
        told.add("pregnancies", name, PregnancyFact(due=due, pk=told.count), "")
    told.change_last_pregnancy(
        lambda one: replace(
            one,
            ended=ended,
            ending=ending,
            known_on=known or ended,
            before=one,
            birth_mode=MODES[head[3]],
        )
    )


def _over_somewhen(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    told.change_last_pregnancy(lambda one: replace(one, ending=Ending.BIRTH))


def _redated(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    due, known = day(head[1]), details.on("known")
    told.change_last_pregnancy(lambda one: replace(one, due=due, known_on=known, before=one))


def _babies(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    known, n = day(head[2]), BABIES[head[1]]
    told.change_last_pregnancy(lambda one: replace(one, expected=n, known_on=known, before=one))
    told.named[name] = ("pregnancies", babies_key(told.facts.pregnancies[-1].pk or 0))


def _clearance(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    limited, against = details.take("limits (.+)"), details.has("against")
    answers = details.take("answers (.+)")
    examined = "no" if details.has("not examined") else "yes" if details.has("examined") else ""
    word = ClearanceWord.LIMITS if limited else ClearanceWord.GO_AHEAD
    one = ClearanceFact(
        said_on=day(head[2]),
        word=ClearanceWord.AGAINST if against else word,
        known_by=HOW[head[1]],
        known_on=details.on("known"),
        limits=limits(limited or "none"),
        until=details.on("until"),
        until_birth=details.has("until the birth"),
        answers=told.keys(answers, "signs"),
        answers_conditions=told.keys(answers, "conditions", "pregnancies"),
        replaces=told.keys(details.take("replaces (.+)"), "clearances"),
        names_more=details.has("more than gentle recovery"),
        clinician="Dr Imelda Roe",
        clinician_kind="GP",
        examined=examined,
        withdrawn_on=details.on("withdrawn"),
        pk=told.count,
    )
    told.add("clearances", name, one, told.count)


def _sign(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    if head[1] not in SIGNS:
        raise NotUnderstood(f"no sign: {head[1]!r}")
    one = SignFact(
        told.count, SIGNS[head[1]], day(head[2]), details.on("known"),
        withdrawn_on=details.on("withdrawn"),
    )  # fmt: skip
    told.add("signs", name, one, told.count)


def _condition(told: Told, name: str, what: str, details: Details, **given: Any) -> None:
    if what not in CONDITIONS:
        raise NotUnderstood(f"no condition: {what!r}")
    key = f"condition:{told.count}"
    one = ConditionFact(
        key=key,
        code=CONDITIONS[what],
        known_on=details.on("known"),
        over_on=details.on("over"),
        over_known_on=details.on("over known"),
        **given,
    )
    told.add("conditions", name, one, key)


def _by_clinician(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    _condition(told, name, head[1], details, named_on=day(head[2]), origin="clinician")


def _by_answer(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    given = {"named_on": day(head[3]), "origin": "screening", "answer": head[1]}
    _condition(told, name, head[2], details, **given)


def _screening(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    is_so = [one for one in ("all no", "not all no", "not complete") if details.has(one)]
    if len(is_so) != 1:
        raise NotUnderstood("a screening is all no, not all no, or not complete")
    complete, all_no = is_so != ["not complete"], is_so == ["all no"]
    one = ScreeningFact(
        day(head[2]), details.on("known"), PHASES[head[1]], complete, all_no, told.count
    )
    told.add("screenings", name, one, told.count)


def _quiet(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    told.facts = replace(told.facts, quiet=True)


def _policy(told: Told, name: str, head: re.Match[str], details: Details) -> None:
    values: dict[str, Any] = {}
    while off := details.take(rf"({'|'.join(SWITCHES)}) off"):
        values["off"] = [*values.get("off", []), SWITCHES[off]]
    for words, key in POLICY_NUMBERS.items():
        if number := details.take(words):
            values[key] = int(number)
    if details.has("screening suffices"):
        values["screening_suffices"] = True
    told.policies.append((day(head[1]) if head[1] else BEFORE_ALL, values))


HEADS: dict[str, Reader] = {
    rf"due {DAY}": _due,
    r"pregnant, due date not known()": _due,
    rf"(born|lost|ended) {DAY}({'|'.join(filter(None, MODES))}|)": _ended,
    r"over, nobody knows when": _over_somewhen,
    rf"due date changed to {DAY}": _redated,
    rf"(twins|triplets) known {DAY}": _babies,
    rf"({'|'.join(HOW)}) {DAY}": _clearance,
    rf"sign (.+) {DAY}": _sign,
    rf"clinician names (.+) {DAY}": _by_clinician,
    rf"answer (yes|unsure) to (.+) {DAY}": _by_answer,
    rf"screened ({'|'.join(PHASES)}) {DAY}": _screening,
    r"quiet": _quiet,
    rf"policy from {DAY}": _policy,
    r"policy all along()": _policy,
}


def read(lines: Iterable[str]) -> Told:
    """All lines of `given`; NotUnderstood for anything that is not known, or left over."""
    told = Told()
    for line in lines:
        told.count += 1
        name, _, said = line.rpartition(": ")
        head, *rest = said.split("; ")
        hits = [(reader, re.fullmatch(words, head)) for words, reader in HEADS.items()]
        reader, hit = next(((r, h) for r, h in hits if h), (None, None))
        if reader is None or hit is None:
            raise NotUnderstood(f"not understood: {line!r}")
        details = Details(rest)
        reader(told, name, hit, details)
        if details.left:
            raise NotUnderstood(f"left over in {line!r}: {details.left}")
    return told


@dataclass(frozen=True)
class Then:
    """What is to come out on a day, or on two days at once, as known on another or on the same."""

    days: tuple[date, ...]
    known: date | None
    word: str
    because: tuple[str, ...]
    never_because: tuple[str, ...]
    limits: Limits | None
    until: date | str | None
    unchecked: tuple[str, ...]
    exception: bool | None


def read_then(line: str) -> Then:
    """ "3 December 2026: waiting; because no-letter; not checked gentle", and so on."""
    when, _, what = line.partition(": ")
    hit = re.fullmatch(rf"{DAY}(?: or {DAY})?(?: as known {DAY})?", when)
    if hit is None:
        raise NotUnderstood(f"no day in {line!r}")
    word, *rest = what.split("; ")
    details = Details(rest)
    may, may_not = details.has("an exception is possible"), details.has("no exception")
    limited, until = details.take("limits (.+)"), details.take("until (.+)")
    found = Then(
        days=tuple(day(one) for one in hit.groups()[:2] if one),
        known=day(hit[3]) if hit[3] else None,
        word=word,
        because=_kinds(details.take("because (.+)")),
        never_because=_kinds(details.take("not because (.+)")),
        limits=limits("none" if word == "yes" else limited) if limited or word == "yes" else None,
        until=until if until in {None, "the birth"} else day(str(until)),
        unchecked=_kinds(details.take("not checked (.+)")),
        exception=True if may else False if may_not else None,
    )
    if details.left or (word == "yes, with limits" and not limited):
        raise NotUnderstood(f"left over or missing in {line!r}")
    return found


def _kinds(text: str | None) -> tuple[str, ...]:
    return tuple(text.split(", ")) if text else ()
