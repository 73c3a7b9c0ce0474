"""What the whole tree keeps to, read from the files and the models themselves."""

from __future__ import annotations

import ast
import re
import tomllib
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.core.checks import run_checks
from django.core.management import call_command, get_commands
from django.db import models
from importlinter import cli

ROOT = Path(settings.BASE_DIR)
DOCUMENTS = (ROOT / "README.md").read_text() + (ROOT / "DEVELOPERS.md").read_text()
PYTHON = [
    path for room in ("coach", "clients", "content") for path in sorted((ROOT / room).rglob("*.py"))
]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
ROOMS = (
    "coach.today",
    "coach.feeds",
    "coach.diary",
    "content",
    "coach.billing",
    "clients",
    "coach.practice",
)


def test_rooms_import_only_from_rooms_below() -> None:
    assert cli.lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True) == 0


def test_foreign_keys_point_down_as_imports_do() -> None:
    def place(model: type[models.Model]) -> int:
        return next(n for n, room in enumerate(ROOMS) if model.__module__.startswith(room))

    ours = [model for model in apps.get_models() if model.__module__.startswith(ROOMS)]
    upward = [
        f"{model._meta.label}.{field.name}"
        for model in ours
        for field in model._meta.get_fields()
        if field.is_relation and field.concrete and field.related_model in ours
        if place(field.related_model) < place(model)
    ]
    assert len(ours) > 10
    assert upward == []


def test_no_field_reads_the_clock_by_itself() -> None:
    assert [
        field
        for model in apps.get_models()
        if model.__module__.startswith(ROOMS)
        for field in model._meta.get_fields()
        if getattr(field, "auto_now", False) or getattr(field, "auto_now_add", False)
    ] == []


def test_no_template_has_script_or_style_in_it() -> None:
    inline = re.compile(r"<script(?![^>]*\bsrc=)|<style|\sstyle=|\son[a-z]+=|javascript:", re.I)
    tag = re.compile(r"{%.*?%}")  # what a template is told is no attribute of the page
    pages = {path.name: tag.sub("", path.read_text()) for path in TEMPLATES}
    assert [name for name, text in pages.items() if inline.search(text)] == []


def test_no_template_loads_from_elsewhere_or_marks_text_as_safe() -> None:
    elsewhere = re.compile(r"""(src|href|action)=["'](https?:)?//|\|safe\b|autoescape off""")
    assert [path.name for path in TEMPLATES if elsewhere.search(path.read_text())] == []


def test_views_write_nothing() -> None:
    views = [path for path in PYTHON if "views" in path.parts or path.name == "views.py"]
    writing = re.compile(r"\.(save|create|update|delete|bulk_create|get_or_create)\(")
    assert len(views) > 8
    assert [path.name for path in views if writing.search(path.read_text())] == []


def test_public_functions_of_rules_say_what_they_do() -> None:
    silent = [
        f"{path.relative_to(ROOT)}:{node.name}"
        for path in PYTHON
        if "rules" in path.parts or "scheduling" in path.parts
        for node in ast.parse(path.read_text()).body
        if isinstance(node, ast.FunctionDef)
        if not node.name.startswith("_") and not ast.get_docstring(node)
    ]
    assert silent == []


def test_functions_and_files_stay_short() -> None:
    long_functions = [
        f"{path.relative_to(ROOT)}:{node.name}"
        for path in PYTHON
        if "migrations" not in path.parts
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef)
        if (node.end_lineno or 0) - node.lineno + 1 > 50
    ]
    long_files = [
        str(path.relative_to(ROOT))
        for path in [*PYTHON, *sorted((ROOT / "tests").rglob("*.py"))]
        if len(path.read_text().splitlines()) > 400
    ]
    assert (long_functions, long_files) == ([], [])


def test_every_environment_variable_is_documented() -> None:
    named = {
        name
        for path in [*PYTHON, ROOT / "manage.py"]
        for name in re.findall(r"""["'](COACH_[A-Z_]+|DATABASE_URL)["']""", path.read_text())
    }
    assert "COACH_VAR" in named
    assert sorted(name for name in named if f"`{name}`" not in DOCUMENTS) == []


def test_every_command_of_ours_is_documented() -> None:
    ours = [name for name, app in get_commands().items() if str(app).startswith("coach")]
    assert "demo" in ours
    assert [name for name in ours if f"manage.py {name}" not in DOCUMENTS] == []


def test_every_dependency_is_documented() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    names = [re.split(r"[\[<>= ]", line)[0] for line in wanted]
    assert [name for name in names if name not in DOCUMENTS] == []


def test_the_role_table_in_the_guide_is_the_one_in_the_code() -> None:
    from coach.practice.permissions import TABLE, Fact

    words = ("–", "sees", "changes")
    rows = [
        f"| {role} | {' | '.join(words[facts[fact]] for fact in Fact)} |"
        for role, facts in TABLE.items()
    ]
    header = f"| role | {' | '.join(Fact)} |"
    assert [line for line in (header, *rows) if line not in DOCUMENTS] == []


@pytest.mark.parametrize("lock", ["requirements.lock", "requirements-test.lock"])
def test_locks_hold_exact_versions_with_hashes_and_no_place_of_this_machine(lock: str) -> None:
    text = (ROOT / "coach" / lock).read_text()
    blocks = re.findall(r"^\S.*(?:\n    .*)*", text, re.M)
    pinned = [block for block in blocks if re.match(r"[a-z0-9-]+==", block)]
    assert len(pinned) > 20
    assert [block for block in pinned if "--hash=sha256:" not in block] == []
    assert re.findall(r"https?://|file:|/work|/home", text) == []


def test_no_migration_is_missing(db: None) -> None:
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_system_checks_find_nothing() -> None:
    assert run_checks() == []


def test_top_level_holds_only_what_it_should() -> None:
    wanted = {
        "README.md", "DEVELOPERS.md", "manage.py", "pyproject.toml", "coach", "clients",
        "content", "templates", "tests",
    }  # fmt: skip
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found - wanted <= {"var"}
    assert wanted - found == set()
