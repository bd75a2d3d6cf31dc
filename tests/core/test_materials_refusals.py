"""A number without value, unit, source and status is refused; so is anything the sheet misspells."""

from dataclasses import fields

import pytest

from cureclock.core.materials.adhesive import Adhesive
from cureclock.core.materials.figure import UNITS, Figure, Source, Span
from cureclock.core.materials.finish import Finish
from cureclock.core.materials.hold import Hold
from cureclock.core.materials.library import library, read_library
from cureclock.core.materials.sheet import (
    read_clamp_kinds,
    read_family,
    read_figures,
    read_sources,
    read_woods,
)
from cureclock.core.refusal import Refused

SOURCES = read_sources(
    """
    [bench]
    title = "The trade, no source"
    status = "common practice"
    [book]
    title = "A book"
    status = "published"
    """
)
WHOLE = '{ value = 2, unit = "h", source = "bench", status = "common practice" }'
SHEET = f"""
key = "glue"
name = "Glue"
role = "adhesive"
response = "doubling"
min_c = {{ value = 10, unit = "degC", source = "bench", status = "common practice" }}
[gates]
clamps_off = {WHOLE}
"""


def read(text):
    return read_family(text, SOURCES, "glue.toml")


def test_a_whole_sheet_is_read():
    glue = read(SHEET)
    assert isinstance(glue, Adhesive)
    assert glue.gates["clamps_off"].hours == 2
    assert glue.gates["clamps_off"].time.source == "bench"
    assert glue.label_temp_c.value == 20


@pytest.mark.parametrize(
    "part", ['value = 2, ', 'unit = "h", ', 'source = "bench", ', ', status = "common practice"']
)  # fmt: skip
def test_a_number_without_one_of_its_four_parts_is_refused(part):
    broken = SHEET.replace(WHOLE, WHOLE.replace(part, ""))
    assert broken != SHEET
    with pytest.raises(Refused, match=r"glue\.toml, gates, clamps_off"):
        read(broken)


@pytest.mark.parametrize("name", ["value", "unit", "source", "status"])
def test_a_number_whose_part_is_empty_is_refused(name):
    broken = SHEET.replace(WHOLE, "{ %s }" % ", ".join(  # noqa: UP031
        f'{key} = ""' if key == name else f"{key} = {value}"
        for key, value in (("value", "2"), ("unit", '"h"'), ("source", '"bench"'),
                           ("status", '"common practice"'))
    ))  # fmt: skip
    with pytest.raises(Refused, match="clamps_off"):
        read(broken)


@pytest.mark.parametrize(
    ("was", "becomes", "named"),
    [
        (WHOLE, "2", "clamps_off"),
        ('source = "bench", status = "common practice" }\n[', 'source = "?", status = "x" }\n[', "min_c, source"),
        (WHOLE, WHOLE.replace('"bench"', '"nowhere"'), "clamps_off, source"),
        (WHOLE, WHOLE.replace("common practice", "published"), "clamps_off, status"),
        (WHOLE, WHOLE.replace("common practice", "trust me"), "clamps_off, status"),
        (WHOLE, WHOLE.replace('"h"', '"fortnight"'), "clamps_off, unit"),
        (WHOLE, WHOLE.replace('"h"', '"degC"'), "unit of a time"),
        (WHOLE, WHOLE.replace("value = 2", "value = -2"), "clamps_off, value"),
        (WHOLE, WHOLE.replace("value = 2", "value = 0"), "clamps_off"),
        (WHOLE, WHOLE.replace("value = 2", "value = nan"), "clamps_off, value"),
        (WHOLE, WHOLE.replace("value = 2", "value = true"), "clamps_off, value"),
        (WHOLE, WHOLE.replace("value = 2", 'value = "2"'), "clamps_off, value"),
        (WHOLE, WHOLE.replace("value = 2", "value = 2, low = 3"), "clamps_off, value"),
        (WHOLE, WHOLE.replace("value = 2", "value = 2, hihg = 3"), "hihg"),
        ('unit = "degC"', 'unit = "h"', "min_c, unit"),
        ("clamps_off", "clamp_off", "clamp_off"),
        ("min_c", "min_temp", "min_temp"),
        ('role = "adhesive"', 'role = "glue"', "role"),
        ('response = "doubling"', 'response = "magic"', "response"),
        ('response = "doubling"\n', "", "response"),
        ('name = "Glue"', "name = 3", "name"),
        ("[gates]", 'below_min = "spoils"\n[gates]', "keep_warm"),
        ("[gates]", 'creeps = "yes"\n[gates]', "creeps"),
        ("[gates]", 'cautions = ["wet paint"]\n[gates]', "cautions"),
        ("[gates]", 'cautions = [7]\n[gates]', "cautions"),
        ("[gates]", "creeps = 1.5\n[gates]", "creeps"),
        ("[gates]", '[not_offered]\nclamps_off = "never"\n[gates]', "clamps_off"),
        ("[gates]", '[not_offered]\nspin = "because"\n[gates]', "spin"),
        ("[gates]", '[not_offered]\nfly = "never"\n[gates]', "fly"),
        ('key = "glue"', "key = ", "TOML"),
    ],
)  # fmt: skip
def test_a_broken_sheet_is_refused_by_field(was, becomes, named):
    broken = SHEET.replace(was, becomes, 1)
    assert broken != SHEET
    with pytest.raises(Refused) as refused:
        read(broken)
    assert named in str(refused.value)


