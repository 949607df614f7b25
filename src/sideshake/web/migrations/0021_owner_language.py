"""In which language an owner's papers are written."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("bench", "0020_measured_with")]

    operations = [
        migrations.AddField(
            model_name="owner",
            name="language",
            field=models.CharField(
                choices=[("en", "English"), ("de", "Deutsch"), ("fr", "français")],
                default="en",
                help_text="the language of his papers",
                max_length=2,
                verbose_name="is written to in",
            ),
        ),
    ]
