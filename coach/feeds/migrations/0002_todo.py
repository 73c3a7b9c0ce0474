"""A second kind of feed: what is to be done for clients."""

from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("feeds", "0001_initial")]

    operations = [
        migrations.RemoveConstraint(model_name="feedaddress", name="feed_address_kind_known"),
        migrations.AlterField(
            model_name="feedaddress",
            name="kind",
            field=models.CharField(
                choices=[("uploads", "uploads"), ("todo", "to do")], max_length=20
            ),
        ),
        migrations.AddConstraint(
            model_name="feedaddress",
            constraint=models.CheckConstraint(
                condition=models.Q(("kind__in", ["uploads", "todo"])),
                name="feed_address_kind_known",
            ),
        ),
    ]
