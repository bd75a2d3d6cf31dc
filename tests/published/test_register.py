"""The register itself: it picks the pair furthest apart, and asserts nothing."""

import numpy as np

from tests.published.conftest import ROWS


def _row(request) -> dict:
    return request.config.stash[ROWS][request.node.nodeid].pop()


def test_the_pair_furthest_apart_is_kept(checked, request):
    checked("a", "nowhere", np.array([1.0, 2.5, 3.0]), [1.0, 2.0, 3.1])
    row = _row(request)
    assert (row["ours"], row["theirs"], row["difference"], row["cells"]) == (2.5, 2.0, 0.5, 3)


def test_words_are_kept_as_words(checked, request):
    checked("a", "nowhere", "go", "stop")
    row = _row(request)
    assert (row["ours"], row["theirs"], row["difference"]) == ("go", "stop", None)


def test_a_check_that_is_far_off_is_recorded_all_the_same(checked, request):
    checked("a", "nowhere", 1.0, 1000.0)
    assert _row(request)["difference"] == 999
