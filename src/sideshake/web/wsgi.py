"""The door through which a web server calls the workshop."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "sideshake.web.settings")

application = get_wsgi_application()
