from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("waits", "0003_seen")]

    operations = [
        migrations.RemoveConstraint(model_name="clock", name="one_clock"),
        migrations.RenameField(model_name="clock", old_name="own_wait", new_name="way_id"),
        migrations.AddField(
            model_name="clock", name="way", field=models.JSONField(default=list)
        ),
        migrations.AddConstraint(
            model_name="clock",
            constraint=models.UniqueConstraint(
                fields=("place", "response_hash", "stance", "lag_s", "way_id"),
                name="one_clock",
                nulls_distinct=False,
            ),
        ),
        migrations.AddField(
            model_name="wait", name="lag_s", field=models.PositiveIntegerField(default=0)
        ),
        migrations.AddField(
            model_name="leg", name="before", field=models.BooleanField(default=False)
        ),
    ]
