"""Gates of the materials in use, by the newest reading of each label and what was learned here."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.core.gates import Gate
from cureclock.shop.models import LabelVersion, Workshop
from cureclock.waits.learned import Key, Lessons
from cureclock.waits.offsets import every_gate

OF_JOINTS = ("adhesive", "hold")  # roles that are no coat


@dataclass(frozen=True)
class Wait:
    """A gate of a material in a place.

    Attributes:
        over: materials of the steps before it, among them the coats it lies on.
        lag_us: how far the wood of a joint lags the air, binned [us]; 0: it counts as the air.
    """

    material: UUID
    place: UUID
    gate: str
    over: tuple[UUID, ...] = ()
    lag_us: int = 0


@dataclass(frozen=True)
class Labels:
    """The newest label of each material, and what was learned until an instant."""

    newest: Mapping[UUID, LabelVersion]
    lessons: Lessons
    at: datetime

    def offered(self, material: UUID) -> set[str]:
        """The gates that a label speaks of, those of a stressed joint too."""
        version = self.newest.get(material)
        gates = () if version is None else every_gate(version.label, ())
        return {gate.kind.key for gate in gates}

    def gate(self, wait: Wait) -> Gate | None:
        """The gate of a wait as one that is begun now would have it; None: it is not offered."""
        version = self.newest.get(wait.material)
        if version is None:
            return None
        key = Key(wait.material, wait.place, self._coat_number(wait))
        lessons = self.lessons.before(key, version.label, self.at)
        gates = every_gate(version.label, lessons)
        return next((gate for gate in gates if gate.kind.key == wait.gate), None)

    def is_glue(self, material: UUID) -> bool:
        """Whether a material makes joints."""
        version = self.newest.get(material)
        return version is not None and version.label.role == "adhesive"

    def _coat_number(self, wait: Wait) -> int:
        if not self._is_coat(wait.material):
            return 0
        return 1 + sum(self._is_coat(material) for material in wait.over)

    def _is_coat(self, material: UUID) -> bool:
        version = self.newest.get(material)
        return version is not None and version.label.role not in OF_JOINTS


def labels_of(workshop: Workshop, materials: Iterable[UUID], at: datetime) -> Labels:
    """Labels of some materials as they were read last, and all that was seen by now."""
    rows = LabelVersion.objects.filter(
        material__workshop=workshop, material__in=set(materials), struck_by=None
    )
    newest = {row.material_id: row for row in rows.order_by("since", "arrived_at", "id")}
    return Labels(newest, Lessons.of_workshop(workshop.id), at)
