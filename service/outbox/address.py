"""Where events may be sent: over TLS, and to no address inside the network unless a setting allows that."""

import asyncio
import ipaddress
import socket
from dataclasses import dataclass
from urllib.parse import SplitResult, urlsplit

LONGEST_URL = 500
_Address = ipaddress.IPv4Address | ipaddress.IPv6Address


class AddressError(ValueError):
    """Nothing is sent there; the message says why."""


@dataclass(frozen=True, slots=True)
class Target:
    """Where a request really goes: the address that was checked, and the name its certificate must have."""

    url: str
    host: str
    host_header: str


def checked(url: str) -> SplitResult:
    """The parts of an address that can be subscribed with. Raises AddressError."""
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError:
        raise AddressError("is no address") from None
    if len(url) > LONGEST_URL or not url.isascii() or not url.isprintable() or " " in url or "\\" in url:
        raise AddressError(f"must be at most {LONGEST_URL} plain characters without spaces")
    if parts.scheme not in ("https", "http") or not parts.hostname or port == 0:
        raise AddressError("must begin with https:// and name a host")
    if parts.username is not None or parts.password is not None or parts.fragment:
        raise AddressError("must hold no user, no password and no fragment")
    if parts.scheme == "http" and not _loopback_name(parts.hostname):
        raise AddressError("must begin with https://; http:// is for this machine only")
    return parts


async def resolve(url: str, private: bool) -> Target:
    """The checked address behind a URL, to be connected to as it is, so that the name cannot point elsewhere meanwhile.

    Raises AddressError where any address of the host is inside the network and ``private`` is not set.
    """
    parts = checked(url)
    host, port = str(parts.hostname), parts.port or (443 if parts.scheme == "https" else 80)
    try:
        found = await asyncio.get_running_loop().getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except OSError:
        raise AddressError(f"the host {host} has no address") from None
    addresses = [ipaddress.ip_address(str(entry[4][0]).partition("%")[0]) for entry in found]
    if not addresses or not (private or all(_public(address) for address in addresses)):
        raise AddressError(f"the host {host} is inside the network; PREPWRIGHT_WEBHOOK_PRIVATE=yes allows that")
    if parts.scheme == "http" and not all(address.is_loopback for address in addresses):
        raise AddressError("http:// is for this machine only")
    first = addresses[0]
    place = f"[{first}]" if first.version == 6 else str(first)
    where = parts._replace(netloc=f"{place}:{port}").geturl()
    return Target(where, host, parts.netloc)


def _public(address: _Address) -> bool:
    """Whether an address is one of the open network; IPv4 inside IPv6 is looked at as IPv4."""
    if isinstance(address, ipaddress.IPv6Address):
        inner = address.ipv4_mapped or address.sixtofour or (address.teredo[1] if address.teredo else None)
        if inner is not None:
            return _public(inner)
        if address in _NAT64:
            return _public(ipaddress.IPv4Address(int(address) & 0xFFFFFFFF))
    return address.is_global and not address.is_multicast


_NAT64 = ipaddress.IPv6Network("64:ff9b::/96")


def _loopback_name(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False
