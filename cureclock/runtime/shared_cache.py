"""What all processes count together, in Redis; that it is away is an OSError, as of any server."""

from typing import Any

from django.core.cache.backends.redis import RedisCache
from redis.exceptions import RedisError


class SharedCache(RedisCache):
    """For those who may not know that it is Redis."""

    def add(self, *args: Any, **more: Any) -> bool:
        """Set it if it is not there."""
        try:
            return bool(super().add(*args, **more))
        except RedisError as failed:
            raise ConnectionError(str(failed)) from failed

    def incr(self, *args: Any, **more: Any) -> int:
        """One more."""
        try:
            return int(super().incr(*args, **more))
        except RedisError as failed:
            raise ConnectionError(str(failed)) from failed
