"""Words of the log: addresses that open something to whoever has them are not written there.

The framework logs the path of every refused or failed request ("Too Many Requests: /feeds/..."),
and logs are kept long and read by many.
"""

import logging
import re

SECRET_PATHS = re.compile(r"/(feeds|invitation|password/forgotten)/[^\s/?#\"'>]+")
"""Calendar feeds, invitations, new passwords: what follows is a secret."""
TOLD = r"/\1/..."


class WithoutSecrets(logging.Filter):
    """Let every line through, secrets in addresses and in tracebacks replaced by dots."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Write the line anew where it holds such an address."""
        told = record.getMessage()
        hidden = SECRET_PATHS.sub(TOLD, told)
        if hidden != told:
            record.msg, record.args = hidden, ()
        if record.exc_info and record.exc_text is None:
            record.exc_text = logging.Formatter().formatException(record.exc_info)
        if record.exc_text:
            record.exc_text = SECRET_PATHS.sub(TOLD, record.exc_text)
        return True