@pytest.mark.parametrize(
    "rows", ["[[10, 5]]", "[[20, 2], [10, 5]]", "[[10, 5], [20, 3]]", "[10, 5]", "[[10], [20, 2]]",
             '[["cold", 5], [20, 2]]', "[[10, 0], [20, 2]]", "[[10, 5, 6, 7], [20, 2]]"]
)  # fmt: skip
def test_printed_rows_are_rising_whole_and_hold_the_label_row(rows):
    gate = WHOLE.replace("value = 2", f"value = 2, rows = {rows}")
    with pytest.raises(Refused):
        read(SHEET.replace(WHOLE, gate))


def test_rows_that_are_whole_are_kept_with_their_range():
    gate = WHOLE.replace("value = 2", "value = 2, rows = [[10, 5, 4, 5], [20, 2]]")
    rows = read(SHEET.replace(WHOLE, gate)).gates["clamps_off"].rows
    assert [(row.temp_c, row.time.value, row.time.low) for row in rows] == [
        (10, 5, 4),
        (20, 2, None),
    ]


def test_rags_that_heat_themselves_always_carry_the_caution():
    sheet = 'key = "o"\nname = "Oil"\nrole = "finish"\nresponse = "doubling"\n'
    assert isinstance(read(sheet + 'rags_self_heat = true\ncautions = ["rags"]'), Finish)
    with pytest.raises(Refused, match="rags"):
        read(sheet + "rags_self_heat = true")


def test_a_hold_has_no_gates_of_a_joint():
    sheet = 'key = "t"\nname = "Tape"\nrole = "hold"\nresponse = "wall"\n[gates]\n'
    assert isinstance(read(sheet + f"holds = {WHOLE}"), Hold)
    with pytest.raises(Refused, match="spin"):
        read(sheet + f"spin = {WHOLE}")


@pytest.mark.parametrize("text", ['[x]\ntitle = ""\nstatus = "published"', '[x]\ntitle = "A"',
                                  '[x]\ntitle = "A"\nstatus = "rumour"', "x = 3",
                                  '[x]\ntitle = "A"\nstatus = "published"\nyear = "1999"'])  # fmt: skip
def test_a_source_without_title_or_status_is_refused(text):
    with pytest.raises(Refused):
        read_sources(text)


