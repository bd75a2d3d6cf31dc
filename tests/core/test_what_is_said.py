"""The page that explains what is said: its figures and lines are those of the code."""

import re
from pathlib import Path

import pytest

from cureclock.core.confidence import CHECK_FROM
from cureclock.core.groups import ONE_ALERT_US
from cureclock.core.reminding import after_outage, corrections, due, message, rings, useful, who
from cureclock.core.reminding.alerts import Closed, Closing, Forbidden, Opens, Subject
from cureclock.core.reminding.compose import alert
from cureclock.core.units import HOUR_US, MINUTE_US
from tests.core.invented_shop import reader, when

PAGE = Path(__file__).parents[2] / "docs" / "explanation" / "what-is-said.md"
TEXT = re.sub(r"\s+", " ", PAGE.read_text("utf-8"))


@pytest.mark.parametrize(
    ("figure_us", "words"),
    [
        (useful.NOTICE_US, "It is told **half an hour before that**"),
        (useful.NOTICES_US["open_time"], "open and assembly time {} min before"),
        (useful.NOTICES_US["total_assembly"], "open and assembly time {} min before"),
        (useful.NOTICES_US["wipe_off"], "wipe-off and pot {} min before"),
        (useful.NOTICES_US["pot_life"], "wipe-off and pot {} min before"),
        (rings.FIRST_US, "{} min after the coat ended or was wiped"),
        (rings.EVERY_US, "then every {} min"),
        (due.BEFORE_HOME_US, "{} min before home"),
        (due.BEFORE_OPEN_US, "{} min before opening"),
        (who.BACK_US, "After {} minutes without the act"),
        (who.LATER_US, "leaves a person in peace for {} minutes"),
        (who.SECOND_US, "that nobody has after {} minutes"),
    ],
)
def test_the_minutes_of_the_page_are_those_of_the_code(figure_us, words):
    assert words.format(figure_us // MINUTE_US) in TEXT
    assert figure_us % MINUTE_US == 0


def test_the_other_figures_of_the_page_are_those_of_the_code():
    assert useful.NOTICE_US == ONE_ALERT_US == 30 * MINUTE_US
    assert useful.NOTICES_US["scrape_closes"] == 10 * MINUTE_US
    assert corrections.BY_US == after_outage.LATE_US == 10 * MINUTE_US
    assert who.LONGEST_HOLD_US == HOUR_US
    assert f"under {message.FIRST_LINE} characters" in TEXT
    assert f"from {CHECK_FROM} of the need on" in TEXT
    assert f"{due.SILENT_US // HOUR_US} h after the last word" in TEXT


def test_the_example_at_the_top_is_what_is_said():
    drums = Subject("g7", "drums", [f"L-0{n}" for n in range(1, 9)], "shed")
    ahead = [Forbidden("light", when("Thu 11:00")), Forbidden("spin", when("Fri 14:20"))]
    said = alert(Opens(drums, "clamps_off", ahead), reader("Thu 10:20"))
    assert f"> **{said.title}** > {said.body}" in TEXT


def test_the_example_of_the_last_useful_moment_is_what_is_said():
    hooks = Subject("c1", "hooks", [str(n) for n in range(1, 13)])
    shuts = when("Fri 03:00")
    evening = alert(Closing(hooks, "recoat_closes", shuts, before_home=True), reader("Thu 16:45"))
    morning = alert(Closed(hooks, "recoat_closes", shuts), reader("Fri 08:00"))
    assert f"*{evening.title}*" in TEXT
    assert f"*{evening.body.split(':')[0]}*" in TEXT
    assert f"*{morning.title}*" in TEXT
