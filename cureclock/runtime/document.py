"""The document of the API is drawn for one request at a time."""

import threading
from typing import Any

from drf_spectacular.generators import SchemaGenerator

DRAWING = threading.Lock()


class OneAtATime(SchemaGenerator):
    """What draws the document loads its parts as it goes: two at once meet some half loaded."""

    def get_schema(self, *args: Any, **kwargs: Any) -> Any:
        with DRAWING:
            return super().get_schema(*args, **kwargs)  # type: ignore[no-untyped-call]
