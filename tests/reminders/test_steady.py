"""A clock that cannot be believed holds fire: nothing early, nothing lost, and somebody is told."""

from datetime import UTC, datetime, timedelta

import pytest

from cureclock.reminders import beats
from cureclock.reminders.models import Alert, Beat
from cureclock.reminders.steady import BEHIND, JUMPED, SETTLE_S, Steady
from tests.cast import when
from tests.reminders.stage import Stage

NOON = datetime(2026, 2, 2, 12, tzinfo=UTC)


def doubts(*looks: tuple[float, float], newest: datetime | None = None) -> list[str]:
    """What is doubted at looks of (seconds of wall after noon, seconds that passed)."""
    steady = Steady()
    return [steady.doubt(NOON + timedelta(seconds=w), p, newest) for w, p in looks]


def test_a_clock_that_runs_evenly_is_believed() -> None:
    assert doubts((0, 0), (5, 5), (3600, 3600)) == ["", "", ""]


@pytest.mark.parametrize("jump", [3600, -3600, 61, -61, 86400 * 400])
def test_a_jump_is_not_believed_at_once(jump: int) -> None:
    assert doubts((0, 0), (5 + jump, 5), (10 + jump, 10)) == ["", JUMPED, JUMPED]


@pytest.mark.parametrize("small", [59, -59])
def test_a_small_correction_is_no_jump(small: int) -> None:
    assert doubts((0, 0), (5 + small, 5)) == ["", ""]


def test_a_new_time_that_runs_on_evenly_is_believed_after_a_while() -> None:
    late = SETTLE_S + 6
    assert doubts((0, 0), (3605, 5), (3600 + late, late))[-1] == ""


def test_a_jump_that_jumps_back_starts_the_wait_anew() -> None:
    found = doubts((0, 0), (3605, 5), (25, 25), (50, 50), (26 + SETTLE_S, 26 + SETTLE_S))
    assert found == ["", JUMPED, JUMPED, JUMPED, ""]


def test_a_board_that_boots_in_the_past_holds_for_as_long_as_it_is_there() -> None:
    newest = NOON + timedelta(days=365)
    assert doubts((0, 0), (600, 600), (86400, 86400), newest=newest) == [BEHIND] * 3


def test_a_clock_set_back_by_an_hour_is_believed_again_though_signs_of_life_are_ahead() -> None:
    newest = NOON + timedelta(seconds=4)
    late = SETTLE_S + 6
    found = doubts((0, 0), (5 - 3600, 5), (late - 3600, late), newest=newest)
    assert found == ["", JUMPED, ""]


def test_a_clock_set_back_by_years_is_not_believed() -> None:
    newest = NOON + timedelta(seconds=4)
    late = SETTLE_S + 6
    assert doubts((0, 0), (-9e8, 5), (late - 9e8, late), newest=newest)[-1] == BEHIND


def pressed() -> Stage:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    stage.tick("Mon 09:00")
    return stage


def settle(stage: Stage, seconds: float) -> list[str]:
    told: list[str] = []
    while seconds > 0:
        stage.clock.sleep(5)
        seconds -= 5
        before = len(stage.memory.sent)
        stage.turn.tick()
        told += [message.title for _, message in stage.memory.sent[before:]]
    return told


@pytest.mark.django_db
def test_an_hour_ahead_for_a_moment_fires_nothing_early() -> None:
    stage = pressed()
    stage.clock.jump_to(when("Mon 10:00"))
    assert settle(stage, 20) == []
    stage.clock.jump_to(when("Mon 09:00") + timedelta(seconds=20))
    assert settle(stage, 120) == []
    assert not Alert.objects.filter(gate="clamps_off").exists()
    stage.turn.last_at = when("Mon 09:45")
    assert stage.tick("Mon 09:45")[0].title.startswith("Take clamps off")


@pytest.mark.django_db
def test_a_time_that_stays_set_ahead_is_believed_and_nothing_is_lost() -> None:
    stage = pressed()
    stage.clock.jump_to(when("Mon 09:50"))
    assert settle(stage, 20) == []
    stage.turn.last_at = stage.clock.now()
    told = settle(stage, 60)
    assert any(line.startswith("Take clamps off") for line in told)


@pytest.mark.django_db
def test_a_boot_in_1970_fires_nothing_says_so_and_goes_on_when_the_time_is_back() -> None:
    stage = pressed()
    stage.turn.tick()
    stage.clock.jump_to(datetime(1970, 1, 1, 0, 1, tzinfo=UTC))
    stage.turn = stage.started()
    assert settle(stage, 30) == []
    health = beats.health(stage.clock.now())
    assert (health.well, health.holding) == (False, BEHIND)
    stage.clock.jump_to(when("Mon 09:46"))
    stage.turn.last_at = when("Mon 09:44")
    told = settle(stage, 60)
    assert any(line.startswith("Take clamps off") for line in told)
    assert Beat.objects.filter(at__year=1970).count() == 0


@pytest.mark.django_db
def test_the_page_is_red_within_ten_seconds_of_the_dispatchers_death() -> None:
    stage = pressed()
    assert beats.health(stage.clock.now()).well
    assert beats.health(stage.clock.now() + timedelta(seconds=6)).alive
    assert not beats.health(stage.clock.now() + timedelta(seconds=10)).alive


@pytest.mark.django_db
def test_the_page_shows_how_late_the_oldest_thing_is() -> None:
    pressed()
    assert beats.health(when("Mon 09:44")).late_s == 0
    assert abs(beats.health(when("Mon 10:45")).late_s - 3600) < 2
