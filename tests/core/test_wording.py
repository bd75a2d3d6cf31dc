"""The rules that every line keeps: verb first, short, nothing promised too soon, plain words."""

import re
from pathlib import Path

import pytest

import cureclock
from cureclock.core.gates import COAT_GATES, HOLD_GATES, JOINT_GATES
from cureclock.core.materials.vocabulary import CAUTIONS
from cureclock.core.planning.conflict import Clash
from cureclock.core.reminding.compose import alert
from cureclock.core.reminding.kinds import BARS, CAUSES, CLOSES, OPENS, WHYS
from cureclock.core.reminding.lists import SHUT, WAIT, Item
from cureclock.core.reminding.rings import ANSWERS
from cureclock.core.reminding.who import Says
from cureclock.core.wording.catalogue import catalogue
from cureclock.core.wording.say import say
from tests.core.said_samples import LONGEST, PLAIN, READER

ENGLISH = {
    f"{key}.{form}": text
    for key, message in catalogue("en").messages.items()
    for form, text in ({"": message} if isinstance(message, str) else message).items()
}
KEYS = set(catalogue("en").messages)
ROOT = Path(cureclock.__file__).parent
ROOMS = [ROOT / "core" / "reminding", ROOT / "core" / "wording"]
SOURCE = "\n".join(path.read_text("utf-8") for room in ROOMS for path in sorted(room.glob("*.py")))
PHONE = (ROOT.parent / "frontend" / "src").rglob("*.ts*")
EVERYWHERE = "\n".join(path.read_text("utf-8") for path in (*ROOT.rglob("*.py"), *PHONE))

VERBS = frozenset(
    {"Act", "Ask", "Check", "Close", "Coat", "Do", "Enter", "Free", "Handle", "Hang", "Hold"}
    | {"Keep", "Leave", "Load", "Look", "Loosen", "Machine", "Move", "Plane", "Press", "Pull"}
    | {"Put", "Read", "Recoat", "Rub", "Sand", "Score", "Scrape", "Scuff", "Spin", "Stack"}
    | {"Start", "Surface", "Take", "Throw", "Tighten", "Touch", "Try", "Use", "Wait", "Warm"}
    | {"Wipe", "Work"}
)
# Ready is not said either: it was the word that made people spin green glue.
TOO_SOON = re.compile(r"\b(done|cured|finished|complete[d]?|ready)\b", re.IGNORECASE)
CLAIMS = re.compile(r"safe speed|food.?safe|guarantee|\bsafe to\b", re.IGNORECASE)
NOT_OURS = re.compile(
    r"\b(acknowledg\w*|acks?|on.?call|escalat\w*|incidents?|pager|paged?|paging|severity|sev\d"
    r"|responders?|resolved?|triage\w*|snooz\w*|outages?|tickets?|tasks?|todo|to-do|due|overdue"
    r"|deadlines?|milestones?|sprints?|backlogs?|boards?|kanban|assign\w*|assignees?|projects?"
    r"|status|workflow|dismiss\w*|timers?|events?|notifications?|users?)\b",
    re.IGNORECASE,
)


def _said(samples):
    return [(one, alert(one, READER)) for one in samples]


def test_every_gate_has_its_name_its_act_and_what_it_permits():
    for kind in (*JOINT_GATES, *COAT_GATES, *HOLD_GATES):
        assert {f"gate.{kind.key}.{part}" for part in ("name", "act", "permits")} <= KEYS


@pytest.mark.parametrize(
    ("part", "gates"),
    [("opens", OPENS), ("bars", BARS), ("closing", CLOSES), ("closed_then", CLOSES)],
)
def test_every_gate_has_its_lines_and_no_other(part, gates):
    found = {key.split(".")[1] for key in KEYS if re.fullmatch(rf"gate\.\w+\.{part}", key)}
    assert found == gates


@pytest.mark.parametrize(
    ("group", "names"),
    [
        ("caution", CAUTIONS),
        ("suspect", CAUSES),
        ("why", WHYS),
        ("plan.conflict", set(Clash)),
        ("button", {*Says, *ANSWERS}),
    ],
)
def test_every_caution_cause_and_reason_is_said(group, names):
    assert {key for key in KEYS if key.startswith(f"{group}.")} == {f"{group}.{n}" for n in names}


def test_every_line_of_a_list_is_said():
    by_their_gates = WAIT | SHUT
    assert {f"list.{item}" for item in Item if item not in by_their_gates} <= KEYS


def test_every_cause_of_suspicion_is_a_reason_at_the_lathe():
    assert {f"lathe.reason.suspect_{cause}" for cause in CAUSES} <= KEYS


