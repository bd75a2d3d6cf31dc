"""Settings, serving, ticking: the only place that knows Celery, Redis or threads."""
