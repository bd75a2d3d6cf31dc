"""What one look of a phone at its shop costs: three places, a hundred open gates.

Run: python3 manage.py bench tests/bench/bench_look.py

The page of scale reckons with it. Seconds of the program's core, not of the wall.
"""

import os
import time
from statistics import median

import pytest

from cureclock.waits.models import Gate
from tests.api.door import paired
from tests.cast import Cast

pytestmark = pytest.mark.django_db
PLACES, GATES, LOOKS = ("Shed", "Box", "Store"), 100, 20


def shed() -> Cast:
    cast = Cast.open()
    for name in PLACES:
        cast.place(name)
        cast.read("Mon 07:00", 18.0, 60.0, place=name)
    cast.material()
    for number in range(GATES):
        if open_gates() >= GATES:
            break
        cast.piece(f"P-{number}")
        cast.spread(f"G{number}", [f"P-{number}"], "Mon 08:00", place=PLACES[number % len(PLACES)])
        cast.press(f"G{number}", "Mon 08:05")
    for name in PLACES:
        cast.read("Mon 09:00", 17.0, 60.0, place=name)
    return cast


def open_gates() -> int:
    return Gate.objects.filter(wait__open=True, state=Gate.State.WAITING).count()


def test_a_look(capsys: pytest.CaptureFixture[str]) -> None:
    phone = paired(shed())
    gates = open_gates()
    assert gates >= GATES
    taken = []
    for _ in range(LOOKS):
        began = time.process_time()
        answer = phone.get("view", "Mon 09:05")
        taken.append((time.process_time() - began) * 1000)
        assert answer.status_code == 200
    with capsys.disabled():
        load = os.getloadavg()[0]
        print(f"\na look at {gates} open gates in {len(PLACES)} places:", end=" ")
        print(f"{median(taken):.0f} ms of a core, {len(answer.content):,} bytes, load {load:.1f}")
