"""Send reminders: one dispatcher, beside as many others as you like on PostgreSQL."""

import gc
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import connection, connections

from cureclock.runtime import datalock, listening, nights, planning
from cureclock.runtime.clock import SystemClock
from cureclock.runtime.loop import Loop
from cureclock.runtime.management.commands.up import records, told_to_stop


class Command(BaseCommand):
    help = __doc__

    def handle(self, *_args: Any, **_options: Any) -> None:
        alone = connection.vendor == "sqlite"
        try:
            lock = datalock.hold(records()) if alone else None
        except datalock.Held as refused:
            raise CommandError(str(refused)) from refused
        told = told_to_stop()
        clock = SystemClock()
        beside = [one.start(clock) for one in (nights, planning, listening)]
        stops = (Loop(clock, alone=alone).start(), *beside)
        gc.freeze()  # what is loaded lives as long as this: whoever looks for garbage passes it over
        self.stdout.write("Sending reminders. Ctrl-C stops it.")
        self.stdout.flush()
        try:
            told.wait()
        finally:
            for stop in stops:
                stop()
            connections.close_all()
            if lock:
                lock.close()
