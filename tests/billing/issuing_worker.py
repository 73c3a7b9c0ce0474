"""One process of several that issue invoices at once; the test beside it starts them.

    python issuing_worker.py THREADS HOLD_AFTER ID...

It says "ready", waits for a line, and issues the drafts with so many threads, saying "ID NUMBER"
for each that is kept. After HOLD_AFTER of them it stops within the next transaction, its number
taken, says "holding ID" and waits to be killed; 0: it never does.
"""

from __future__ import annotations

import itertools
import sys
import threading
import time
from datetime import date
from typing import Any

import django

TODAY = date(2026, 12, 3)
_saying = threading.Lock()


def say(words: str) -> None:
    with _saying:
        sys.stdout.write(f"{words}\n")
        sys.stdout.flush()


def main(threads: int, hold_after: int, ids: list[int]) -> None:
    django.setup()
    if hold_after:
        hold(hold_after)
    running = [threading.Thread(target=issue_all, args=(ids[n::threads],)) for n in range(threads)]
    say("ready")
    sys.stdin.readline()
    for thread in running:
        thread.start()
    for thread in running:
        thread.join()


def issue_all(ids: list[int]) -> None:
    from django.db import connection

    from coach.billing.actions.invoices import issue
    from coach.billing.models import Invoice
    from coach.practice.audit import SYSTEM

    for pk in ids:
        issued = issue(by=SYSTEM, invoice=Invoice.objects.get(pk=pk), today=TODAY)
        say(f"{pk} {issued.number}")
    connection.close()


def hold(after: int) -> None:
    """Stop where the trail is written: the number is taken, and nothing is kept yet."""
    from coach.practice import audit

    record, count = audit.record, itertools.count()

    def record_or_stop(**values: Any) -> Any:
        if next(count) == after:
            say(f"holding {values['subject'].pk}")
            time.sleep(600)
        return record(**values)

    audit.record = record_or_stop


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), [int(pk) for pk in sys.argv[3:]])
