"""A progress report as plain values for the paper: what changed since when, in plain words. Pure.

For a quiet client it holds no word of rules.words.NEVER_IF_QUIET.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from clients.rules.assessment import EFFORT, PULSE, Catalogue, Measured
from clients.rules.letter_words import typed_problems
from clients.rules.measuring import LIFT
from clients.rules.pregnancies import Problem
from clients.rules.progress import ChartOf, progress
from clients.rules.report_changes import (
    Change,
    any_fingers,
    number_changes,
    total_changes,
    total_sources,
    ways,
)
from clients.rules.report_paper import Group, ReportPaper, brief_day
from clients.rules.report_said import (
    day_after,
    questions,
    results_of,
    rows_of_tests,
    said_of,
    said_words,
    tension_words,
)
from clients.rules.report_short import in_short
from clients.rules.report_table import Table, table_of
from clients.rules.report_told import Told
from clients.rules.report_way import measured_by, way_title
from clients.rules.report_words import (
    CLIENT,
    CLINICIAN,
    NUMBERS,
    PARTS,
    SYMPTOMS,
    TESTS,
    TOTALS,
    WIDTHS,
    Voice,
    cautions,
    stop_words,
)
from clients.rules.words import short_day_words
from coach.scheduling.charted import Chart
from coach.scheduling.dates import PregnancyDates
from coach.scheduling.values import Stage

TITLE = "Progress report"
A_YEAR = timedelta(days=365)
MOST_ROWS = 8
ONE_ALONE = "One assessment makes no line yet: charts begin with the second."
EVERY_PART = frozenset(PARTS)
CHARTED = {"width": WIDTHS, "number": NUMBERS, "own": NUMBERS, "total": TOTALS}
"""Which part a kind of chart of rules.progress belongs to."""
NO_ASSESSMENT = "No assessment is on file, so there is nothing to report yet."
NO_CONSENT = (
    "She has not agreed that you write to her clinician, or has taken it back: the report can be "
    "made for her alone."
)
NOT_FINISHED = "is still being taken: finish it or withdraw it first, so that no answer is missing."


@dataclass(frozen=True, slots=True)
class ReportFacts:
    """What a report is made of. `measured`: her finished assessments in any order, those before
    `since` too; `number`: the emergency number where she is, "" not known.

    `consented_on`: when she agreed that her clinician is written to; a clinician's report needs
    it. `remark`: a sentence of the coach's own.
    """

    client: str
    born: date | None
    quiet: bool
    stage: Stage
    practice: str
    coach: str
    today: date
    since: date
    measured: tuple[Measured, ...]
    known: Catalogue
    pregnancies: tuple[PregnancyDates, ...] = ()
    audience: str = CLIENT
    parts: Collection[str] = EVERY_PART
    remark: str = ""
    consented_on: date | None = None
    number: str = ""


def inside(measured: Sequence[Measured], since: date) -> list[Measured]:
    """The assessments from a day on, in their order."""
    return [one for one in in_order(measured) if one.day >= since]


def in_order(measured: Sequence[Measured]) -> list[Measured]:
    """The earliest first."""
    return sorted(measured, key=lambda one: (one.day, one.pk))


def since_of(days: Collection[date], run_from: date | None, today: date) -> date:
    """From which day a report begins unless another is chosen: her first assessment since the
    present dates began to run (`run_from`: the last end, or the first day of running weeks), or
    a year ago.
    """
    of_run = [day for day in days if run_from and day >= run_from]
    return min(of_run, default=today - A_YEAR)


def report_problems(facts: ReportFacts, *, being_taken: date | None = None) -> list[Problem]:
    """Everything that speaks against making it, each beside its field.

    `being_taken`: the day of an assessment that is not finished: what was said in it would be
    missing, and an older answer would be read as the last.
    """
    found = [*typed_problems({"remark": facts.remark}, quiet=facts.quiet)]
    if facts.audience == CLINICIAN and facts.consented_on is None:
        found.append(Problem("audience", NO_CONSENT))
    if not set(facts.parts):
        found.append(Problem("parts", "Tick at least one part."))
    if not facts.measured:
        found.append(Problem("", NO_ASSESSMENT))
    elif not inside(facts.measured, facts.since):
        last = short_day_words(max(one.day for one in facts.measured))
        found.append(Problem("since", f"None since then: the latest is of {last}."))
    if being_taken:
        day = short_day_words(being_taken)
        found.append(Problem("", f"The assessment of {day} {NOT_FINISHED}"))
    return found


def report_paper(facts: ReportFacts) -> ReportPaper:
    """The report; ValueError if no assessment lies in its time."""
    ones = inside(facts.measured, facts.since)
    if not ones:
        raise ValueError("no assessment in that time")
    told = _told(facts, ones)
    for_clinician = facts.audience == CLINICIAN
    born = (short_day_words(facts.born) if facts.born else "not known") if for_clinician else ""
    many = len(ones) > 1
    return ReportPaper(
        title=TITLE,
        audience=facts.audience,
        client=facts.client,
        born=born,
        practice=facts.practice,
        coach=facts.coach,
        written_on=facts.today,
        first=ones[0].day,
        last=ones[-1].day,
        count=len(ones),
        right=_right(facts) if for_clinician else "",
        short=in_short(told),
        remark=facts.remark.strip(),
        groups=tuple(_groups(facts, told)),
        charts=_charts(facts, ones) if many else (),
        table=_table(facts, told),
        method=tuple(_method(facts, told)),
        cautions=tuple(cautions(told.voice, widths=bool(told.ways), tests=bool(told.results))),
        stop=stop_words(told.voice, facts.stage, facts.number, quiet=facts.quiet),
        notes=() if many else (ONE_ALONE,),
    )


def _told(facts: ReportFacts, ones: list[Measured]) -> Told:
    """What the parts that are wanted have to tell."""
    earlier = [one for one in in_order(facts.measured) if one.day < facts.since]
    wanted, after = set(facts.parts), not facts.stage.pregnant
    asked = questions(symptoms=True, after=after) if SYMPTOMS in wanted else []
    years = ones[0].day.year != ones[-1].day.year
    seen = questions(symptoms=False, after=after) if WIDTHS in wanted else []
    return Told(
        voice=Voice(facts.audience == CLIENT),
        ones=tuple(ones),
        ways=tuple(ways(ones)) if WIDTHS in wanted else (),
        symptoms=tuple(said_of(one.code, one.finding, ones, earlier) for one in asked),
        seen=tuple(said_of(one.code, one.finding, ones, earlier) for one in seen),
        results=results_of(ones, facts.known) if TESTS in wanted else {},
        numbers=tuple(number_changes(ones, facts.known, quiet=facts.quiet))
        if NUMBERS in wanted else (),
        totals=tuple(total_changes(ones)) if TOTALS in wanted else (),
        wanted=frozenset(wanted),
        quiet=facts.quiet,
        brief=lambda day: brief_day(day, years=years or day.year != ones[-1].day.year),
    )  # fmt: skip


def _right(facts: ReportFacts) -> str:
    """By what right it goes to a clinician."""
    on = short_day_words(facts.consented_on) if facts.consented_on else "a day not known"
    return f"She agreed on {on} that I write to you."


def _groups(facts: ReportFacts, told: Told) -> Iterator[Group]:
    if WIDTHS in told.wanted:
        yield _widths(facts, told)
    if SYMPTOMS in told.wanted:
        yield Group(f"What {told.voice.feels}", rows=tuple(_answers(told)))
    if TESTS in told.wanted:
        yield Group("Tests before a return to impact", rows=tuple(_tests(told)))
    numbers = (*_in_voice(told, told.numbers), *told.totals)
    heads = ("Effort and own measures", "totals of questionnaires")
    shown = [head for head, some in zip(heads, (told.numbers, told.totals), strict=True) if some]
    if numbers:
        head = ", ".join(shown)
        yield Group(f"{head[:1].upper()}{head[1:]}", (("", numbers),))


def _widths(facts: ReportFacts, told: Told) -> Group:
    """The widths by the way they were taken, then what was seen."""
    seen = [(one.finding.capitalize(), said_words(one, told.brief)) for one in told.seen]
    seen.append(("Tension", tension_words(told.ones, told.brief)))
    if not told.ways:
        return Group("Width", rows=(("Width", "not taken in this time"), *seen))
    taken = [(way_title(way.one, told.voice, quiet=facts.quiet), way) for way in told.ways]
    ways = tuple((f"{title[:1].upper()}{title[1:]}", way.changes) for title, way in taken)
    return Group("Width", ways, tuple(seen))


def _answers(told: Told) -> Iterator[tuple[str, str]]:
    """A row for each question that was ever asked, and one that names the others."""
    for one in told.symptoms:
        if one.ever:
            yield one.finding.capitalize(), said_words(one, told.brief)
    never = [one.finding for one in told.symptoms if not one.ever]
    if never:
        yield "Never asked", ", ".join(never)


def _tests(told: Told) -> Iterator[tuple[str, str]]:
    yield from rows_of_tests(told.results, told.brief)
    if after := day_after(told.ones, told.brief):
        yield "Day after", after


def _in_voice(told: Told, changes: Sequence[Change]) -> Iterator[Change]:
    """Words turned to her; those of an effort that is compared stand in short already."""
    for change in changes:
        said = tuple((value, told.voice.said(words)) for value, words in change.said)
        yield replace(change, said=() if change.code == EFFORT and change.first else said)


def _charts(facts: ReportFacts, ones: list[Measured]) -> tuple[Chart, ...]:
    """Those of the page that hold a line, in the order in which they are kept (`thinner`)."""
    found = progress(ones, facts.pregnancies, facts.known, quiet=facts.quiet)
    wanted = [one for one in found.charts if CHARTED[one.kind] in set(facts.parts)]
    halfway = ones[0].day + (ones[-1].day - ones[0].day) / 2

    def place(one: ChartOf) -> tuple[bool, bool, bool]:
        on_lift = one.kind == "width" and f"-{LIFT}-" in one.code
        return one.latest < halfway, one.code == PULSE, on_lift

    return tuple(one.chart for one in sorted(wanted, key=place) if _has_line(one.chart))


def _has_line(chart: Chart) -> bool:
    return any(len(line.points) > 1 for line in chart.lines)


def _table(facts: ReportFacts, told: Told) -> Table:
    if len(told.ones) == 1:
        return Table()
    return table_of(told, facts.known, most=MOST_ROWS)


def _method(facts: ReportFacts, told: Told) -> Iterator[str]:
    """Who measured, how, and what follows for comparing."""
    yield from measured_by(told.ones, told.voice, told.brief, quiet=facts.quiet)
    if told.ways and any_fingers(told.ones):
        yield (
            "Finger-widths stay finger-widths where the width of that finger is not known, and "
            "those of two people are never compared."
        )
    if sources := "; ".join(total_sources(told.ones)) if told.totals else "":
        yield f"The words beside totals are as published ({sources})."
