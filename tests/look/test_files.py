"""What holds for every template, for the stylesheet and for the files that are not ours."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
STATIC = ROOT / "coach" / "static"
CSS = (STATIC / "css" / "coach.css").read_text("utf-8")
TONES = ("ink", "ink-2", "accent", "accent-2", "late", "good")
TEXT_AT_LEAST = 4.5  # WCAG 2.2, success criterion 1.4.3, level AA
EDGES_AT_LEAST = 3.0  # WCAG 2.2, success criterion 1.4.11


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda p: str(p.relative_to(ROOT / "templates")))
def test_a_template_has_no_style_and_no_script_of_its_own(path: Path) -> None:
    # What a template is told in a tag of its own is no attribute of the page.
    text = re.sub(r"\{%.*?%\}", "", path.read_text("utf-8"))
    assert re.findall(r"<style|\sstyle\s*=|\son[a-z]+\s*=|hx-on|javascript:", text) == []
    assert re.findall(r"<script(?![^>]*\ssrc=)", text) == []


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda p: str(p.relative_to(ROOT / "templates")))
def test_what_is_read_has_curly_apostrophes(path: Path) -> None:
    text = re.sub(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", "", path.read_text("utf-8"), flags=re.S)
    assert re.findall(r"\w'\w", re.sub(r"<[^>]*>", "", text)) == []


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """The contrast ratio of WCAG 2.2: 1 to 21."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def themes() -> dict[str, dict[str, str]]:
    """The colours of the light and of the dark page, from the stylesheet."""
    blocks = re.findall(r":root \{(.*?)\}", CSS, flags=re.S)
    light, dark = ({n: c for n, c in re.findall(r"--([\w-]+): (#\w{6})", b)} for b in blocks[:2])
    return {"light": light, "dark": dark}


def test_the_measure_agrees_with_its_known_values() -> None:
    # WCAG 2.2: black on white is 21:1. #767676 on white is the well-known grey just over 4.5.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("tone", TONES)
@pytest.mark.parametrize("ground", ["paper", "paper-2"])
def test_every_ink_can_be_read_on_every_paper(theme: str, tone: str, ground: str) -> None:
    colours = themes()[theme]
    assert contrast(colours[tone], colours[ground]) >= TEXT_AT_LEAST


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_line_under_a_field_can_be_seen(theme: str) -> None:
    colours = themes()[theme]
    assert contrast(colours["ink"], colours["paper-2"]) >= EDGES_AT_LEAST


def test_the_stylesheet_reaches_for_nothing_outside() -> None:
    assert re.findall(r"https?:|@import|url\((?!\"\.\./fonts/)", CSS) == []


def test_every_font_that_the_stylesheet_names_is_there() -> None:
    named = set(re.findall(r"\.\./fonts/([\w-]+\.woff2)", CSS))
    assert named == {path.name for path in (STATIC / "fonts").glob("*.woff2")}


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def test_the_files_that_are_not_ours_are_the_ones_listed() -> None:
    listed = dict(
        re.findall(
            r"^\| (\S+\.(?:woff2|js)) \| ([0-9a-f]{64}) \|$",
            (STATIC / "VENDORED.md").read_text("utf-8"),
            flags=re.M,
        )
    )
    there = [*(STATIC / "fonts").glob("*.woff2"), *(STATIC / "js" / "vendor").glob("*.js")]
    assert listed == {str(path.relative_to(STATIC)): digest(path) for path in there}


def test_the_accessibility_checker_is_the_one_listed() -> None:
    folder = ROOT / "tests" / "browser" / "vendor"
    assert digest(folder / "axe.min.js") in (folder / "VENDORED.md").read_text("utf-8")
