"""Building .venv in a clone: what goes wrong half way, and what must not be built again."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from pathlib import Path
from typing import Any

import pytest

from coach import bootstrap

pytestmark = pytest.mark.endurance

SET_UP = "Setting up .venv with the packages this needs; once, under a minute …"
UP_TO_DATE = "Bringing .venv up to date …"
WAITING = "Another start is setting up .venv; waiting for it …"
DONE = "Done."


def ran(clone: Any, *arguments: str, tiny: str = "1.0", prefix: Path | None = None) -> str:
    """What the clone's command prints when it runs inside its environment."""
    return f"{prefix or clone.environment}|{list(arguments)}|{tiny}"


def wait_until(true: Any, seconds: float = 30) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end
        time.sleep(0.02)


def processes_of(clone: Any) -> list[str]:
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            command = (folder / "cmdline").read_bytes().replace(b"\0", b" ").decode()
            status = (folder / "stat").read_text().rpartition(") ")[2][0]
        except OSError:
            continue
        if str(clone.environment) in command and status != "Z":
            found.append(command)
    return found


def test_the_first_start_sets_up_and_the_second_says_nothing(clone: Any) -> None:
    assert clone.run("plan", "2026-12", "--json") == (
        0,
        ran(clone, "plan", "2026-12", "--json"),
        f"{SET_UP}\n{DONE}",
    )
    assert clone.run("demo") == (0, ran(clone, "demo"), "")


def test_the_tests_get_their_lock_and_that_serves_the_other_commands_too(clone: Any) -> None:
    clone.run("demo")
    assert not list(clone.environment.rglob("tool.py"))
    assert clone.run("test", "-k", "x") == (
        0,
        ran(clone, "test", "-k", "x"),
        f"{UP_TO_DATE}\n{DONE}",
    )
    assert len(list(clone.environment.rglob("tool.py"))) == 1
    assert clone.run("demo") == (0, ran(clone, "demo"), "")


def test_a_changed_lock_brings_the_environment_up_to_date(clone: Any) -> None:
    clone.run("demo")
    clone.lock(plain={"tiny": "2.0"})
    assert clone.run("demo") == (0, ran(clone, "demo", tiny="2.0"), f"{UP_TO_DATE}\n{DONE}")


def test_three_at_once_build_once(clone: Any) -> None:
    started = [clone.start("demo") for _ in range(3)]
    ended = [(*process.communicate(timeout=120), process.returncode) for process in started]
    assert [(said.strip(), code) for said, _, code in ended] == [(ran(clone, "demo"), 0)] * 3
    complained = sorted(complaint.strip() for _, complaint, _ in ended)
    assert complained == [WAITING, WAITING, f"{SET_UP}\n{DONE}"]


@pytest.mark.parametrize("moment", ["ensurepip", "pip install"])
def test_killed_half_way_leaves_no_process_and_the_next_start_builds(
    clone: Any, moment: str
) -> None:
    process = clone.start("demo")
    wait_until(lambda: any(moment in command for command in processes_of(clone)))
    process.kill()
    process.communicate()
    wait_until(lambda: not processes_of(clone), seconds=5)
    assert not clone.stamp.exists()
    assert clone.run("demo") == (0, ran(clone, "demo"), f"{SET_UP}\n{DONE}")


def test_interrupted_half_way_says_so_and_the_next_start_builds(clone: Any) -> None:
    process = clone.start("demo")
    wait_until(lambda: any("pip" in command for command in processes_of(clone)))
    process.send_signal(signal.SIGINT)
    said, complained = process.communicate(timeout=20)
    assert said == ""
    assert complained == (
        f"{SET_UP}\n\nStopped. The next start begins again where that is needed.\n"
    )
    assert process.returncode == bootstrap.ENDED_BY_CTRL_C
    wait_until(lambda: not processes_of(clone), seconds=5)
    assert clone.run("demo") == (0, ran(clone, "demo"), f"{SET_UP}\n{DONE}")


def test_a_moved_folder_is_set_up_anew(clone: Any) -> None:
    clone.run("demo")
    clone.root = clone.root.rename(clone.root.with_name("moved"))
    assert clone.run("demo") == (0, ran(clone, "demo"), f"{SET_UP}\n{DONE}")


def test_an_environment_without_a_stamp_is_not_trusted(clone: Any) -> None:
    clone.run("demo")
    clone.stamp.unlink()
    (found,) = clone.environment.rglob("tiny.py")
    found.write_text("")
    assert clone.run("demo") == (0, ran(clone, "demo"), f"{SET_UP}\n{DONE}")
    assert found.read_text() == "VERSION = '1.0'\n"


def test_another_python_builds_its_own(clone: Any) -> None:
    clone.run("demo")
    clone.stamp.write_text(f"{'0' * 64}\n" + clone.stamp.read_text().partition("\n")[2])
    assert clone.run("demo") == (0, ran(clone, "demo"), f"{SET_UP}\n{DONE}")


def test_an_environment_whose_python_is_gone_is_set_up_anew(clone: Any) -> None:
    clone.run("demo")
    python = clone.environment / "bin/python"
    python.unlink()
    python.symlink_to("/nowhere/python3")
    assert clone.run("demo") == (0, ran(clone, "demo"), f"{SET_UP}\n{DONE}")


