"""The page of the science, whole: `docs/reference/science.md`."""

from collections.abc import Iterable

from cureclock.core.materials.library import library
from cureclock.runtime.science import checked, docstrings, tables
from cureclock.runtime.webbuild import ROOT

PAGE = ROOT / "docs" / "reference" / "science.md"
OPENING = """# The science

Made by `python3 manage.py science` from what the code says of itself, from the library and from the
checks against published figures; nothing here is written by hand. A number without a source says so:
"common practice, no source" or "from memory". The label of a container, a test on a scrap and safe
practice stand above every one of them.
"""


def page() -> str:
    """The page as it should be now."""
    return "\n".join(_lines()).rstrip() + "\n"


def _lines() -> Iterable[str]:
    yield OPENING
    yield from ("- [Checked against](#checked-against)", "- [The functions](#the-functions)")
    yield from ("- [The library](#the-library)", "- [The sources](#the-sources)", "")
    yield from ("## Checked against", "")
    yield "Of several figures the pair furthest apart is shown. The checks themselves are in"
    yield from ("`tests/published`, each with what it takes for agreement.", "")
    yield from checked.lines_of(checked.kept())
    yield from ("", "## The functions", "")
    for module in docstrings.modules():
        yield from docstrings.lines_of(module)
    yield from ("## The library", "")
    yield from tables.lines_of(library())
    yield from ("## The sources", "")
    yield from tables.sources_of(library())
