"""The words of readiness_table.toml, read strictly: what is not known here is refused.

Dates, letters, answers and signs are read by table_words.py, the rest here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from clients.rules.assessment import NEXT_DAY, NEXT_DAY_ON, Measured
from clients.rules.facts import ClientFacts
from clients.rules.go_ahead import go_ahead
from clients.rules.impact_tests import OFFERED, SYMPTOM, WHOLE, ImpactTest, impact_tests
from clients.rules.known_day import KnownDay
from clients.rules.measuring_policy import Measuring, measuring_with
from clients.rules.policy import Policies
from clients.rules.readiness import Readiness, ReadinessFacts, readiness
from tests.clients.table_words import BEFORE_ALL, DAY, Details, NotUnderstood, day
from tests.clients.table_words import read as read_facts

_ASKED = ("leaking", "heaviness", "pain", "urgency", "girdle", "bleeding")
_ASSESSED = re.compile(rf"(tests|only|asked) {DAY}")
_IMPACT = re.compile(r"impact after a caesarean from (\d+) weeks")
_CHOSEN = re.compile(r"practice chooses (2019|2024|own)")
_CLEARED = re.compile(rf"cleared {DAY}")


@dataclass
class Story:
    """What the lines of one row come to."""

    facts: ClientFacts = field(default_factory=ClientFacts)
    policies: Policies = field(default_factory=lambda: Policies.of(()))
    measured: list[Measured] = field(default_factory=list)
    chosen: Measuring = field(default_factory=Measuring)

    def facts_on(self, on: date) -> ReadinessFacts:
        """What readiness rests on, on a day."""
        known = KnownDay.of(self.facts, on, self.policies.on(on))
        return ReadinessFacts(
            pregnancies=self.facts.known_by(on).pregnancies,
            measured=tuple(self.measured),
            go_ahead=go_ahead(self.facts, on, self.policies),
            said=known.letter_limits,
            policy=self.policies.on(on),
            quiet=self.facts.quiet,
        )

    def answer(self, on: date) -> Readiness:
        """Her readiness on a day."""
        return readiness(self.facts_on(on), on, self.chosen)


def read(lines: Iterable[str]) -> Story:
    """All lines of `given`; NotUnderstood for anything that is not known, or left over."""
    story = Story()
    others: list[str] = []
    numbers: dict[str, int] = {}
    for line in lines:
        head, *rest = line.split("; ")
        details = Details(rest)
        if hit := _ASSESSED.fullmatch(head):
            story.measured.append(_measured(hit[1], day(hit[2]), details, len(story.measured) + 1))
        elif hit := _IMPACT.fullmatch(head):
            numbers["caesarean_impact_weeks"] = int(hit[1])
        elif hit := _CHOSEN.fullmatch(head):
            story.chosen = _chosen(hit[1], details)
        elif hit := _CLEARED.fullmatch(head):
            others += [f"letter {hit[1]}; examined", f"screened after {hit[1]}; all no"]
        else:
            others.append(line)
            continue
        if details.left:
            raise NotUnderstood(f"left over in {line!r}: {details.left}")
    told = read_facts(_about_now(others))
    rows = dict(told.policies)
    rows[BEFORE_ALL] = {**rows.get(BEFORE_ALL, {}), **numbers}
    story.facts, story.policies = told.facts, Policies.of(rows.items())
    return story


def _about_now(lines: list[str]) -> list[str]:
    """The questions of a pregnancy that runs are those of it."""
    if any(re.match("born|lost|over", line) for line in lines):
        return lines
    return [line.replace("screened after", "screened in pregnancy") for line in lines]


def _chosen(code: str, details: Details) -> Measuring:
    amounts: dict[str, int] = {}
    values: dict[str, Any] = {"readiness": code, "amounts": amounts}
    if weeks := details.take(r"(\d+) weeks"):
        values["own_gate_weeks"] = int(weeks)
    if days := details.take(r"tests count (\d+) days"):
        values["own_tests_days"] = int(days)
    for test in impact_tests():
        if amount := details.take(rf"{test} (\d+)"):
            amounts[test] = int(amount)
    return measuring_with(values)


def _measured(kind: str, on: date, details: Details, pk: int) -> Measured:
    values: dict[str, Any] = {}
    for test in impact_tests().values():
        values |= _test(test, details, done=kind == "tests")
    for code in _ASKED:
        usual = "no" if kind == "tests" and code in _ASKED else "not asked"
        said = details.take(rf"{code} (yes|no|not asked)") or usual
        values |= {code: said} if said != "not asked" else {}
    usual = "no" if kind == "tests" else "not asked"
    after = details.take("day after (yes|no|not asked)") or usual
    if after != "not asked":
        values |= {NEXT_DAY: after, NEXT_DAY_ON: (on + timedelta(days=1)).isoformat()}
    return Measured(pk, on, values, by="Una", who="coach", finished=not details.has("not finished"))


def _test(test: ImpactTest, details: Details, *, done: bool) -> dict[str, Any]:
    if details.has(f"{test.code} not offered"):
        return {test.field(OFFERED): "no"}
    if details.has(f"{test.code} not done"):
        return {}
    found: dict[str, Any] = {}
    for part in test.parts:
        which = test.code if part == WHOLE else f"{test.code} {part}"
        usual = str(test.amount) if done else "missing"
        said = details.take(rf"{which} (\d+|missing)") or usual
        found |= {test.field(part): int(said)} if said != "missing" else {}
    usual = "felt nothing" if done else "symptoms not asked"
    felt = details.take(rf"{test.code} (hurt|felt nothing|symptoms not asked)") or usual
    if felt != "symptoms not asked":
        found[test.field(SYMPTOM)] = "yes" if felt == "hurt" else "no"
    return found


@dataclass(frozen=True)
class Then:
    """What is to be missing on a day, by its kind, and what the answer says."""

    on: date
    missing: tuple[str, ...]
    says: str
    cautions: tuple[str, ...] | None
    unchecked: tuple[str, ...]


def read_then(line: str) -> Then:
    """ "2 June 2025: nothing; caution months", and so on."""
    when, _, what = line.partition(": ")
    kinds, *rest = what.split("; ")
    details = Details(rest)
    caution = details.take("caution (.+)")
    none = details.has("no caution")
    unchecked = details.take("not checked (.+)")
    found = Then(
        on=day(when),
        missing=tuple(_kinds(kinds)),
        says=details.take("says “(.+)”") or "",
        cautions=(caution,) if caution else () if none else None,
        unchecked=(unchecked,) if unchecked else (),
    )
    if details.left:
        raise NotUnderstood(f"left over in {line!r}")
    return found


def _kinds(text: str) -> Iterator[str]:
    for one in () if text == "nothing" else text.split(", "):
        if one == "every test":
            yield from (f"test-{code}" for code in impact_tests())
        else:
            yield f"test-{one}" if one in impact_tests() else one
