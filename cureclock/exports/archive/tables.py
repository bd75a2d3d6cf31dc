"""The tables of a workshop: every model that leads to one, in an order in which each can be written."""

from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from graphlib import TopologicalSorter
from typing import Any

from django.apps import apps
from django.db.models import ForeignKey, Model, Q, QuerySet

from cureclock.shop.models import Person, Workshop

APPS = ("shop", "planner", "reminders", "exports")  # estimates are made anew, not kept
LEFT_OUT: Mapping[str, str] = {
    "shop.PairingLink": "a key to one phone, good for an hour",
    "shop.OutsidePassword": "a lock that can be tried at leisure by whoever finds the file",
    "shop.SignInTries": "counts of tries at the server's own door",
    "reminders.PushKey": "the server's own key; another server makes its own",
    "reminders.Beat": "signs of life of the server's own processes",
    "reminders.Trouble": "what the server's own processes stumbled over",
}


@dataclass(frozen=True)
class Table:
    """One model whose rows belong to a workshop.

    Attributes:
        name: as the archive calls it, "shop.Piece".
        path: from a row to its workshop, for a query; empty for the workshop itself and people.
    """

    model: type[Model]
    path: str

    @property
    def name(self) -> str:
        """As the archive calls it."""
        return self.model._meta.label

    def rows(self, workshop: Workshop) -> QuerySet[Any]:
        """Its rows of one workshop, in the order of their keys."""
        every = self.model._base_manager.all()
        if self.model is Workshop:
            return every.filter(pk=workshop.pk)
        if self.model is Person:
            return every.filter(_people(workshop)).order_by("pk")
        return every.filter(**{self.path: workshop}).order_by("pk")

    def links(self) -> list["ForeignKey[Any, Any]"]:
        """What points from it to other tables."""
        return links_of(self.model)


def links_of(model: type[Model]) -> list["ForeignKey[Any, Any]"]:
    """The fields of a model that point to another."""
    return [field for field in model._meta.concrete_fields if isinstance(field, ForeignKey)]


@cache
def tables() -> tuple[Table, ...]:
    """Every table that is kept, each after those it points to.

    Raises:
        LookupError: a model that leads to no workshop and that nobody decided to leave out.
    """
    kept = {model: Table(model, _path(model)) for model in _models() if not _left_out(model)}
    before = {
        model: {
            to
            for link in table.links()
            if (to := link.related_model) in kept and to is not model and not isinstance(to, str)
        }
        for model, table in kept.items()
    }
    by_name = {model._meta.label: model for model in kept}
    sorter = TopologicalSorter(
        {
            model._meta.label: sorted(other._meta.label for other in before[model])
            for model in sorted(kept, key=lambda one: one._meta.label)
        }
    )
    return tuple(kept[by_name[label]] for label in sorter.static_order())


def _models() -> Iterator[type[Model]]:
    for app in APPS:
        yield from apps.get_app_config(app).get_models()


def _left_out(model: type[Model]) -> bool:
    return model._meta.label in LEFT_OUT


def _path(model: type[Model]) -> str:
    """The shortest way from a row to its workshop over links that are never empty."""
    if model in (Workshop, Person):
        return ""
    ways: deque[tuple[type[Model], tuple[str, ...]]] = deque([(model, ())])
    seen = {model}
    while ways:
        here, steps = ways.popleft()
        for link in links_of(here):
            to = link.related_model
            if link.null or isinstance(to, str) or to in seen:
                continue
            if to is Workshop:
                return "__".join([*steps, link.name])
            seen.add(to)
            ways.append((to, (*steps, link.name)))
    raise LookupError(
        f"{model._meta.label} leads to no workshop: say in LEFT_OUT why no archive keeps it"
    )


def _people(workshop: Workshop) -> Q:
    """Everybody whom a row of the workshop names."""
    named = Q()
    for table in tables():
        for link in table.links():
            if link.related_model is Person:
                filled = table.rows(workshop).exclude(**{link.name: None}).order_by()
                named |= Q(pk__in=filled.values(link.attname))
    return named
