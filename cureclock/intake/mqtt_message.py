"""What stands in a sensor's message: a reading, or a reason why there is none."""

import json
from datetime import UTC, datetime
from reprlib import repr as short
from typing import Any, NoReturn

from cureclock.core.units import celsius_of_fahrenheit
from cureclock.intake.logger_rows import HOT_ROW, figure_in
from cureclock.intake.logger_times import in_this_age, local_time
from cureclock.shop.logger_shape import EPOCH
from cureclock.shop.models import TopicVersion
from cureclock.shop.readings import ReadingSaid, id_of
from cureclock.shop.refusals import Refusal

MOST_BYTES = 16 * 1024
LOOK = "look at what the sensor sends, and at the fields that were told of it"


def reading_in(heard: TopicVersion, payload: bytes, at: datetime) -> ReadingSaid:
    """The reading in a message.

    Args:
        heard: where in it what stands.
        payload: the message.
        at: when it came: the time of the reading where the message says none.

    Raises:
        Refusal: whatever the bytes are, nothing else.
    """
    body = _body(heard, payload)
    said_at = _time(_at(body, heard.at_field, "time")) if heard.at_field else at
    temp = _figure(_at(body, heard.temp_field, "temperature"), "temperature")
    if not -HOT_ROW <= temp <= HOT_ROW:
        _refuse("temperature", f"{temp:g} is no temperature")
    temp_c = round(celsius_of_fahrenheit(temp), 3) if heard.fahrenheit else temp
    rh = _figure(_at(body, heard.rh_field, "humidity"), "humidity") if heard.rh_field else None
    return ReadingSaid(id_of(heard.sensor_id, said_at), said_at, temp_c, rh)


def is_gone(heard: TopicVersion, payload: bytes) -> bool:
    """Whether a message under its status topic says that the sensor went away."""
    word = payload[:200].decode("utf-8", "replace").strip().strip('"')
    return bool(heard.gone_word) and word.casefold() == heard.gone_word.strip().casefold()


def _body(heard: TopicVersion, payload: bytes) -> Any:
    if len(payload) > MOST_BYTES:
        _refuse("message", f"is longer than {MOST_BYTES // 1024} kB")
    try:
        text = payload.decode().strip()
    except UnicodeDecodeError:
        _refuse("message", "is no text")
    if not (heard.temp_field or heard.rh_field or heard.at_field):
        return text
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        _refuse("message", "is no JSON")


def _at(body: Any, path: str, what: str) -> Any:
    """What stands at a path of names with points between them; a name may hold points itself."""
    here, rest = body, path
    while rest:
        if isinstance(here, dict) and rest in here:
            return here[rest]
        name, _, rest = rest.partition(".")
        if isinstance(here, dict) and name in here:
            here = here[name]
        elif isinstance(here, list) and name.isdecimal() and int(name[:6]) < len(here):
            here = here[int(name[:6])]
        else:
            _refuse(what, f"nothing stands at {path}")
    return here


def _figure(told: Any, what: str) -> float:
    value: float | None = None
    if isinstance(told, str):
        value = figure_in(told.strip()[:40])
    elif isinstance(told, int | float) and not isinstance(told, bool) and abs(told) < 1e9:
        value = float(told)
    if value is None:
        _refuse(what, f"{short(told)} is no figure")
    return value


def _time(told: Any) -> datetime:
    moment = None
    try:
        if isinstance(told, int | float) and not isinstance(told, bool):
            moment = local_time(str(told), EPOCH)
        elif isinstance(told, str):
            moment = in_this_age(datetime.fromisoformat(told.strip()))
        if moment is not None and moment.tzinfo is not None:
            return moment.astimezone(UTC)
    except (ValueError, OverflowError, OSError):
        pass
    raise Refusal("time", f"{short(told)} is no time with its offset", LOOK)


def _refuse(field: str, wrong: str) -> NoReturn:
    raise Refusal(field, wrong, LOOK)