def test_woods_clamps_and_factors_are_held_to_the_same_rule():
    with pytest.raises(Refused, match="density_kg_m3"):
        read_woods('[ash]\nname = "Ash"\nbotanical = "F"\ndensity_kg_m3 = 700', SOURCES)
    with pytest.raises(Refused, match="flags_source"):
        read_woods('[ash]\nname = "Ash"\nbotanical = "F"\nflags_source = "hearsay"', SOURCES)
    with pytest.raises(Refused, match="measured_n"):
        read_clamp_kinds('[f]\nname = "F"\nmeasured_n = { value = 4000, unit = "N" }', SOURCES)
    with pytest.raises(Refused, match="fan"):
        read_figures("fan = 0.8", SOURCES)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf"), 1e9, None, "2", [2]])
def test_an_impossible_figure_is_refused_in_every_unit(unit, value):
    with pytest.raises(Refused):
        Figure(value=value, unit=unit, source="bench", status="common practice")


def test_a_span_needs_an_end_and_its_ends_in_order():
    given = {"unit": "%", "source": "bench", "status": "common practice"}
    assert Span(high=12, **given).low is None
    for ends in ({}, {"low": 12, "high": 6}, {"low": -1}):
        with pytest.raises(Refused):
            Span(**ends, **given)


def test_a_library_folder_with_one_bad_number_is_refused_with_the_name_of_its_sheet(tmp_path):
    for name in ("adhesives", "finishes", "holds", "woods"):
        (tmp_path / name).mkdir()
    (tmp_path / "sources.toml").write_text('[bench]\ntitle = "T"\nstatus = "common practice"')
    (tmp_path / "clamps.toml").write_text("")
    (tmp_path / "modifiers.toml").write_text("")
    sheet = tmp_path / "adhesives" / "glue.toml"
    sheet.write_text(SHEET)
    assert list(read_library(tmp_path).families) == ["glue"]
    sheet.write_text(SHEET.replace('source = "bench", ', ""))
    with pytest.raises(Refused, match=r"adhesives/glue\.toml"):
        read_library(tmp_path)
    sheet.write_text(SHEET)
    sheet.rename(tmp_path / "adhesives" / "paste.toml")
    with pytest.raises(Refused, match=r"paste\.toml"):
        read_library(tmp_path)


def every_figure():
    """Each Figure and Span that ships, with a name to find it by."""
    shipped = library()
    items = [*shipped.families.values(), *shipped.woods.values(), *shipped.clamp_kinds.values()]
    for item in items:
        for part in fields(item):
            value = getattr(item, part.name)
            if isinstance(value, Figure | Span):
                yield f"{item.key}.{part.name}", value
            if part.name == "gates":
                for name, gate in value.items():
                    for time in (gate.time, *gate.again, *(row.time for row in gate.rows)):
                        yield f"{item.key}.{name}", time
    yield from shipped.modifiers.items()


def test_every_number_that_ships_names_a_described_source_and_claims_no_more_than_it():
    sources, seen = library().sources, 0
    strength = ("published", "common practice", "from memory")
    for name, figure in every_figure():
        seen += 1
        assert figure.source in sources, name
        source = sources[figure.source]
        assert isinstance(source, Source)
        if figure.status == "published":
            assert source.status == "published", name
        assert figure.status in strength, name
        assert figure.unit in UNITS, name
    assert seen > 900  # 941 were counted when this was written


def test_every_source_is_used():
    used = {figure.source for _, figure in every_figure()}
    for wood in library().woods.values():
        used |= {wood.flags_source, wood.bonds_source}
    assert set(library().sources) - used == set()


def test_a_span_without_a_source_or_of_an_unknown_unit_is_refused():
    for wrong in ({"source": ""}, {"unit": "furlong"}, {"status": "hearsay"}):
        given = {"unit": "%", "source": "bench", "status": "common practice", **wrong}
        with pytest.raises(Refused, match="|".join(wrong)):
            Span(high=12, **given)


def test_a_row_half_a_degree_off_is_not_the_row_at_the_label_temperature():
    gate = WHOLE.replace("value = 2", "value = 2, rows = [[10, 5], [20.5, 2]]")
    with pytest.raises(Refused, match="the row at 20 degC"):
        read(SHEET.replace(WHOLE, gate))
