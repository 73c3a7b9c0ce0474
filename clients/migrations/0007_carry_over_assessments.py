import uuid
from typing import Any

from django.db import migrations

_SITES = {
    "above_mm": "width-above45-rest",
    "at_mm": "width-navel-rest",
    "below_mm": "width-below45-rest",
}


def carry_over(apps: Any, schema_editor: Any) -> None:
    """Every assessment so far was finished; its values get their codes, and a key of its own.

    With what a width was measured and how she lay was not kept: both stay not known.
    """
    for row in apps.get_model("clients", "Assessment").objects.order_by("pk").iterator():
        row.measures = {_SITES.get(name, name): value for name, value in row.measures.items()}
        row.who = "client" if row.how == "herself" else "coach"
        row.key = uuid.uuid4()
        row.finished_at = row.created_at
        row.save()


def carry_back(apps: Any, schema_editor: Any) -> None:
    """What the earlier tables can hold; an assessment that is not finished cannot be among it."""
    names = {code: name for name, code in _SITES.items()}
    known = {*names, "doming", "leaking", "heaviness", "effort", "note"}
    rows = apps.get_model("clients", "Assessment").objects
    for row in rows.order_by("pk").iterator():
        if row.finished_at is None or row.withdrawn_on is not None:
            row.delete()
            continue
        row.measures = {names.get(k, k): v for k, v in row.measures.items() if k in known}
        row.how = "herself" if row.who == "client" else "in-person"
        row.save()


class Migration(migrations.Migration):

    dependencies = [
        ('clients', '0006_assessments'),
    ]

    operations = [
        migrations.RunPython(carry_over, carry_back),
    ]
