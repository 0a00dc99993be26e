"""What a monitoring system reads: requests by route and status, how long they took, replies by outcome, waiting writes.

In the Prometheus text format, by its client library; one registry for each application. No label holds what a person typed.
"""

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest
from prometheus_client.exposition import CONTENT_TYPE_LATEST

CONTENT_TYPE = CONTENT_TYPE_LATEST
#: Seconds; a plan takes a millisecond, a label a few hundred.
BUCKETS = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 10.0)


class Metrics:
    """The counters of one process."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        self._requests = Counter(
            "prepwright_requests", "Requests answered.", ("method", "route", "status"), registry=self.registry
        )
        self._seconds = Histogram(
            "prepwright_request_seconds", "Seconds a request took.", ("route",), registry=self.registry, buckets=BUCKETS
        )
        self.replies = Gauge("prepwright_replies", "Stored replies by outcome.", ("outcome",), registry=self.registry)
        self.holds = Gauge("prepwright_holds", "Held plans by state.", ("state",), registry=self.registry)
        self.waiting = Gauge("prepwright_writes_waiting", "Writes that wait for the database.", registry=self.registry)
        self.entries = Gauge("prepwright_audit_entries", "Entries of the audit log.", registry=self.registry)

    def answered(self, method: str, route: str, status: int, seconds: float) -> None:
        """One request; ``route`` is the path with its parameters' names, never with their values."""
        self._requests.labels(method, route, str(status)).inc()
        self._seconds.labels(route).observe(seconds)

    def text(self) -> bytes:
        """Everything, as it stands now."""
        return generate_latest(self.registry)
