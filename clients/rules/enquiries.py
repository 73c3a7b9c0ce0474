"""Enquiries: whom to write back to and when, how she is reached, and what brings who stays. Pure.

No health is asked of an enquiry. The numbers of days are policy of the practice, no source.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from clients.rules.contact import dialled
from clients.rules.pregnancies import LONG_PAST_DUE_DAYS, Problem
from clients.rules.roster import STANDINGS, fold
from clients.rules.words import short_day_words, unless_quiet
from coach.scheduling.dates import TERM_DAYS

OPEN, INVITED, CLIENT, CLOSED = "open", "invited", "client", "closed"
STATES = {OPEN: "open", INVITED: "form sent", CLIENT: "client", CLOSED: "closed"}
RUNNING = (OPEN, INVITED)

# The next step in one tap: so many days from today.
TOMORROW, IN_3_DAYS, IN_A_WEEK, NO_DAY = "1", "3", "7", ""
WHEN = {TOMORROW: "tomorrow", IN_3_DAYS: "in 3 days", IN_A_WEEK: "in a week", NO_DAY: "no day"}
FIRST_STEP = "Write back"
AFTER_FORM = "Ask whether the form reached her"
AFTER_FORM_DAYS = 3
STEPS = (FIRST_STEP, "Call her", AFTER_FORM, "Ask whether she has decided")
REASONS = ("never answered", "chose somebody else", "not now", "too dear", "not for me to coach")
# What is offered before there are former entries to learn from.
FIRST_PLACES = ("a comment", "a message", "recommended")
PLACES_OFFERED = 5
FARTHEST_STEP_DAYS = 366
LONGEST_AGO_DAYS = 5 * 366
NOT_KNOWN, THE_REST = "not known", "the rest"
LINES_OF_TABLE = 6

_PHONE = re.compile(r"\+?[0-9 ()./-]{4,39}")
_EMAIL = re.compile(r"[^@\s]+@[^@\s.]+(\.[^@\s.]+)+")


@dataclass(frozen=True, slots=True)
class Enquired:
    """One enquiry as everybody who may see how people are reached knows it.

    `standing` and `quiet` are the client's that she became.
    """

    pk: int
    name: str
    state: str
    came_on: date
    email: str = ""
    phone: str = ""
    handle: str = ""
    where_from: str = ""
    class_uid: UUID | None = None
    class_title: str = ""
    next_step: str = ""
    next_on: date | None = None
    closed_why: str = ""
    client_id: int | None = None
    standing: str = ""
    quiet: bool = False

    @property
    def running(self) -> bool:
        """Whether somebody still has to write back, or to wait for her form."""
        return self.state in RUNNING

    @property
    def call(self) -> str:
        """Her number as a telephone takes it; empty when it is not known."""
        return dialled(self.phone)

    @property
    def reach(self) -> str:
        """All ways to reach her."""
        return " · ".join(way for way in (self.phone, self.email, self.known_as) if way)

    @property
    def known_as(self) -> str:
        """The name she writes under, unless a quiet client's line may not hold it."""
        return unless_quiet(self.handle, quiet=self.quiet)

    @property
    def place(self) -> str:
        """Where from, by the same rule."""
        return unless_quiet(self.where_from, quiet=self.quiet)

    @property
    def title(self) -> str:
        """The class that brought her, by the same rule."""
        return unless_quiet(self.class_title, quiet=self.quiet)

    @property
    def came_by(self) -> str:
        """Where from and by which class."""
        parts = (self.place, f"“{self.title}”" if self.title else "")
        return " · ".join(part for part in parts if part)

    def late(self, today: date) -> bool:
        """Whether the day of the next step has passed."""
        return self.running and self.next_on is not None and self.next_on < today

    def due(self, today: date) -> bool:
        """Whether the day of the next step has come."""
        return self.running and self.next_on is not None and self.next_on <= today


