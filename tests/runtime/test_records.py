"""The records are kept as the settings promise, in either way of running."""

import threading

import pytest
import redis
from django.conf import settings
from django.contrib.contenttypes.models import ContentType
from django.db import connection, transaction

TAPS, PHONES = 25, 4


@pytest.mark.embedded
@pytest.mark.django_db
@pytest.mark.parametrize(
    ("pragma", "value"), [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1)]
)
def test_sqlite_loses_nothing_when_the_plug_is_pulled(pragma: str, value: object) -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {pragma}")
        assert cursor.fetchone() == (value,)


@pytest.mark.embedded
@pytest.mark.django_db(transaction=True)
def test_taps_from_many_phones_at_once_are_all_kept_and_none_is_told_locked() -> None:
    """Each reads and then writes: without the lock taken first, SQLite refuses some of them."""
    row = ContentType.objects.create(app_label="counted", model="0")
    refused: list[Exception] = []

    def phone() -> None:
        try:
            for _ in range(TAPS):
                with transaction.atomic():
                    seen = ContentType.objects.get(pk=row.pk)
                    seen.model = str(int(seen.model) + 1)
                    seen.save()
        except Exception as told:  # noqa: BLE001 - whatever it was is the finding
            refused.append(told)
        finally:
            connection.close()

    phones = [threading.Thread(target=phone) for _ in range(PHONES)]
    for one in phones:
        one.start()
    for one in phones:
        one.join()
    assert refused == []
    assert ContentType.objects.get(pk=row.pk).model == str(TAPS * PHONES)


@pytest.mark.scaled
@pytest.mark.django_db
def test_real_run_is_on_postgresql_with_a_redis_that_answers() -> None:
    assert connection.vendor == "postgresql"
    with redis.from_url(settings.REDIS_URL) as answering:
        assert answering.ping()
