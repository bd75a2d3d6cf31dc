"""The review of the demo week says what the scenario says of it, and every figure adds up."""

from datetime import timedelta

import pytest
from pytest_django import DjangoDbBlocker

from cureclock.demo.teller import Story
from cureclock.exports.review.scope import of_batch, of_stretch
from cureclock.exports.review.shapes import Mistake, Review
from cureclock.exports.review.whole import review
from cureclock.shop.models import Batch
from cureclock.waits.containers_shown import containers_shown
from cureclock.waits.drying import LotShown, lots_shown
from tests.demo.living import Life

pytestmark = pytest.mark.django_db
NOW = "Sun 10:00"
FIGURES = {
    "glue_ups": 17,
    "bends": 5,
    "suspect": 1,
    "joints_lost": 1,
    "early": 1,
    "coats": 4,
    "coated_pieces": 25,
    "late": 12,
    "hours_lost": 5.2,
}


@pytest.fixture(scope="module")
def told(week: Story, django_db_blocker: DjangoDbBlocker) -> Review:
    """The week looked back on, on Sunday at ten."""
    with django_db_blocker.unblock():
        now = week.when(NOW)
        return review(of_stretch(week.workshop, now, week.when("Mon 00:00"), now))


def mistake(told: Review, name: str) -> Mistake:
    return next(one for one in told.mistakes if one.about and one.about.name.startswith(name))


@pytest.mark.parametrize("key", FIGURES)
def test_figure(told: Review, key: str) -> None:
    (figure,) = (one for one in told.figures if one.key == key)
    assert figure.value == FIGURES[key]
    assert sum(term.value for term in figure.terms) == pytest.approx(figure.value)


def test_what_was_counted_is_named(told: Review) -> None:
    named = {one.key: [term.name for term in one.terms] for one in told.figures}
    assert named["suspect"] == ["G11 drums L-17-24"]
    assert named["early"] == ["G3 panels T-1, T-2"]
    assert named["joints_lost"] == ["G11 drums L-17-24"]
    assert named["late"] == ["Stems 13-24, coat 2"]


def test_all_four_were_announced_before_the_act_except_the_tag_swap(told: Review) -> None:
    assert len(told.mistakes) == 4
    silent = [one for one in told.mistakes if one.announced_at is None]
    assert [one.pieces for one in silent] == [("L-05", "L-06")]
    for one in told.mistakes:
        assert one.announced_at is None or one.announced_at <= one.began_at


def test_the_cold_was_foretold_before_the_pressure_by_what_was_known_then(
    told: Review, week: Story, life: Life
) -> None:
    cold = mistake(told, "G11")
    at, by = ("Wed 18:10", "alert") if life.listener else ("Wed 18:02", "shown")
    assert (cold.announced_at, cold.announced_by) == (week.when(at), by)
    assert cold.hours_lost == pytest.approx(3.8)
    kinds = [line.kind for line in cold.lines]
    assert kinds == ["cold", "override", "joint_opened", "piece_lost", "witness", "joint_opened"]
    assert "10.0 °C at Wed 19:30 with 0.73 label-h of 2 label-h" in cold.lines[0].words
    assert (cold.lines[1].who, cold.lines[1].why) == ("Maker", "hard squeeze-out")


def test_the_window_was_shown_before_it_shut(told: Review, week: Story) -> None:
    late = mistake(told, "Stems, coat 1")
    assert abs(late.began_at - week.when("Sat 10:59")) < timedelta(minutes=1)
    assert late.announced_at is not None
    assert late.announced_at < late.began_at
    assert late.pieces == tuple(f"ST-{number}" for number in range(13, 25))


def test_who_planes_early_has_seen_the_times_and_the_sinking_is_part_of_it(
    told: Review, life: Life
) -> None:
    early = mistake(told, "G3")
    assert early.announced_by == ("alert" if life.listener else "override")
    assert [line.kind for line in early.lines] == ["override", "checked"]
    assert early.hours_lost == pytest.approx(0.8)


def test_both_names_of_the_swapped_tags_are_kept(told: Review) -> None:
    (swap,) = (one for one in told.mistakes if one.about is None)
    assert swap.lines[0].who == "Helper 2"
    assert "two coats before anyone" in swap.lines[0].why
    acts = {one.tag: [act.kind for act in one.acts] for one in told.pieces}
    assert "records_swapped" in acts["L-05"]
    assert "records_swapped" in acts["L-06"]


