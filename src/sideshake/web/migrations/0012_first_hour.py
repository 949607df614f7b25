from typing import Any

from django.db import migrations, models


def leave_those_at_home_alone(apps: Any, _editor: Any) -> None:
    """Give no hints where visits have been kept already."""
    if apps.get_model("bench", "Visit").objects.exists():
        apps.get_model("bench", "Workshop").objects.update(hints=False)


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0010_owner_data"),
    ]

    operations = [
        migrations.AddField(
            model_name="workshop",
            name="hours_a_week",
            field=models.DecimalField(
                decimal_places=1,
                default=30,
                help_text=("at the bench, of all who work here; tells how many weeks the work is"),
                max_digits=4,
                verbose_name="hours of work in a week",
            ),
        ),
        migrations.AddField(
            model_name="workshop",
            name="hints",
            field=models.BooleanField(default=True, verbose_name="hints at the first visit"),
        ),
        migrations.RunPython(leave_those_at_home_alone, migrations.RunPython.noop),
    ]
