"""Where manage.py goes once the packages are there."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from urllib.parse import quote

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.core.management import execute_from_command_line

from coach.keys import BadKey

ROOT = Path(__file__).absolute().parent.parent.parent
ENDED_BY_CTRL_C = 130


def run(argv: list[str]) -> None:
    """Run the command; what a person can mend ends it with one sentence and exit code 1."""
    os.environ.update(said_before(argv[1] if len(argv) > 1 else "", os.environ))
    try:
        _ = settings.INSTALLED_APPS  # reads the settings now, so that their complaint is caught
    except (ImproperlyConfigured, BadKey, OSError) as error:
        sys.exit(str(error))
    try:
        execute_from_command_line(argv)
    except KeyboardInterrupt:
        sys.exit(ENDED_BY_CTRL_C)


def said_before(command: str, given: os._Environ[str] | dict[str, str]) -> dict[str, str]:
    """The variables that a command needs set before the settings are read."""
    found = {"DJANGO_SETTINGS_MODULE": given.get("DJANGO_SETTINGS_MODULE", "coach.settings")}
    if command == "demo" and not given.get("DATABASE_URL"):
        folder = Path(given.get("COACH_VAR") or ROOT / "var").absolute()
        found["DATABASE_URL"] = f"sqlite:///{quote(str(folder / 'demo.sqlite3'))}"
    if command in {"demo", "start"}:
        found["COACH_STATIC_COLLECTED"] = "1"
    return found