def test_an_environment_whose_python_is_no_program_is_called_broken(clone: Any) -> None:
    clone.run("demo")
    python = clone.environment / "bin/python"
    python.unlink()
    python.write_bytes(b"\x7fELF")
    python.chmod(0o755)
    assert clone.run("demo") == (1, "", bootstrap.BROKEN)


def test_a_package_that_is_not_the_one_of_the_lock_is_refused(clone: Any) -> None:
    lock = clone.root / "coach/requirements.lock"
    lock.write_text(lock.read_text()[:-65] + "0" * 64 + "\n")
    assert clone.run("demo") == (1, "", f"{SET_UP}\n{bootstrap.OTHER_PACKAGE}")
    assert not clone.stamp.exists()


@pytest.mark.parametrize("retries", ["0", "1"])
def test_without_a_network_one_sentence_says_so(clone: Any, retries: str) -> None:
    clone.more = {"PIP_NO_INDEX": "0", "PIP_FIND_LINKS": "", "PIP_RETRIES": retries}
    clone.more["PIP_INDEX_URL"] = "http://127.0.0.1:9/simple"  # the port "discard": none answers
    assert clone.run("demo") == (1, "", f"{SET_UP}\n{bootstrap.NO_NETWORK}")


def test_settings_of_pip_and_python_that_lead_elsewhere_are_dropped(
    clone: Any, tmp_path: Path
) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "tiny.py").write_text("raise SystemExit('the wrong one')")
    configuration = tmp_path / "pip.conf"
    configuration.write_text("[install]\nuser = true\n")
    names = ("PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PYTHONPATH")
    clone.more = dict.fromkeys(names, str(elsewhere))
    clone.more |= {"PIP_USER": "1", "PIP_CONFIG_FILE": str(configuration)}
    assert clone.run("demo") == (0, ran(clone, "demo"), f"{SET_UP}\n{DONE}")
    assert [path.name for path in elsewhere.iterdir()] == ["tiny.py"]


def active_environment(clone: Any, version: str) -> tuple[Path, str]:
    """An environment of the person's own, with tiny of that version in it."""
    clone.lock(plain={"tiny": version})
    folder = clone.root.with_name("own")
    subprocess.run([clone.python, "-m", "venv", folder], check=True)
    python = str(folder / "bin/python")
    install = [python, "-m", "pip", "install", "-q", f"tiny=={version}"]
    subprocess.run(install, env=clone.variables(), check=True)
    return folder, python


def test_an_active_environment_with_the_right_packages_is_used_as_it_is(clone: Any) -> None:
    folder, python = active_environment(clone, "1.0")
    assert clone.run("demo", python=python) == (0, ran(clone, "demo", prefix=folder), "")
    assert not clone.environment.exists()


def test_an_active_environment_with_other_packages_is_left_alone(clone: Any) -> None:
    folder, python = active_environment(clone, "2.0")
    clone.lock(plain={"tiny": "1.0"})
    assert clone.run("demo", python=python) == (0, ran(clone, "demo"), f"{SET_UP}\n{DONE}")
    (kept,) = folder.rglob("tiny.py")
    assert kept.read_text() == "VERSION = '2.0'\n"


def test_inside_its_own_environment_nothing_is_built(clone: Any) -> None:
    clone.run("demo")
    python = str(clone.environment / "bin/python")
    assert clone.run("demo", python=python) == (0, ran(clone, "demo"), "")


def test_a_complete_environment_in_a_read_only_folder_is_used(clone: Any) -> None:
    clone.run("demo")
    clone.root.chmod(0o555)
    result = clone.run("demo", as_one_who_obeys_modes=True)
    clone.root.chmod(0o755)
    assert result == (0, ran(clone, "demo"), "")


def test_an_argument_for_python_itself_is_kept(clone: Any) -> None:
    clone.run("demo")
    (clone.root / "coach/management/entry.py").write_text(
        "import sys\n\ndef run(argv):\n    print(sys.flags.dev_mode)\n"
    )
    result = subprocess.run(
        [clone.python, "-X", "dev", "manage.py", "demo"],
        cwd=clone.root,
        env=clone.variables(),
        capture_output=True,
        text=True,
    )
    assert result.stdout == "True\n"


def test_a_missing_part_is_named_without_a_traceback(clone: Any) -> None:
    clone.run("demo")
    (clone.root / "coach/management/entry.py").write_text("import gone_from_here\n")
    assert clone.run("demo") == (
        1,
        "",
        "A part is missing from .venv: delete that folder and run this again.",
    )


def test_finding_all_in_place_takes_no_noticeable_time(clone: Any) -> None:
    """Under 0.1 s of the processor beside the start of Python itself; the best of ten runs."""
    clone.run("demo")
    (clone.root / "coach/management/entry.py").write_text("def run(argv):\n    pass\n")

    def seconds(*command: str) -> float:
        before = os.times()
        subprocess.run(command, cwd=clone.root, env=clone.variables(), check=True)
        after = os.times()
        user = after.children_user - before.children_user
        return user + after.children_system - before.children_system

    bare = min(seconds(clone.python, "-c", "") for _ in range(10))
    whole = min(seconds(clone.python, "manage.py", "demo") for _ in range(10))
    assert whole - bare < 0.1


def test_nothing_is_left_outside_the_environment(clone: Any) -> None:
    before = sorted(path.name for path in clone.root.iterdir())
    clone.run("demo")
    after = sorted(path.name for path in clone.root.iterdir())
    assert after == sorted([*before, ".venv", ".set-up.sqlite3"])
