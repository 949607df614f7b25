import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0009_removed"),
    ]

    operations = [
        migrations.CreateModel(
            name="TakingIn",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("file", models.CharField(max_length=200)),
                ("host", models.CharField(max_length=200)),
                ("beat_at", models.DateTimeField()),
            ],
        ),
        migrations.AddField(
            model_name="owner",
            name="erased_on",
            field=models.DateField(blank=True, editable=False, null=True, verbose_name="erased on"),
        ),
        migrations.AddField(
            model_name="workshop",
            name="keep_years",
            field=models.PositiveIntegerField(
                default=10,
                help_text="after the end of their year, when an owner is erased; check your local law",
                verbose_name="invoices and payments are kept, years",
            ),
        ),
        migrations.CreateModel(
            name="TakenIn",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("owners", models.JSONField(default=list)),
                ("watches", models.JSONField(default=list)),
                (
                    "taking",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="parts",
                        to="bench.takingin",
                    ),
                ),
            ],
        ),
    ]
