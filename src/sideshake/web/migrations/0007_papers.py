"""How needed an option is, what it takes the place of, who wrote a proposal, what opens a report.

What was not advised becomes possible; the usual bush instead of a jewel takes the jewel's place.
"""

from typing import Any

from django.conf import settings
from django.db import migrations, models


def say_need(apps: Any, schema: Any) -> None:
    """Turn "we advise it" into one of three words, and tell which option a bush replaces."""
    option = apps.get_model("bench", "Option")
    option.objects.filter(advised=False).update(need="possible")
    for bush in option.objects.filter(key__startswith="bush-").iterator():
        jewel = f"jewel-{bush.key.removeprefix('bush-')}"
        if option.objects.filter(proposal=bush.proposal_id, key=jewel).exists():
            bush.instead_of = jewel
            bush.save(update_fields=["instead_of"])
    if schema.connection.vendor == "postgresql":
        schema.execute("SET CONSTRAINTS ALL IMMEDIATE")  # else the table cannot be altered next


def say_advised(apps: Any, schema: Any) -> None:
    """Go back to two words."""
    apps.get_model("bench", "Option").objects.filter(need="possible").update(advised=False)
    if schema.connection.vendor == "postgresql":
        schema.execute("SET CONSTRAINTS ALL IMMEDIATE")  # else the table cannot be altered next


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0006_money"),
    ]

    operations = [
        migrations.AddField(
            model_name="option",
            name="instead_of",
            field=models.CharField(blank=True, default="", max_length=60),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="option",
            name="need",
            field=models.CharField(
                choices=[
                    ("possible", "possible"),
                    ("advised", "advised"),
                    ("necessary", "necessary"),
                ],
                default="advised",
                max_length=9,
                verbose_name="how needed",
            ),
        ),
        migrations.RunPython(say_need, say_advised),
        migrations.RemoveField(model_name="option", name="advised"),
        migrations.AddField(
            model_name="photograph",
            name="opens_report",
            field=models.BooleanField(default=False, verbose_name="opens the owner's report"),
        ),
        migrations.AddField(
            model_name="proposal",
            name="written_by",
            field=models.ForeignKey(
                null=True,
                on_delete=models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="workshop",
            name="prices_to",
            field=models.DecimalField(
                decimal_places=3,
                default=0,
                help_text=(
                    "such as 1 or 5: suggested prices are rounded up or down to it; 0 leaves them"
                ),
                max_digits=12,
                verbose_name="round prices to",
            ),
        ),
    ]
