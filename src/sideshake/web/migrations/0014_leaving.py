from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0013_rights"),
    ]

    operations = [
        migrations.CreateModel(
            name="Leaving",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("names", models.JSONField(default=list)),
            ],
            options={"verbose_name": "files to be deleted", "ordering": ("id",)},
        ),
    ]
