"""Whatever floats come in, every public name of the joint rooms answers or refuses.

Ranges are read from the docstrings, so that a docstring that promises too much fails here.
"""

import importlib
import inspect
import pkgutil
import re
from dataclasses import fields, is_dataclass

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cureclock.core import groups, joint, needs
from cureclock.core.joint.lamination import StripeLamination
from cureclock.core.joint.ring import SegmentRing
from cureclock.core.refusal import Refused

MODULES = [
    *(
        importlib.import_module(f"{joint.__name__}.{m.name}")
        for m in pkgutil.iter_modules(joint.__path__)
    ),
    groups,
    needs,
]
NUMBER = r"(-?\d+(?:\.\d+)?)"
RANGE = re.compile(rf"(?<![\w.]){NUMBER} to {NUMBER}(?!\w)")
FARTHEST = 10**15
WILD = st.one_of(
    st.floats(),
    st.sampled_from([0.0, -0.0, 5e-324, 1e300, float("nan"), float("inf"), float("-inf")]),
    st.integers(-(2**60), 2**60),
)
NOT_ALONE = {  # at this end only together with another figure
    ("adhesive_pressure_kpa", "density_kg_m3", 50.0),
    ("adhesive_pressure_kpa", "density_kg_m3", 1500.0),
    ("adhesive_pressure_kpa", "least_kpa", 5000.0),
    ("annulus_area_m2", "outside_radius_m", 0.0),
    ("thick_film", "thickness", 100000.0),
    ("thick_film", "label_thickness", 1e-06),
}
ROWS = {"parts_by_weight", "volume_parts", "density_g_ml"}  # one for each component
PLAIN = {"quantity": "a thing", "low": 0, "high": 1000, "most_m": 3}
SHAPES = {
    "panel": StripeLamination(4, 0.6, 0.03, 0.04),
    "ring": SegmentRing(12, 0.1, 0.08, 0.02),
}


def _public(module, kind):
    return [
        value
        for name, value in vars(module).items()
        if kind(value) and value.__module__ == module.__name__ and not name.startswith("_")
    ]


FUNCTIONS = [f for m in MODULES for f in _public(m, inspect.isfunction)]
CLASSES = [c for m in MODULES for c in _public(m, inspect.isclass) if is_dataclass(c)]
ANSWERS = {"PieceTimes", "BothEnds", "Alerts", "Clamps"}  # made by functions, not by a caller
SHAPED = [c for c in CLASSES if c.__name__ not in ANSWERS]


def _said(doc, name):
    """What the docstring says of one argument: its text up to the next argument."""
    block = re.search(rf"^\s+{name}: (.*?)(?=^\s+\w+: |^\s*$)", doc, re.MULTILINE | re.DOTALL)
    assert block, f"{name} is not in the docstring"
    return " ".join(block.group(1).split())


def _range(text):
    found = RANGE.search(text)
    return (float(found.group(1)), float(found.group(2))) if found else None


def _value(doc, name, annotation):
    if name in PLAIN:
        return st.just(PLAIN[name])
    if name in SHAPES:
        return st.just(SHAPES[name])
    if "bool" in str(annotation) or name.startswith("is_") or name == "draught":
        return st.booleans()
    text = _said(doc, name)
    if "[us]" in text:
        return st.integers(*(int(end) for end in _range(text) or (-FARTHEST, FARTHEST)))
    low, high = _range(text) or (0.0, 10.0)
    if "whole" in text:
        return st.integers(int(low), int(min(high, low + 60)))
    near = st.floats(low, min(high, low + 1))
    return st.one_of(
        near, near.map(lambda x: low + (x - low) / 9), st.floats(low, high), st.just(high)
    )


def _arguments(data, of, doc):
    """One draw for each argument; now and then a wild one among them; scalars or rows of three."""
    row = data.draw(st.booleans())
    wild = data.draw(st.sampled_from([*inspect.signature(of).parameters, *[None] * 3]))
    drawn = {}
    for name, parameter in inspect.signature(of).parameters.items():
        if name == "self":
            continue
        tame = _value(doc, name, parameter.annotation)
        value = WILD if name == wild and name not in {*PLAIN, *SHAPES} else tame
        if name == "pauses_us":
            value = st.lists(st.tuples(tame, tame), max_size=4)
        elif name in ROWS or (row and "ArrayLike" in str(parameter.annotation) and name != "at_us"):
            value = st.lists(value, min_size=3, max_size=3)
        drawn[name] = data.draw(value, label=name)
    return drawn


def _assert_finite(answer):
    if is_dataclass(answer):
        for field in fields(answer):
            _assert_finite(getattr(answer, field.name))
        return
    array = np.asarray(answer)
    if array.dtype.kind == "f":
        assert np.isfinite(array).all()
    else:
        assert array.dtype.kind in "iubUO"


