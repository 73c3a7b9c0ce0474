"""Twenty-four threads in four processes issue invoices at once, and one process is killed.

On whichever database the tests run. What must hold is the practice of several countries read into
Directive 2006/112/EC, Art. 226 (2): a number once, and none left out.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlsplit

import pytest
from django.conf import settings
from django.db import connection, transaction

from coach.billing import checks
from coach.billing.actions.invoices import issue
from coach.billing.models import Counter, Invoice
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from tests import factories
from tests import factories_billing as made

WORKER = Path(__file__).with_name("issuing_worker.py")
PROCESSES, THREADS, EACH = 4, 6, 10
HOLD_AFTER = 7

pytestmark = [pytest.mark.endurance, pytest.mark.usefixtures("transactional_db")]


def database_url() -> str:
    """Where the tests' own database is, as a program of its own is told."""
    name = quote(str(connection.settings_dict["NAME"]))
    if connection.vendor == "sqlite":
        return f"sqlite:///{name}"
    return urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}").geturl()


def start(ids: list[int], hold_after: int = 0) -> subprocess.Popen[str]:
    """A process that is ready to issue these drafts."""
    process = subprocess.Popen(
        [sys.executable, str(WORKER), str(THREADS), str(hold_after), *map(str, ids)],
        env={
            **os.environ,
            "DATABASE_URL": database_url(),
            "DJANGO_SETTINGS_MODULE": "coach.settings",
            "PYTHONPATH": str(settings.BASE_DIR),
        },
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    said = process.stdout.readline()
    assert said == "ready\n", process.communicate()
    return process


def go(process: subprocess.Popen[str]) -> None:
    assert process.stdin is not None
    process.stdin.write("go\n")
    process.stdin.flush()


def until_holding(process: subprocess.Popen[str]) -> Iterator[str]:
    """What it says until its last words, included."""
    assert process.stdout is not None
    for line in process.stdout:
        yield line.strip()
        if line.startswith("holding"):
            return


@pytest.fixture
def drafts(practice: Any) -> list[int]:
    """As many drafts as all threads issue together."""
    client = factories.client()
    with transaction.atomic():
        return [made.draft(client).pk for _ in range(PROCESSES * THREADS * EACH)]


def numbers() -> dict[int, str]:
    """What is kept: number by id."""
    return dict(Invoice.objects.exclude(number=None).values_list("pk", "number"))


def test_no_number_is_left_out_or_given_twice_when_a_process_is_killed(drafts: list[int]) -> None:
    shares = [drafts[n::PROCESSES] for n in range(PROCESSES)]
    with ExitStack() as running:
        victim = running.enter_context(start(shares[0], HOLD_AFTER))
        others = [running.enter_context(start(share)) for share in shares[1:]]
        running.callback(lambda: [process.kill() for process in (victim, *others)])
        for process in (victim, *others):
            go(process)
        *of_victim, held = until_holding(victim)
        victim.kill()
        ends = [process.communicate(timeout=300) for process in others]
        more, _ = victim.communicate()

    assert victim.returncode == -signal.SIGKILL
    assert [(process.returncode, end[1]) for process, end in zip(others, ends, strict=True)] == [
        (0, "")
    ] * len(others)

    kept = numbers()
    said = "\n".join([*of_victim, more, *(end[0] for end in ends)])
    reported = {
        int(pk): number for pk, number in (line.split() for line in said.splitlines() if line)
    }
    # The process was killed with a number taken and not kept: that one was given to another.
    assert HOLD_AFTER - THREADS < len(of_victim) <= HOLD_AFTER
    assert int(held.split()[1]) not in kept
    assert {pk: kept.get(pk) for pk in reported} == reported
    assert {pk for share in shares[1:] for pk in share} <= set(reported)
    assert sorted(kept.values()) == [f"2026-{n:05}" for n in range(1, len(kept) + 1)]
    assert Counter.objects.get(year=2026).last == len(kept)
    assert AuditEntry.objects.filter(verb="issued").count() == len(kept)

    for pk in sorted(set(drafts) - set(kept)):
        issue(by=SYSTEM, invoice=Invoice.objects.get(pk=pk), today=made.TODAY)
    assert sorted(numbers().values()) == [f"2026-{n:05}" for n in range(1, len(drafts) + 1)]
    assert list(checks.numbers_without_gaps()) == []
