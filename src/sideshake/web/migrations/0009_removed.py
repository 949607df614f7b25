import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0008_unpriced"),
    ]

    operations = [
        migrations.CreateModel(
            name="Removed",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(auto_now_add=True, verbose_name="removed at")),
                ("kind", models.CharField(max_length=40)),
                ("what", models.CharField(max_length=200, verbose_name="what was removed")),
                ("held", models.TextField()),
                (
                    "by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "visit",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="removed",
                        to="bench.visit",
                    ),
                ),
            ],
            options={"verbose_name": "removed thing", "ordering": ("-at", "-id")},
        ),
    ]
