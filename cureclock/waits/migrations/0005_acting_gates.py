from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("waits", "0004_wood_lags")]

    operations = [
        migrations.AddIndex(
            model_name="gate",
            index=models.Index(
                condition=models.Q(hurts=False),
                fields=["act_clock", "state", "act_us"],
                name="gate_acts",
            ),
        ),
        migrations.RemoveIndex(model_name="gate", name="waits_gate_act_clo_f55b6a_idx"),
    ]
