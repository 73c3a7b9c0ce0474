"""Makes the folder .venv hold exactly the packages of a lock file, and moves into it.

Standard library only, because it runs before anything is installed. What it trusts is a stamp
written last; the mere presence of .venv says nothing. An environment that is already active
and holds the right packages is used as it is.
"""

from __future__ import annotations

import ast
import errno
import hashlib
import importlib.util
import operator
import os
import platform
import re
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

ROOT = Path(__file__).absolute().parent.parent
ENVIRONMENT = ROOT / ".venv"
STAMP = ENVIRONMENT / ".complete"
TURN = ROOT / ".set-up.sqlite3"
PLAIN = ROOT / "coach" / "requirements.lock"
TEST = ROOT / "coach" / "requirements-test.lock"  # holds everything in PLAIN as well
WINDOWS = os.name == "nt"
# Never resolved: behind the link lies a Python that knows nothing of this environment.
PYTHON = ENVIRONMENT / ("Scripts/python.exe" if WINDOWS else "bin/python")
DROPPED = ("PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PYTHONPATH", "PYTHONHOME")
ENDED_BY_CTRL_C = 130
PINNED = re.compile(r"^([\w.-]+)(?:\[[^\]]*\])?==([^\s;\\]+)[ \t]*(?:;([^\\\n]*))?", re.MULTILINE)

# Runs a module, and dies with whoever started it: standard input closes with that process.
CHILD = """
import os, runpy, signal, sys, threading

def die_with_parent():
    os.read(0, 1)
    if hasattr(os, "killpg"):
        os.killpg(0, signal.SIGKILL)
    os._exit(1)

threading.Thread(target=die_with_parent, daemon=True).start()
del sys.argv[0]
runpy.run_module(sys.argv[0], run_name="__main__", alter_sys=True)
"""

AGAIN = " and run this again."
NO_SPACE = "The disk is full: free a gigabyte" + AGAIN
NOT_WRITABLE = f"{ROOT} cannot be written to: copy the project to a folder of your own" + AGAIN
NO_VENV = (
    "This Python comes without venv or ensurepip: install them (many systems have them in a "
    "package named python3-venv), or take a Python from python.org," + AGAIN
)
BROKEN = "The folder .venv is broken: delete it" + AGAIN
NO_NETWORK = "The packages could not be fetched: connect to the internet" + AGAIN
OTHER_PACKAGE = (
    "A package that was fetched is not the one the lock file names, so it was not installed: "
    "fetch the project afresh" + AGAIN
)
# What pip writes, and the sentence for it; the first that is found counts.
PIP_SAYS = (
    (("No space left", "Errno 28", "not enough space on the disk"), NO_SPACE),
    (("DO NOT MATCH THE HASHES",), OTHER_PACKAGE),
    (("Read-only file system", "Permission denied"), NOT_WRITABLE),
    (("onnection", "timed out", "Network is unreach", "(from versions: none)"), NO_NETWORK),
)
COMPARISONS = {
    ast.Eq: operator.eq,
    ast.NotEq: operator.ne,
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
}


class Trouble(Exception):
    """Something the person at the keyboard can mend; the message says how."""


def prepare() -> None:
    """Return inside an environment that holds the packages; else make it and start there.

    Ends the process with one sentence and exit code 1 when that cannot be done.
    """
    lock = TEST if sys.argv[1:2] == ["test"] else PLAIN
    try:
        if not _already_inside(lock):
            if not _complete(lock):
                _set_up(lock)
            _move_in()
    except Trouble as trouble:
        sys.exit(str(trouble))
    except KeyboardInterrupt:
        _say("\nStopped. The next start begins again where that is needed.")
        sys.exit(ENDED_BY_CTRL_C)


def wanted(lock: str) -> list[tuple[str, str]]:
    """The packages that the text of a lock file asks for on this machine, as (name, version)."""
    pinned = PINNED.findall(lock)
    return [(name, version) for name, version, marker in pinned if applies(marker.strip())]


def applies(marker: str) -> bool:
    """Whether an environment marker (PEP 508) holds on this machine; an empty one does."""
    return not marker or _holds(ast.parse(marker, mode="eval").body)


def reason(output: str) -> str:
    """One sentence for what pip wrote when it failed."""
    for signs, sentence in PIP_SAYS:
        if any(sign in output for sign in signs):
            return sentence
    errors = [line for line in output.splitlines() if line.startswith("ERROR: ")]
    last = (errors or output.splitlines() or ["it did not say why"])[-1].removeprefix("ERROR: ")
    return f"The packages could not be installed ({last}): mend that" + AGAIN


