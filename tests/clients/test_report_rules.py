"""What a progress report says, in scenarios: what changed since when, and what was not asked."""

from __future__ import annotations

import re
from dataclasses import fields, replace
from datetime import date
from typing import Any

import pytest

from clients.rules.assessment import Catalogue, Measured, Own
from clients.rules.measuring import scheme
from clients.rules.report import (
    NO_ASSESSMENT,
    NO_CONSENT,
    report_paper,
    report_problems,
    since_of,
)
from clients.rules.report_paper import ReportPaper, thinner
from clients.rules.report_words import CLIENT, CLINICIAN, PARTS, WIDTH_ALONE, Voice
from clients.rules.warning_signs import warning_signs
from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.dates import Ending, PregnancyDates
from coach.scheduling.values import Stage
from tests.clients.reports import ALL_OF_IT, ENDED, TODAY, facts, measured, twenty_five, with_tests

OCT, NOV, NOV_5 = date(2026, 10, 3), date(2026, 11, 3), date(2026, 11, 5)


def group(paper: ReportPaper, head: str) -> dict[str, str]:
    (found,) = (one for one in paper.groups if one.head.startswith(head))
    return dict(found.rows)


def changes(paper: ReportPaper, head: str) -> dict[str, list[tuple[str, str]]]:
    """Each way with its measures and the change in words."""
    (found,) = (one for one in paper.groups if one.head.startswith(head))
    return {way: [(one.label, one.words) for one in ones] for way, ones in found.ways}


def text_of(paper: ReportPaper) -> str:
    """Everything that stands on it, charts too."""
    return " ".join(repr(getattr(paper, one.name)) for one in fields(paper))


def test_last_month_s_no_is_not_today_s() -> None:
    """Heaviness was asked last month; today only the width was touched."""
    paper = report_paper(facts(
        measured(NOV, heaviness="no", width_navel_rest=28),
        measured(TODAY, 2, width_navel_rest=21),
    ))  # fmt: skip
    assert group(paper, "What you feel")["Heaviness"] == "no on 3 Nov; not asked on 3 Dec"
    (line,) = (one for one in paper.short if one.startswith("Not asked"))
    assert line.startswith("Not asked on 3 Dec: leaking, heaviness,")
    latest, before = paper.table.rows
    felt = paper.table.head.index("Felt")
    assert (latest[felt], before[felt]) == ("not asked", "nothing (of 1 asked)")


def test_what_was_said_before_its_time_stands_on_its_day() -> None:
    paper = report_paper(facts(
        measured(NOV, heaviness="no"), measured(TODAY, 2, width_navel_rest=21), since=TODAY,
    ))  # fmt: skip
    assert group(paper, "What you feel") == {
        "Heaviness": "not asked in this time; no on 3 Nov",
        "Never asked": "leaking, pelvic pain, urgency, pelvic-girdle pain, bleeding",
    }


SAID = [
    ("yy", "yes since 3 Oct (asked 2 times)"),
    ("y", "yes on 3 Oct; not asked in the 3 assessments since"),
    ("ynn", "yes on 3 Oct, no since 3 Nov (asked 2 times); not asked on 3 Dec"),
    ("ynnn", "yes on 3 Oct, no since 3 Nov (asked 3 times)"),
    ("yynn", "yes from 3 Oct to 3 Nov, no since 5 Nov (asked 2 times)"),
    ("nyny", "yes 2 of 4 times asked, again on 3 Dec"),
    ("yny-", "yes 2 of 3 times asked, again on 5 Nov; not asked on 3 Dec"),
    ("y-nn", "yes on 3 Oct, no since 5 Nov (asked 2 times)"),
    ("nynn", "yes 1 of 4 times asked, last on 3 Nov; no since 5 Nov (asked 2 times)"),
]


@pytest.mark.parametrize(("answers", "words"), SAID, ids=[row[0] for row in SAID])
def test_a_symptom_says_when_it_was_yes_and_since_when_no(answers: str, words: str) -> None:
    """A single answer is "on" its day; only one that was given again is "since"."""
    days = [OCT, NOV, NOV_5, TODAY]
    if answers == "yy":
        days = days[:2]
    said = dict(zip(days, answers, strict=False))
    ones = [
        measured(day, n, width_navel_rest=20, **_answer(said.get(day, "-")))
        for n, day in enumerate(days)
    ]
    assert group(report_paper(facts(*ones)), "What you feel")["Heaviness"] == words


