"""What is on a PDF, read by poppler: words, pages, what reaches over its margins."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

_WORD = r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>'
_FEWEST_WORDS = 80  # fewer, and it is not the page that was meant


def tool(name: str, pdf: bytes, folder: Path, *options: str) -> str:
    """What one of poppler's programs says of it."""
    file = folder / "paper.pdf"
    file.write_bytes(pdf)
    ends = ["-"] if name == "pdftotext" else []
    done = subprocess.run([name, *options, str(file), *ends], capture_output=True, check=True)
    return done.stdout.decode()


def text_of(pdf: bytes, folder: Path, order: str = "-layout") -> str:
    """Its words, single spaces between."""
    return " ".join(tool("pdftotext", pdf, folder, order).split())


def pages(pdf: bytes, folder: Path) -> int:
    """How many it has."""
    found = re.search(r"Pages:\s+(\d+)", tool("pdfinfo", pdf, folder))
    assert found
    return int(found[1])


def outside(pdf: bytes, folder: Path, *, left: float) -> list[str]:
    """Words that reach over an edge of A4's margins, in points; `left`: where the paper begins."""
    words = re.findall(_WORD, tool("pdftotext", pdf, folder, "-bbox"))
    assert len(words) > _FEWEST_WORDS
    return [
        word for x, top, right, bottom, word in words
        if float(x) < left or float(right) > 539.5 or float(top) < 40 or float(bottom) > 820
    ]  # fmt: skip
