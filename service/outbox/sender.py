"""The sender: takes what is due from the outbox, signs it and posts it, until the receiver says 2xx or it is too old.

At least once: a sender that dies between the receiver's answer and writing it down leaves the delivery to be sent again,
under the same id.
"""

import asyncio
import random
import uuid
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

import httpx
from sqlalchemy import Row
from sqlalchemy.exc import SQLAlchemyError
from standardwebhooks import Webhook
from starlette.concurrency import run_in_threadpool

from service.logs import logger
from service.outbox.address import AddressError, resolve
from service.outbox.archive import Outbox
from service.people.clock import now, stamp
from service.settings import Settings
from service.store.writer import StoreBusyError, StoreDownError

AT_ONCE = 16
ATTEMPT_S = 15.0  # connecting, sending and the answer; the lease is longer
FIRST_PAUSE_S, LONGEST_PAUSE_S = 5.0, 3600.0
_GONE = 410
_LOST = (SQLAlchemyError, StoreBusyError, StoreDownError)


def signed(body: bytes, message_id: str, when: datetime, secrets: list[str]) -> dict[str, str]:
    """The headers of Standard Webhooks; a signature for each secret, so that a receiver may hold any of them."""
    marks = " ".join(Webhook(secret).sign(message_id, when, body.decode()) for secret in secrets)
    return {
        "content-type": "application/json",
        "webhook-id": message_id,
        "webhook-timestamp": str(int(when.timestamp())),
        "webhook-signature": marks,
    }


def pause(attempts: int) -> float:
    """Seconds to wait after that many failed attempts: twice as long each time, between half and all of it by chance."""
    return min(LONGEST_PAUSE_S, FIRST_PAUSE_S * 2.0 ** min(attempts - 1, 20)) * random.uniform(0.5, 1.0)


@dataclass(slots=True)
class Sender:
    """Sends for one process. ``name`` tells senders apart in leases."""

    outbox: Outbox
    settings: Settings
    name: str = field(default_factory=lambda: uuid.uuid4().hex)

    async def run(self) -> None:
        """Send what is due until cancelled."""
        async with self._client() as client:
            while True:
                try:
                    sent = await self.send_due(client)
                except _LOST as error:
                    logger().error("outbox not read", error=type(error).__name__)
                    sent = 0
                if sent < AT_ONCE:
                    await asyncio.sleep(self.settings.webhook_poll)

    async def send_due(self, client: httpx.AsyncClient | None = None) -> int:
        """Claim what is due and send it; how many were tried."""
        if client is None:
            async with self._client() as own:
                return await self.send_due(own)
        rows = await run_in_threadpool(self.outbox.claim, self.name, AT_ONCE)
        await asyncio.gather(*(self._deliver(client, row) for row in rows))
        return len(rows)

    def _client(self) -> httpx.AsyncClient:
        # Nothing of the surroundings counts: no proxy and no credentials from the environment, no redirect is followed.
        return httpx.AsyncClient(trust_env=False, follow_redirects=False, timeout=ATTEMPT_S)

    async def _deliver(self, client: httpx.AsyncClient, row: Row[Any]) -> None:
        status, answer = await self._attempt(client, row)
        try:
            await self._write_down(row, status, answer)
        except _LOST as error:
            logger().error("delivery not written down", message=row.message_id, error=type(error).__name__)

    async def _write_down(self, row: Row[Any], status: int | None, answer: str) -> None:
        moment = now()
        if status is not None and 200 <= status < 300:
            await run_in_threadpool(self.outbox.settle, row, self.name, "sent", answer)
            return
        logger().warning("delivery failed", message=row.message_id, webhook=row.webhook_id, answer=answer)
        again = moment + timedelta(seconds=pause(row.attempts + 1))
        too_old = datetime.fromisoformat(row.at) + timedelta(hours=self.settings.webhook_hours)
        if status == _GONE or again > too_old:
            await run_in_threadpool(self.outbox.settle, row, self.name, "dead", answer)
            if status == _GONE:
                await self.outbox.switch(row.webhook_id, False, "service")
        else:
            await run_in_threadpool(self.outbox.settle, row, self.name, "waiting", answer, stamp(again))

    async def _attempt(self, client: httpx.AsyncClient, row: Row[Any]) -> tuple[int | None, str]:
        """The status of the answer and words for it; None where there was no answer."""
        try:
            async with asyncio.timeout(ATTEMPT_S):
                target = await resolve(row.url, self.settings.webhook_private)
                secrets = await run_in_threadpool(self.outbox.live_secrets, row.webhook_id)
                headers = {**signed(row.body, row.message_id, now(), secrets), "host": target.host_header}
                request = client.build_request(
                    "POST", target.url, content=row.body, headers=headers, extensions={"sni_hostname": target.host}
                )
                response = await client.send(request, stream=True)
                await response.aclose()  # the body of the answer is not read
        except AddressError as error:
            return None, str(error)
        except TimeoutError:
            return None, f"no answer within {ATTEMPT_S:g} s"
        except httpx.HTTPError as error:
            return None, type(error).__name__
        redirect = ", a redirect, which is not followed" if 300 <= response.status_code < 400 else ""
        return response.status_code, f"status {response.status_code}{redirect}"
