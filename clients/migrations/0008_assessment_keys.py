import uuid

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('clients', '0007_carry_over_assessments'),
    ]

    operations = [
        migrations.AlterField(
            model_name='assessment',
            name='key',
            field=models.UUIDField(default=uuid.uuid4, editable=False, unique=True),
        ),
        migrations.RemoveField(
            model_name='assessment',
            name='how',
        ),
    ]
