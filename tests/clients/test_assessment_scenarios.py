"""What assessments come to, as stories a coach can read: assessment_table.toml.

Every row is stored, read back and summed up twice: from what counts of her assessments, and from
what lists keep of them. The stories rest on: Goom, Donnelly and Brockwell 2019 (a symptom in a
test fails it; ten seconds, ten and twenty times of each leg), Woxnerud 2023 (a width can be less
than nothing), Bø 2017 (no diagnosis from a width). That "not asked" is never "no" is the
practice's own rule.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from clients.actions.measuring import rewrite_summary, withdraw_assessment
from clients.models import Assessment, Client
from clients.queries.measuring import as_measured, measured_of, summaries
from clients.rules.assessment import Measured
from clients.rules.findings import Summary, summary
from clients.rules.impact_tests import grade, impact_tests
from clients.rules.measured_words import in_unit, line_of
from coach.practice.audit import Actor
from coach.practice.models import User
from tests import factories, factories_clearance
from tests.clients.assessment_words import (
    EVERYTHING,
    QUESTIONS,
    SITES,
    STATES,
    WIDTH,
    open_code,
    read_line,
    words_are_those_of_the_data,
)
from tests.clients.table_words import DAY, NotUnderstood, day

TABLE: dict[str, dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "assessment_table.toml").read_text("utf-8")
)
ASKED = "|".join(QUESTIONS)


@dataclass
class Found:
    """What is on record after all lines of a row."""

    summary: Summary
    kept: Summary
    named: dict[str, Measured]

    @property
    def felt(self) -> list[str]:
        return [one.code for one in self.summary.open if one.symptom]


def stored(given: list[str], owner: User) -> Found:
    """Every line of a row as rows of one client, in their order, and what they come to."""
    client, by = factories.client(), Actor(owner)
    named: dict[str, Measured] = {}
    for line in map(read_line, given):
        row = _row(client, line.day, line.about, line.values)
        if line.withdrawn:
            withdraw_assessment(by=by, assessment=row, reason="Somebody else’s numbers")
        named[line.name] = as_measured(row)
    kept = summaries(client.pk).get(client.pk, Summary())
    return Found(summary(measured_of(client, finished=False)), kept, named)


def _row(client: Client, on: date, about: dict[str, Any], values: dict[str, Any]) -> Assessment:
    row = factories_clearance.assessment(client, on, **{"method": "", "position": "", **about})
    row.measures = values
    row.save()
    rewrite_summary(client.pk)
    return row


def expected_open(then: list[str]) -> dict[str, tuple[date, date]] | None:
    """What is to be open, by its code; None where the row says nothing of it."""
    found: dict[str, tuple[date, date]] = {}
    for one in then:
        if hit := re.fullmatch(rf"open: (.+) since {DAY}, found {DAY}", one):
            found[open_code(hit[1])] = (day(hit[2]), day(hit[3]))
    return found if found or "nothing open" in then else None


def say(line: str, found: Found) -> str:
    """The line of `then` again, as it really is."""
    if re.fullmatch(rf"last assessed {DAY}|never assessed", line):
        last = found.summary.last
        return f"last assessed {_day(last)}" if last else "never assessed"
    if hit := re.fullmatch(rf"({ASKED}) (?:was never asked|last answered .*)", line):
        return _last_answer(hit[1], found.summary)
    if hit := re.fullmatch(rf"([A-Z]): ({ASKED}) was .*", line):
        said = found.named[hit[1]].answer(hit[2])
        return f"{hit[1]}: {hit[2]} was {'answered ' + said if said else 'not asked'}"
    if hit := re.fullmatch(r"([A-Z]) and ([A-Z]) are (?:not )?comparable", line):
        same = line_of(found.named[hit[1]]) == line_of(found.named[hit[2]])
        return f"{hit[1]} and {hit[2]} are {'' if same else 'not '}comparable"
    if hit := re.fullmatch(rf"([A-Z]): {WIDTH} (?:is .*|was not measured)", line):
        return _width(hit, found.named[hit[1]])
    if hit := re.fullmatch(r"([A-Z]): (\w+) is ([a-z ]+)", line):
        return f"{hit[1]}: {hit[2]} is {grade(impact_tests()[hit[2]], found.named[hit[1]].values)}"
    if line.startswith("felt: "):
        return f"felt: {', '.join(one.replace('-', ' ') for one in found.felt)}"
    raise NotUnderstood(f"nothing that can be so: {line!r}")


def _day(one: date | None) -> str:
    return f"{one.day} {one:%B %Y}" if one else "never"


def _last_answer(code: str, found: Summary) -> str:
    answer = found.answer(code)
    if answer is None:
        return f"{code} was never asked"
    return f"{code} last answered {answer.answer} on {_day(answer.day)}, since {_day(answer.since)}"


def _width(hit: re.Match[str], one: Measured) -> str:
    head = f"{hit[1]}: {hit[2]} {hit[3]}"
    value = one.shown(SITES[hit[2]], STATES[hit[3]])
    if value is None:
        return f"{head} was not measured"
    number = f"{value:g} fingers" if one.shown_in == "fingers" else f"{value:g} mm"
    return f"{head} is {number}"


@pytest.mark.parametrize("row", TABLE.values(), ids=[*TABLE])
def test_what_is_open_and_since_when(row: dict[str, Any], owner: User) -> None:
    wanted = expected_open(row["then"])
    found = stored(row["given"], owner)
    if wanted is not None:
        assert {one.code: (one.since, one.day) for one in found.summary.open} == wanted
    assert found.kept == found.summary


@pytest.mark.parametrize("row", TABLE.values(), ids=[*TABLE])
def test_last_answers_and_what_can_be_compared(row: dict[str, Any], owner: User) -> None:
    found = stored(row["given"], owner)
    lines = [one for one in row["then"] if not one.startswith("open: ") and one != "nothing open"]
    assert [say(one, found) for one in lines] == lines


@pytest.mark.parametrize("row", TABLE.values(), ids=[*TABLE])
def test_without_one_of_its_answers_nothing_closes(row: dict[str, Any], owner: User) -> None:
    """Each "no" taken out by itself: what is open stays open, since the same day or earlier."""
    lines = [read_line(one) for one in row["given"]]
    everything = [_measured(n, line) for n, line in enumerate(lines) if not line.withdrawn]
    before = {one.code: one.since for one in summary(everything, EVERYTHING).open}
    for which, one in enumerate(everything):
        for code in [code for code, value in one.values.items() if value == "no"]:
            left = {key: value for key, value in one.values.items() if key != code}
            changed = list(everything)
            changed[which] = Measured(one.pk, one.day, left, finished=one.finished)
            after = {item.code: item.since for item in summary(changed, EVERYTHING).open}
            assert set(before) <= set(after)
            assert [key for key in before if after[key] > before[key]] == []


def _measured(pk: int, line: Any) -> Measured:
    finished = line.about.get("finished", True)
    about = {key: value for key, value in line.about.items() if key != "finished"}
    return Measured(pk + 1, line.day, line.values, finished=finished, **about)


def test_the_table_is_long_enough_and_knows_every_word() -> None:
    assert len(TABLE) >= 40
    assert words_are_those_of_the_data()
    assert {key for row in TABLE.values() for key in row} == {"words", "given", "then"}
    assert [name for name, row in TABLE.items() if not row["words"] or not row["then"]] == []


@pytest.mark.parametrize(
    "line",
    [
        "1 December 2026 | the coach | heavyness no",
        "1 December 2026 | the coach | heaviness maybe",
        "1 December 2026 | the coach, laser | heaviness no",
        "1 December 2026 | calliper | heaviness no",
        "the coach | heaviness no",
        "1 December 2026 | the coach | hop ten left",
    ],
)
def test_a_line_that_nobody_understands_is_refused(line: str) -> None:
    with pytest.raises(NotUnderstood):
        read_line(line)


def test_a_width_in_words_is_what_it_is_shown_in() -> None:
    assert [in_unit(40.0, "mm"), in_unit(2.5, "fingers"), in_unit(1, "fingers")] == [
        "40 mm",
        "2.5 fingers",
        "1 finger",
    ]
