"""What is kept of a person can be taken away by them, and they can be forgotten; what was done stays."""

import json
from typing import Any

import pytest

from cureclock.exports.archive.tables import tables
from cureclock.reminders.models import RagsQuestion, Way
from cureclock.shop.models import Event, Membership, Person, Phone
from cureclock.waits.rebuild import differences
from tests.api.door import PhoneAtDoor, paired
from tests.cast import Cast, when
from tests.intake.whole_shop import plain, whole_shop

pytestmark = pytest.mark.django_db
NAME = "Zebedee Quillfeather"  # invented, and found nowhere by chance


@pytest.fixture
def cast() -> Cast:
    """A shop in which one helper did a bit of everything, and put the rags away."""
    from cureclock.actions.pieces_made import ZoneSaid

    cast = whole_shop()
    assert cast.helper.person is not None
    Person.objects.filter(pk=cast.helper.person.pk).update(name=NAME, email="z@example.org")
    cast.helper.person.refresh_from_db()
    cast.material("Oil", "hardwax_oil", {})
    cast.piece("T-1", zones=(ZoneSaid(cast.id("T-1/top"), "top"),))
    told = {"coat": cast.id("oil"), "name": "panels", "label": cast.id("Oil label")}
    where = {"place": cast.id("Shed"), "zones": (cast.id("T-1/top"),)}
    cast.do("coat_began", "Tue 09:30", by=cast.helper, **told, **where)
    cast.do("coat_ended", "Tue 09:40", by=cast.helper, coat=cast.id("oil"))
    cast.do("rag_placed", "Tue 09:50", by=cast.helper, coat=cast.id("oil"), where="under_water")
    return cast


def helper(cast: Cast) -> PhoneAtDoor:
    return paired(cast, "helper", NAME)


def told(phone: PhoneAtDoor, person: Any) -> Any:
    return phone.get(f"people/{person.id}/data", "Tue 12:00")


def forget(phone: PhoneAtDoor, person: Any) -> Any:
    return phone.post(f"people/{person.id}/forget", "Tue 12:00", {})


def test_a_person_takes_away_every_row_that_names_them_and_no_key(cast: Cast) -> None:
    phone, person = helper(cast), cast.helper.person
    answer = told(phone, person)
    kept = answer.json()["tables"]
    assert kept["shop.Person"][0]["name"] == NAME
    assert {row["kind"] for row in kept["shop.Event"]} >= {"coat_began", "coat_ended", "rag_placed"}
    assert "under_water" in {row["where"] for row in kept["reminders.RagsQuestion"]}
    for table in tables():
        links = [one.name for one in table.links() if one.related_model is Person]
        rows = table.rows(cast.workshop)
        many = sum(rows.filter(**{link: person}).count() for link in links)
        assert table.model is Person or len(kept.get(table.name, [])) == many, table.name
    text = answer.content.decode()
    assert phone.token not in text
    hashes = Phone.objects.values_list("token_hash", flat=True)
    assert not [one for one in hashes if one in text]


def test_nobody_but_they_and_the_owner_is_told(cast: Cast) -> None:
    person = cast.helper.person
    assert told(paired(cast), person).status_code == 200
    assert told(paired(cast, "viewer"), person).status_code == 403
    stranger = paired(Cast.open("Other yard"))
    assert told(stranger, person).status_code == 404
    assert forget(stranger, person).status_code == 404
    assert forget(paired(cast, "viewer"), person).status_code == 403


def test_a_forgotten_person_is_named_nowhere_and_what_was_done_stays(cast: Cast) -> None:
    phone, person = helper(cast), cast.helper.person
    before = Event.objects.filter(workshop=cast.workshop).count()
    assert NAME in repr(plain(cast.workshop))
    assert forget(paired(cast), person).status_code == 200
    left = repr(plain(cast.workshop))
    assert (NAME in left, str(person.id) in left, "z@example.org" in left) == (False,) * 3
    assert Event.objects.filter(workshop=cast.workshop).count() == before
    assert phone.get("phones", "Tue 12:01").status_code == 401
    assert not Membership.objects.filter(person_id=person.id).exists()
    assert not Person.objects.filter(id=person.id).exists()
    assert not Way.objects.filter(person_id=person.id).exists()
    assert differences(cast.workshop, when("Tue 12:00")) == []


def test_where_the_rags_were_put_outlives_whoever_put_them_there(cast: Cast) -> None:
    assert forget(paired(cast), cast.helper.person).status_code == 200
    row = RagsQuestion.objects.get(coat=cast.id("oil"))
    assert (row.where, row.answered_at) == ("under_water", when("Tue 09:50"))
    assert row.by_name == "somebody who left"


def test_somebody_who_works_elsewhere_too_is_forgotten_here_alone(cast: Cast) -> None:
    other, person = Cast.open("Other yard"), cast.helper.person
    assert person is not None
    Membership.objects.create(workshop=other.workshop, person=person, role="helper")
    assert forget(paired(cast), person).status_code == 200
    assert Membership.objects.filter(person=person).get().workshop == other.workshop
    assert NAME not in repr(plain(cast.workshop))


def test_the_last_owner_cannot_be_forgotten(cast: Cast) -> None:
    answer = forget(paired(cast), cast.owner.person)
    assert (answer.status_code, answer.json()["key"]) == (422, "last_owner")


def test_whoever_wants_to_go_needs_nobodys_leave(cast: Cast) -> None:
    assert forget(helper(cast), cast.helper.person).status_code == 200


def test_what_is_taken_away_is_plain_json(cast: Cast) -> None:
    assert json.loads(told(helper(cast), cast.helper.person).content)


def people(phone: PhoneAtDoor) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = phone.get("people", "Tue 12:00").json()["people"]
    return found


def test_an_owner_sees_everybody_and_how_much_would_stay_of_each(cast: Cast) -> None:
    helper(cast)
    found = {one["name"]: one for one in people(paired(cast))}
    assert set(found) == {one.person.name for one in cast.workshop.memberships.all()}
    one, person = found[NAME], cast.helper.person
    assert (one["role"], one["me"], one["last_owner"]) == ("helper", False, False)
    own = Event.objects.filter(workshop=cast.workshop, person=person)
    rags = RagsQuestion.objects.filter(workshop=cast.workshop, by=person)
    assert (one["told"], one["rags"]) == (own.count(), rags.count())
    assert rags.filter(where="under_water").exists()
    assert one["phones"] == Phone.objects.filter(person=person, unpaired_at=None).count() > 0
    assert cast.owner.person is not None
    assert found[cast.owner.person.name]["last_owner"] is True


def test_anybody_else_sees_themselves_alone(cast: Cast) -> None:
    (one,) = people(helper(cast))
    assert (one["name"], one["me"]) == (NAME, True)


def test_nobody_of_another_workshop_is_among_them(cast: Cast) -> None:
    stranger = people(paired(Cast.open("Other yard")))
    assert NAME not in {one["name"] for one in stranger}
    assert {one["told"] for one in stranger} == {0}
