"""A price says its currency: none is taken for granted. Prices of before keep the one they had."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("registry", "0039_currency_of_settlements_and_repairs")]

    operations = [
        migrations.AlterField(
            model_name="price",
            name="currency",
            field=models.CharField(max_length=8, verbose_name="currency"),
        ),
        migrations.AddConstraint(
            model_name="price",
            constraint=models.CheckConstraint(
                name="price_says_its_currency", condition=~models.Q(currency="")
            ),
        ),
    ]
