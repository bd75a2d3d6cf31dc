"""Every link in the docs leads somewhere, and every page can be reached from the first one."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
LINK = re.compile(r"(?<!!)\[[^\]]*\]\(([^)\s]+)\)")
PICTURE = re.compile(r"!\[[^\]]*\]\(([^)\s]+)\)")


def name(page: Path) -> str:
    return page.relative_to(ROOT).as_posix()


def anchors(page: Path) -> set[str]:
    """What a heading is called when it is linked to, as repositories show it."""
    headings = re.findall(r"(?m)^#+ (.+)$", page.read_text("utf-8"))
    plain = [re.sub(r"[^\w\- ]", "", heading.lower()) for heading in headings]
    return {heading.strip().replace(" ", "-") for heading in plain}


def dead(page: Path, text: str) -> list[str]:
    """Links of a page that lead nowhere; addresses on the internet are not called."""
    found = []
    for link in [*LINK.findall(text), *PICTURE.findall(text)]:
        if re.match(r"[a-z]+:", link):
            continue
        path, _, anchor = link.partition("#")
        target = (page.parent / path).resolve() if path else page
        if not target.exists() or (anchor and anchor not in anchors(target)):
            found.append(link)
    return found


@pytest.mark.parametrize("page", PAGES, ids=name)
def test_no_link_is_dead(page: Path) -> None:
    assert dead(page, page.read_text("utf-8")) == []


def test_dead_ones_are_seen() -> None:
    readme = ROOT / "README.md"
    text = "[a](docs/nowhere.md) ![b](none.png) [c](#no-such-heading) [d](README.md)"
    assert dead(readme, text) == ["docs/nowhere.md", "#no-such-heading", "none.png"]


def test_every_page_is_reached_from_the_first() -> None:
    reached, left = set(), [ROOT / "README.md"]
    while left:
        page = left.pop()
        if page in reached:
            continue
        reached.add(page)
        for link in LINK.findall(page.read_text("utf-8")):
            target = (page.parent / link.partition("#")[0]).resolve()
            if target.is_dir():
                left.extend(target.glob("*.md"))
            elif target.suffix == ".md" and target.exists():
                left.append(target)
    assert [name(page) for page in PAGES if page not in reached] == []
