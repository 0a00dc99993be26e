"""Examples of signed events, from the invented college."""

from typing import Any

NEW: dict[str, Any] = {"url": "https://hooks.example/prep-room", "types": ["plan.held", "policy.changed"]}
SUBSCRIPTION: dict[str, Any] = {
    "id": "7KQ2M4XW0D", "at": "2026-12-01T09:12:44.120334Z", **NEW, "active": True, "secrets": 1,
}  # fmt: skip
WITH_SECRET: dict[str, Any] = {**SUBSCRIPTION, "secret": "whsec_QWxkZXIgVmFsZSBwcmVwIHJvb20sIG5vdCBhIHNlY3I="}
ROTATED: dict[str, Any] = {**WITH_SECRET, "secrets": 2}
OFF: dict[str, Any] = {**SUBSCRIPTION, "active": False}
DELIVERIES: dict[str, Any] = {
    "deliveries": [
        {
            "n": 812,
            "message": "msg_812_9a1f0c44e2b7d365",
            "type": "plan.held",
            "at": "2026-12-01T09:20:02.004511Z",
            "state": "waiting",
            "attempts": 2,
            "next_at": "2026-12-01T09:20:21.500000Z",
            "answer": "status 503",
        },
        {
            "n": 790,
            "message": "msg_790_c0ffee11d2b7a980",
            "type": "policy.changed",
            "at": "2026-12-01T09:14:00.920117Z",
            "state": "sent",
            "attempts": 1,
            "done_at": "2026-12-01T09:14:01.310448Z",
            "answer": "status 204",
        },
    ]
}
