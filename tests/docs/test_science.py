"""docs/reference/science.md is what the code, the library and the published checks say now."""

import ast
import re
from pathlib import Path

import pytest

from cureclock.core.materials.library import library
from cureclock.runtime.science import checked, docstrings
from cureclock.runtime.science.formulae import FORMULAE
from cureclock.runtime.science.page import PAGE, page

PUBLISHED = Path(__file__).resolve().parents[1] / "published"
OLD = "run `python3 manage.py science`; after a new published check, with --fill"


def recording(source: str) -> set[str]:
    """The tests of a file that record what they checked against."""
    return {
        one.name
        for one in ast.walk(ast.parse(source))
        if isinstance(one, ast.FunctionDef)
        and one.name.startswith("test_")
        and any(arg.arg == "checked" for arg in one.args.args)
    }


def test_the_page_is_up_to_date() -> None:
    assert PAGE.read_text("utf-8") == page(), OLD


def test_every_check_that_records_is_in_the_table_and_every_row_has_its_check() -> None:
    files = [file for file in PUBLISHED.glob("test_*.py") if file.name != "test_register.py"]
    told = {
        f"tests/published/{file.name}::{name}"
        for file in files
        for name in recording(file.read_text())
    }
    kept = {test.split("[")[0] for test in checked.kept() if "test_register" not in test}
    assert kept == told, OLD


def test_a_check_that_records_is_seen() -> None:
    assert recording("def test_a(checked): ...\ndef test_b(): ...") == {"test_a"}


def test_every_formula_names_a_function_of_the_core() -> None:
    names = {told.name for module in docstrings.modules() for told in docstrings.told_in(module)}
    assert set(FORMULAE) <= names


def test_every_public_function_that_computes_says_its_source() -> None:
    """By the rule of the house: a source with its page, common practice, or from memory."""
    rooms = ("wood.", "joint.", "coat.air", "coat.film", "coat.area", "rates.", "damp.", "needs.")
    silent = [
        told.name
        for module in docstrings.modules()
        for told in docstrings.told_in(module)
        if told.name.startswith(rooms) and "(" in told.signature and not told.parts.get("Source")
    ]
    assert silent == []


@pytest.mark.parametrize("key", ["pva_interior", "varnish_wiping", "epoxy_slow"])
def test_the_library_is_on_the_page_with_its_sources(key: str) -> None:
    text = PAGE.read_text("utf-8")
    assert f"(`{key}`)" in text
    for source in library().sources:
        assert f"| `{source}` |" in text


def test_no_cell_breaks_its_row() -> None:
    rows = re.findall(r"(?m)^\| (?!quantity|what|key).*\|$", PAGE.read_text("utf-8"))
    assert {len(re.findall(r"(?<!\\)\|", row)) for row in rows} <= {5, 7}
