"""A measured size tells with which instrument it was read."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0019_cause"),
    ]

    operations = [
        migrations.AddField(
            model_name="measurement",
            name="instrument",
            field=models.CharField(blank=True, max_length=40, verbose_name="measured with"),
        ),
    ]
