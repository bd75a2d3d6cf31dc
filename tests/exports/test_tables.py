"""Tables: every word comes back as it was said, every number adds up, and no cell is ever run."""

import csv
import io
from typing import Any

import pandas as pd
import pytest
from django.db.models import Sum
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.units import HOUR_US
from cureclock.exports.cells import BOM, GUARD, csv_bytes, guarded
from cureclock.exports.told import told_csv
from cureclock.exports.waits_table import waits_csv
from cureclock.shop.models import Batch, Event
from cureclock.waits.ages import Ages
from cureclock.waits.figures import figures_of
from cureclock.waits.minute import to_minute
from cureclock.waits.models import Gate
from tests.cast import Cast, when

RUN_BY_SPREADSHEETS = ("=1+1", "+1", "-1", "@x", "\t=1", "\r=1", " =1", "＝1", "\ufeff=1")
NAMES = ("עץ אלון", "خشب ٣", "🪵 oak 😀", 'a "quoted", piece', "two\nlines", "=cmd|' /C calc'!A0")
WORDS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=40)


def table(pieces: Any) -> pd.DataFrame:
    """As somebody loads it who knows that a name may be "NA"."""
    told = b"".join(pieces)
    return pd.read_csv(io.BytesIO(told), encoding="utf-8-sig", keep_default_na=False, na_values="")


def unguarded(words: str) -> str:
    """What was said, out of a cell that may be guarded."""
    return words.removeprefix(GUARD)


@given(WORDS)
def test_a_guarded_cell_begins_with_nothing_that_runs_and_gives_back_what_was_said(
    words: str,
) -> None:
    cell = guarded(words)
    assert not cell.lstrip().lstrip(BOM).startswith(("=", "+", "-", "@"))
    assert not cell.startswith(("\t", "\r", "\n"))
    assert unguarded(cell) == words


@pytest.mark.parametrize("words", RUN_BY_SPREADSHEETS)
def test_what_a_spreadsheet_would_run_is_guarded(words: str) -> None:
    assert guarded(words) == "'" + words


@given(st.lists(st.tuples(WORDS, WORDS, st.integers(), st.floats(-1e9, 1e9)), max_size=20))
def test_every_cell_comes_back_through_another_reader(rows: list[tuple[Any, ...]]) -> None:
    told = b"".join(csv_bytes(["a", "b", "c", "d"], rows)).decode()
    back = list(csv.reader(io.StringIO(told, newline="")))[1:]
    assert [(unguarded(a), unguarded(b), int(c), float(d)) for a, b, c, d in back] == rows


@given(st.lists(st.tuples(st.integers(-(10**9), 10**9), st.floats(-1e6, 1e6)), min_size=1))
def test_numbers_below_nothing_stay_numbers(rows: list[tuple[int, float]]) -> None:
    told = pd.read_csv(io.BytesIO(b"".join(csv_bytes(["n", "x"], rows))))
    assert told["n"].sum() == sum(n for n, _ in rows)
    assert told["x"].tolist() == pytest.approx([x for _, x in rows])


def test_pieces_of_a_long_table_join_to_the_whole() -> None:
    rows = [(number, f"L-{number}") for number in range(1234)]
    pieces = list(csv_bytes(["number", "tag"], rows))
    assert len(pieces) > 2
    assert b"".join(pieces).count(b"\r\n") == 1235


def test_the_mark_for_utf_8_is_there_once_and_only_when_asked_for() -> None:
    mark = BOM.encode()
    assert b"".join(csv_bytes(["a"], [["b"]], bom=True)).startswith(mark)
    assert mark not in b"".join(csv_bytes(["a"], [["b"]]))


@pytest.fixture
def shop() -> Cast:
    """Glue-ups, a coat, a cold night, names in every script, and a line struck out."""
    cast = Cast.open()
    cast.place()
    cast.place("Box")
    cast.material()
    cast.read("Mon 06:00", 16.0, 60.0)
    for number, name in enumerate(NAMES):
        cast.piece(f"P-{number}", what=name)
    cast.spread("G1", ["P-0", "P-1"], "Mon 08:00")
    cast.press("G1", "Mon 08:10")
    cast.spread("G2 =evil", ["P-2", "P-3"], "Mon 18:00")
    cast.press("G2 =evil", "Mon 18:05")
    cast.read("Mon 19:00", 5.0, 80.0)
    cast.read("Tue 06:00", 4.0, 85.0)
    cast.do("moved_place", "Tue 07:00", place=cast.id("Box"), glue_up=cast.id("G1"))
    cast.read("Tue 07:05", 22.0, 50.0, place="Box")
    cast.do("clamps_off", "Tue 08:00", glue_up=cast.id("G1"), ident=cast.id("off"))
    cast.do("struck_out", "Tue 08:02", target=cast.id("off"))
    return cast