@dataclass(frozen=True, slots=True)
class Line:
    """An enquiry in the list, with what its day comes to in words."""

    one: Enquired
    late: bool
    when: str
    told: str = ""


def line_of(one: Enquired, today: date, *, told: str = "") -> Line:
    """`told`: what she said of her stage, for who may see it; never of a quiet client."""
    when = when_words(one.next_on, today) if one.running else ""
    return Line(one, one.late(today), when, "" if one.quiet else told)


def when_words(on: date | None, today: date) -> str:
    """ "today", "in 3 days", "2 days late"; empty without a day."""
    if on is None:
        return ""
    days = (on - today).days
    if days < 0:
        return f"{-days} day{'' if days == -1 else 's'} late"
    return {0: "today", 1: "tomorrow"}.get(days, f"in {days} days")


def in_order(lines: Iterable[Enquired]) -> list[Enquired]:
    """Those still open first by their next day, without a day after them; then the latest first."""
    newest = sorted(lines, key=lambda one: (one.came_on, one.pk), reverse=True)
    places = {OPEN: 0, INVITED: 0, CLIENT: 1, CLOSED: 2}
    return sorted(
        newest,
        key=lambda one: (places[one.state], (one.next_on or date.max) if one.running else date.max),
    )


def matches(one: Enquired, search: str) -> bool:
    """Whether every word typed is in her name, in a way to reach her or in where she came from."""
    text = fold(" ".join((one.name, one.reach, one.came_by)))
    return all(word in text for word in fold(search).split())


def way_of(typed: str) -> tuple[str, str]:
    """Which way to reach somebody was typed: ("email" | "phone" | "handle", what to keep).

    ValueError for an e-mail address that cannot be one; what is neither that nor a number is a
    name under which she writes somewhere.
    """
    text = " ".join(typed.split())
    if _PHONE.fullmatch(text) and sum(sign.isdigit() for sign in text) > 3:
        return "phone", text
    if _EMAIL.fullmatch(text):
        return "email", text
    if re.fullmatch(r"[^@\s]+@\S*", text):
        raise ValueError("That looks like an e-mail address, and is not a whole one.")
    return "handle", text


def next_day(when: str, on: date | None, today: date) -> date | None:
    """The day of the next step: one that was written goes before one that was tapped."""
    if on is not None or when == NO_DAY:
        return on
    return today + timedelta(days=int(when))


def step_problems(step: str, on: date | None, *, today: date) -> list[Problem]:
    """What speaks against a next step on a day."""
    if on is None:
        return []
    if not step:
        return [Problem("next_step", "Say what is to be done on that day.")]
    if on < today:
        return [Problem("next_on", "That day is over.")]
    if (on - today).days > FARTHEST_STEP_DAYS:
        return [Problem("next_on", "That is over a year away: check the year.")]
    return []


def enquiry_problems(
    *, name: str, ways: Iterable[str], came_on: date, told_due: date | None, today: date
) -> list[Problem]:
    """What speaks against keeping an enquiry. `ways`: all ways to reach her."""
    found = []
    if not any(sign.isalpha() for sign in name):
        found.append(Problem("name", "Write her name, or what you call her."))
    if not any(ways):
        found.append(Problem("reach", "Write one way to reach her."))
    if came_on > today:
        found.append(Problem("came_on", "That day has not come yet."))
    elif (today - came_on).days > LONGEST_AGO_DAYS:
        found.append(Problem("came_on", "That is over five years ago: check the year."))
    if told_due and (told_due - today).days > TERM_DAYS:
        found.append(Problem("told_due", "That is more than 40 weeks ahead: check it."))
    elif told_due and (today - told_due).days > LONG_PAST_DUE_DAYS:
        found.append(Problem("told_due", "That is long ago: write it in words beside it instead."))
    return found


