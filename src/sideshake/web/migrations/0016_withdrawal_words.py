"""The right of withdrawal says from when its 14 days count (Directive 2011/83/EU, 9 and 13)."""

from typing import Any

from django.db import migrations, models

BEFORE = (
    "You may withdraw from this contract within 14 days without giving a reason, by a clear "
    "statement to us by letter, email or telephone; it is enough to send it before the 14 days are "
    "over. We then pay back what you paid within 14 days. If you asked us to begin within that "
    "time, you pay for the part of the work that was done until then; once the whole work is done "
    "at your express wish, the right ends."
)
NOW = (
    "You may withdraw from this contract within 14 days of the day on which it was made, without "
    "giving a reason, by a clear statement to us by letter, email or telephone; it is enough to "
    "send it before the 14 days are over. We then pay back what you paid, within 14 days of "
    "hearing from you. If you asked us to begin within that time, you pay for the part of the work "
    "that was done until then; once the whole work is done at your express wish, the right ends."
)


def say_from_when(apps: Any, _schema: Any) -> None:
    """Change the words where a workshop left them as they were given."""
    workshops = apps.get_model("bench", "Workshop").objects
    workshops.filter(withdrawal_words=BEFORE).update(withdrawal_words=NOW)


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0015_photo_sizes"),
    ]

    operations = [
        migrations.AlterField(
            model_name="workshop",
            name="withdrawal_words",
            field=models.TextField(blank=True, default=NOW, verbose_name="right of withdrawal"),
        ),
        migrations.RunPython(say_from_when, migrations.RunPython.noop),
    ]
