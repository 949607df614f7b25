"""A finding can be the cause of what the owner told."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0018_invoice_words"),
    ]

    operations = [
        migrations.AddField(
            model_name="finding",
            name="is_cause",
            field=models.BooleanField(
                default=False, verbose_name="the cause of what the owner told us"
            ),
        ),
    ]