def same_person(one: Enquired, name: str, ways: Iterable[str]) -> bool:
    """Whether an enquiry that runs is hers already: by that name, and reached in one of the ways.

    A button tapped twice then keeps her once.
    """
    known = {fold(way) for way in (one.email, one.phone, one.handle) if way}
    return (
        one.running
        and fold(one.name) == fold(name)
        and not known.isdisjoint(fold(way) for way in ways if way)
    )


def learned(former: Iterable[str], first: Sequence[str] = (), *, most: int) -> list[str]:
    """What was written most often before, each once in its commonest spelling; then `first`.

    Spellings that differ in case or accents alone are one.
    """
    spelled: dict[str, Counter[str]] = {}
    for text in former:
        if text.strip():
            spelled.setdefault(fold(text), Counter())[text.strip()] += 1
    often = sorted(spelled, key=lambda key: (-spelled[key].total(), key))
    found = {key: spelled[key].most_common(1)[0][0] for key in often}
    for text in first:
        found.setdefault(fold(text), text)
    return list(found.values())[:most]


@dataclass(frozen=True, slots=True)
class Stayed:
    """How many came by one class or from one place, and what became of them."""

    label: str
    came: int
    clients: int
    still: int
    closed: int


def by_class(
    enquiries: Iterable[Enquired], titles: Iterable[tuple[UUID, str]] = ()
) -> list[Stayed]:
    """The classes that brought enquiries. `titles`: what they are called now."""
    groups: dict[str, list[Enquired]] = {}
    labels = {str(uid): title for uid, title in titles}
    for one in enquiries:
        key = str(one.class_uid or "")
        groups.setdefault(key, []).append(one)
        labels.setdefault(key, one.class_title)
    return _table(groups, labels)


def by_place(enquiries: Iterable[Enquired]) -> list[Stayed]:
    """The places that enquiries came from; spellings that differ in case alone are one place."""
    groups: dict[str, list[Enquired]] = {}
    for one in enquiries:
        groups.setdefault(fold(one.where_from), []).append(one)
    labels = {
        key: learned((one.where_from for one in group), most=1)[0] if key else ""
        for key, group in groups.items()
    }
    return _table(groups, labels)


def _table(groups: dict[str, list[Enquired]], labels: dict[str, str]) -> list[Stayed]:
    """A line a group, those first that keep most; few of them, then the rest, then "not known"."""
    known = {key: group for key, group in groups.items() if key}
    lines = sorted(
        (_stayed(labels[key] or NOT_KNOWN, group) for key, group in known.items()),
        key=lambda line: (-line.still, -line.clients, -line.came, fold(line.label)),
    )
    shown, rest = lines[:LINES_OF_TABLE], lines[LINES_OF_TABLE:]
    if rest:
        shown.append(_sum(THE_REST, rest))
    if groups.get(""):
        shown.append(_stayed(NOT_KNOWN, groups[""]))
    return shown


def _stayed(label: str, group: Sequence[Enquired]) -> Stayed:
    return Stayed(
        label,
        came=len(group),
        clients=sum(one.state == CLIENT for one in group),
        still=sum(one.state == CLIENT and one.standing in STANDINGS["current"] for one in group),
        closed=sum(one.state == CLOSED for one in group),
    )


def _sum(label: str, lines: Sequence[Stayed]) -> Stayed:
    return Stayed(
        label,
        came=sum(line.came for line in lines),
        clients=sum(line.clients for line in lines),
        still=sum(line.still for line in lines),
        closed=sum(line.closed for line in lines),
    )


def came_from_words(enquiries: Iterable[Enquired]) -> str:
    """ "a comment, by the class “Core reset”, on 3 November 2026": the earliest; "" for none.

    Without what a quiet client's page may not hold.
    """
    first = min(enquiries, key=lambda one: (one.came_on, one.pk), default=None)
    if first is None:
        return ""
    title = f"by the class “{first.title}”" if first.title else ""
    parts = (first.place, title, f"on {short_day_words(first.came_on)}")
    return ", ".join(part for part in parts if part)
