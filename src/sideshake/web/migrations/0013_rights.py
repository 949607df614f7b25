from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0012_first_hour"),
    ]

    operations = [
        migrations.AddField(
            model_name="proposal",
            name="guarantee",
            field=models.BooleanField(default=False, verbose_name="print the statutory guarantee"),
        ),
        migrations.AddField(
            model_name="proposal",
            name="rights",
            field=models.TextField(blank=True, default="", verbose_name="the customer's rights"),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="proposal",
            name="withdrawal",
            field=models.BooleanField(default=False, verbose_name="print the right of withdrawal"),
        ),
        migrations.AddField(
            model_name="workshop",
            name="guarantee",
            field=models.BooleanField(
                default=False, verbose_name="print the statutory guarantee, usually"
            ),
        ),
        migrations.AddField(
            model_name="workshop",
            name="withdrawal",
            field=models.BooleanField(
                default=False, verbose_name="print the right of withdrawal, usually"
            ),
        ),
    ]
