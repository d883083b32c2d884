"""The web server's way in."""

import gc
import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "registry.settings")
application = get_wsgi_application()

# A page of 10 000 tests makes as many rows, all of which live until it is answered: by the
# thresholds a process starts with, a quarter of its time went into looking for garbage among them.
gc.freeze()
gc.set_threshold(50_000, 20, 20)
