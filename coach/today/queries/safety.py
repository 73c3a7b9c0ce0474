"""What comes first: who is on hold, who is past her due date, letters, reassessments."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from django.urls import reverse

from clients.queries import SpanRow, letters_running_out, roster, words_now
from clients.rules.roster import Line
from coach.diary.queries import reassessments
from coach.practice.permissions import Fact, may
from coach.scheduling.planner.words import number
from coach.scheduling.values import GoAheadWord, Stage
from coach.today.queries import measured, told
from coach.today.queries.items import Item

RUN_OUT_DAYS = 14
REASSESS_DAYS = 7
LISTED = 4


def roster_lines(user: Any, today: date) -> list[Line]:
    """The clients being coached, with their stage for those who may see it."""
    if not may(user, Fact.CONTACT):
        return []
    return roster(today, with_stage=may(user, Fact.STAGE)).lines


def safety(user: Any, lines: list[Line], today: date) -> Iterator[Item]:
    """Everything about who may train and who is to be looked at, the most urgent first."""
    words = words_now() if may(user, Fact.GO_AHEAD) else {}
    yield from told.to_follow_up(user, today)
    yield from told.urgent_forms(user, today)
    yield from told.held_by_answers(user, today)
    yield from _on_hold(lines, words)
    yield from _past_due(lines)
    yield from _waiting(lines, words)
    yield from told.forms(user, today)
    yield from told.letters(user, today)
    yield from measured.after_tests(user, today)
    yield from measured.not_finished(user)
    if may(user, Fact.HEALTH):
        yield from _running_out(today)
        yield from _to_reassess(today)
    yield from _dates_unknown(lines)


def _page_of(line: Line) -> str:
    return reverse("clients:client", args=[line.person.pk])


def _on_hold(lines: list[Line], words: Mapping[int, SpanRow]) -> Iterator[Item]:
    for line in lines:
        if _word(words, line) is GoAheadWord.ON_HOLD:
            what = f"{line.person.name} is on hold"
            note = "No session before a clinician has answered."
            yield Item("now", what, _page_of(line), "open", note, late=True)


def _past_due(lines: list[Line]) -> Iterator[Item]:
    for line in lines:
        if line.asks:
            what = f"Ask how {line.person.name} is"
            yield Item("now", what, _page_of(line), "open", line.note, late=True)


def _waiting(lines: list[Line], words: Mapping[int, SpanRow]) -> Iterator[Item]:
    """One line for all of them: the register has them by name."""
    missing = {GoAheadWord.WAITING, GoAheadWord.RUN_OUT}
    waiting = [
        line
        for line in lines
        if line.person.standing == "active" and _word(words, line) in missing and not line.asks
    ]
    if waiting:
        one = len(waiting) == 1
        who = waiting[0].person.name if one else f"{number(len(waiting)).capitalize()} clients"
        what = f"{who} {'has' if one else 'have'} no go-ahead now"
        url = _page_of(waiting[0]) if one else reverse("clients:clearance")
        note = "A letter, the health questions or a date: missing, run out, or from before."
        yield Item("now", what, url, "see who" if not one else "open", note, late=True)


def _running_out(today: date) -> Iterator[Item]:
    for pk, name, last in letters_running_out(today, within_days=RUN_OUT_DAYS):
        url = reverse("clients:client", args=[pk])
        yield Item(last, f"The letter of {name} runs out", url, "open")


def _to_reassess(today: date) -> Iterator[Item]:
    """The most overdue first; nobody on hold is to be started."""
    wanted = reassessments(today, within_days=REASSESS_DAYS)
    for one in wanted[:LISTED]:
        note = ". ".join(finding.reason for finding in one.reasons)
        what = f"{one.verb} {one.name}"
        yield Item(one.by, what, one.url, one.action, note, late=one.overdue_days > 0)
    more = len(wanted) - LISTED
    if more > 0:
        what = f"{number(more).capitalize()} more to reassess"
        yield Item("soon", what, reverse("diary:index"), "see who")


def _dates_unknown(lines: list[Line]) -> Iterator[Item]:
    for line in lines:
        if line.stage is Stage.UNKNOWN and line.person.standing == "active":
            what = f"Ask {line.person.name} for her dates"
            note = "Her stage is not known, so no class is planned for her."
            yield Item("soon", what, _page_of(line), "open", note)


def _word(words: Mapping[int, SpanRow], line: Line) -> GoAheadWord | None:
    row = words.get(line.person.pk)
    return row.word if row else None