def _answer(letter: str) -> dict[str, str]:
    return {"heaviness": {"y": "yes", "n": "no"}[letter]} if letter in "yn" else {}


def test_in_short_what_is_felt_and_what_no_longer_is() -> None:
    paper = report_paper(facts(
        measured(OCT, leaking="yes", heaviness="yes", pain="no"),
        measured(TODAY, 2, leaking="yes", heaviness="no", pain="no"),
    ))  # fmt: skip
    wanted = (
        "Felt when last asked: leaking (since 3 Oct). No longer felt when last asked: heaviness "
        "(no on 3 Dec). Not felt when asked: pelvic pain."
    )
    assert wanted in paper.short


# Percent: (old − new) ÷ old, the trade's plain arithmetic; 28 to 21 mm is 25.0 % narrower.
WIDTHS = [
    (28, 21, "7 mm or 25.0 % narrower"),
    (21, 28, "7 mm or 33.3 % wider"),
    (21, 21, "as before"),
    (0, 5, "5 mm wider, in percent not applicable"),
    (-2, 3, "5 mm wider, in percent not applicable"),
    (3, 0, "3 mm or 100.0 % narrower"),
]


@pytest.mark.parametrize(("first", "latest", "words"), WIDTHS)
def test_a_width_tells_its_change_in_mm_and_in_percent(
    first: float, latest: float, words: str
) -> None:
    ones = (measured(OCT, width_navel_rest=first), measured(TODAY, 2, width_navel_rest=latest))
    found = changes(report_paper(facts(*ones)), "Width")
    assert found == {"Calliper, on your back, knees bent": [("at the navel", words)]}


def test_two_people_s_fingers_are_two_lines() -> None:
    """What Una and Ines count is never compared, as long as no finger's width is known."""
    fingers: dict[str, Any] = {"method": "fingers"}
    paper = report_paper(facts(
        measured(OCT, 1, width_navel_rest=3, **fingers),
        measured(NOV, 2, width_navel_rest=2, by="Ines Roe", **fingers),
        measured(TODAY, 3, width_navel_rest=2.5, **fingers),
    ))  # fmt: skip
    assert changes(paper, "Width") == {
        "Finger-widths of Una Tallon (coach), on your back, knees bent": [
            ("at the navel", "0.5 fingers or 16.7 % narrower")],
        "Finger-widths of Ines Roe (coach), on your back, knees bent": [
            ("at the navel", "taken once")],
    }  # fmt: skip
    assert [len(chart.lines) for chart in paper.charts] == [2]
    assert any("those of two people are never compared" in one for one in paper.method)


def test_fingers_of_a_known_width_are_told_in_mm() -> None:
    """2.5 fingers of 16 mm are 40 mm."""
    fingers: dict[str, Any] = {"method": "fingers", "finger_mm": 16}
    ones = (
        measured(OCT, width_navel_rest=2.5, **fingers),
        measured(TODAY, 2, width_navel_rest=2, **fingers),
    )
    paper = report_paper(facts(*ones))
    (told,) = changes(paper, "Width").values()
    assert told == [("at the navel", "8 mm or 20.0 % narrower")]
    assert "was 40 mm on 3 Oct and 32 mm on 3 Dec" in paper.short[1]


def test_another_way_of_measuring_is_no_change() -> None:
    ones = (
        measured(OCT, width_navel_rest=30),
        measured(TODAY, 2, width_navel_rest=20, method="tape"),
    )
    paper = report_paper(facts(*ones))
    assert "No width was taken twice in the same way, so no change of it can be told." in (
        paper.short
    )
    assert [words for ways in changes(paper, "Width").values() for _, words in ways] == [
        "taken once", "taken once",
    ]  # fmt: skip


def test_tests_say_what_passed_what_did_not_and_what_was_never_asked() -> None:
    one = measured(
        TODAY, **with_tests(count=9, below="hop"), next_day="no", next_day_on="2026-12-04"
    )
    paper = report_paper(facts(one))
    rows = group(paper, "Tests")
    assert rows["Not passed"] == "on 3 Dec: hop on the spot (less than asked)"
    assert rows["Not asked"] == "sit to stand on one leg, leg lift lying on the side"
    assert rows["Day after"] == "no symptoms, asked on 4 Dec"
    assert "Of the 11 tests, 8 were passed when last taken; not passed: hop on the spot." in (
        paper.short
    )


