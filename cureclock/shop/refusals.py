"""The error a person can meet: what was wrong, where, and what to do."""


class Refusal(Exception):
    """A happening or question that cannot be taken, in the maker's words.

    Attributes:
        field: the field that was wrong.
        wrong: what was wrong with it.
        mend: what to do.
        key: short machine name of the kind of refusal.
    """

    def __init__(self, field: str, wrong: str, mend: str, key: str = "refused") -> None:
        self.field = field
        self.wrong = wrong
        self.mend = mend
        self.key = key
        super().__init__(f"{field}: {wrong}; {mend}")


class NotHere(Refusal):
    """Nothing of this id in this workshop: unknown, and another workshop's, look the same."""

    def __init__(self, field: str) -> None:
        super().__init__(field, "nothing here has this id", "reload and choose again", "not_here")


class OtherBody(Refusal):
    """The id was used before for something else."""

    def __init__(self) -> None:
        wrong = "this id was used before for something else"
        super().__init__("id", wrong, "make a new id for a new happening", "other_body")
