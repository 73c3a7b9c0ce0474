"""Reads of the roster, of a client's pregnancies, and of what planning needs."""

from __future__ import annotations

import dataclasses
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Prefetch, QuerySet

from clients.models import Client, DueDateChange, Pregnancy
from clients.queries.enquiries import told_stages
from clients.queries.facts import facts_by_client
from clients.queries.go_ahead import policies, words_now
from clients.queries.scheme import the_scheme
from clients.rules import roster as rules
from clients.rules.go_ahead import spans
from clients.rules.go_ahead_words import STRICTEST_FIRST
from clients.rules.needs import ACTIVE, PAUSED, Needed, Needs, count_needs
from clients.rules.pregnancies import PregnancyFacts
from clients.rules.profile import Earlier, Record
from coach.practice.permissions import TABLE, Fact
from coach.scheduling.dates import PregnancyDates
from coach.scheduling.values import GoAheadWord, Stage

_PERSON = ("pk", "name", "email", "phone", "standing", "changed_at")


@dataclass(frozen=True, slots=True)
class Roster:
    """The lines asked for, how many more there are among other standings, and all by stage.

    `stages` and `words` count what was asked for without the filter by stage and by word; they
    are empty for who may not see them.
    """

    lines: list[rules.Line]
    elsewhere: int
    stages: dict[Stage, int]
    words: dict[GoAheadWord, int]

    @property
    def asks(self) -> int:
        """How many should be asked how they are: past the due date with nothing recorded."""
        return self.stages.get(Stage.PAST_DUE, 0)


def roster(
    today: date,
    *,
    search: str = "",
    stage: Stage | None = None,
    standing: str = rules.CURRENT,
    word: GoAheadWord | None = None,
    sort: rules.Sort = rules.Sort.NAME,
    with_stage: bool = True,
    with_word: bool = True,
) -> Roster:
    """The roster in six queries whatever its length; two less without stages, three without words.

    The words are those of this moment, the stages those of `today`.
    What the reader may not see she can neither filter nor order by: it would tell.
    """
    lines = _lines(today, with_stage, with_word)
    found = [line for line in lines if rules.matches(line.person, search)]
    standing_so = [line for line in found if line.person.standing in rules.STANDINGS[standing]]
    stage, word = stage if with_stage else None, word if with_word else None

    def is_wanted(line: rules.Line) -> bool:
        return stage in {None, line.stage} and word in {None, line.word}

    wanted = [line for line in standing_so if is_wanted(line)]
    stages = Counter(line.stage for line in standing_so if word in {None, line.word})
    words = Counter(line.word for line in standing_so if stage in {None, line.stage})
    return Roster(
        rules.in_order(wanted, rules.allowed(sort, with_stage=with_stage, with_word=with_word)),
        elsewhere=sum(map(is_wanted, found)) - len(wanted),
        stages={one: stages[one] for one in Stage if stages[one]},
        words={one: words[one] for one in STRICTEST_FIRST if words[one]},
    )


def _lines(today: date, with_stage: bool, with_word: bool) -> list[rules.Line]:
    words = words_now() if with_word else {}
    return [
        line.with_word(words[line.person.pk].word) if words else line
        for line in _staged_lines(today, with_stage)
    ]


def _staged_lines(today: date, with_stage: bool) -> list[rules.Line]:
    if not with_stage:
        return [rules.Line(_person(row)) for row in Client.objects.values(*_PERSON)]
    dates, scheme = dates_by_client(Pregnancy.objects.all()), the_scheme()
    return [
        rules.line_of(_person(row), dates[row["pk"]], today, quiet=row["quiet"], scheme=scheme)
        for row in Client.objects.values(*_PERSON, "quiet")
    ]


def _person(row: dict[str, Any]) -> rules.Person:
    return rules.Person(**{name: row[name] for name in _PERSON})


def needs(*, today: date, days: Sequence[date]) -> Needs:
    """What planning counts on each day, today or later, in nine queries whatever their number.

    Go-aheads for days to come are worked out from the facts as they are recorded now.
    """
    coached = Client.objects.filter(standing__in=(ACTIVE, PAUSED))
    rows = list(coached.values_list("pk", "standing", "quiet"))
    active = {pk: False for pk, standing, quiet in rows if standing == ACTIVE and not quiet}
    facts, in_force = facts_by_client(active, active), policies()
    # One day more than is asked: a hold of tomorrow may have begun where she is.
    last = max((*days, today + timedelta(days=1)))

    def needed(pk: int, standing: str, quiet: bool) -> Needed:
        if pk not in active:
            return Needed(standing, bool(quiet), ())
        dates = tuple(one.dates for one in facts[pk].pregnancies)
        return Needed(standing, False, dates, spans(facts[pk], today, last, in_force))

    return count_needs(
        (needed(*row) for row in rows),
        today=today,
        days=days,
        enquiries=told_stages(),
        scheme=the_scheme(),
    )


_DATES = ("due", "ended", "ending")


def dates_by_client(of: QuerySet[Pregnancy]) -> defaultdict[int, list[PregnancyDates]]:
    """The dates of pregnancies as they stand now, by client, in one query."""
    found: defaultdict[int, list[PregnancyDates]] = defaultdict(list)
    for row in of.values("client_id", *_DATES):
        facts = PregnancyFacts(**{name: row[name] for name in _DATES})
        found[row["client_id"]].append(facts.dates)
    return found


def facts_of(pregnancy: Pregnancy) -> PregnancyFacts:
    """What the rules want to know of a stored pregnancy."""
    names = (field.name for field in dataclasses.fields(PregnancyFacts))
    return PregnancyFacts(**{name: getattr(pregnancy, name) for name in names})


def records_of(client: Client) -> list[Record]:
    """Her pregnancies with their earlier due dates, in two queries; none for a new client."""
    here = ZoneInfo(client.time_zone)
    changes = DueDateChange.objects.select_related("by")
    found = client.pregnancies.prefetch_related(Prefetch("due_changes", queryset=changes))
    return [
        Record(
            row.pk,
            facts_of(row),
            tuple(
                Earlier(
                    old=one.old,
                    dated_by=one.old_dated_by,
                    on=one.at.astimezone(here).date(),
                    by=one.by.name if one.by else "nobody signed in",
                    reason=one.reason,
                )
                for one in row.due_changes.all()
            ),
        )
        for row in found
    ]


def who_sees() -> list[tuple[str, str]]:
    """Each role, and which of the facts on a client's page it sees, in words."""
    return [
        (str(role), ", ".join(words for fact, words in _FACTS.items() if facts[fact]))
        for role, facts in TABLE.items()
    ]


_FACTS = {
    Fact.CONTACT: "how to reach her",
    Fact.STAGE: "where she is",
    Fact.GO_AHEAD: "her go-ahead in a word",
    Fact.LIMITS: "limits and until when",
    Fact.HEALTH: "everything else",
}