def _say(words: str) -> None:
    print(words, file=sys.stderr, flush=True)


# Is everything there?


def _already_inside(lock: Path) -> bool:
    conda = (Path(sys.prefix) / "conda-meta").is_dir()
    if sys.prefix == sys.base_prefix and not conda:
        return False
    return (_is_ours(sys.prefix) and _complete(lock)) or _satisfied(lock)


def _is_ours(prefix: str) -> bool:
    return ENVIRONMENT.is_dir() and ENVIRONMENT.samefile(prefix)


def _satisfied(lock: Path) -> bool:
    installed = installed_packages()
    asked = wanted(lock.read_text())
    return all(installed.get(_canonical(name)) == version for name, version in asked)


def installed_packages() -> dict[str, str]:
    """The version of each package that this Python can import, by canonical name.

    Read from the names of the .dist-info folders: importlib.metadata takes longer to load than
    all the rest of this module.
    """
    found: dict[str, str] = {}
    for place in map(Path, sys.path):
        # Installers write RECORD last, so without it an installation was cut short.
        for record in place.glob("*.dist-info/RECORD"):
            name, _, version = record.parent.name.removesuffix(".dist-info").rpartition("-")
            found.setdefault(_canonical(name), version)
    return found


def _canonical(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def _complete(lock: Path) -> bool:
    stamps = {_stamp(lock), _stamp(TEST)}
    return PYTHON.exists() and _written_stamp() in stamps


def _written_stamp() -> str:
    try:
        return STAMP.read_text()
    except OSError:
        return ""


def _stamp(lock: Path) -> str:
    locks = [PLAIN] if lock == PLAIN else [PLAIN, TEST]
    contents = hashlib.sha256(b"\0".join(path.read_bytes() for path in locks)).hexdigest()
    return f"{_foundation()}\n{contents}\n"


def _foundation() -> str:
    """Names this Python and this place: an environment works with no other."""
    place = os.path.realpath(ENVIRONMENT)
    return hashlib.sha256(f"{sys.version}\0{place}".encode()).hexdigest()


# Environment markers


def _holds(node: ast.expr) -> bool:
    match node:
        case ast.BoolOp(op=ast.And(), values=parts):
            return all(map(_holds, parts))
        case ast.BoolOp(op=ast.Or(), values=parts):
            return any(map(_holds, parts))
        case ast.Compare(left=left, ops=[compare], comparators=[right]):
            return _compare(left, compare, right)
    raise Trouble(f"The lock file holds a marker that cannot be read: {ast.unparse(node)}.")


def _compare(left: ast.expr, compare: ast.cmpop, right: ast.expr) -> bool:
    version = any(isinstance(side, ast.Name) and "version" in side.id for side in (left, right))
    one, other = (_value(left), _value(right))
    if isinstance(compare, ast.In | ast.NotIn):
        return (one in other) == isinstance(compare, ast.In)
    test = COMPARISONS[type(compare)]
    return bool(test(_release(one), _release(other)) if version else test(one, other))


def _value(side: ast.expr) -> str:
    match side:
        case ast.Constant(value=str(text)):
            return text
        case ast.Name(id=name) if name in _machine():
            return _machine()[name]
    raise Trouble(f"The lock file holds a marker that cannot be read: {ast.unparse(side)}.")


def _release(version: str) -> list[int]:
    parts = [int(part) for part in re.findall(r"\d+", version)]
    while parts and parts[-1] == 0:  # 3.12.0 equals 3.12
        parts.pop()
    return parts


def _machine() -> dict[str, str]:
    return {
        "implementation_name": sys.implementation.name,
        "os_name": os.name,
        "platform_machine": platform.machine(),
        "platform_python_implementation": platform.python_implementation(),
        "platform_system": platform.system(),
        "python_full_version": platform.python_version(),
        "python_version": ".".join(platform.python_version_tuple()[:2]),
        "sys_platform": sys.platform,
    }


# Making it


def _set_up(lock: Path) -> None:
    if not os.access(ROOT, os.W_OK):
        raise Trouble(NOT_WRITABLE)
    if ENVIRONMENT.is_file():
        raise Trouble(BROKEN.replace("folder", "file"))
    try:
        with _own_turn():
            if not _complete(lock):  # another start may have done it meanwhile
                _fill(lock)
    except (OSError, sqlite3.Error) as error:
        raise Trouble(_refusal(error)) from None


def _refusal(error: Exception) -> str:
    number = getattr(error, "errno", None)
    if number == errno.ENOSPC or "disk is full" in str(error):
        return NO_SPACE
    if number in {errno.EACCES, errno.EPERM, errno.EROFS} or "readonly" in str(error):
        return NOT_WRITABLE
    return f"The folder .venv could not be made ({error}): mend that" + AGAIN


@contextmanager
def _own_turn() -> Iterator[None]:
    """Wait until no other start sets up; the lock frees itself at any death of its holder."""
    with closing(sqlite3.connect(TURN, timeout=0, isolation_level=None)) as turn:
        try:
            turn.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as error:
            if not _is_held(error):
                raise
            _say("Another start is setting up .venv; waiting for it …")
            _wait_for(turn)
        yield


def _wait_for(turn: sqlite3.Connection) -> None:
    turn.execute("PRAGMA busy_timeout = 500")  # milliseconds; short, so that Ctrl-C is heard
    while True:
        try:
            turn.execute("BEGIN EXCLUSIVE")
            return
        except sqlite3.OperationalError as error:
            if not _is_held(error):
                raise


def _is_held(error: sqlite3.OperationalError) -> bool:
    return error.sqlite_errorcode == sqlite3.SQLITE_BUSY


def _fill(lock: Path) -> None:
    usable = PYTHON.exists() and _written_stamp().startswith(_foundation())
    STAMP.unlink(missing_ok=True)
    if usable:
        _say("Bringing .venv up to date …")
    else:
        _say("Setting up .venv with the packages this needs; once, under a minute …")
        _new_environment()
    code, output = _run(str(PYTHON), "pip", *_install(lock))
    if code:
        raise Trouble(reason(output))
    _write_stamp(lock)
    _say("Done.")


def _install(lock: Path) -> list[str]:
    quiet = ["--quiet", "--no-input", "--disable-pip-version-check", "--progress-bar=off"]
    return ["install", *quiet, "--require-hashes", "--no-deps", "-r", str(lock)]


def _new_environment() -> None:
    if any(importlib.util.find_spec(name) is None for name in ("venv", "ensurepip")):
        raise Trouble(NO_VENV)
    base = getattr(
        sys, "_base_executable", sys.executable
    )  # not the Python of an active environment, which may go away
    made, output = _run(base, "venv", "--clear", "--without-pip", str(ENVIRONMENT))
    if made:
        raise Trouble(reason(output))
    made, output = _run(str(PYTHON), "ensurepip", "--upgrade", "--default-pip")
    if made:
        raise Trouble(NO_SPACE if "No space left" in output else NO_VENV)


def _run(python: str, *module_and_arguments: str) -> tuple[int, str]:
    """Run a module in a process that ends with this one; its exit code and what it wrote."""
    reading, writing = os.pipe()
    child = subprocess.Popen(
        [python, "-I", "-c", CHILD, *module_and_arguments],
        stdin=reading,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        env=_environment_variables(),
        cwd=ROOT,
        text=True,
        errors="replace",
        start_new_session=True,
    )
    os.close(reading)
    try:
        output, _ = child.communicate()
    finally:
        os.close(writing)  # after an interruption this is what ends it
        child.wait()
    return child.returncode, output


def _environment_variables() -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if name not in DROPPED}
    # 0 rather than absent: it overrules "user" in a configuration file as well.
    return kept | {"PIP_USER": "0", "PIP_RETRIES": kept.get("PIP_RETRIES", "2")}


def _write_stamp(lock: Path) -> None:
    draft = STAMP.with_suffix(".draft")
    with draft.open("w") as file:
        file.write(_stamp(lock))
        file.flush()
        os.fsync(file.fileno())
    draft.replace(STAMP)


def _move_in() -> None:
    """Go on with the same command inside the environment; never returns."""
    command = [str(PYTHON), *sys.orig_argv[1:]]
    variables = {k: v for k, v in os.environ.items() if k not in DROPPED}
    try:
        if not WINDOWS:
            os.execve(PYTHON, command, variables)  # noqa: S606 - no shell is wanted
        sys.exit(subprocess.call(command, env=variables))
    except OSError:
        raise Trouble(BROKEN) from None
