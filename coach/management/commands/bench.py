"""`bench go-ahead | reassessment | classes | planner [--clients N] [--years N] [--json]`.

How long it takes: lists beside a SELECT, in a database of their own, made in a temporary folder and
thrown away; an hour of a class beside what is wanted of it; months planned beside a greedy plan.
The practice's database is not opened.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from argparse import SUPPRESS, ArgumentParser
from collections.abc import Callable, Mapping
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from coach.management import bench_classes, bench_go_ahead, bench_planner, bench_reassessment
from coach.management.practice_database import bring_up_to_date, sqlite_file

GO_AHEAD, REASSESSMENT, CLASSES, PLANNER = "go-ahead", "reassessment", "classes", "planner"
MOST_CLIENTS, MOST_YEARS = 100_000, 20
_LINES = {
    GO_AHEAD: {
        "select": "a plain SELECT of their rows, as tuples",
        "facts": "reading the facts and working out every go-ahead",
        "spans": "reading every word from the stored spans",
        "rewriting": "working out and storing all spans anew",
    },
    REASSESSMENT: {
        "select": "a plain SELECT of the rows that the list needs, as tuples",
        "list": "the list of who is to be reassessed",
        "page": "all that its page prints",
        "filling": "making them, once",
    },
}


class Command(BaseCommand):
    help = "Time lists of many invented clients, an hour of a class, or invented months to plan."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("what", choices=[GO_AHEAD, REASSESSMENT, CLASSES, PLANNER])
        parser.add_argument("--clients", type=int, default=5000, metavar="N")
        parser.add_argument(
            "--years", type=int, default=10, metavar="N",
            help="how far back assessments go, one about every six weeks (10)",
        )  # fmt: skip
        parser.add_argument("--json", action="store_true", help="print JSON instead of text")
        parser.add_argument("--here", action="store_true", help=SUPPRESS)

    def handle(
        self, *_: Any, what: str, clients: int, years: int, here: bool, **options: Any
    ) -> None:
        if not 1 <= clients <= MOST_CLIENTS:
            raise CommandError(f"--clients takes a number from 1 to {MOST_CLIENTS}.")
        if not 1 <= years <= MOST_YEARS:
            raise CommandError(f"--years takes a number from 1 to {MOST_YEARS}.")
        if what in _WITHOUT_A_DATABASE:
            measure, said = _WITHOUT_A_DATABASE[what]
            alone = measure()
            self.stdout.write(json.dumps(alone, indent=1) if options["json"] else said(alone))
            return
        measured = _measured_here if here else _measured_apart
        found = measured(what, clients, years)
        text = json.dumps(found, indent=1) if options["json"] or here else _text(what, found)
        self.stdout.write(text)


def _measured_apart(what: str, clients: int, years: int) -> dict[str, Any]:
    """What a process of its own finds, whose database and keys lie in an empty folder."""
    with tempfile.TemporaryDirectory(prefix="coach-bench-") as folder:
        process = subprocess.run(  # noqa: S603 - this very program, with numbers
            [sys.executable, "-m", "django", "bench", what, "--here", "--skip-checks",
             "--clients", str(clients), "--years", str(years)],
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


def _measured_here(what: str, clients: int, years: int) -> dict[str, Any]:
    """Only in a database that does not exist yet: invented clients belong in no practice's."""
    file = sqlite_file()
    if file is None or file.exists():
        raise CommandError("There is a database here already.")
    bring_up_to_date()
    if what == GO_AHEAD:
        return bench_go_ahead.measure(clients)
    return bench_reassessment.measure(clients, years)


def _hour(found: dict[str, Any]) -> str:
    words = {
        "line": "the time line of an hour and its checks",
        "captions": "reading its captions and finding its intervals in them",
        "suits": f"whom {found['classes']} classes suit, for one client",
    }
    lines = [
        f"{found['minutes']} minutes, {found['intervals']} intervals, {found['cues']} captions, "
        f"{found['found']} found; seconds, each the best of {found['runs']}:"
    ]
    for name, said in words.items():
        share = f"{found['ratio'][name]:.0%} of what is wanted"
        lines.append(f"{found['seconds'][name]:9.4f}  {said}, {share}")
    return "\n".join(lines)


def _months(found: dict[str, Any]) -> str:
    """Each month on a line, the months of a size under what they have in common."""
    lines = []
    for name, size in found.items():
        middle, longest = size["median"], size["longest"]
        lines.append(
            f"{name}: {size['slots']} publish days, {size['classes']} classes; "
            f"{size['proved']} of {len(size['months'])} proved the best, "
            f"widest gap {size['widest_gap']:.2%}; seconds: median {middle['seconds']:.2f} "
            f"({middle['processor']:.2f} of the processor), "
            f"longest {longest['seconds']:.2f} ({longest['processor']:.2f})"
        )
        lines.append("    value    bound     gap   greedy  seconds  nodes  status")
        lines += [
            f"{month['value']:9} {month['bound']:8} {month['gap']:7.3%} {month['greedy']:8} "
            f"{month['seconds']:8.2f} {month['nodes']:6}  {month['status']}"
            for month in size["months"]
        ]
    return "\n".join(lines)


_WITHOUT_A_DATABASE: Mapping[str, tuple[Callable[[], Any], Callable[[Any], str]]] = {
    CLASSES: (lambda: bench_classes.measure(), _hour),
    PLANNER: (lambda: bench_planner.measure(), _months),
}


def _text(what: str, found: dict[str, Any]) -> str:
    lines = [_of_whom(what, found)]
    lines += [f"{found['seconds'][name]:9.3f}  {words}" for name, words in _LINES[what].items()]
    lines.append(_compared(what, found))
    return "\n".join(lines)


def _of_whom(what: str, found: dict[str, Any]) -> str:
    best = f"seconds, each the best of {found['runs']}:"
    if what == GO_AHEAD:
        return f"{found['clients']} clients, {found['rows']} rows of facts; {best}"
    years = f"{found['years']} year{'' if found['years'] == 1 else 's'}"
    return (
        f"{found['clients']} clients, {years} of history, {found['assessments']} assessments; "
        f"{found['rows']} rows read for {found['listed']} on the list; {best}"
    )


def _compared(what: str, found: dict[str, Any]) -> str:
    if what == GO_AHEAD:
        return (
            f"Working them out takes {found['ratio']:.1f} times the SELECT; "
            f"{found['differing']} words differ from the stored spans."
        )
    few, all_of_them = found["queries"]
    return (
        f"The list takes {found['ratio']:.1f} times the SELECT, in {all_of_them} queries "
        f"({few} with {min(bench_reassessment.FEW, found['clients'])} clients)."
    )
