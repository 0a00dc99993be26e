"""``prepwright serve``: the API for other programs, by default for this machine only."""

from ipaddress import ip_address

from clients import transport
from clients.errors import AskError


def serve(host: str, port: int, database: str | None, open_to_network: bool) -> int:
    """Run until told to stop; the exit code."""
    local = is_loopback(host)
    if not local and not open_to_network:
        raise AskError(
            f"{host} can be reached by other machines.",
            ("Leave --host out to serve this machine only,", "or add --open-to-network; everybody then logs in."),
        )
    accounts = transport.administration(database, "has_accounts")
    if not local and not accounts:
        raise AskError(
            f"{host} can be reached by other machines, and nobody has an account.",
            ("Make one first: prepwright people add NAME --role admin",),
        )
    print(
        "Accounts: everybody logs in."
        if accounts
        else "Single user, no login: only this machine can reach it. 'prepwright people add' makes accounts.",
        flush=True,
    )
    return transport.serve(host, port, database, only_this_machine=local)


def is_loopback(host: str) -> bool:
    """Whether only this machine can reach an address."""
    if host == "localhost":
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False