def test_every_key_is_asked_for_somewhere():
    """By its name, or by a name put together: of a gate, a hazard, a cause, a day."""
    by_name = ("gate.", "caution.", "suspect.", "why.", "lathe.", "button.", "time.", "list.")
    by_name += ("plan.conflict.",)
    asked = set(re.findall(r'"([a-z_]+(?:\.[a-z_]+)+)"', EVERYWHERE))
    assert {key for key in KEYS if not key.startswith(by_name)} - asked == set()


def test_what_the_source_asks_for_is_in_the_catalogue():
    asked = set(re.findall(r'say\(\s*"([a-z_]+\.[a-z_.]*[a-z])"', SOURCE))
    assert len(asked) > 30
    assert asked - KEYS == set()


@pytest.mark.parametrize("samples", [PLAIN, LONGEST])
def test_the_first_line_begins_with_a_verb(samples):
    for one, message in _said(samples):
        assert re.match(r"\w+", message.title)[0] in VERBS, (one, message.title)


def test_every_act_begins_with_a_verb():
    for key, text in ENGLISH.items():
        if key.startswith("gate.") and key.endswith((".act.", ".opens.", ".closing.", ".closed.")):
            assert text.split()[0] in VERBS, text


@pytest.mark.parametrize("samples", [PLAIN, LONGEST])
def test_the_first_line_is_one_line_under_90_characters(samples):
    for one, message in _said(samples):
        assert len(message.title) < 90, one
        assert "\n" not in message.title


def test_plain_names_are_said_in_full():
    for one, message in _said(PLAIN):
        assert "…" not in message.title, (one, message.title)


@pytest.mark.parametrize("samples", [PLAIN, LONGEST])
def test_there_is_always_a_second_line(samples):
    for one, message in _said(samples):
        assert message.body.strip(), one


def test_nothing_is_called_done_or_cured_before_full_cure():
    allowed = {"gate.full_cure.permits.", "gate.full_cure.opens.", "caution.epoxy."}
    assert {key for key, text in ENGLISH.items() if TOO_SOON.search(text)} <= allowed
    assert "Hard is not cured" in ENGLISH["caution.epoxy."]


def test_full_cure_is_said_only_when_it_is_there():
    said = [m.title for _, m in _said(PLAIN) if "cured" in m.title or "cured" in m.body]
    assert set(said) == {say("gate.full_cure.opens", which="stems L-01–24, shed")}


def test_nothing_is_claimed_safe_for_speed_or_food():
    assert not [text for text in ENGLISH.values() if CLAIMS.search(text)]


def test_no_word_of_paging_or_of_projects():
    assert not [text for text in ENGLISH.values() if NOT_OURS.search(text)]


@pytest.mark.parametrize("bad", ["Timer finished", "Task due", "Done!", "Ready to spin"])
def test_the_rules_would_find_a_bad_line(bad):
    assert TOO_SOON.search(bad) or NOT_OURS.search(bad) or "!" in bad


def test_nothing_is_shouted():
    assert not [text for text in ENGLISH.values() if "!" in text or re.search(r"[A-Z]{4,}", text)]


@pytest.mark.parametrize("hazard", CAUTIONS)
def test_a_caution_ends_with_label_rules_and_people(hazard):
    words = say(f"caution.{hazard}")
    assert words.endswith(
        " Read the label and safety sheet; local rules and trained people come first."
    )
    assert len(words) > 100


@pytest.mark.parametrize(
    ("hazard", "names"),
    [
        ("rags", ("catch fire", "single layer", "under water", "metal can", "bin", "pocket")),
        ("solvents", ("flame", "heater", "sparks", "air moving", "cartridge")),
        ("isocyanate", ("allergic", "Gloves", "supplied air", "training", "others out")),
        ("epoxy", ("Gloves", "dust", "not cured", "sanding", "pots get hot")),
        ("formaldehyde", ("formaldehyde", "warm", "Ventilate", "step back")),
        ("cyanoacrylate", ("skin", "cotton", "fumes", "Glasses")),
        ("dust", ("mask", "Extract", "irritates", "wet film", "solvent")),
        ("lathe", ("not proof", "Tap", "twist", "Face shield", "out of line", "slowest speed")),
        ("hold_turning", ("Hot-melt", "tape", "Paper", "not joints", "only grip")),
        ("food", ("full cure", "nut oils", "care card")),
        ("heaters", ("glows", "Thermostat", "cut-out", "solvent", "water")),
        ("hot_pot", ("steam", "scald", "presses", "vacuum")),
        ("tired", ("late", "cannot wait")),
        ("limits", ("estimates", "guesses")),
    ],
)
def test_a_caution_names_what_hurts_and_what_to_do(hazard, names):
    words = say(f"caution.{hazard}").lower()
    assert [name for name in names if name.lower() not in words] == []
