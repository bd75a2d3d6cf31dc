"""Records of every earlier form are brought in step, with rows in them, and none is lost.

Each form is reached by going back from the newest, with a workshop's rows there; whatever a newer
form has more is taken away on the way back, as it had not been yet.
"""

from collections.abc import Iterator

import pytest
from django.apps import apps
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader
from django.test.utils import CaptureQueriesContext

from cureclock.shop.models import BrokerVersion, Event, Place, Reading, Workshop
from cureclock.shop.sealing import unsealed
from cureclock.waits.rebuild import differences, rebuild
from tests.cast import Cast, when
from tests.intake.whole_shop import whole_shop

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]
APPS = ("shop", "waits", "planner", "reminders", "exports")
KEPT = (Workshop, Place, Reading, Event)  # what every form has had


def forms() -> list[tuple[str, str]]:
    """Every earlier form of every app, the newest left out."""
    loader = MigrationLoader(None)
    newest = set(loader.graph.leaf_nodes())
    return sorted(key for key in loader.graph.nodes if key[0] in APPS and key not in newest)


def newest() -> list[tuple[str, str]]:
    return list(MigrationLoader(None).graph.leaf_nodes())


def bring_to(targets: list[tuple[str, str]]) -> None:
    executor = MigrationExecutor(connection)
    executor.migrate(targets)


@pytest.fixture(autouse=True)
def as_before() -> Iterator[None]:
    yield
    bring_to(newest())


def rows() -> dict[str, set[str]]:
    return {
        one.__name__: {str(pk) for pk in one.objects.values_list("pk", flat=True)} for one in KEPT
    }


def there_and_back(form: tuple[str, str]) -> None:
    """To an earlier form with rows in it, and forward again."""
    cast = whole_shop()
    before = rows()
    bring_to([form])
    executor = MigrationExecutor(connection)
    assert executor.migration_plan(newest())  # something is left to be done
    bring_to(newest())
    assert rows() == before
    rebuild(cast.workshop, when("Tue 12:00"))
    assert differences(cast.workshop, when("Tue 12:00")) == []
    for model in apps.get_models():
        if model._meta.app_label in APPS:
            list(model._base_manager.all()[:3])  # every column is there


def sampled() -> list[tuple[str, str]]:
    """For each app the form before the newest, on PostgreSQL one of them; the long run has all."""
    before = dict(forms())
    return list(before.items()) if connection.vendor == "sqlite" else [("shop", before["shop"])]


@pytest.mark.parametrize("form", sampled(), ids=" ".join)
def test_records_of_the_form_before_come_in_step(form: tuple[str, str]) -> None:
    there_and_back(form)


@pytest.mark.long
@pytest.mark.parametrize("form", [one for one in forms() if one not in sampled()], ids=" ".join)
def test_records_of_every_earlier_form_come_in_step(form: tuple[str, str]) -> None:
    there_and_back(form)


def test_a_password_kept_in_clear_by_an_older_program_is_sealed() -> None:
    cast = Cast.open()
    cast.do("broker_told", "Mon 08:00", host="broker.lan", username="shed", password="knot")
    bring_to([("shop", "0008_one_index_of_place")])
    with connection.cursor() as cursor:
        cursor.execute("SELECT password FROM shop_brokerversion")
        assert cursor.fetchall() == [("knot",)]
    bring_to(newest())
    password = BrokerVersion.objects.get().password
    assert "knot" not in password
    assert unsealed(password) == "knot"


def test_nothing_is_done_where_all_is_in_step() -> None:
    with CaptureQueriesContext(connection) as caught:
        bring_to(newest())
    written = [one for one in caught.captured_queries if one["sql"].startswith(("ALTER", "CREATE"))]
    assert written == []
