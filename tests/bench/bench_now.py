"""The list of now of one workshop with ten thousand open gates, and the whole view of a phone.

Run: python3 manage.py bench --real tests/bench/bench_now.py

First the gates of two glue-ups of a thousand pieces each, done in one go; then the same with each
piece on a threshold of its own, which nothing can be loaded once for.
"""

import time
from collections.abc import Callable
from datetime import UTC, datetime
from statistics import median

import numpy as np
import pytest
from django.db import connection

from cureclock.waits.current import current
from cureclock.waits.foretold import Foresight
from cureclock.waits.groups import group_shown, groups_of
from cureclock.waits.now_list import now_list
from tests import scale
from tests.api.door import paired
from tests.bench.bench_scale import OPEN, open_gates, seconds, template

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.scaled]
LOOKS = 15


def taken(what: str, act: Callable[[], object]) -> float:
    """The 95th in a hundred of looks [ms], printed with what of it is the program's own."""
    act()
    began = time.process_time()
    times = [seconds(act) * 1000 for _ in range(LOOKS)]
    own = (time.process_time() - began) * 1000 / LOOKS
    p95 = float(np.percentile(times, 95))
    print(
        f"\n{what:52} p50 {median(times):5.0f} p95 {p95:5.0f} ms, of a core {own:4.0f} ms", end=""
    )
    return p95


def test_the_list_of_now() -> None:
    cast = template()
    scale.waits_in_one_place(cast, 10_000 // OPEN - 1)
    phone, now = paired(cast), datetime.now(UTC)
    gates = open_gates()

    def look() -> None:
        found = current(cast.workshop, now)
        groups = groups_of(found)
        foresight = Foresight(found.ages)
        shown = {group.id: group_shown(found, foresight, group) for group in groups}
        now_list(found, groups, shown, [])

    def view() -> None:
        assert phone.get("view", now).status_code == 200

    print()
    p95 = taken(f"list of now, {gates:,} gates, alike in two glue-ups", look)
    taken("  the whole view over the wire", view)
    with connection.cursor() as cursor:
        cursor.execute("UPDATE waits_gate SET act_us = act_us + floor(random() * 1000000000)")
        cursor.execute("ANALYZE waits_gate")
    apart = taken(f"list of now, {gates:,} gates, each on its own", look)
    taken("  the whole view over the wire", view)
    missed = [f"{name} {ms:.0f}" for name, ms in (("alike", p95), ("apart", apart)) if ms >= 60]
    print("\nwanted: p95 under 60 ms; missed: " + ("; ".join(missed) or "nothing"))
