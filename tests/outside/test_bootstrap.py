"""The set-up where nothing has to be built; what builds is in test_setting_up.py."""

from __future__ import annotations

import ast
import errno
import sqlite3
import subprocess
import sys
from importlib import metadata
from pathlib import Path
from typing import Any

import pytest
from packaging.markers import Marker
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from coach import bootstrap

LOCKS = [bootstrap.PLAIN, bootstrap.TEST]

# Runs manage.py with something of Python changed before.
PRETEND = """
import runpy, sys
{change}
sys.argv = ["manage.py", "demo"]
sys.path.insert(0, ".")
runpy.run_path("manage.py", run_name="__main__")
"""


def pretend(clone: Any, change: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [clone.python, "-c", PRETEND.format(change=change)],
        cwd=clone.root,
        env=clone.variables(),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=60,
    )


@pytest.mark.parametrize("version", ["(2, 7, 18)", "(3, 6, 15)", "(3, 10, 13)"])
def test_an_old_python_is_told_so_in_one_sentence(clone: Any, version: str) -> None:
    result = pretend(clone, f"sys.version_info = {version}")
    major, minor, _ = ast.literal_eval(version)
    assert result.stderr == (
        f"This needs Python 3.11 or newer and this is Python {major}.{minor}: install a newer one "
        "and type its name in place of this one, for example python3.11 manage.py demo.\n"
    )
    assert result.returncode == 1


def test_manage_py_holds_nothing_that_old_pythons_cannot_read() -> None:
    source = (bootstrap.ROOT / "manage.py").read_bytes()
    tree = ast.parse(source, feature_version=(3, 4))
    newer = (ast.AnnAssign, ast.JoinedStr, ast.AsyncFunctionDef, ast.NamedExpr, ast.Match)
    # Python 2 reads no other letters without being told the encoding (PEP 263).
    assert source.isascii()
    assert [node for node in ast.walk(tree) if isinstance(node, newer)] == []
    assert [node.arg for node in ast.walk(tree) if isinstance(node, ast.arg)] == []


def test_a_python_without_ensurepip_is_told_what_to_install(clone: Any) -> None:
    change = (
        "import importlib.util as u; real = u.find_spec\n"
        "u.find_spec = lambda name, *more: None if name == 'ensurepip' else real(name, *more)"
    )
    result = pretend(clone, change)
    said = result.stderr.splitlines()
    assert said[-1] == bootstrap.NO_VENV
    assert "Traceback" not in result.stderr
    assert result.returncode == 1
    assert not clone.environment.exists()


def test_a_read_only_folder_is_named(clone: Any) -> None:
    clone.root.chmod(0o555)
    code, said, complained = clone.run("demo", as_one_who_obeys_modes=True)
    clone.root.chmod(0o755)
    assert complained == (
        f"{clone.root} cannot be written to: copy the project to a folder of your own "
        "and run this again."
    )
    assert (code, said) == (1, "")


def test_a_file_in_place_of_the_environment_is_named(clone: Any) -> None:
    clone.environment.write_text("")
    code, _, complained = clone.run("demo")
    assert complained.splitlines()[-1] == "The file .venv is broken: delete it and run this again."
    assert code == 1


@pytest.mark.parametrize(
    ("error", "sentence"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), bootstrap.NO_SPACE),
        (sqlite3.OperationalError("database or disk is full"), bootstrap.NO_SPACE),
        (OSError(errno.EROFS, "Read-only file system"), bootstrap.NOT_WRITABLE),
        (PermissionError(errno.EACCES, "Permission denied"), bootstrap.NOT_WRITABLE),
    ],
)
def test_what_the_system_refuses_becomes_a_sentence(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, error: Exception, sentence: str
) -> None:
    def refuse(lock: Path) -> None:
        raise error

    monkeypatch.setattr(bootstrap, "TURN", tmp_path / "turn.sqlite3")
    monkeypatch.setattr(bootstrap, "_complete", lambda lock: False)
    monkeypatch.setattr(bootstrap, "_fill", refuse)
    with pytest.raises(bootstrap.Trouble, match=f"^{sentence}$"):
        bootstrap._set_up(bootstrap.PLAIN)


