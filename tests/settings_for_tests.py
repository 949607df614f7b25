"""The workshop's settings, in a folder that is gone after the tests: nobody's own is touched."""

import os
from tempfile import TemporaryDirectory

KEPT = TemporaryDirectory(prefix="sideshake-tests-")
os.environ["SIDESHAKE_DATA"] = KEPT.name

from sideshake.web.settings import *  # noqa: E402, F403 - after the folder is chosen

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
