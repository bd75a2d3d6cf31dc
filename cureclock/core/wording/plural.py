"""Plural categories: which form of a message a number takes, told by the language's own file."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cureclock.core.refusal import Refused

CATEGORIES = ("zero", "one", "two", "few", "many", "other")  # Unicode CLDR, plural rules
OTHER = "other"
CONDITIONS = ("is", "last_digit", "last_two", "not_last_two")


@dataclass(frozen=True)
class PluralRules:
    """When a whole number takes each category but "other", which takes the rest.

    Args:
        rules: category to conditions, all of which have to hold. is: the number itself.
            last_digit, last_two: what it ends in. not_last_two: what it does not end in.

    Raises:
        Refused: a category or condition that is none, or a list that holds no numbers.

    Source: the categories are those of Unicode CLDR; the numbers come from the language's file.

    >>> PluralRules({"one": {"is": [1]}}).category(1)
    'one'
    """

    rules: Mapping[str, Mapping[str, Sequence[int]]]

    def __post_init__(self) -> None:
        for category, conditions in self.rules.items():
            if category not in CATEGORIES or category == OTHER:
                raise Refused("plural category", category, ", ".join(CATEGORIES[:-1]))
            if not isinstance(conditions, Mapping) or not conditions:
                raise Refused(f"plural {category}", conditions, "one condition or more")
            for name, numbers in conditions.items():
                if name not in CONDITIONS:
                    raise Refused("plural condition", name, ", ".join(CONDITIONS))
                if not isinstance(numbers, list) or {type(one) for one in numbers} != {int}:
                    raise Refused(f"plural {category}, {name}", numbers, "a list of whole numbers")

    @property
    def categories(self) -> frozenset[str]:
        """Every category a message of this language has to have."""
        return frozenset(self.rules) | {OTHER}

    def category(self, count: object) -> str:
        """The category of a number; whatever is no whole number takes "other"."""
        if not isinstance(count, int) or isinstance(count, bool):
            return OTHER
        for category, conditions in self.rules.items():
            if all(_holds(name, conditions[name], abs(count)) for name in conditions):
                return category
        return OTHER


def _holds(condition: str, numbers: Sequence[int], count: int) -> bool:
    """Whether one condition holds for a number."""
    if condition == "is":
        return count in numbers
    if condition == "last_digit":
        return count % 10 in numbers
    return (count % 100 in numbers) == (condition == "last_two")
