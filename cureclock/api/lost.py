"""Addresses under /api/ that lead nowhere: told as a problem, like everything else here."""

from rest_framework.request import Request
from rest_framework.views import APIView

from cureclock.shop.refusals import NotHere


class LostView(APIView):
    """No such address."""

    schema = None  # leads nowhere, so it is in no document
    authentication_classes = []
    permission_classes = []

    def initial(self, request: Request, *args: object, **kwargs: object) -> None:
        """Whatever was wanted of it."""
        super().initial(request, *args, **kwargs)
        raise NotHere("address")
