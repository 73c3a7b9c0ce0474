"""The words of the table of readiness, read strictly: a day, changes, and a client to match.

Days are counted from the end of the pregnancy, so that today is a number of days after it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from clients.actions.measuring import rewrite_summary
from clients.models import Client, MeasuringPolicy
from clients.rules.impact_tests import ImpactTest, impact_tests
from coach.scheduling.values import Limits
from tests import factories
from tests import factories_clearance as health
from tests.clients.assessment_words import QUESTIONS, TESTS, values_of
from tests.clients.table_words import NotUnderstood, limits

TODAY = date(2026, 12, 3)
BEGINS = date(2020, 1, 1)
MODES = {"caesarean": "caesarean", "with help": "assisted", "mode not known": ""}


@dataclass
class Story:
    """One client as she is told of, with everything in order to begin with."""

    day: int
    mode: str = "vaginal"
    end: str = "born"
    letter: dict[str, Any] | None = field(default_factory=dict)
    letter_day: int = 0
    screened_day: int | None = 0
    tests_day: int | None = 0
    tests_about: dict[str, Any] = field(default_factory=dict)
    withdrawn: bool = False
    next_day: str | None = "no"
    changed: dict[str, dict[str, Any]] = field(default_factory=dict)
    others: list[tuple[int, bool, str]] = field(default_factory=list)
    sign_day: int | None = None
    own: dict[str, Any] = field(default_factory=dict)
    more: list[tuple[str, int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.letter_day = self.screened_day = min(50, self.day - 4)
        self.tests_day = self.day - 3

    def on(self, day: int) -> date:
        """A day counted from the end, as a date."""
        return TODAY - timedelta(days=self.day - day)


Reader = Callable[[Story, re.Match[str]], None]


def _letter(**values: Any) -> Reader:
    def change(story: Story, hit: re.Match[str]) -> None:
        story.letter = {**(story.letter or {}), **values}

    return change


def _limited(story: Story, hit: re.Match[str]) -> None:
    story.letter = {"word": "limits", "limits": limits(hit[1])}


def _until(story: Story, hit: re.Match[str]) -> None:
    story.letter = {"until": story.on(int(hit[1]))}


def _set(name: str, value: Any = None) -> Reader:
    def change(story: Story, hit: re.Match[str]) -> None:
        setattr(story, name, int(hit[1]) if value is None else value[0])

    return change


def _answer(story: Story, hit: re.Match[str]) -> None:
    story.changed[hit[1]] = {} if hit[2] == "not asked" else {hit[1]: hit[2]}


def _test(story: Story, hit: re.Match[str]) -> None:
    story.changed[hit[1]] = {} if hit[2] == "not asked" else values_of(hit[0])


def _other(story: Story, hit: re.Match[str]) -> None:
    story.others.append((int(hit[1]), not hit[2], hit[3]))


def _own(story: Story, hit: re.Match[str]) -> None:
    if hit[1] == "gate":
        story.own["own_gate_weeks"] = int(hit[2])
    elif hit[1] == "tests":
        story.own["own_tests_days"] = int(hit[2])
    else:
        story.own["amounts"] = {**story.own.get("amounts", {}), hit[1]: int(hit[2])}


CHANGES: dict[str, Reader] = {
    r"(caesarean|with help|mode not known)": lambda s, hit: setattr(s, "mode", MODES[hit[1]]),
    r"(lost|still pregnant|past due|no pregnancy|end day not known)": (
        lambda s, hit: setattr(s, "end", hit[1])
    ),
    r"(pregnant again) since day (\d+)": lambda s, hit: s.more.append((hit[1], int(hit[2]))),
    r"(another birth) (\d+) days ago": lambda s, hit: s.more.append((hit[1], int(hit[2]))),
    r"no letter": _set("letter", [None]),
    r"letter her word": _letter(known_by="client"),
    r"letter not examined": _letter(examined="no"),
    r"letter against": _letter(word="against"),
    r"letter limits (.+)": _limited,
    r"letter until day (\d+)": _until,
    r"letter on day (-?\d+)": _set("letter_day"),
    r"not screened": _set("screened_day", [None]),
    r"screened on day (\d+)": _set("screened_day"),
    r"no tests": _set("tests_day", [None]),
    r"tests on day (\d+)": _set("tests_day"),
    r"tests unfinished": lambda s, hit: s.tests_about.update(finished=False),
    r"tests withdrawn": _set("withdrawn", [True]),
    r"next day not asked": _set("next_day", [None]),
    r"next day symptoms": _set("next_day", ["yes"]),
    rf"({'|'.join(QUESTIONS)}) (yes|no|not asked)": _answer,
    r"(navel) at rest \d+": lambda s, hit: s.changed.update(width=values_of(hit[0])),
    rf"({'|'.join(TESTS)}) (.+)": _test,
    r"on day (\d+)(, unfinished)?: (.+)": _other,
    rf"own (gate|tests|{'|'.join(TESTS)}) (\d+)(?: weeks| days)?": _own,
    r"sign on day (\d+)": _set("sign_day"),
}


def told(day: int, changes: list[str]) -> Story:
    """The story with its changes; NotUnderstood for anything that is not known."""
    story = Story(day)
    for line in changes:
        hits = [(reader, re.fullmatch(words, line)) for words, reader in CHANGES.items()]
        reader, hit = next(((reader, hit) for reader, hit in hits if hit), (None, None))
        if reader is None or hit is None:
            raise NotUnderstood(f"no change: {line!r}")
        reader(story, hit)
    return story


def _passed(test: ImpactTest) -> dict[str, Any]:
    parts = {test.field(part): test.amount for part in test.parts}
    return {**parts, test.field("symptom"): "no"}


def battery(story: Story) -> dict[str, Any]:
    """The values of the assessment with the tests."""
    assert story.tests_day is not None
    whole = {one: {one: "no"} for one in QUESTIONS}
    whole |= {code: _passed(test) for code, test in impact_tests().items()}
    whole |= story.changed
    values = {code: value for part in whole.values() for code, value in part.items()}
    told_on = story.tests_day + 1
    if story.next_day and told_on <= story.day:
        values |= {"next_day": story.next_day, "next_day_on": story.on(told_on).isoformat()}
    return values


def _measured(of: Client, day: date, values: dict[str, Any], **about: Any) -> None:
    row = health.assessment(of, day, **about)
    row.measures = values
    row.save()


def client_of(story: Story) -> Client:
    """A client as she is told of, on record; everything is known on its own day."""
    client = factories.client("Nuala Ferriter")
    _pregnancies(client, story)
    if story.letter is not None:
        values: dict[str, Any] = {"examined": "yes", "limits": Limits(), **story.letter}
        health.clearance(client, story.on(story.letter_day), **values)
    if story.screened_day is not None:
        phase = "pregnant" if story.end in {"still pregnant", "past due"} else "after"
        health.screening(client, story.on(story.screened_day), phase=phase)
    if story.sign_day is not None:
        health.sign(client, story.on(story.sign_day))
    for day, finished, what in story.others:
        _measured(client, story.on(day), _words(story, what), finished=finished)
    if story.tests_day is not None:
        withdrawn = story.on(story.day) if story.withdrawn else None
        _measured(client, story.on(story.tests_day), battery(story), **story.tests_about)
        last = client.assessments.last()
        assert last is not None
        last.withdrawn_on = withdrawn
        last.save()
    rewrite_summary(client.pk)
    return client


def _words(story: Story, what: str) -> dict[str, Any]:
    def absolute(hit: re.Match[str]) -> str:
        day = story.on(int(hit[1]))
        return f"told {day.day} {day:%B %Y}"

    return values_of(re.sub(r"told on day (\d+)", absolute, what))


def _pregnancies(client: Client, story: Story) -> None:
    ended = story.on(0)
    plain = {"born": "birth", "lost": "loss"}
    if story.end in plain:
        mode = story.mode if story.end == "born" else ""
        values = {"due": ended, "ended": ended, "ending": plain[story.end], "birth_mode": mode}
        factories.pregnancy(client, **values)
    elif story.end == "end day not known":
        factories.pregnancy(client, due=None, ending="birth", birth_mode=story.mode)
    elif story.end != "no pregnancy":
        ahead = 60 if story.end == "still pregnant" else -10
        factories.pregnancy(client, due=TODAY + timedelta(days=ahead))
    for what, number in story.more:
        if what == "pregnant again":
            factories.pregnancy(client, due=story.on(number + 280))
        else:
            before = TODAY - timedelta(days=number)
            factories.pregnancy(
                client, due=before, ended=before, ending="birth", birth_mode="vaginal"
            )


def in_force(policy: str, story: Story) -> None:
    """The practice has chosen a policy of readiness, and the numbers of its own."""
    values = {"readiness": policy, **story.own}
    MeasuringPolicy.objects.create(begins=BEGINS, values=values)
