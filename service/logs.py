"""Structured logs: one JSON object a line on standard error, never the text of a request."""

import logging
import sys

import structlog


def configure(level: str) -> None:
    """Send the service's log lines to standard error as JSON, from ``level`` (such as "INFO") upwards."""
    number = logging.getLevelNamesMapping().get(level.upper(), logging.INFO)
    structlog.configure(
        processors=[
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.format_exc_info,
            structlog.processors.JSONRenderer(),
        ],
        wrapper_class=structlog.make_filtering_bound_logger(number),
        logger_factory=structlog.PrintLoggerFactory(sys.stderr),
        cache_logger_on_first_use=False,
    )


def logger() -> structlog.typing.FilteringBoundLogger:
    """The service's logger."""
    bound: structlog.typing.FilteringBoundLogger = structlog.get_logger()
    return bound