RELAXED = settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
LEAST_ANSWERED = 2  # of 80; most have 20 and more: the fuzz is not to be one of refusals only


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda f: f"{f.__module__}.{f.__name__}")
def test_every_function_answers_or_refuses(function):
    answered = 0

    @RELAXED
    @given(data=st.data())
    def fuzz(data):
        nonlocal answered
        arguments = _arguments(data, function, function.__doc__)
        try:
            answer = function(**arguments)
        except Refused:
            return
        answered += 1
        if answer is not None:
            _assert_finite(answer)

    fuzz()
    assert answered >= LEAST_ANSWERED


@pytest.mark.parametrize("shape", SHAPED, ids=lambda c: c.__name__)
def test_every_shape_answers_or_refuses(shape):
    answered = 0

    @RELAXED
    @given(data=st.data())
    def fuzz(data):
        nonlocal answered
        try:
            made = shape(**_arguments(data, shape, shape.__doc__))
        except Refused:
            return
        answered += 1
        for name, value in vars(shape).items():
            if isinstance(value, property):
                _assert_finite(getattr(made, name))
            elif inspect.isfunction(value) and not name.startswith("_"):
                _answer_or_refuse(data, made, value)

    fuzz()
    assert answered >= LEAST_ANSWERED


def _answer_or_refuse(data, made, method):
    arguments = _arguments(data, method, method.__doc__)
    try:
        _assert_finite(method(made, **arguments))
    except Refused:
        return


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda f: f"{f.__module__}.{f.__name__}")
def test_what_lies_outside_the_printed_range_is_refused(function):
    """Each argument in turn is put just outside the range its docstring prints."""
    if function.__name__ in {"whole", "size"}:
        return  # their range is their caller's, or is printed without a name; see test_count
    typical = {
        name: _middle(function.__doc__, name, p)
        for name, p in inspect.signature(function).parameters.items()
    }
    tried = 0
    for name, value in typical.items():
        text = _said(function.__doc__, name)
        limits = _range(text)
        if limits is None or "[us]" in text:
            continue
        for outside in (*_just_outside(text, limits), float("nan"), float("inf")):
            bad = np.full(np.shape(value), outside)
            with pytest.raises(Refused):
                function(**{**typical, name: bad})
            tried += 1
    assert tried or "[us]" in function.__doc__


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda f: f"{f.__module__}.{f.__name__}")
def test_both_ends_of_a_printed_range_are_answered(function):
    if function.__name__ in {"whole", "size"}:
        return  # as above
    typical = {
        name: _middle(function.__doc__, name, p)
        for name, p in inspect.signature(function).parameters.items()
    }
    for name, value in typical.items():
        text = _said(function.__doc__, name)
        for end in _range(text) or () if "[us]" not in text else ():
            if (function.__name__, name, end) not in NOT_ALONE:
                _assert_finite(function(**{**typical, name: np.full(np.shape(value), end)}))


def _just_outside(text, limits):
    """The nearest numbers that the range leaves out: whole ones of a count."""
    if "whole" in text:
        return limits[0] - 1, limits[1] + 1
    return np.nextafter(limits, [-np.inf, np.inf])


TYPICAL = {  # each can be made
    "BentLamination": (6, 0.003, 1.45, 0.062, 0.120),
    "CrossLamination": (SHAPES["panel"], 4, 0.04, 0.003, 90.0),
    "FingerJoint": (0.1, 0.012, 0.012, 0.02, 0.005),
    "StackedRings": (SHAPES["ring"], 3, 0.5, 1),
}


@pytest.mark.parametrize("shape", [c for c in SHAPED if c.__name__ in TYPICAL])
def test_a_shape_outside_its_printed_range_is_refused(shape):
    """As of functions; a range "to half" of something else has tests of its own."""
    typical = dict(zip([f.name for f in fields(shape)], TYPICAL[shape.__name__], strict=True))
    assert shape(**typical)
    for name in typical.keys() - SHAPES.keys():
        text = _said(shape.__doc__, name)
        limits = _range(text)
        for outside in _just_outside(text, limits) if limits else ():
            with pytest.raises(Refused):
                shape(**{**typical, name: outside})


def _middle(doc, name, parameter):
    """A value in the middle of things that no argument refuses."""
    if name in ROWS:
        return np.array([1.0, 2.0])
    if "bool" in str(parameter.annotation) or name.startswith("is_") or name == "draught":
        return True
    text = _said(doc, name)
    if "[us]" in text:
        return () if name == "pauses_us" else 5_000_000
    limits = _range(text)
    if "whole" in text:
        return max(int(limits[0]) if limits else 1, 2 if "2 to" in text else 1)
    if limits is None:
        return 1.0
    return float(np.clip(100.0, limits[0], limits[1]) if limits[1] > 100 else limits[1])


def test_the_docstrings_keep_one_layout():
    parts = ["Args:", "Returns:", "Raises:", "Valid for:", "Assumes:", "Source:", "Example:"]
    bare = {"whole": parts[3:5], "round_up": parts[3:5], "size": [*parts[1:2], *parts[3:5]]}
    for function in FUNCTIONS:
        lines = [line.strip() for line in function.__doc__.splitlines()]
        wanted = [p for p in parts if p not in bare.get(function.__name__, [])]
        assert [line for line in lines if line in parts] == wanted, function.__name__
        assert ">>> " in function.__doc__, function.__name__
