"""`bench go-ahead`: what it prints, and that it opens no practice's database."""

from __future__ import annotations

import json
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from clients.models import Client
from clients.queries import go_aheads, spans_as_the_facts_say
from coach.management.bench_go_ahead import fill, measure

pytestmark = pytest.mark.endurance

TIMES = {"select", "facts", "spans", "rewriting"}


def printed(*arguments: str) -> str:
    out = StringIO()
    call_command("bench", "go-ahead", *arguments, stdout=out)
    return out.getvalue()


def test_thirty_clients_in_a_database_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DATABASE_URL", "sqlite:////nowhere/at/all.sqlite3")
    found = json.loads(printed("--clients", "30", "--json"))
    assert (found["clients"], found["differing"]) == (30, 0)
    assert found["rows"] > 4 * 30
    assert set(found["seconds"]) == TIMES
    assert all(seconds > 0 for seconds in found["seconds"].values())
    assert found["ratio"] == found["seconds"]["facts"] / found["seconds"]["select"]


def test_in_words() -> None:
    first, *times, last = printed("--clients", "3").splitlines()
    assert first.startswith("3 clients, ")
    assert len(times) == len(TIMES)
    assert last.endswith("0 words differ from the stored spans.")


@pytest.mark.parametrize("number", ["0", "-1", "100001"])
def test_a_number_that_makes_no_sense_is_refused(number: str) -> None:
    with pytest.raises(CommandError, match="from 1 to 100000"):
        printed("--clients", number)


def test_it_never_fills_a_database_that_is_there(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(CommandError, match="a database here already"):
        printed("--clients", "3", "--here")
    assert Client.objects.count() == 0


def test_the_invented_clients_have_every_kind_of_word_and_their_spans_agree(db: None) -> None:
    found: dict[str, Any] = measure(120)
    words = {str(one.found.word) for one in go_aheads()}
    assert words == {"on hold", "waiting", "run out", "yes", "yes, with limits",
                     "no letter required"}  # fmt: skip
    assert (found["differing"], spans_as_the_facts_say()) == (0, [])


def test_filling_twice_adds_to_one_practice(db: None) -> None:
    fill(2)
    fill(3)
    assert Client.objects.count() == 5
