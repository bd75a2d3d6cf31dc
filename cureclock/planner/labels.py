"""Gates of the materials in use, by the newest reading of each label."""

from collections.abc import Iterable
from uuid import UUID

from cureclock.core.gates import Gate
from cureclock.core.ladder import ladder
from cureclock.shop.models import LabelVersion, Workshop


def ladders(workshop: Workshop, materials: Iterable[UUID]) -> dict[UUID, dict[str, Gate]]:
    """Every gate of each material by its key, those of a stressed joint too."""
    rows = LabelVersion.objects.filter(
        material__workshop=workshop, material__in=set(materials), struck_by=None
    )
    found = {}
    for row in rows.order_by("since", "arrived_at", "id"):
        gates = {gate.kind.key: gate for gate in ladder(row.label, stressed=True)}
        found[row.material_id] = gates | {gate.kind.key: gate for gate in ladder(row.label)}
    return found