@pytest.mark.django_db
def test_every_happening_is_a_line_and_struck_ones_keep_theirs(shop: Cast) -> None:
    told = table(told_csv(shop.workshop))
    assert len(told) == Event.objects.filter(workshop=shop.workshop).count()
    assert told.set_index("id").loc[str(shop.id("off")), "struck out"] == "yes"
    assert (told["struck out"] == "yes").sum() == 1
    assert told["happened (UTC)"].is_monotonic_increasing
    assert (
        pd.to_datetime(told["happened (UTC)"]) == pd.to_datetime(told["happened (local)"])
    ).all()


@pytest.mark.django_db
def test_names_in_any_script_come_back_letter_for_letter(shop: Cast) -> None:
    told = table(waits_csv(shop.workshop, when("Tue 09:00"), bom=True))
    assert {unguarded(name) for name in told["what"]} == set(NAMES[:4])
    assert {unguarded(name) for name in told["group"]} == {"G1", "G2 =evil"}


@pytest.mark.django_db
def test_sums_of_the_table_are_those_of_the_records(shop: Cast) -> None:
    told = table(waits_csv(shop.workshop, when("Tue 09:00")))
    gates = Gate.objects.filter(workshop=shop.workshop)
    assert len(told) == gates.count() > 0
    need_us = gates.aggregate(sum=Sum("need_us"))["sum"]
    assert told["need (label-h)"].sum() == pytest.approx(need_us / HOUR_US)
    assert (told["can hurt"] == "yes").sum() == gates.filter(hurts=True).count()


@pytest.mark.django_db
def test_figures_of_the_table_are_those_of_the_clocks(shop: Cast) -> None:
    """Counted again from the facts, they agree with the thresholds on the running clocks."""
    at = when("Tue 09:00")
    told = table(waits_csv(shop.workshop, at)).set_index(["wait", "gate"])
    gates = list(Gate.objects.with_clocks().filter(workshop=shop.workshop, wait__open=True))
    times = figures_of(gates, Ages(when("Mon 06:00"), at))
    compared = 0
    for gate in gates:
        row, found = told.loc[str(gate.wait_id), gate.kind], times[gate.id]
        acts = "not before (UTC)" if gate.opens else "not after (UTC)"
        figures = (("bare (UTC)", found.bare), (acts, found.act), ("sure (UTC)", found.sure))
        for heading, moment in figures:
            if moment is None or moment <= gate.stay_at:
                continue  # reached before it was carried to where it is now: not on these clocks
            assert pd.Timestamp(row[heading]) == to_minute(moment, opens=gate.opens)
            compared += 1
        if found.bare is not None and found.bare > gate.stay_at:
            hours = (found.bare - gate.began_at).total_seconds() / 3600
            assert row["bare (h)"] == pytest.approx(hours, abs=1e-4)
    assert compared > 40


@pytest.mark.django_db
def test_legs_and_doubts_stand_beside_the_figures(shop: Cast) -> None:
    told = table(waits_csv(shop.workshop, when("Tue 09:00")))
    one = told[told["group"] == "G1"].iloc[0]
    assert one["stood in"].startswith("Shed 2026-02-02T08:00:00Z/2026-02-03T07:00:00Z; Box 2026-")
    assert pd.isna(one["suspect"])
    cold = told[told["group"].map(unguarded) == "G2 =evil"]["suspect"]
    assert cold.str.startswith("cold 2026-02-02T18:").all()


@pytest.mark.django_db
def test_a_batch_has_its_own_pieces_and_what_they_are_made_of(shop: Cast) -> None:
    shop.do("pieces_made", "Tue 09:00", pieces=(_whole(shop),), batch=shop.id("B"), batch_name="B")
    batch = Batch.objects.get(id=shop.id("B"))
    at = when("Tue 10:00")
    waits = table(waits_csv(shop.workshop, at, batch))
    assert set(waits["piece"]) == {"P-0"}
    told = table(told_csv(shop.workshop, batch))
    assert set(told["glue-up"].dropna()) == {"G1"}
    assert len(told) < len(table(told_csv(shop.workshop)))


def _whole(shop: Cast) -> Any:
    from cureclock.actions.pieces_made import PieceSaid

    return PieceSaid(shop.id("W"), "W", "whole", (), (shop.id("P-0"),))


@pytest.mark.django_db
def test_another_workshop_is_in_neither_table(shop: Cast) -> None:
    other = Cast.open("Another")
    assert len(table(waits_csv(other.workshop, when("Tue 09:00")))) == 0
    assert len(table(told_csv(other.workshop))) == 0


@pytest.mark.django_db
def test_few_lines_are_loaded_at_a_time_and_the_queries_do_not_grow_with_them(
    shop: Cast, django_assert_num_queries: Any
) -> None:
    with django_assert_num_queries(2):
        few = b"".join(told_csv(shop.workshop))
    for minute in range(10, 40):
        shop.do("clamps_off", f"Tue 09:{minute}", glue_up=shop.id("G2 =evil"))
    with django_assert_num_queries(2):
        assert len(b"".join(told_csv(shop.workshop))) > len(few)