def test_a_symptom_in_a_test_is_why_it_was_not_passed() -> None:
    values = with_tests(count=1) | {"test_walk_symptom": "yes"}
    assert group(report_paper(facts(measured(TODAY, **values))), "Tests")["Not passed"] == (
        "on 3 Dec: walk (with symptoms)"
    )


def test_numbers_tell_which_way_is_better_and_totals_their_published_word() -> None:
    """A total of 9 is moderate, of 5 slight (Klovning and others 2009). A change of a girdle total
    under 25 means little (Stuge and others 2017).
    """
    ones = (
        measured(OCT, effort=7, own_1=20, total_iciq=9, total_pgq=40),
        measured(TODAY, 2, effort=5, own_1=45, total_iciq=5, total_pgq=30),
    )
    paper = report_paper(facts(*ones))
    (told,) = changes(paper, "Effort").values()
    assert told == [
        ("effort, of 10", "2 less"),
        ("Plank on knees", "25 s more (more is better)"),
        ("ICIQ-UI SF", "4 less (less is better)"),
        ("Pelvic Girdle Questionnaire",
         "10 less (under 25, which means little: Stuge and others 2017)"),
    ]  # fmt: skip
    found = next(one for one in paper.groups if one.head.startswith("Effort")).ways[0][1]
    said = [(one.value_words(one.first), one.value_words(one.latest)) for one in found if one.first]
    assert said[2] == ("9, moderate", "5, slight")
    assert paper.short[-1].startswith("Effort was 7 of 10 (working hard, a few words at a time)")


def test_what_is_not_ticked_stays_out() -> None:
    one = measured(TODAY, **ALL_OF_IT, **with_tests())
    heads = {part: [found.head for found in report_paper(facts(one, parts={part})).groups]
             for part in PARTS}  # fmt: skip
    assert heads == {
        "widths": ["Width"],
        "symptoms": ["What you feel"],
        "tests": ["Tests before a return to impact"],
        "numbers": ["Effort and own measures"],
        "totals": ["Totals of questionnaires"],
    }


def test_it_speaks_to_her_or_about_her() -> None:
    ones = twenty_five()
    hers = text_of(replace(report_paper(facts(*ones)), born="", right=""))
    assert re.findall(r"\b(she|her|herself|She|Her)\b", hers) == []
    about = report_paper(facts(*ones, audience=CLINICIAN))
    assert re.findall(r"\b(you|your|You|Your)\b", text_of(about)) == [
        "you",  # that I write to you
        "your",  # your word comes first
        "you",  # told to ring you or her clinic
    ]
    assert (about.born, about.right) == (
        "4 May 1993", "She agreed on 2 November 2026 that I write to you.",
    )  # fmt: skip


def test_every_word_of_the_data_can_be_said_to_her() -> None:
    signs = [one.said(quiet=quiet) for one in warning_signs().values() for quiet in (True, False)]
    known = scheme()
    words = (*signs, *known.effort, *known.positions.values(), *known.who.values())
    told = " ".join(Voice(to_her=True).said(word) for word in words)
    assert re.findall(r"\b(she|her|herself)\b", told) == []


@pytest.mark.parametrize("audience", [CLIENT, CLINICIAN])
@pytest.mark.parametrize("stage", list(Stage))
def test_a_quiet_client_s_holds_no_word_too_much(audience: str, stage: Stage) -> None:
    known = Catalogue(("navel",), {1: Own(1, "Lifting the baby", "babies", "more"), 2: Own(2, "x")})
    lost = PregnancyDates(date(2026, 8, 1), ENDED, Ending.LOSS)
    ones = [replace(one, by="The midwife of the birth", origin="Bump and birth")
            for one in twenty_five()]  # fmt: skip
    paper = report_paper(facts(
        *ones, quiet=True, known=known, pregnancies=(lost,), audience=audience, stage=stage,
    ))  # fmt: skip
    text = re.sub(r"datetime.date|born=", "", text_of(paper)).casefold()
    assert [word for word in NEVER_IF_QUIET if word in text] == []


def test_a_question_of_afterwards_is_not_missed_before() -> None:
    one = measured(TODAY, leaking="no")
    running = report_paper(facts(one, stage=Stage.TRIMESTER_2))
    assert "bleeding" not in group(running, "What you feel")["Never asked"]
    assert "bleeding" in group(report_paper(facts(one)), "What you feel")["Never asked"]


