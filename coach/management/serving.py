"""Serves the site with Granian, on a port that nothing else listens on."""

from __future__ import annotations

import atexit
import errno
import multiprocessing
import os
import signal
import socket
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from multiprocessing import resource_tracker
from typing import Any

from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection, connections
from django.utils.module_loading import import_string
from granian.constants import Interfaces
from granian.log import LogLevels
from granian.net import SocketHolder
from granian.server.mp import MPServer

LOOPBACK = "127.0.0.1"
FIRST_PORT = 8000
PORTS_TRIED = 100
LAST_PORT = 65_535
BACKLOG = 1024
GRACE_SECONDS = 5  # for requests under way when the server is told to stop


def collect_static_files() -> None:
    """Gather the static files under names with a digest, which every page then asks for."""
    call_command("collectstatic", interactive=False, verbosity=0)


def listen(host: str, port: int, *, tries: int = 1) -> socket.socket:
    """A socket that alone listens on `port`, or on the next free one within `tries`.

    CommandError, in words, when there is none or the address cannot be had.
    """
    for candidate in range(port, min(port + tries, LAST_PORT + 1)):
        try:
            return _bound(host, candidate)
        except OSError as error:
            if error.errno != errno.EADDRINUSE:
                raise CommandError(f"Cannot serve on {host}:{candidate} ({error}).") from None
    more = f" and so are the {tries - 1} after it" if tries > 1 else ""
    raise CommandError(f"Port {port} is taken{more}: choose another with --port.")


def _bound(host: str, port: int) -> socket.socket:
    kind, _, _, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    found = socket.socket(kind, socket.SOCK_STREAM)
    try:
        # On POSIX this passes over connections that are still closing, never over a listener;
        # Windows would let two listen.
        if os.name == "posix":
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind(address)
        found.listen(BACKLOG)
    except OSError:
        found.close()
        raise
    found.setblocking(False)
    return found


def address(listening: socket.socket) -> str:
    """Where a browser finds the site, ending in a slash."""
    if settings.TLS:
        return f"https://{settings.ALLOWED_HOSTS[0]}/"
    host, port = listening.getsockname()[:2]
    if host in {"0.0.0.0", "::"}:  # noqa: S104 - compared, not bound
        host = "localhost"
    return f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"


def worker_count() -> int:
    """One on SQLite, which has one writer at a time anyway; several on PostgreSQL."""
    if connection.vendor == "sqlite":
        return 1
    return min(4, max(2, os.cpu_count() or 1))


def serve(listening: socket.socket) -> None:
    """Serve until Ctrl-C or SIGTERM; SystemExit with 1 when the workers keep failing."""
    connections.close_all()  # a worker opens its own
    multiprocessing.set_start_method("spawn", force=True)
    host, port = listening.getsockname()[:2]
    _Server(
        listening,
        target="coach.wsgi.application",
        address=host,
        port=port,
        interface=Interfaces.WSGI,
        workers=worker_count(),
        blocking_threads=2 * (os.cpu_count() or 1) + 1,  # the most it takes without a warning
        log_level=LogLevels.error,
        respawn_failed_workers=True,
        workers_kill_timeout=GRACE_SECONDS,
    ).serve(target_loader=_application)


class _Server(MPServer):  # type: ignore[misc]  # the library brings no types for it
    """Hands its workers a socket that is already listening.

    The one it would make itself lets another server listen on the same port unnoticed.
    """

    def __init__(self, listening: socket.socket, **options: Any) -> None:
        super().__init__(**options)
        self._listening = listening

    def _init_shared_socket(self) -> None:
        if os.name != "posix":  # there the library's own socket shares with nobody
            self._listening.close()
            super()._init_shared_socket()
            return
        self._sso = self._listening
        self._sfd = self._sso.fileno()
        self._shd = SocketHolder(self._sfd, False, BACKLOG)  # the socket's number, not a file's

    def _spawn_workers(self, *args: Any) -> None:
        with _interrupts_held():
            super()._spawn_workers(*args)

    def _respawn_workers(self, *args: Any, **options: Any) -> None:
        with _interrupts_held():
            super()._respawn_workers(*args, **options)


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Keep Ctrl-C from the workers started meanwhile, and from this process for that long.

    The terminal sends it to all; a worker that is then told to end as well does not.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    resource_tracker.ensure_running()  # now, because its own start lets interrupts through again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _application(target: str) -> Callable[..., Any]:
    """Called in each worker."""
    threading.Thread(target=_end_with_parent, daemon=True).start()
    atexit.register(_end_at_once)
    found: Callable[..., Any] = import_string(target)
    return found


def _end_at_once() -> None:
    """The server's threads may still ask for the interpreter; taking it apart would abort them."""
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(0)


def _end_with_parent() -> None:
    """A worker whose parent was killed would go on serving, and keep the port."""
    parent = multiprocessing.parent_process()
    if parent:
        parent.join()
        os.kill(os.getpid(), signal.SIGTERM)
        time.sleep(GRACE_SECONDS)
        os._exit(1)
