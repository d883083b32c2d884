#!/usr/bin/env python
"""Run the project's commands: `python manage.py <command>`."""

import os
import sys

from django.core.management import execute_from_command_line

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "registry.settings")
    execute_from_command_line(sys.argv)