# Lines as pip 23 and 24 print them (copied from runs of pip).
@pytest.mark.parametrize(
    ("output", "sentence"),
    [
        (
            "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on "
            "device",
            bootstrap.NO_SPACE,
        ),
        (
            "WARNING: Retrying (Retry(total=0)) after connection broken by "
            "'NewConnectionError('<x>: Failed to establish a new connection: [Errno -3] Temporary "
            "failure in name resolution')': /simple/x/\nERROR: No matching distribution found "
            "for x==1.0",
            bootstrap.NO_NETWORK,
        ),
        (
            "ERROR: Could not find a version that satisfies the requirement x==1.0 (from versions: "
            "none)\nERROR: No matching distribution found for x==1.0\n",
            bootstrap.NO_NETWORK,
        ),
        (
            "ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.",
            bootstrap.OTHER_PACKAGE,
        ),
        (
            "ERROR: Could not find a version that satisfies the requirement x==1.0 (from versions: "
            "1.1, 1.2)\nERROR: No matching distribution found for x==1.0\n",
            "The packages could not be installed (No matching distribution found for x==1.0): "
            "mend that and run this again.",
        ),
    ],
)
def test_what_pip_says_becomes_a_sentence(output: str, sentence: str) -> None:
    assert bootstrap.reason(output) == sentence


# PEP 508 by the reference implementation, the library "packaging".
@pytest.mark.parametrize(
    "marker",
    [
        "python_full_version < '3.12'",
        "python_full_version >= '3.12'",
        "python_version == '3.11' or python_version > '3.11'",
        "python_version != '3.9' and sys_platform == 'win32'",
        "(os_name == 'nt' or os_name == 'posix') and '3.10' < python_version",
        "python_full_version <= '3.100.0'",
        "sys_platform in 'linux darwin win32'",
        "platform_system not in 'Linux Darwin'",
        "implementation_name != 'pypy'",
        "platform_machine == 'x86_64'",
        "platform_python_implementation == 'CPython'",
    ],
)
def test_markers_hold_as_in_the_reference_implementation(marker: str) -> None:
    assert bootstrap.applies(marker) == Marker(marker).evaluate()


@pytest.mark.parametrize("marker", ["extra == 'x'", "python_version", "1 < 2"])
def test_a_marker_that_cannot_be_read_stops_the_start(marker: str) -> None:
    with pytest.raises(bootstrap.Trouble):
        bootstrap.applies(marker)


@pytest.mark.parametrize("lock", LOCKS, ids=["plain", "test"])
def test_a_lock_is_read_as_the_reference_implementation_reads_it(lock: Path) -> None:
    lines = [line.rstrip("\\ ") for line in lock.read_text().splitlines()]
    asked = [Requirement(line) for line in lines if line and line[0] not in " #"]
    here = [one for one in asked if not one.marker or one.marker.evaluate()]
    assert bootstrap.wanted(lock.read_text()) == [
        (one.name, str(one.specifier).removeprefix("==")) for one in here
    ]


def test_the_lock_of_the_tests_holds_the_plain_one() -> None:
    plain, test = (set(bootstrap.wanted(lock.read_text())) for lock in LOCKS)
    assert plain - test == set()


def test_packages_are_found_as_by_the_standard_library() -> None:
    expected = {
        canonicalize_name(found.metadata["Name"]): found.version
        for found in metadata.distributions()
        if found.read_text("RECORD") is not None
    }
    assert bootstrap.installed_packages() == expected


def test_these_tests_run_on_the_versions_of_the_lock() -> None:
    asked = {canonicalize_name(n): v for n, v in bootstrap.wanted(bootstrap.TEST.read_text())}
    installed = bootstrap.installed_packages()
    assert {name: installed.get(name) for name in asked} == asked


def test_the_environments_python_is_not_resolved() -> None:
    assert Path(sys.prefix, "bin", "python").is_symlink()
    assert bootstrap.PYTHON == bootstrap.ROOT / ".venv" / "bin" / "python"
