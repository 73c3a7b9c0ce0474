"""`bench go-ahead [--clients N] [--json]`: how long everybody's go-ahead takes, beside a SELECT.

In a database of its own, made in a temporary folder and thrown away: the practice's is not opened.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from argparse import SUPPRESS, ArgumentParser
from collections.abc import Mapping
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from coach.management.bench_go_ahead import measure
from coach.management.practice_database import bring_up_to_date, sqlite_file

MOST_CLIENTS = 100_000
_LINES = {
    "select": "a plain SELECT of their rows, as tuples",
    "facts": "reading the facts and working out every go-ahead",
    "spans": "reading every word from the stored spans",
    "rewriting": "working out and storing all spans anew",
}


class Command(BaseCommand):
    help = "Time the go-ahead of many invented clients, in a database of its own."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("what", choices=["go-ahead"])
        parser.add_argument("--clients", type=int, default=5000, metavar="N")
        parser.add_argument("--json", action="store_true", help="print JSON instead of text")
        parser.add_argument("--here", action="store_true", help=SUPPRESS)

    def handle(self, *_: Any, clients: int, here: bool, **options: Any) -> None:
        if not 1 <= clients <= MOST_CLIENTS:
            raise CommandError(f"--clients takes a number from 1 to {MOST_CLIENTS}.")
        found = _measured_here(clients) if here else _measured_apart(clients)
        text = json.dumps(found, indent=1) if options["json"] or here else _text(found)
        self.stdout.write(text)


def _measured_apart(clients: int) -> dict[str, Any]:
    """What a process of its own finds, whose database and keys lie in an empty folder."""
    with tempfile.TemporaryDirectory(prefix="coach-bench-") as folder:
        process = subprocess.run(  # noqa: S603 - this very program, with a number
            [sys.executable, "-m", "django", "bench", "go-ahead", "--here", "--skip-checks",
             "--clients", str(clients)],
            cwd=settings.BASE_DIR,
            env=_variables(os.environ, folder),
            capture_output=True,
            text=True,
            check=False,
        )  # fmt: skip
    if process.returncode:
        raise CommandError(process.stderr.strip() or "The measuring failed.")
    found: dict[str, Any] = json.loads(process.stdout)
    return found


def _variables(given: Mapping[str, str], folder: str) -> dict[str, str]:
    ours = ("COACH_", "DATABASE_URL", "DJANGO_SETTINGS_MODULE")
    kept = {name: value for name, value in given.items() if not name.startswith(ours)}
    return kept | {"COACH_VAR": folder, "DJANGO_SETTINGS_MODULE": "coach.settings"}


def _measured_here(clients: int) -> dict[str, Any]:
    """Only in a database that does not exist yet: invented clients belong in no practice's."""
    file = sqlite_file()
    if file is None or file.exists():
        raise CommandError("There is a database here already.")
    bring_up_to_date()
    return measure(clients)


def _text(found: dict[str, Any]) -> str:
    lines = [f"{found['clients']} clients, {found['rows']} rows of facts; seconds, each the best "
             f"of {found['runs']}:"]  # fmt: skip
    lines += [f"{found['seconds'][name]:9.3f}  {words}" for name, words in _LINES.items()]
    lines.append(
        f"Working them out takes {found['ratio']:.1f} times the SELECT; "
        f"{found['differing']} words differ from the stored spans."
    )
    return "\n".join(lines)
