"""The WSGI application, for the built-in server and for any other."""

import gc
import os

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cureclock.runtime.settings")
application = get_wsgi_application()
_ = get_resolver().url_patterns  # what answers is loaded now, and not when the first phone asks
gc.freeze()  # it lives as long as the process: whoever looks for garbage passes it over
