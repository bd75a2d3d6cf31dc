"""Any figure at all: a need, a rate or a lag answers with a finite figure, or is refused."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core import felt, needs, rates
from cureclock.core.damp import damp_penalty, known_damp
from cureclock.core.refusal import Refused
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance, fastest

anything = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True),
    st.floats(0, 100),
    st.sampled_from([0, -1, 1, 2, 1e300, float("nan"), float("inf"), "much", None]),
)
FUNCTIONS = {
    needs.wet_wood: 3,
    needs.thick_film: 3,
    needs.non_porous: 2,
    needs.stressed: 2,
    needs.oily_wood: 2,
    needs.later_coat: 2,
    rates.doubling: 3,
    rates.energy_of_q: 2,
    rates.q_of_two_temperatures: 4,
    rates.cooling: 4,
    damp_penalty: 2,
    felt.checked_lag: 1,
}


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda one: one.__name__)
@given(st.data())
def test_every_function_answers_or_refuses(function, data):
    said = data.draw(st.tuples(*[anything] * FUNCTIONS[function]))
    try:
        answer = function(*said)
    except Refused:
        return
    assert np.isfinite(answer).all()


@given(anything)
def test_humidity_answers_or_refuses_and_what_was_not_measured_stays_so(rh):
    try:
        answer = known_damp(rh)
    except Refused:
        return
    assert np.isnan(answer).all() or ((answer >= 0) & (answer <= 100)).all()


rows = st.lists(st.tuples(anything, anything), max_size=5).map(tuple)


@given(anything, rows)
def test_printed_rows_answer_or_refuse(temp_c, printed):
    try:
        hours = rates.hours_of_rows(temp_c, printed)
    except Refused:
        return
    assert np.isfinite(hours).all()
    assert (hours > 0).all()


@given(
    st.sampled_from(list(Stance)),
    st.lists(st.tuples(st.floats(-10, 60), st.floats(0.1, 100)), min_size=2, max_size=5),
)
def test_a_careful_clock_is_capped_and_a_quick_one_has_a_floor(stance, printed):
    try:
        response = Response(Kind.TABLE, rows=tuple(printed))
    except Refused:
        response = Response(Kind.DOUBLING)
    bound = fastest(stance, response)
    assert bound == float("inf") if stance == Stance.LIKELY else bound >= 1
