"""A clone with a lock of tiny packages, so that setting it up needs no network."""

from __future__ import annotations

import base64
import ctypes
import hashlib
import os
import shutil
import signal
import subprocess
import sys
import zipfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parent.parent.parent
BASE_PYTHON = str(getattr(sys, "_base_executable", sys.executable))
# Numbers from linux/prctl.h and linux/capability.h.
PR_CAPBSET_DROP, CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH = 24, 1, 2
ENTRY = """
import sys
from importlib import metadata

def run(argv):
    print(sys.prefix, argv[1:], metadata.version("tiny"), sep="|")
"""


def build_wheel(folder: Path, name: str, version: str) -> str:
    """Write the smallest wheel there is (PEP 427); its SHA-256 for a lock."""
    info = f"{name}-{version}.dist-info"
    contents = {
        f"{name}.py": f"VERSION = {version!r}\n",
        f"{info}/METADATA": f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nGenerator: a test\nRoot-Is-Purelib: true\n"
        "Tag: py3-none-any\n",
    }
    rows = [
        f"{path},sha256={_digest(text)},{len(text.encode())}" for path, text in contents.items()
    ]
    contents[f"{info}/RECORD"] = "\n".join([*rows, f"{info}/RECORD,,", ""])
    wheel = folder / f"{name}-{version}-py3-none-any.whl"
    with zipfile.ZipFile(wheel, "w") as archive:
        for path, text in contents.items():
            archive.writestr(path, text)
    return hashlib.sha256(wheel.read_bytes()).hexdigest()


def _digest(text: str) -> str:
    raw = hashlib.sha256(text.encode()).digest()
    return base64.urlsafe_b64encode(raw).rstrip(b"=").decode()


def obey_modes() -> None:
    """Root may write anywhere; this gives that up for the program started next."""
    if os.geteuid() == 0:
        for capability in (CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH):
            ctypes.CDLL(None).prctl(PR_CAPBSET_DROP, capability, 0, 0, 0)


@dataclass
class Clone:
    """A project folder as it comes, without .venv."""

    root: Path
    wheels: Path
    more: dict[str, str] = field(default_factory=dict)
    python: str = BASE_PYTHON

    @property
    def environment(self) -> Path:
        return self.root / ".venv"

    @property
    def stamp(self) -> Path:
        return self.environment / ".complete"

    def lock(self, *, plain: dict[str, str], test: dict[str, str] | None = None) -> None:
        for name, packages in (("", plain), ("-test", plain | (test or {}))):
            lines = [self._pinned(package, version) for package, version in packages.items()]
            (self.root / f"coach/requirements{name}.lock").write_text("".join(lines))

    def _pinned(self, package: str, version: str) -> str:
        digest = build_wheel(self.wheels, package, version)
        return f"{package}=={version} ; python_version >= '3.11' \\\n    --hash=sha256:{digest}\n"

    def variables(self) -> dict[str, str]:
        bare = {k: v for k, v in os.environ.items() if not k.startswith(("PIP_", "PYTHON"))}
        offline = {"PIP_NO_INDEX": "1", "PIP_FIND_LINKS": str(self.wheels)}
        return bare | offline | {"PIP_CONFIG_FILE": os.devnull} | self.more

    def start(
        self, *arguments: str, python: str = BASE_PYTHON, as_one_who_obeys_modes: bool = False
    ) -> subprocess.Popen[str]:
        def as_in_a_window() -> None:
            # Started in the background, a shell has its children ignore Ctrl-C, and they theirs.
            signal.signal(signal.SIGINT, signal.default_int_handler)
            if as_one_who_obeys_modes:
                obey_modes()

        return subprocess.Popen(
            [python, "manage.py", *arguments],
            preexec_fn=as_in_a_window,
            cwd=self.root,
            env=self.variables(),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    def run(self, *arguments: str, **options: Any) -> tuple[int, str, str]:
        process = self.start(*arguments, **options)
        said, complained = process.communicate(timeout=120)
        return process.returncode, said.strip(), complained.strip()


@pytest.fixture
def clone(tmp_path: Path) -> Clone:
    clone = Clone(root=tmp_path / "clone", wheels=tmp_path / "wheels")
    clone.wheels.mkdir()
    (clone.root / "coach/management").mkdir(parents=True)
    for name in ("manage.py", "coach/__init__.py", "coach/bootstrap.py"):
        shutil.copy(ROOT / name, clone.root / name)
    (clone.root / "coach/management/__init__.py").touch()
    (clone.root / "coach/management/entry.py").write_text(ENTRY)
    clone.lock(plain={"tiny": "1.0"}, test={"tool": "3.0"})
    return clone
