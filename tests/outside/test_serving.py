"""The server: its port, and how it ends."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.core.management import CommandError

from coach.management import serving

HOST = serving.LOOPBACK


@pytest.fixture
def taken() -> Iterator[int]:
    """A port that another program listens on."""
    with socket.socket() as other:
        other.bind((HOST, 0))
        other.listen()
        yield other.getsockname()[1]


def test_the_next_free_port_is_used(taken: int) -> None:
    with closing(serving.listen(HOST, taken, tries=50)) as found:
        assert taken < found.getsockname()[1] < taken + 50


def test_a_taken_port_is_refused_where_no_other_may_be_used(taken: int) -> None:
    with pytest.raises(CommandError) as refused:
        serving.listen(HOST, taken)
    assert str(refused.value) == f"Port {taken} is taken: choose another with --port."


def test_a_port_shared_by_its_owner_is_taken_all_the_same() -> None:
    """A listener that lets others share its port would get half of the requests."""
    with socket.socket() as other:
        other.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEPORT, 1)
        other.bind((HOST, 0))
        other.listen()
        with pytest.raises(CommandError, match="is taken"):
            serving.listen(HOST, other.getsockname()[1])


def test_connections_that_are_still_closing_do_not_hold_the_port() -> None:
    with closing(serving.listen(HOST, 0)) as first:
        first.setblocking(True)
        port = first.getsockname()[1]
        client = socket.create_connection((HOST, port))
        accepted, _ = first.accept()
        accepted.close()  # this side first, so that it is the one that waits
        client.close()
    serving.listen(HOST, port).close()


@pytest.mark.parametrize(("host", "port"), [("192.0.2.1", 8000), ("no-such-host.invalid", 8000)])
def test_an_address_that_cannot_be_had_is_named(host: str, port: int) -> None:
    # 192.0.2.0/24 is for documentation (RFC 5737), .invalid never resolves (RFC 2606).
    with pytest.raises(CommandError, match=f"^Cannot serve on {re.escape(host)}:{port} "):
        serving.listen(host, port)


@pytest.mark.parametrize(
    ("host", "shown"), [("127.0.0.1", "127.0.0.1"), ("0.0.0.0", "localhost"), ("::1", "[::1]")]
)
def test_the_address_is_one_that_a_browser_takes(host: str, shown: str) -> None:
    with closing(serving.listen(host, 0)) as found:
        assert serving.address(found) == f"http://{shown}:{found.getsockname()[1]}/"


def test_behind_tls_the_address_is_the_sites_own(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(settings, "TLS", True)
    monkeypatch.setattr(settings, "ALLOWED_HOSTS", ["coach.example"])
    with closing(serving.listen(HOST, 0)) as found:
        assert serving.address(found) == "https://coach.example/"


@pytest.mark.parametrize(
    ("vendor", "cores", "workers"),
    [("sqlite", 8, 1), ("postgresql", 1, 2), ("postgresql", 3, 3), ("postgresql", 64, 4)],
)
def test_one_worker_on_sqlite_and_several_on_postgresql(
    monkeypatch: pytest.MonkeyPatch, vendor: str, cores: int, workers: int
) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: cores)
    monkeypatch.setattr(serving, "connection", type("Connection", (), {"vendor": vendor}))
    assert serving.worker_count() == workers


@dataclass
class Running:
    """A command that serves, in a process group of its own."""

    process: subprocess.Popen[str]
    said: list[str]

    @property
    def address(self) -> str:
        (found,) = [line.split()[1] for line in self.said if line.startswith("  Address")]
        return found

    def alive(self) -> list[str]:
        """The processes of its group, without those that have ended and wait to be noticed."""
        found = []
        for folder in Path("/proc").glob("[0-9]*"):
            try:
                status, _, group, *_ = (folder / "stat").read_text().rpartition(") ")[2].split()
            except OSError:
                continue
            if int(group) == self.process.pid and status != "Z":
                found.append(folder.name)
        return found

    def wait_until_gone(self, seconds: float) -> None:
        end = time.monotonic() + seconds
        while self.alive():
            assert time.monotonic() < end
            time.sleep(0.02)

    def answer(self) -> str:
        with urllib.request.urlopen(self.address, timeout=20) as found:
            assert found.status == 200
            return str(found.url)


Start = Callable[..., Running]


@pytest.fixture
def begin(tmp_path: Path) -> Iterator[Start]:
    """Starts a command that serves and reads up to the line that says how to stop it."""
    running: list[Running] = []

    def start(*arguments: str) -> Running:
        process = subprocess.Popen(
            [sys.executable, "manage.py", *arguments],
            cwd=settings.BASE_DIR,
            env={k: v for k, v in os.environ.items() if k != "DATABASE_URL"}
            | {"COACH_VAR": str(tmp_path / "var")},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )
        running.append(Running(process, []))
        assert process.stdout
        for line in process.stdout:
            running[-1].said.append(line.rstrip())
            if line.startswith("Press Ctrl-C"):
                break
        return running[-1]

    yield start
    for one in running:
        if one.alive():
            os.killpg(one.process.pid, signal.SIGKILL)
        one.process.communicate()


def ended(running: Running) -> tuple[int, Any]:
    said, _ = running.process.communicate(timeout=20)
    return running.process.returncode, said


def stop(running: Running) -> None:
    os.killpg(running.process.pid, signal.SIGTERM)
    ended(running)


@pytest.mark.endurance
def test_the_first_start_shows_where_the_owner_is_made_and_the_code(begin: Start) -> None:
    running = begin("start", "--port", "8310")
    where, address, code, stop = running.said
    assert where == "There is no owner yet. Open this page and type the code:"
    assert address.startswith("  Address   http://127.0.0.1:8310/")
    assert re.fullmatch(r"  Code      [a-z2-9]{4}-[a-z2-9]{4}-[a-z2-9]{4}", code)
    assert stop == "Press Ctrl-C to stop."
    assert running.answer() == running.address


@pytest.mark.endurance
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
@pytest.mark.parametrize("whole_group", [True, False])
def test_told_to_stop_it_ends_at_once_and_clean(
    begin: Start, number: signal.Signals, whole_group: bool
) -> None:
    running = begin("start", "--port", "8320")
    running.answer()
    if whole_group:  # as the terminal does on Ctrl-C
        os.killpg(running.process.pid, number)
    else:
        running.process.send_signal(number)
    running.wait_until_gone(serving.GRACE_SECONDS - 1)
    assert ended(running) == (0, "Stopped.\n")


@pytest.mark.endurance
def test_killed_it_leaves_no_worker_and_no_port(begin: Start) -> None:
    running = begin("start", "--port", "8330")
    running.answer()
    running.process.kill()
    running.wait_until_gone(serving.GRACE_SECONDS + 2)
    again = begin("start", "--port", "8330")
    assert again.answer() == again.address


@pytest.mark.endurance
def test_a_second_start_on_the_same_port_is_refused(begin: Start) -> None:
    begin("start", "--port", "8340")
    second = begin("start", "--port", "8340")
    assert second.said == ["CommandError: Port 8340 is taken: choose another with --port."]
    assert ended(second)[0] == 1


@pytest.mark.endurance
def test_the_demo_answers_within_five_seconds_when_it_is_built(begin: Start) -> None:
    first = begin("demo", "--port", "8350")
    first.answer()
    took = []
    for _ in range(3):  # the best of three, as other tests share the cores
        stop(first)
        started = time.monotonic()
        first = begin("demo", "--port", "8350")
        first.answer()
        took.append(time.monotonic() - started)
    assert min(took) < 5
    beside = begin("demo", "--port", "8350")
    assert beside.address != first.address
    assert beside.answer().startswith(beside.address)