def test_it_says_what_it_is_not_and_whom_to_ring() -> None:
    paper = report_paper(facts(measured(TODAY, **ALL_OF_IT)))
    assert any("no diagnosis: your clinician’s word comes first" in one for one in paper.cautions)
    assert any(one.startswith(WIDTH_ALONE) for one in paper.cautions)
    (first, graves), (_, others), _ = paper.stop
    assert first == "Ring 112 first"
    assert "thoughts of harming yourself or somebody else" in graves
    assert others.endswith("If nobody answers, ring 112.")


def test_an_emergency_number_that_is_not_known_is_not_made_up() -> None:
    paper = report_paper(facts(measured(TODAY, leaking="no"), number=""))
    assert paper.stop[0][0] == "Ring the emergency number first"
    assert re.findall(r"\b(112|911|999)\b", text_of(paper)) == []


def test_one_assessment_has_no_chart_and_no_table_and_says_so() -> None:
    paper = report_paper(facts(measured(TODAY, **ALL_OF_IT)))
    assert (paper.charts, paper.table.rows, len(paper.notes)) == ((), (), 1)
    assert paper.short[0].endswith("no change can be told yet.")


def test_the_table_holds_the_latest_eight_and_says_of_how_many() -> None:
    paper = report_paper(facts(*twenty_five()))
    assert len(paper.table.rows) == 8
    assert paper.table.note.startswith(
        "The latest 8 of 25 assessments; the changes above and the charts are made from all 25."
    )


def test_what_there_is_no_room_for_leaves_in_order_and_is_named() -> None:
    paper: ReportPaper | None = report_paper(facts(*twenty_five()))
    assert paper
    titles = [f"“{one.title}{f', {one.unit}' if one.unit else ''}”" for one in paper.charts]
    seen = []
    while paper:
        seen.append((len(paper.charts), len(paper.table.rows)))
        last, paper = paper, thinner(paper)
    charts = len(titles)
    assert seen == [
        *((n, 8) for n in range(charts, 1, -1)), (2, 4), (2, 0), (1, 0), (0, 0),
    ]  # fmt: skip
    assert list(last.left_out) == titles[::-1]
    assert last.left_out_words.startswith("Left out for want of room: the table of the assessments")
    assert titles[:2] == ["“4.5 cm above the navel, at rest, mm”", "“At the navel, at rest, mm”"]


def test_days_carry_their_year_where_there_are_two() -> None:
    ones = (measured(date(2025, 12, 5), leaking="yes"), measured(TODAY, 2, leaking="no"))
    paper = report_paper(facts(*ones, since=date(2025, 12, 1)))
    assert group(paper, "What you feel")["Leaking"] == "yes on 5 Dec 2025, no on 3 Dec 2026"


def test_what_speaks_against_making_it() -> None:
    def found(*ones: Measured, being_taken: date | None = None, **values: Any) -> list[Any]:
        rows = report_problems(facts(*ones, **values), being_taken=being_taken)
        return [(one.field, one.sentence) for one in rows]

    one = measured(NOV, leaking="no")
    assert found(one) == []
    assert found(one, consented_on=None) == []
    assert found(one, consented_on=None, audience=CLINICIAN) == [("audience", NO_CONSENT)]
    assert found(one, parts=()) == [("parts", "Tick at least one part.")]
    assert found() == [("", NO_ASSESSMENT)]
    late = [("since", "None since then: the latest is of 3 November 2026.")]
    assert found(one, since=TODAY) == late
    ((field, sentence),) = found(one, being_taken=TODAY)
    assert (field, sentence.split(":")[0]) == (
        "", "The assessment of 3 December 2026 is still being taken",
    )  # fmt: skip
    assert [name for name, _ in found(one, quiet=True, remark="Since the birth")] == ["remark"]
    assert found(one, remark="Since the birth") == []


def test_it_begins_with_her_first_assessment_of_the_weeks_that_run() -> None:
    days = [date(2025, 6, 1), OCT, NOV]
    assert since_of(days, ENDED, TODAY) == OCT
    assert since_of(days, None, TODAY) == date(2025, 12, 3)
    assert since_of(days, date(2026, 12, 1), TODAY) == date(2025, 12, 3)
