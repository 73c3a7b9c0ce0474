"""Runs pytest with the arguments given, in a process of its own."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand

WORKERS_AT_MOST = 4
# With these a person looks at one thing; workers would only be slower to start.
ALONE = {"--co", "--collect-only", "--ff", "--help", "--lf", "--pdb", "--trace", "--version"}
ALONE |= {"--numprocesses", "--dist", "no:xdist"}  # or has chosen the workers herself
ALONE_SHORT = ("-k", "-x", "-s", "-h", "-n")  # a value may follow at once, as in -n4
KEPT = ("COACH_CHROMIUM",)
# The development mode would check every piece of memory that C code takes: a seventh of the time,
# and no code here is in C. Whoever wants it sets the variable herself.
MEMORY = {"PYTHONMALLOC": "pymalloc"}


class Command(BaseCommand):
    help = "Runs the tests: pytest with the arguments given."

    def run_from_argv(self, argv: list[str]) -> None:
        sys.exit(run(argv[2:]))  # past Django's own options: pytest has others of the same name

    def handle(self, *args: Any, **options: Any) -> None:
        sys.exit(run([str(arg) for arg in args]))


def run(arguments: list[str]) -> int:
    """The exit code of pytest."""
    with tempfile.TemporaryDirectory(prefix="coach-test-") as folder:
        process = subprocess.Popen(  # noqa: S603 - the arguments are the developer's own
            command(arguments), cwd=settings.BASE_DIR, env=variables(os.environ, folder)
        )
        signal.signal(signal.SIGTERM, lambda *_: process.terminate())
        while True:
            try:
                return process.wait()
            except KeyboardInterrupt:
                continue  # Ctrl-C reached pytest as well, which ends and says so


def command(arguments: list[str]) -> list[str]:
    """What is run: in Python's development mode, with workers where they help."""
    python = [sys.executable, "-X", "dev", "-m", "pytest", "-p", "coach.management.left_out"]
    return [*python, *_workers(arguments), *arguments]


def _workers(arguments: list[str]) -> list[str]:
    count = min(os.cpu_count() or 1, WORKERS_AT_MOST)
    alone = count == 1 or any(_is_alone(argument) for argument in arguments)
    return [] if alone else ["-n", str(count)]


def _is_alone(argument: str) -> bool:
    if argument.startswith(ALONE_SHORT) or argument.partition("=")[0] in ALONE:
        return True
    place = argument.partition("::")[0]
    return not argument.startswith("-") and (settings.BASE_DIR / place).exists()


def variables(given: Mapping[str, str], folder: str) -> dict[str, str]:
    """The environment for the tests: nobody's data, and none of the practice's settings."""
    kept = {k: v for k, v in given.items() if not k.startswith("COACH_") or k in KEPT}
    return MEMORY | kept | {"COACH_VAR": str(Path(folder) / "var")}
