"""The document of the API, asked for by several at once as the first thing after a start."""

import subprocess
import sys

from cureclock.runtime import webbuild

ASKED = """
import os, sys, threading
os.environ["DJANGO_SETTINGS_MODULE"] = "cureclock.runtime.settings"
import django
django.setup()
from drf_spectacular.settings import spectacular_settings as said
sys.setswitchinterval(1e-5)
drawn = []
def draw():
    drawn.append(len(said.DEFAULT_GENERATOR_CLASS().get_schema(public=True)["paths"]))
several = [threading.Thread(target=draw) for _ in range(6)]
for one in several: one.start()
for one in several: one.join()
print(len(drawn), len(set(drawn)), min(drawn) > 20)
"""


def test_several_at_once_are_all_answered_the_same() -> None:
    ended = subprocess.run(
        [sys.executable, "-c", ASKED],
        cwd=webbuild.ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.stdout.split() == ["6", "1", "True"], ended.stderr[-2000:]
