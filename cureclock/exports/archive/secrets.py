"""What an archive does not carry: whatever would let its finder reach somebody or come in.

Of phones, sensors and calendar feeds the hash of a token is kept: it opens nothing by itself, and
after a restore they go on as before. Addresses and keys by which people are reached are secrets
in clear, and stay behind; each way is kept as one that is dead and says why. The same is left out
again of whatever is restored: an older program may have written it, or a hand changed it.
"""

from collections.abc import Callable, Mapping
from typing import Any

Row = dict[str, Any]
WHY = "left out of the backup: give it again"
NEVER_UNSEALED = "left out"
NOT_SENT = ("pending", "sending")


def _way(row: Row, made_at: str) -> Row:
    dead = {"dead_since": row.get("dead_since") or made_at, "dead_why": row.get("dead_why") or WHY}
    return {**row, "address": f"left out {row.get('id')}", "keys": {}, "host": "", **dead}


def _delivery(row: Row, _made_at: str) -> Row:
    """What was under way then is not sent by a server that is restored later."""
    state = {"state": "expired"} if row.get("state") in NOT_SENT else {}
    return {**row, **state, "lease_token": None, "lease_until": None}


def _person(row: Row, _made_at: str) -> Row:
    """An older program kept an address here that nothing ever called."""
    return {name: value for name, value in row.items() if name != "notify_url"}


def _broker(row: Row, _made_at: str) -> Row:
    return {**row, "password": NEVER_UNSEALED if row.get("password") else ""}


WITHOUT: Mapping[str, Callable[[Row, str], Row]] = {
    "reminders.Way": _way,
    "reminders.Delivery": _delivery,
    "shop.Person": _person,
    "shop.BrokerVersion": _broker,
}
SAID = (
    "push addresses, mail addresses and keys by which people are told",
    "the password at the message broker",
    "pairing links that were still open",
    "the server's own keys and certificates",
)


def without(table: str, row: Row, made_at: str) -> Row:
    """A row of a table as an archive carries it."""
    leave_out = WITHOUT.get(table)
    return row if leave_out is None else leave_out(row, made_at)
