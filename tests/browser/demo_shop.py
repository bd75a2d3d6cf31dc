"""The demo shop at an hour of its week, as a phone finds it now: the story ends about this minute."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from urllib.parse import urlsplit
from uuid import uuid4

from playwright.sync_api import Page

from cureclock.actions.pairing_offered import pairing_offered
from cureclock.actions.phone_paired import PhonePaired, phone_paired
from cureclock.actions.registry import verbs
from cureclock.api.who import COOKIE
from cureclock.demo.opening import spoken
from cureclock.demo.teller import Story
from cureclock.demo.week import tell
from cureclock.shop.happening import Happening
from cureclock.shop.models import Conflict

DAY = timedelta(days=1)


@dataclass
class DemoShop:
    """The story, and the way to put the maker's phone into a hand."""

    story: Story
    phones: Callable[[], Page]
    url: str

    @classmethod
    def at(cls, day: int, hour: int, phones: Callable[[], Page], url: str) -> "DemoShop":
        """The story until now, laid so that now is this hour of that day (Monday is 0).

        The shop lies in the zone where it is so late now; the days are called as the story does,
        whatever days these really are.
        """
        now = datetime.now(UTC)
        east = (hour - now.hour + 12) % 24 - 12
        local = now + timedelta(hours=east)
        elapsed = day * DAY + timedelta(hours=local.hour, minutes=local.minute)
        zone = f"Etc/GMT{-east:+d}"  # the names of these zones count westwards
        story = tell(local.date() - day * DAY, zone=zone, end=spoken(elapsed))
        return cls(story, phones, url)

    def phone(self, theme: str) -> Page:
        """The maker's phone, its app not opened yet."""
        page = self.phones()
        host = urlsplit(self.url).hostname
        key = {"name": COOKIE, "value": self.key(), "domain": host, "path": "/"}
        page.context.add_cookies([key])
        liked = f"JSON.stringify({{theme: '{theme}', hours: '24'}})"
        page.add_init_script(f"localStorage.setItem('cureclock.settings', {liked})")
        return page

    def key(self) -> str:
        """What a phone paired with the maker's name shows of itself."""
        at = datetime.now(UTC)
        by = self.story.people["Maker"]
        token, _ = pairing_offered(by=by, person_name="Maker", role="owner", at=at)
        said = PhonePaired(token=token, phone_name="phone on the bench")
        return phone_paired(said=said, at=at)[2]

    def ident(self, name: str) -> str:
        """The id of something by its name in the story."""
        return str(self.story.id(name))

    def conflict(self) -> str:
        """The id of a contradiction: somebody told once more that clamps came off."""
        at = datetime.now(UTC)
        off = verbs()["clamps_off"]
        happening = Happening(uuid4(), self.story.people["Helper 1"], at, at)
        off.do(happening, off.shape(glue_up=self.story.id("G1 stem billets")))
        return str(Conflict.objects.filter(settled_by=None).values_list("id", flat=True)[0])


def quiet(page: Page) -> None:
    """Wait until the screen has all it asked for."""
    page.get_by_text("All sent").wait_for()
    page.wait_for_load_state("networkidle")
