"""Five hundred stands of eight joints: as many queries as fifty, and answered while one waits."""

from time import perf_counter

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from cureclock.core.lathe import Word
from cureclock.waits.may.answers import ACTS, may
from cureclock.waits.pieces import standing_pieces
from tests.cast import when
from tests.stands import batch_of

pytestmark = pytest.mark.django_db

SPIN_S = 0.150  # on a quiet machine; see the bench


def asked(count: int) -> dict[str, int]:
    cast, batch = batch_of(count)
    pieces = [piece.id for piece in standing_pieces(batch)]
    assert len(pieces) == count
    queries = {}
    for act in ACTS:
        with CaptureQueriesContext(connection) as seen:
            answers = may(cast.workshop, pieces, act, when("Fri 12:00"))
        assert len(answers) == count
        queries[act] = len(seen)
    return queries


@pytest.mark.embedded  # the questions are the same on either engine
def test_as_many_queries_for_500_pieces_as_for_50() -> None:
    assert asked(50) == (few := asked(500))
    assert max(few.values()) <= 40, few


def test_alike_pieces_get_alike_answers_each_naming_its_own_joint() -> None:
    cast, batch = batch_of(20)
    pieces = [piece.id for piece in standing_pieces(batch)]
    for act in ACTS:
        answers = may(cast.workshop, pieces, act, when("Fri 12:00"))
        assert len({(one.word, one.until_us) for one in answers.values()}) == 1, act
    spin = may(cast.workshop, pieces, "spin", when("Fri 12:00"))
    assert {one.word for one in spin.values()} == {Word.YES}


@pytest.mark.long
def test_500_pieces_are_answered_in_time() -> None:
    cast, batch = batch_of(500)
    pieces = [piece.id for piece in standing_pieces(batch)]
    took = []
    for _ in range(7):
        began = perf_counter()
        may(cast.workshop, pieces, "spin", when("Fri 12:00"))
        took.append(perf_counter() - began)
    assert min(took) < SPIN_S
