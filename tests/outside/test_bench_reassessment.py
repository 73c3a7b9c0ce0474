"""`bench reassessment`: what it prints and makes, and that it opens no practice's database."""

from __future__ import annotations

import json
from collections import Counter
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from clients.models import Assessment, Client, Measurements
from clients.queries.measuring import measured_of, stale_summaries, summaries
from clients.rules.assessment import Catalogue, read
from clients.rules.measuring import default_sites
from coach.management.bench_reassessment import EVERY_DAYS, FEW, NEVER_MEASURED, fill, measure

pytestmark = pytest.mark.endurance

TIMES = {"select", "list", "page", "filling"}
A_YEAR = -(-365 // EVERY_DAYS)  # assessments in a year at most


def printed(*arguments: str) -> str:
    out = StringIO()
    call_command("bench", "reassessment", *arguments, stdout=out)
    return out.getvalue()


def test_sixty_clients_in_a_database_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DATABASE_URL", "sqlite:////nowhere/at/all.sqlite3")
    found = json.loads(printed("--clients", "60", "--years", "1", "--json"))
    assert (found["clients"], found["years"]) == (60, 1)
    assert 8 * 57 <= found["assessments"] <= A_YEAR * 57
    assert found["rows"] > 3 * 60
    assert 0 < found["listed"] <= 60
    assert set(found["seconds"]) == TIMES
    assert all(seconds > 0 for seconds in found["seconds"].values())
    assert found["ratio"] == found["seconds"]["list"] / found["seconds"]["select"]
    few, all_of_them = found["queries"]
    assert few == all_of_them > 0


def test_in_words() -> None:
    first, *times, last = printed("--clients", "3", "--years", "1").splitlines()
    assert first.startswith("3 clients, 1 year of history, ")
    assert len(times) == len(TIMES)
    assert last.endswith(" with 3 clients).")


@pytest.mark.parametrize(
    ("option", "number", "most"),
    [("--clients", "0", 100000), ("--clients", "100001", 100000), ("--years", "0", 20),
     ("--years", "21", 20)],
)  # fmt: skip
def test_a_number_that_makes_no_sense_is_refused(option: str, number: str, most: int) -> None:
    with pytest.raises(CommandError, match=f"from 1 to {most}"):
        printed(option, number)


def test_it_never_fills_a_database_that_is_there(db: None) -> None:
    with pytest.raises(CommandError, match="a database here already"):
        printed("--clients", "3", "--here")
    assert Client.objects.count() == 0


def test_the_queries_are_as_many_for_few_clients_and_for_more(db: None) -> None:
    found = measure(FEW + 5, 1)
    assert found["queries"][0] == found["queries"][1]
    assert Client.objects.count() == FEW + 5


def test_what_is_made_is_what_the_application_itself_would_keep(db: None) -> None:
    fill(50, 2)
    never = 50 // NEVER_MEASURED
    assert stale_summaries() == {}
    assert len(summaries()) == Measurements.objects.count() == 50 - never
    each = Counter(Assessment.objects.values_list("client_id", flat=True))
    assert {2 * A_YEAR - 1, 2 * A_YEAR} >= set(each.values())


def test_every_value_in_it_is_one_that_could_have_been_typed(db: None) -> None:
    fill(2, 2)
    known = Catalogue(default_sites())
    never, client = Client.objects.order_by("pk")
    taken = measured_of(client)
    assert measured_of(never) == []
    assert len(taken) == 2 * 365 // EVERY_DAYS + 1
    for one in taken:
        assert {code: read(code, str(value), known) for code, value in one.values.items()} == (
            one.values
        )


def test_filling_twice_adds_to_one_practice(db: None) -> None:
    fill(2, 1)
    fill(3, 1)
    assert Client.objects.count() == 5
    assert stale_summaries() == {}
