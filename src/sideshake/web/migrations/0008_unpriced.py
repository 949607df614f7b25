from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0007_papers"),
    ]

    operations = [
        migrations.AddField(
            model_name="visittext",
            name="unpriced",
            field=models.TextField(null=True),
        ),
    ]
