from django.db import migrations


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0009_sealed_password'),
    ]

    operations = [
        migrations.RemoveField(model_name='person', name='notify_url'),
    ]
