"""A wished jewel has a material, a colour, the form of its hole and an oil sink or none."""

from typing import Any

from django.db import migrations, models

NAMES = ("phosphor bronze", "half-hard brass", "hard brass", "nickel silver", "steel")
"""Materials that the words of a wish could name before they had a column."""


def read_from_words(apps: Any, _schema: Any) -> None:
    """Keep what was told in words until now; whatever was not told has its usual value."""
    for wish in apps.get_model("bench", "outwork").objects.filter(jewel=True):
        named = [each for each in NAMES if each in wish.what.lower()]
        wish.material = named[0] if named else wish.material
        wish.sink = "no oil sink" not in f"{wish.what} {wish.note}".lower()
        wish.save(update_fields=("material", "sink"))
    apps.get_model("bench", "jewelorder").objects.update(packing="")


class Migration(migrations.Migration):
    dependencies = [
        ("bench", "0004_said_watch"),
    ]

    operations = [
        migrations.AddField(
            model_name="jewelorder",
            name="ask",
            field=models.CharField(blank=True, max_length=120, verbose_name="whom the maker asks"),
        ),
        migrations.AddField(
            model_name="jewelorder",
            name="packing",
            field=models.CharField(
                blank=True,
                default="Each part number by itself in a closed box or paper, marked with order and part number; all in a hard parcel, insured.",
                max_length=200,
                verbose_name="how they are packed",
            ),
        ),
        migrations.AddField(
            model_name="jewelorder",
            name="wanted_on",
            field=models.DateField(blank=True, null=True, verbose_name="wanted by"),
        ),
        migrations.AddField(
            model_name="outwork",
            name="bore",
            field=models.CharField(
                blank=True,
                choices=[("straight", "straight"), ("olive", "olive")],
                default="straight",
                max_length=8,
                verbose_name="hole is",
            ),
        ),
        migrations.AddField(
            model_name="outwork",
            name="colour",
            field=models.CharField(
                blank=True, default="red", max_length=30, verbose_name="colour of a ruby"
            ),
        ),
        migrations.AddField(
            model_name="outwork",
            name="material",
            field=models.CharField(
                blank=True,
                choices=[
                    ("ruby", "ruby"),
                    ("half-hard brass", "half-hard brass"),
                    ("hard brass", "hard brass"),
                    ("nickel silver", "nickel silver"),
                    ("phosphor bronze", "phosphor bronze"),
                    ("steel", "steel"),
                ],
                default="ruby",
                max_length=30,
                verbose_name="material",
            ),
        ),
        migrations.AddField(
            model_name="outwork",
            name="sink",
            field=models.BooleanField(default=True, verbose_name="with an oil sink"),
        ),
        migrations.AlterField(
            model_name="jewelorder",
            name="note",
            field=models.CharField(blank=True, max_length=200, verbose_name="note for us"),
        ),
        migrations.RunPython(read_from_words, migrations.RunPython.noop),
    ]
