"""JSON in, and nothing that would take the server down on its way."""

from typing import Any

from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser


class BoundedJSONParser(JSONParser):
    """JSON without nan, and without nesting deeper than Python can follow."""

    def parse(self, stream: Any, media_type: Any = None, parser_context: Any = None) -> Any:
        """What was sent, as plain values."""
        try:
            return super().parse(stream, media_type, parser_context)
        except RecursionError as error:
            raise ParseError("nested too deep") from error
