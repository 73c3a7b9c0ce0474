"""“A bit of both” is no preset any more: whoever chose it serves the clients, with the mix as hard."""

from __future__ import annotations

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps


def to_serve(apps: StateApps, _: BaseDatabaseSchemaEditor) -> None:
    wishes = apps.get_model("content", "Wishes")
    wishes.objects.filter(preference="balanced").update(preference="serve")


class Migration(migrations.Migration):
    dependencies = [("content", "0003_plans_and_production")]

    operations = [migrations.RunPython(to_serve, migrations.RunPython.noop)]