def test_g11_alone_was_too_cold_before_it_set(told: Review) -> None:
    assert [one.group.name for one in told.coldest if one.below] == ["G11 drums L-17-24"]
    assert len(told.coldest) == 12  # every film that cold can spoil


def test_what_is_proposed(told: Review) -> None:
    proposed = {one.key: one.words for one in told.changes}
    assert {*proposed} == {
        "press_earlier",
        "watch_place",
        "surfacing_stays",
        "oldest_first",
        "glue_earlier",
    }
    assert "PVA-G in Shed" in proposed["press_earlier"]
    assert "Warm box" in proposed["watch_place"]
    assert "168 label-h" in proposed["surfacing_stays"]
    ruled = [one for one in told.changes if one.key == "glue_earlier"]
    assert "G9 waste blocks L-01-08" in ruled[0].words
    assert ruled[0].terms[0].value == pytest.approx(20, abs=0.5)
    assert not any("G12" in one.words for one in ruled)


def test_what_waits_on_sunday(told: Review) -> None:
    words = {one.word: [tag.tag for tag in one.pieces] for one in told.waiting}
    assert words["ask"] == [f"L-{number:02d}" for number in range(1, 17)]
    assert {"L-17", "L-19", "L-24"} <= set(words["unknown"])  # no block, no ring: not all is there


def test_rim_three_took_eleven_hours_more_than_the_others(told: Review) -> None:
    took = {one.group.name: one.took_h for one in told.against if one.kind.startswith("clamps")}
    assert took["G10 rim 3"] == pytest.approx(17.05, abs=0.1)
    assert took["Rim 2"] == pytest.approx(6.07, abs=0.1)


def test_every_glue_up_has_a_strip_with_the_air_under_it(told: Review) -> None:
    assert len(told.groups) == 21
    for one in told.groups:
        assert len(one.strip.temps) > 2, one.name
        assert one.strip.nights
        assert one.acts


def test_a_piece_carries_what_was_done_to_its_parts(told: Review) -> None:
    (one,) = (one for one in told.pieces if one.tag == "L-07")
    about = list(dict.fromkeys(act.about for act in one.acts))
    for name in ("G2 half-rings", "G5 rings 1-14", "G7 drums L-01-08", "G9 waste blocks L-01-08"):
        assert name in about
    assert "G8 drums L-09-16" not in about
    assert [act.at for act in one.acts] == sorted(act.at for act in one.acts)


def test_a_batch_has_its_own_and_nothing_of_the_other(week: Story) -> None:
    told = review(of_batch(Batch.objects.get(id=week.id("Batch T")), week.when(NOW)))
    values = {one.key: one.value for one in told.figures}
    assert (values["glue_ups"], values["bends"], values["hours_lost"]) == (7, 5, 0.8)
    assert {one.tag for one in told.pieces} >= {"T-1", "RM-6"}
    assert not any(one.tag.startswith("L-") for one in told.pieces)


def lot(week: Story, name: str) -> LotShown:
    return next(one for one in lots_shown(week.workshop, week.when(NOW)) if one.name == name)


def test_the_wood_store_reads_as_the_scenario_says(week: Story) -> None:
    moistures = {
        "Sycamore": 11.0,
        "Plum": 9.6,
        "Ash": 11.6,
        "Pear": 9.0,
        "Elm": 12.4,
        "Poplar": 13.5,
    }
    assert {name: lot(week, name).mc_pct for name in moistures} == moistures
    bowl = lot(week, "R-1").settles
    assert bowl is not None
    assert bowl.settles_g == pytest.approx(1413, abs=3)
    again = lot(week, "R-1").look_again_at
    assert again is not None
    assert abs(again - week.when(NOW)) < timedelta(hours=2)  # weigh today
    rowan = lot(week, "Rowan plank").forecast
    assert rowan is not None
    assert rowan.halves_days == pytest.approx(60, abs=1)


def test_the_shelf_has_a_container_of_each_product_in_use(week: Story) -> None:
    shown = containers_shown(week.workshop, week.when(NOW))
    assert {one.material_name for one in shown if one.in_use} == {
        "PVA-G",
        "PVA-X",
        "Urea-U",
        "Varnish-W",
        "Hardwax-H",
    }
