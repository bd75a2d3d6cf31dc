"""A line about some rungs of one gate kind of a group."""

from collections.abc import Sequence

from cureclock.waits.current import Rung
from cureclock.waits.group_gates import FAR, ruling_of
from cureclock.waits.groups import SILENT, Group
from cureclock.waits.line import Line
from cureclock.waits.minute import to_minute


def group_line(group: Group, act: str, rungs: Sequence[Rung], **more: object) -> Line:
    """The line: its pieces, where they are, and when its gate opens or closes for all of them."""
    ruling = ruling_of(rungs)
    opens = ruling.gate.opens
    moments = [rung.acts or FAR for rung in rungs]
    at = max(moments) if opens else min(moments)
    told: dict[str, object] = {
        "at": to_minute(None if at == FAR else at, opens=opens),
        "until": None,
        **more,
    }
    return Line(
        act=act,
        group=group.id,
        name=group.name,
        pieces=tuple(dict.fromkeys(one.tag for rung in rungs for one in rung.members)),
        place=ruling.wait.place.name,
        place_id=ruling.wait.place_id,
        **told,  # type: ignore[arg-type]
    )


def by_kind(group: Group) -> dict[str, list[Rung]]:
    """Rungs by gate kind whose act is not done, the silent ones left out."""
    kinds: dict[str, list[Rung]] = {}
    for rung in group.rungs:
        if not rung.over and rung.gate.kind not in SILENT:
            kinds.setdefault(rung.gate.kind, []).append(rung)
    return kinds
