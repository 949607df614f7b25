"""The workshop's own calibres become records."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0016_withdrawal_words"),
    ]

    operations = [
        migrations.CreateModel(
            name="Calibre",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1, editable=False)),
                ("name", models.CharField(max_length=80, unique=True, verbose_name="name")),
                ("sheet", models.TextField(verbose_name="sheet")),
                ("note", models.TextField(blank=True, verbose_name="remarks")),
            ],
            options={"ordering": ("name",)},
        ),
    ]
