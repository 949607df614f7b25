import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0001_records"),
    ]

    operations = [
        migrations.AddField(
            model_name="reading",
            name="heard_from_s",
            field=models.FloatField(default=0.0),
        ),
        migrations.AddField(
            model_name="reading",
            name="heard_until_s",
            field=models.FloatField(null=True),
        ),
        migrations.AddField(
            model_name="reading",
            name="rate_alone_u_s_per_day",
            field=models.FloatField(null=True),
        ),
        migrations.AddField(
            model_name="reading",
            name="recorder",
            field=models.CharField(blank=True, max_length=120, verbose_name="microphone"),
        ),
        migrations.AddField(
            model_name="visit",
            name="date_change_from",
            field=models.TimeField(blank=True, null=True, verbose_name="date begins to move at"),
        ),
        migrations.AddField(
            model_name="visit",
            name="date_change_until",
            field=models.TimeField(blank=True, null=True, verbose_name="date has moved at"),
        ),
        migrations.AddField(
            model_name="visit",
            name="show_agreed_how",
            field=models.CharField(blank=True, max_length=200, verbose_name="how the owner agreed"),
        ),
        migrations.AddField(
            model_name="visit",
            name="show_agreed_on",
            field=models.DateField(
                blank=True, null=True, verbose_name="owner agreed to show it on"
            ),
        ),
        migrations.AddField(
            model_name="workshop",
            name="invoice_words",
            field=models.TextField(blank=True, verbose_name="last words of the invoice"),
        ),
        migrations.AddField(
            model_name="workshop",
            name="logo",
            field=models.CharField(blank=True, max_length=90),
        ),
        migrations.AddField(
            model_name="workshop",
            name="paper",
            field=models.CharField(
                choices=[("a4", "A4"), ("us-letter", "US Letter")],
                default="a4",
                max_length=9,
                verbose_name="paper",
            ),
        ),
        migrations.AddField(
            model_name="workshop",
            name="proposal_words",
            field=models.TextField(blank=True, verbose_name="how to answer a proposal"),
        ),
        migrations.AddField(
            model_name="workshop",
            name="report_words",
            field=models.TextField(blank=True, verbose_name="last words of the report"),
        ),
        migrations.CreateModel(
            name="Programme",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1, editable=False)),
                (
                    "size",
                    models.CharField(
                        choices=[("large", "over 20 mm"), ("small", "20 mm or less")],
                        max_length=5,
                        verbose_name="movement's diameter",
                    ),
                ),
                ("begun_on", models.DateField(verbose_name="begun on")),
                ("after", models.BooleanField(default=True, verbose_name="after the work")),
                (
                    "state_u_s",
                    models.FloatField(
                        default=0.2, verbose_name="one comparison is right within, s"
                    ),
                ),
                ("states", models.JSONField(default=list)),
                ("ended_on", models.DateField(null=True)),
                ("note", models.CharField(blank=True, max_length=200, verbose_name="note")),
                (
                    "visit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="programmes",
                        to="bench.visit",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
        migrations.CreateModel(
            name="Round",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1, editable=False)),
                (
                    "wound",
                    models.CharField(
                        choices=[
                            ("full", "fully wound"),
                            ("24h", "24 hours after full wind"),
                            ("", "not noted"),
                        ],
                        default="full",
                        max_length=4,
                        verbose_name="wound",
                    ),
                ),
                ("after", models.BooleanField(default=False, verbose_name="after the work")),
                (
                    "lift_angle_deg",
                    models.FloatField(blank=True, null=True, verbose_name="lift angle, degrees"),
                ),
                ("plan", models.JSONField(default=list)),
                (
                    "rest_s",
                    models.PositiveIntegerField(
                        default=15, verbose_name="rest before each, seconds"
                    ),
                ),
                (
                    "least_s",
                    models.PositiveIntegerField(
                        default=30, verbose_name="listen at least, seconds"
                    ),
                ),
                (
                    "most_s",
                    models.PositiveIntegerField(
                        default=120, verbose_name="listen at most, seconds"
                    ),
                ),
                (
                    "wanted_rate_s_per_day",
                    models.FloatField(default=0.5, verbose_name="rate wanted within, s a day"),
                ),
                (
                    "wanted_amplitude_deg",
                    models.FloatField(default=3.0, verbose_name="amplitude wanted within, degrees"),
                ),
                ("begun_at", models.DateTimeField(auto_now_add=True)),
                ("note", models.CharField(blank=True, max_length=200, verbose_name="note")),
                (
                    "visit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="rounds",
                        to="bench.visit",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
        migrations.AddField(
            model_name="reading",
            name="round",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="readings",
                to="bench.round",
            ),
        ),
    ]
