from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0003_ears"),
    ]

    operations = [
        migrations.AddField(
            model_name="reading",
            name="said_watch",
            field=models.BooleanField(default=False, verbose_name="said to be a watch"),
        ),
    ]
