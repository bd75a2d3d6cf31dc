"""Tags: the number reads one way, the code opens the piece, and nothing crosses an edge."""

from uuid import NAMESPACE_URL, uuid5

import numpy as np
import pytest

from cureclock.exports.label_sheets import LabelSheet, label_sheet, label_sheets
from cureclock.exports.paper import Sheet, laid_out
from cureclock.exports.tags import Tag, draw_number, print_tags, tags_of
from cureclock.shop.models import Piece
from cureclock.shop.refusals import Refusal
from tests.cast import Cast
from tests.exports.pages import decoded, links, part, rendered, sizes_mm, words

BASE = "https://192.168.100.200:8443"


def tag(number: str = "L-06", what: str = "lantern stand", batch: str = "Batch L") -> Tag:
    return Tag(uuid5(NAMESPACE_URL, number), number, what, batch)


def ink(number: str) -> int:
    """How much of a page a number blackens."""
    sheet = Sheet((80, 40), "x")
    draw_number(sheet, number, 5, 15, 60)
    return int(np.count_nonzero(rendered(sheet.bytes())[0] < 128))


@pytest.mark.parametrize("key", label_sheets())
def test_every_code_on_every_size_opens_its_piece(key: str) -> None:
    labels = label_sheet(key)
    tags = [tag(number) for number in ("L-06", "697", "T-1", "A-ABCDEFGHIJKLMNOPQRST99")]
    told = links(print_tags(tags, labels, BASE), labels)
    assert told[: len(tags)] == [f"{BASE}/piece/{one.piece}" for one in tags]
    assert set(told[len(tags) :]) <= {""}


def test_what_is_read_from_a_blank_label_is_nothing() -> None:
    assert decoded(np.full((400, 400), 255, np.uint8)) == ""


@pytest.mark.parametrize("key", label_sheets())
def test_labels_lie_inside_their_page_and_beside_each_other(key: str) -> None:
    labels = label_sheet(key)
    left, top = labels.margins_mm
    assert left >= 0
    assert top >= 0
    corners = list(labels.corners())
    assert len(corners) == labels.labels
    assert corners[0][1] > corners[-1][1] or labels.rows == 1
    for x, y in corners:
        assert x + labels.width_mm <= labels.page_mm[0] + 1e-9
        assert y >= -1e-9
    assert sizes_mm(print_tags([tag()], labels, BASE)) == [pytest.approx(labels.page_mm, abs=0.1)]


@pytest.mark.parametrize("key", label_sheets())
def test_nothing_is_printed_outside_a_label(key: str) -> None:
    """Between the labels and beside the last one the sheet stays white."""
    labels = label_sheet(key)
    long = tag("A-ABCDEFGHIJKLMNOPQRST99", "x" * 10_000, "word " * 2_000)
    page = rendered(print_tags([long, tag()], labels, BASE))[0].copy()
    for x, y in list(labels.corners())[:2]:
        part(page, x, y, labels.width_mm, labels.height_mm)[:] = 255
    assert page.min() == 255


@pytest.mark.parametrize(("marked", "plain"), [("6", "5"), ("9", "3"), ("7", "1")])
def test_six_nine_and_seven_carry_a_mark_that_other_digits_do_not(marked: str, plain: str) -> None:
    bare = Sheet((80, 40), "x")
    bare.words(5, 15, marked, 60, bold=True)
    without = int(np.count_nonzero(rendered(bare.bytes())[0] < 128))
    assert ink(marked) > without * 1.05
    bare = Sheet((80, 40), "x")
    bare.words(5, 15, plain, 60, bold=True)
    assert ink(plain) == int(np.count_nonzero(rendered(bare.bytes())[0] < 128))


def test_six_does_not_read_as_nine_upside_down() -> None:
    """A 6 turned over has its line above, a 9 has it below."""
    six, nine = (rendered(_number(digit))[0] for digit in "69")
    turned = np.rot90(six, 2)
    rows = [np.flatnonzero((page < 128).any(axis=1)) for page in (turned, nine)]
    widest = [(page < 128).sum(axis=1) for page in (turned, nine)]
    assert widest[0][rows[0][0]] > widest[0][rows[0][-1]]
    assert widest[1][rows[1][-1]] > widest[1][rows[1][0]]


def _number(digit: str) -> bytes:
    sheet = Sheet((80, 40), "x")
    draw_number(sheet, digit, 5, 15, 60)
    return sheet.bytes()


def test_a_sheet_that_was_begun_is_gone_on_with() -> None:
    labels = label_sheet("a4-21")
    tags = [tag(str(number)) for number in range(20)]
    told = links(print_tags(tags, labels, BASE, start=5), labels)
    assert told[:4] == [""] * 4
    assert told[4:24] == [f"{BASE}/piece/{one.piece}" for one in tags]
    assert len(sizes_mm(print_tags(tags, labels, BASE, start=5))) == 2


def test_number_what_and_batch_stand_on_the_tag() -> None:
    said = words(print_tags([tag("L-06", "lantern stand", "Batch L")], label_sheet("a4-21"), BASE))
    assert set(said.splitlines()) == {"L-06", "lantern stand", "Batch L"}


def test_same_tags_give_the_same_bytes() -> None:
    tags = [tag()]
    assert print_tags(tags, label_sheet("a4-21"), BASE) == print_tags(
        tags, label_sheet("a4-21"), BASE
    )


@pytest.mark.parametrize(
    ("count", "start", "field"),
    [(0, 1, "piece"), (2001, 1, "piece"), (1, 0, "start"), (1, 22, "start")],
)
def test_no_tag_too_many_and_a_label_the_sheet_lacks_are_refused(
    count: int, start: int, field: str
) -> None:
    with pytest.raises(Refusal) as refused:
        print_tags([tag()] * count, label_sheet("a4-21"), BASE, start=start)
    assert refused.value.field == field


def test_a_size_nobody_knows_is_refused_with_those_that_are_known() -> None:
    with pytest.raises(Refusal, match="a4-21"):
        label_sheet("a5-3")


def test_a_label_too_small_for_its_code_is_refused() -> None:
    small = LabelSheet("small", (20, 10), 1, 1, 20, 10)
    with pytest.raises(Refusal, match="too small"):
        print_tags([tag()], small, BASE)


@pytest.mark.parametrize(
    ("said", "drawn"),
    [
        ("oak 12", "oak 12"),
        ("אלון 12", "12 ןולא"),
        ("Batch שמש", "Batch שמש"[:6] + "שמש"[::-1]),
        ("a\u202eb", "ab"),
        ("a\nb", "a b"),
        ("😀", "😀"),
    ],
)
def test_words_lie_from_left_to_right_in_the_order_of_their_script(said: str, drawn: str) -> None:
    assert laid_out(said) == drawn


def test_arabic_letters_are_joined() -> None:
    """Beginning, middle and end forms (Unicode, Arabic Presentation Forms-B), from the right."""
    assert laid_out("بلوط") == "\ufec1\ufeee\ufee0\ufe91"


@pytest.mark.django_db
def test_numbers_that_look_alike_name_each_other() -> None:
    cast = Cast.open()
    for number in ("66", "99", "L-1", "L-l", "07"):
        cast.piece(number)
    tags = tags_of(cast.workshop, list(Piece.objects.select_related("batch")))
    assert {one.number: one.alike for one in tags} == {
        "66": ("99",),
        "99": ("66",),
        "L-1": ("L-l",),
        "L-l": ("L-1",),
        "07": (),
    }
    said = words(print_tags([tags[1]], label_sheet("a4-21"), BASE))
    assert set(said.splitlines()) == {"66", "Not 99"}
