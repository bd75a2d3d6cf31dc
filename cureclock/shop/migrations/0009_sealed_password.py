from django.db import migrations, models

from cureclock.shop.sealing import sealed, unsealed


def seal(apps, _schema_editor):
    for broker in apps.get_model('shop', 'BrokerVersion').objects.exclude(password=''):
        broker.password = sealed(broker.password)
        broker.save(update_fields=['password'])


def unseal(apps, _schema_editor):
    for broker in apps.get_model('shop', 'BrokerVersion').objects.exclude(password=''):
        broker.password = unsealed(broker.password) or ''
        broker.save(update_fields=['password'])


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0008_one_index_of_place'),
    ]

    operations = [
        migrations.AlterField(
            model_name='brokerversion',
            name='password',
            field=models.TextField(blank=True),
        ),
        migrations.RunPython(seal, unseal),
    ]
