#!/usr/bin/env python3
"""All commands of the project: python3 manage.py demo, test, start and the others."""

import sys

if sys.version_info < (3, 11):  # first, so that an old Python says this and not a syntax error
    sys.exit(
        "This needs Python 3.11 or newer and this is Python %d.%d: install a newer one "
        "and type its name in place of this one, for example python3.11 manage.py demo."
        % (sys.version_info[0], sys.version_info[1])
    )

if __name__ == "__main__":
    from coach.bootstrap import prepare

    prepare()
    try:
        from coach.management.entry import run
    except ModuleNotFoundError as missing:
        if (missing.name or "").startswith("coach"):
            raise
        sys.exit("A part is missing from .venv: delete that folder and run this again.")
    run(sys.argv)
